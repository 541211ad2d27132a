"""What only an undo asks of the store: changes and what was kept of them, and rows put back.

The list of changes stands in `register.py`; here are the ways into it that an undo needs.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime
from typing import Any

from potrounds.store import tables
from potrounds.store.register import Change
from potrounds.store.rows import as_dataclass
from potrounds.store.tables_place import SitingCheck
from potrounds.store.tables_undo import ChangeKept

State = dict[str, Any]


# --- changes -------------------------------------------------------------------------------------


def keep(number: int, before: State, after: State) -> None:
    """Keep a change's values as they were stored, beside its line in the list."""
    ChangeKept.create(change=number, before=before, after=after)


def kept(numbers: Iterable[int]) -> dict[int, tuple[State, State]]:
    """What was kept of these changes, before and after; changes that say it all have nothing."""
    rows = ChangeKept.select().where(ChangeKept.change.in_(list(numbers)))
    return {row.__data__["change"]: (row.before, row.after) for row in rows}


def change(number: int) -> Change:
    """One change. Raises: LookupError."""
    return as_dataclass(Change, tables.Change.get_or_none(tables.Change.id == number))


def made_with(one: Change) -> list[Change]:
    """All changes of one act, in the order they were made."""
    if one.act is None:
        return [one]
    query = tables.Change.select().where(tables.Change.act == one.act).order_by(tables.Change.id)
    return [as_dataclass(Change, row) for row in query]


def later(ref: str, number: int) -> list[Change]:
    """The changes to one thing after a change, oldest first."""
    row = tables.Change
    query = row.select().where(row.ref == ref, row.id > number).order_by(row.id)
    return [as_dataclass(Change, one) for one in query]


def undone() -> dict[int, Change]:
    """The acts that stand undone, each with the change that took it back.

    An undo that was itself taken back counts no more.
    """
    query = tables.Change.select().where(tables.Change.undoes.is_null(False))
    found: dict[int, Change] = {}
    for row in query.order_by(tables.Change.id):
        one = as_dataclass(Change, row)
        found[one.undoes or 0] = one
    gone: set[int] = set()
    for one in sorted(found.values(), key=lambda one: -one.id):
        if one.act not in gone:
            gone.add(one.undoes or 0)
    return {act: one for act, one in found.items() if act in gone}


def members(acts: Iterable[int]) -> dict[int, int]:
    """How many changes belong to each act."""
    row = tables.Change
    counted = row.select(row.act, row.id).where(row.act.in_(list(acts))).tuples()
    found: dict[int, int] = {}
    for act, _ in counted:
        found[act] = found.get(act, 0) + 1
    return found


def changes(oldest_first: bool = False) -> Iterator[Change]:
    """All changes, one at a time, the newest first unless told otherwise."""
    number = tables.Change.id
    query = tables.Change.select().order_by(number.asc() if oldest_first else number.desc())
    return (as_dataclass(Change, row) for row in query.iterator())


# --- rows put back, or taken away again ----------------------------------------------------------


def remove_site(site_id: str) -> None:
    """A site that was added by mistake."""
    tables.Site.delete().where(tables.Site.id == site_id).execute()


def remove_planter(planter_id: str) -> None:
    """A planter that was added by mistake, with its tags and plantings."""
    tables.Planter.delete().where(tables.Planter.id == planter_id).execute()


def is_recorded(planter_id: str) -> bool:
    """Whether anything was ever recorded at a planter, held records included."""
    return any(
        table.select().where(table.planter == planter_id).exists()
        for table in (tables.LogEntry, tables.Held)
    )


def reinstate_tag(code: str) -> None:
    """A retired code is the planter's current one again."""
    tables.Tag.update(retired_at=None, reason="").where(tables.Tag.code == code).execute()


def remove_planting(planter_id: str, planted_on: date) -> None:
    """Take a planting away."""
    tables.Planting.delete().where(
        tables.Planting.planter == planter_id, tables.Planting.planted_on == planted_on
    ).execute()


def remove_check(planter_id: str, at: datetime) -> None:
    """Take a siting check away; the list of changes keeps what it said."""
    SitingCheck.delete().where(SitingCheck.planter == planter_id, SitingCheck.at == at).execute()


def remove_person(person_id: str) -> None:
    """A person who was added by mistake."""
    tables.Person.delete().where(tables.Person.id == person_id).execute()


def has_left_traces(person_id: str) -> bool:
    """Whether a person ever joined, recorded or changed anything."""
    asked = (
        (tables.Phone, tables.Phone.person),
        (tables.LogEntry, tables.LogEntry.author),
        (tables.Held, tables.Held.author),
        (tables.Change, tables.Change.by),
        (tables.Invite, tables.Invite.for_person),
    )
    return any(table.select().where(column == person_id).exists() for table, column in asked)


def remove_day(day: date) -> None:
    """Take a day's weather as it was away."""
    row = tables.Weather
    row.delete().where(row.kind == "observed", row.date == day).execute()
