"""The thread of a serving process that sends what waits in the queue of pushes."""

from __future__ import annotations

import logging
import threading

from potrounds.services import push
from potrounds.services.context import Context
from potrounds.store import database

logger = logging.getLogger(__name__)

#: Looked at least so often: other processes put pushes into the queue, and tries fall due. [s]
EVERY_S = 30.0


def start(ctx: Context, every_s: float = EVERY_S) -> threading.Thread:
    """Begin to send; ends with the process."""
    thread = threading.Thread(target=_run, args=(ctx, every_s), name="pushes", daemon=True)
    thread.start()
    return thread


def _run(ctx: Context, every_s: float) -> None:
    while True:
        push.BELL.wait(every_s)
        push.BELL.clear()
        deliver_all(ctx)


def deliver_all(ctx: Context) -> None:
    """Send until nothing is due. Whatever goes wrong is logged, and tried again later."""
    try:
        with database.connection():
            while push.deliver(ctx):
                pass
    except Exception:
        logger.exception("pushes could not be sent; they wait")
