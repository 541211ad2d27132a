"""Taps, crew, ways paced out, rounds as they were told, links of calendars."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from potrounds.store import tables_rounds as tables
from potrounds.store.rows import as_dataclass, name_key


@dataclass(frozen=True)
class Tap:
    """A tap's own columns."""

    id: str
    name: str
    site: str | None
    lat: float | None
    lon: float | None
    flow_l_min: float | None
    vacuum_breaker: str
    opens: str
    notes: str
    version: int


@dataclass(frozen=True)
class Crew:
    """How a person goes out."""

    person: str
    weekdays: list[int]
    minutes: int
    mode: str
    tank_l: float | None
    start_tap: str | None
    away: list[str]
    version: int


@dataclass(frozen=True)
class ToldRound:
    """A round as it was told."""

    key: str
    day: date
    person: str
    plan: dict[str, Any]
    told_at: datetime
    told_by: str | None


@dataclass(frozen=True)
class CalendarLink:
    """An address of the calendar, without its secret."""

    id: str
    name: str
    person: str | None
    made_at: datetime
    made_by: str | None
    revoked_at: datetime | None


# --- taps ----------------------------------------------------------------------------------------


def taps() -> list[Tap]:
    """All taps, by name."""
    return [as_dataclass(Tap, row) for row in tables.Tap.select().order_by(tables.Tap.name_key)]


def tap(tap_id: str) -> Tap | None:
    """One tap."""
    row = tables.Tap.get_or_none(tables.Tap.id == tap_id)
    return as_dataclass(Tap, row) if row else None


def add_tap(tap_id: str, values: dict[str, Any]) -> None:
    """A new tap."""
    tables.Tap.create(id=tap_id, name_key=name_key(values["name"]), **values)


def change_tap(tap_id: str, values: dict[str, Any]) -> None:
    """Write some columns of a tap and count its version up."""
    if "name" in values:
        values = {**values, "name_key": name_key(values["name"])}
    tables.Tap.update(version=tables.Tap.version + 1, **values).where(
        tables.Tap.id == tap_id
    ).execute()


def remove_tap(tap_id: str) -> None:
    """A tap that is no more; whoever began there begins elsewhere."""
    tables.Crew.update(start_tap=None).where(tables.Crew.start_tap == tap_id).execute()
    tables.PacedWay.delete().where(
        (tables.PacedWay.one == tap_id) | (tables.PacedWay.other == tap_id)
    ).execute()
    tables.Tap.delete().where(tables.Tap.id == tap_id).execute()


# --- crew ----------------------------------------------------------------------------------------


def crew() -> list[Crew]:
    """Everybody who goes out, by person."""
    return [as_dataclass(Crew, row) for row in tables.Crew.select().order_by(tables.Crew.person)]


def member(person: str) -> Crew | None:
    """How one person goes out."""
    row = tables.Crew.get_or_none(tables.Crew.person == person)
    return as_dataclass(Crew, row) if row else None


def put_member(person: str, values: dict[str, Any]) -> None:
    """Set how a person goes out."""
    there = tables.Crew.get_or_none(tables.Crew.person == person)
    if there is None:
        tables.Crew.create(person=person, **values)
    else:
        tables.Crew.update(version=tables.Crew.version + 1, **values).where(
            tables.Crew.person == person
        ).execute()


def remove_member(person: str) -> None:
    """A person goes out no more; what they were told stays on record."""
    tables.Crew.delete().where(tables.Crew.person == person).execute()


# --- ways ----------------------------------------------------------------------------------------


def paced_ways() -> dict[tuple[str, str], float]:
    """Metres by pair of places, the smaller id first."""
    query = tables.PacedWay.select().order_by(tables.PacedWay.one, tables.PacedWay.other)
    return {(row.one, row.other): row.metres for row in query}


def put_way(one: str, other: str, metres: float | None) -> None:
    """Set, or without metres forget, the way between two places."""
    first, second = sorted((one, other))
    way = tables.PacedWay
    way.delete().where(way.one == first, way.other == second).execute()
    if metres is not None:
        way.create(one=first, other=second, metres=metres)


# --- rounds as told ------------------------------------------------------------------------------


def told(first: date, last: date = date.max) -> list[ToldRound]:
    """Rounds told for a span of days, by day and person."""
    row = tables.ToldRound
    query = row.select().where(row.day >= first, row.day <= last).order_by(row.day, row.person)
    return [as_dataclass(ToldRound, one) for one in query]


def tell(rounds: Iterable[ToldRound], days: Iterable[date]) -> None:
    """Replace what was told for some days."""
    tables.ToldRound.delete().where(tables.ToldRound.day.in_(list(days))).execute()
    for one in rounds:
        tables.ToldRound.create(**vars(one))


# --- calendar links ------------------------------------------------------------------------------


def links() -> list[CalendarLink]:
    """All links ever made, oldest first."""
    query = tables.CalendarLink.select().order_by(
        tables.CalendarLink.made_at, tables.CalendarLink.id
    )
    return [as_dataclass(CalendarLink, row) for row in query]


def link_with(secret: str) -> CalendarLink | None:
    """The link with this hashed secret that still works."""
    row = tables.CalendarLink.get_or_none(
        (tables.CalendarLink.secret == secret) & tables.CalendarLink.revoked_at.is_null()
    )
    return as_dataclass(CalendarLink, row) if row else None


def add_link(
    link_id: str, secret: str, name: str, person: str | None, made_at: datetime, by: str | None
) -> None:
    """A new link."""
    tables.CalendarLink.create(
        id=link_id, secret=secret, name=name, person=person, made_at=made_at, made_by=by
    )


def revoke_link(link_id: str, at: datetime) -> None:
    """Take a link back."""
    tables.CalendarLink.update(revoked_at=at).where(tables.CalendarLink.id == link_id).execute()
