"""A change to the register is taken back by a new change, which says by whom and when.

What was made in one act (a swap, a table of planters) goes back together. Where a thing was edited
since, what stands there now is shown first, and is overwritten only when that was said; it stays in
the list of changes like everything else, so this too can be undone. Looking does the very undo
and gives it up again, so that what is promised is what happens.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from potrounds.services import changes
from potrounds.services.changes_view import public_changes
from potrounds.services.context import Context
from potrounds.services.moments import stamp
from potrounds.services.refusal import Refusal, not_found
from potrounds.services.undo_people import WAYS as OF_PEOPLE
from potrounds.services.undo_register import WAYS as OF_REGISTER
from potrounds.services.undo_town import WAYS as OF_TOWN
from potrounds.services.undo_way import State, Way, stays
from potrounds.store import people
from potrounds.store import undo as store
from potrounds.store.database import in_mind, write_transaction
from potrounds.store.register import Change

WAYS: dict[str, Way] = {**OF_REGISTER, **OF_PEOPLE, **OF_TOWN}
#: Kinds of change that have no way back here, and what to do instead.
NEVER: dict[str, str] = {
    "visits": (
        "Visits are records, and no record is ever taken away. Put each right, or withdraw it, on "
        "its planter's page."
    ),
    "outbox-file": (
        "What came in with the file are records, and no record is ever taken away. Put each right, "
        "or withdraw it, on its planter's page."
    ),
    "rounds": "People have been told. Plan again under Rounds, and tell them the new plan.",
    "season": (
        "A season has its own way back: under Seasons it is closed, or opened again with a reason."
    ),
}
UNKNOWN = "This kind of change has no way back yet. Put it right by hand."
NOT_KEPT = (
    "This was changed before the earlier values were kept, so they are not there to be put back. "
    "Put it right by hand."
)


@dataclass
class Look:
    """What an undo would do: what it would overwrite, or why it cannot be."""

    why_not: str | None = None
    in_the_way: list[State] = field(default_factory=list)

    def mark(self) -> str:
        """Changes when the answer does, so that nobody undoes what they did not see."""
        told = json.dumps([self.why_not, self.in_the_way], sort_keys=True, ensure_ascii=False)
        return hashlib.sha256(told.encode()).hexdigest()[:24]


class _GiveUp(Exception):
    """Rolls back an undo that was only tried."""


@contextmanager
def _given_up() -> Iterator[None]:
    try:
        with write_transaction():
            yield
            raise _GiveUp
    except _GiveUp:
        pass


def look(ctx: Context, number: int) -> dict[str, Any]:
    """What undoing a change would do, without doing it. Raises: Refusal 404."""
    act, noted = _act(number), len(ctx.noted)
    with _given_up():
        found = _take_back(ctx, act)
    del ctx.noted[noted:]
    return {
        "number": act[0].id,
        "changes": public_changes(act),
        "possible": found.why_not is None,
        "why_not": found.why_not,
        "in_the_way": found.in_the_way,
        "mark": found.mark(),
    }


def undo(ctx: Context, number: int, mark: str, overwrite: bool) -> dict[str, Any]:
    """Take a change back, and all that was made with it.

    Raises: Refusal 404; 409 when it cannot be, or when something edited since would be overwritten
        and that was not said; 412 when the answer is another than the one that was looked at.
    """
    act, noted = _act(number), len(ctx.noted)
    with write_transaction():
        in_mind()["undoes"] = act[0].act or act[0].id
        found = _take_back(ctx, act)
        if found.mark() != mark:
            detail = "Something has changed since you looked. Look again, then undo."
            raise Refusal(412, "stale-version", "Changed in the meantime", detail)
        if found.why_not:
            raise stays(found.why_not)
        if found.in_the_way and not overwrite:
            faults = [("/overwrite", _sentence(one)) for one in found.in_the_way]
            detail = "Undoing would overwrite what was edited since. Say so, or leave it."
            raise Refusal(409, "edited-since", "Edited since", detail, faults)
    changes.follow_up(ctx)
    return {"changes": public_changes(store.change(one) for one in ctx.noted[noted:])}


def _sentence(one: State) -> str:
    when = f", changed by {one['by']}" if one["by"] else ""
    return f"{one['name']}: {one['key'].replace('_', ' ')} is {one['now'][one['key']]}{when}."


def _act(number: int) -> list[Change]:
    try:
        return store.made_with(store.change(number))
    except LookupError:
        raise not_found("change") from None


def never(change: Change) -> str | None:
    """Why a change of this kind is never undone here, whatever it says; None where it may be."""
    if change.what in WAYS:
        return None
    return NEVER.get(change.what, UNKNOWN)


# --- taking back ---------------------------------------------------------------------------------


def _take_back(ctx: Context, act: list[Change]) -> Look:
    """Put back every change of an act, the last first, inside a transaction of the caller's."""
    found = Look()
    undone = store.undone().get(act[0].act or act[0].id)
    if undone is not None:
        names = {one.id: one.name for one in people.people()}
        who = names.get(undone.by or "", "the server")
        found.why_not = f"It was undone already, by {who}. Undo that change to have it again."
        return found
    kept = store.kept(one.id for one in act)
    moved = False
    for change in reversed(act):
        before, after = kept.get(change.id, (change.before, change.after))
        try:
            moved |= _put_back(ctx, change, before, after, change.id in kept, found)
        except Refusal as refusal:
            found.why_not = refusal.errors[0][1] if refusal.errors else refusal.detail
        if found.why_not:
            return found
    if not moved:
        found.why_not = "It is as it was before already: there is nothing to put back."
    return found


