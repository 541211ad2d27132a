"""The thread of a serving process that sends what waits in the queue of pushes."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable

from potrounds.services import push
from potrounds.services.context import Context
from potrounds.store import database

logger = logging.getLogger(__name__)

#: Looked at least so often: other processes put pushes into the queue, and tries fall due. [s]
EVERY_S = 30.0


def start(ctx: Context, every_s: float = EVERY_S) -> Callable[[], None]:
    """Begin to send; returns how to stop. The thread ends with the process anyway."""
    over = threading.Event()

    def run() -> None:
        while not over.is_set():
            push.BELL.wait(every_s)
            push.BELL.clear()
            if not over.is_set():
                deliver_all(ctx)

    def stop() -> None:
        over.set()
        push.BELL.set()
        thread.join()

    thread = threading.Thread(target=run, name="pushes", daemon=True)
    thread.start()
    return stop


def deliver_all(ctx: Context) -> None:
    """Send until nothing is due. Whatever goes wrong is logged, and tried again later."""
    try:
        with database.connection():
            while push.deliver(ctx):
                pass
    except Exception:
        logger.exception("pushes could not be sent; they wait")
