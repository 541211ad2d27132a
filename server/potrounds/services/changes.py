"""What follows every change to the register: it is written down, and the cards follow."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from potrounds.services import assess
from potrounds.services.context import Context
from potrounds.store import derived, register, undo
from potrounds.store.database import is_writing
from potrounds.store.derived import TOWN

State = dict[str, Any]


def note(
    ctx: Context,
    what: str,
    ref: str,
    name: str,
    before: State,
    after: State,
    by: str | None = None,
    kept: tuple[State, State] | None = None,
) -> None:
    """Write down a change: only the keys that differ. Nothing is written where nothing does.

    kept: the values as they are stored, where `before` and `after` tell them in people's words;
        an undo puts them back. Changes of one transaction are one act: they are undone together.
    """
    told = _differing(before, after)
    stored = _differing(*kept) if kept else ({}, {})
    if not any(told) and not any(stored):
        return
    number = register.note_change(
        at=ctx.now(),
        by=by or ctx.person,
        what=what,
        ref=ref,
        name=name,
        before=told[0],
        after=told[1],
    )
    if any(stored):
        undo.keep(number, *stored)
    ctx.noted.append(number)


def _differing(before: State, after: State) -> tuple[State, State]:
    keys = [key for key in {**before, **after} if before.get(key) != after.get(key)]
    return (
        {key: before[key] for key in keys if key in before},
        {key: after[key] for key in keys if key in after},
    )


def town_changed(everything: bool = False) -> None:
    """Ask for the town's card anew, or for all cards; inside the changing transaction."""
    derived.mark_stale(assess.all_keys() if everything else [TOWN])


def planters_changed(planter_ids: Iterable[str]) -> None:
    """Ask for these planters' cards anew; inside the changing transaction."""
    derived.mark_stale(planter_ids)


def follow_up(ctx: Context) -> None:
    """After the commit: make the cards anew that were asked for.

    A change that is part of a larger one leaves this to the larger one's end.
    """
    if not is_writing():
        assess.assess_stale(ctx)
