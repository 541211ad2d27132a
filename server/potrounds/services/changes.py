"""What follows every change to the register: it is written down, and the cards follow."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from potrounds.services import assess
from potrounds.services.context import Context
from potrounds.store import derived, register
from potrounds.store.derived import TOWN


def note(
    ctx: Context,
    what: str,
    ref: str,
    name: str,
    before: dict[str, Any],
    after: dict[str, Any],
    by: str | None = None,
) -> None:
    """Write down a change: only the keys that differ. Nothing is written where nothing does."""
    differing = [key for key in {**before, **after} if before.get(key) != after.get(key)]
    if not differing:
        return
    register.note_change(
        at=ctx.now(),
        by=by or ctx.person,
        what=what,
        ref=ref,
        name=name,
        before={key: before[key] for key in differing if key in before},
        after={key: after[key] for key in differing if key in after},
    )


def town_changed(everything: bool = False) -> None:
    """Ask for the town's card anew, or for all cards; inside the changing transaction."""
    derived.mark_stale(assess.all_keys() if everything else [TOWN])


def planters_changed(planter_ids: Iterable[str]) -> None:
    """Ask for these planters' cards anew; inside the changing transaction."""
    derived.mark_stale(planter_ids)


def follow_up(ctx: Context) -> None:
    """After the commit: make the cards anew that were asked for."""
    assess.assess_stale(ctx)
