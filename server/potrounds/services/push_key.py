"""The key that a town's pushes are signed with: a file in its home, in no export and no backup."""

from __future__ import annotations

import logging
from pathlib import Path
from typing import Any

from potrounds.services import push_wire
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal
from potrounds.store import derived, push, register
from potrounds.store.database import write_transaction
from potrounds.words import t

logger = logging.getLogger(__name__)

#: The setting that keeps the public half, for the town's card.
PUBLIC = "push_key"


def file_of(ctx: Context) -> Path:
    """Where the key lies."""
    return ctx.settings.home / "push-key.pem"


def read(ctx: Context) -> Any | None:
    """The key; None where there is none, or the file is damaged."""
    try:
        return push_wire.read_key(file_of(ctx))
    except (OSError, ValueError) as broken:
        logger.warning("the key for pushes cannot be read: %s", broken)
        return None


def make(ctx: Context, anew: bool) -> int:
    """Make the key; return how many phones have to turn pushes on again.

    Raises: Refusal 409 when there is one, unless it is to be made anew.
    """
    path = file_of(ctx)
    if path.exists() and not anew:
        detail = t("push.key_there", file=path)
        raise Refusal(409, "push-key-there", "There is a key", detail)
    path.unlink(missing_ok=True)
    push_wire.make_key(path)
    return show(ctx)


def show(ctx: Context) -> int:
    """Keep the public half where phones find it; when it is another one, addresses are void.

    Returns how many addresses were dropped. Called at start too: a town that was moved without
    its key, or got another, says so.
    """
    key = read(ctx)
    public = push_wire.public_key(key) if key else None
    if register.setting(PUBLIC) == public:
        return 0
    with write_transaction():
        register.set_setting(PUBLIC, public)
        derived.mark_stale([derived.TOWN])
        return push.drop_all_addresses()


def check_there(ctx: Context) -> None:
    """Before pushes are turned on. Raises: Refusal 409 where the town has no key."""
    if read(ctx) is None:
        detail = "Whoever runs the server makes the town's key first: potrounds push-key"
        raise Refusal(409, "no-push-key", "No key for pushes", detail, [("/push_on", detail)])