def _put_back(
    ctx: Context, change: Change, before: State, after: State, is_kept: bool, found: Look
) -> bool:
    """Put one change back; return whether that moves anything."""
    way = WAYS.get(change.what)
    if way is None:
        found.why_not = never(change)
        return False
    found.why_not = way.against(ctx, change, before, after)
    if found.why_not is None and way.kept_only and not is_kept:
        found.why_not = NOT_KEPT
    if found.why_not:
        return False
    now = _plain(way.now(change.ref))
    if way.removes(before, after):
        return _bring(ctx, way, change, before, now, found)
    if now is None:
        found.why_not = f"{change.name} is not in the register any more: bring it back first."
        return False
    touched = way.touched(before, after)
    _compare(way, change, (touched, before, after), now, found)
    if way.adds(before, after):
        way.remove(ctx, change.ref)
        return True
    wanted = {key: before.get(key) for key in touched}
    if all(way.same(key, now.get(key), value) for key, value in wanted.items()):
        return False
    found.in_the_way += way.overrun(change.ref, wanted)
    way.put(ctx, change.ref, wanted)
    return True


def _bring(
    ctx: Context, way: Way, change: Change, before: State, now: State | None, found: Look
) -> bool:
    if now is not None:
        found.why_not = f"{change.name} is in the register again already."
        return False
    found.in_the_way += way.overrun(change.ref, before)
    way.add(ctx, change.ref, before)
    return True


def _compare(
    way: Way, change: Change, values: tuple[list[str], State, State], now: State, found: Look
) -> None:
    """Note what was edited since: what stands there now, what would stand there, and by whom."""
    touched, before, after = values
    expected = [after] if way.adds(before, after) else [after, before]
    edited = [
        key
        for key in touched
        if not any(way.same(key, now.get(key), one.get(key)) for one in expected)
    ]
    if not edited:
        return
    later = [
        one
        for one in store.later(change.ref, change.id)
        if one.what == change.what and one.act != in_mind().get("act")
    ]
    kept = store.kept(one.id for one in later)
    names = {one.id: one.name for one in people.people()}
    for key in edited:
        last = _last_at(later, kept, key, way.touched)
        found.in_the_way.append(
            {
                "what": change.what,
                "name": change.name,
                "key": key,
                "now": {key: way.say(key, now.get(key))},
                "back": {key: way.say(key, before.get(key))},
                "number": last.id if last else None,
                "by": names.get(last.by or "", "the server") if last else None,
                "at": stamp(last.at) if last else None,
            }
        )


def _last_at(
    later: list[Change],
    kept: dict[int, tuple[State, State]],
    key: str,
    touched: Callable[[State, State], list[str]],
) -> Change | None:
    """The latest change to this very value."""
    for one in reversed(later):
        if key in touched(*kept.get(one.id, (one.before, one.after))):
            return one
    return None


def _plain(state: State | None) -> State | None:
    """A state as the list of changes keeps it."""
    return None if state is None else json.loads(json.dumps(state))
