"""What the review needs beside the cards: what only the server knows, and one's last look."""

from __future__ import annotations

from typing import Any

from potrounds.services import held, phone_work
from potrounds.services.context import Context
from potrounds.services.moments import stamp
from potrounds.store import phone_work as kept
from potrounds.store.database import write_transaction


def desk(ctx: Context) -> dict[str, Any]:
    """Held records, phones to ask after, and the flags as the caller last left them."""
    looked = kept.looked(ctx.person) if ctx.person else None
    return {
        "held": held.list_held(ctx),
        "phones": phone_work.to_ask_after(ctx),
        "looked": looked and {"at": stamp(looked.at), "seen": looked.seen},
    }


def keep_looked(ctx: Context, seen: list[dict[str, Any]]) -> dict[str, Any]:
    """Keep the flags as the caller leaves them; on whichever phone they look next, it is known."""
    if ctx.person:
        with write_transaction():
            kept.keep_looked(ctx.person, ctx.now(), seen)
    return {"at": stamp(ctx.now()), "seen": seen}
