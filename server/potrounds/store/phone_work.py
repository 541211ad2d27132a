"""What phones said they hold, gaps somebody has answered for, and last looks at the review."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from peewee import fn

from potrounds.store.rows import as_dataclass
from potrounds.store.tables import Held, LogEntry
from potrounds.store.tables_review import GapSettled
from potrounds.store.tables_review import LookedAt as LookedRow
from potrounds.store.tables_review import PhoneSaid as SaidRow


@dataclass(frozen=True)
class PhoneSaid:
    """What a phone last said of its outbox."""

    device: str
    n_max: int | None
    unsent: int | None
    photos: int
    since: datetime | None
    at: datetime


@dataclass(frozen=True)
class LookedAt:
    """The flags as somebody last left the review."""

    person: str
    at: datetime
    seen: list[dict[str, Any]]


def said() -> dict[str, PhoneSaid]:
    """What every phone last said."""
    return {row.device: as_dataclass(PhoneSaid, row) for row in SaidRow.select()}


def said_by(device: str) -> PhoneSaid | None:
    """What one phone last said."""
    row = SaidRow.get_or_none(SaidRow.device == device)
    return as_dataclass(PhoneSaid, row) if row else None


def keep_said(said: PhoneSaid) -> None:
    """Keep what a phone says now in place of what it said before."""
    values = asdict(said)
    SaidRow.insert(**values).on_conflict(conflict_target=[SaidRow.device], update=values).execute()


def numbers() -> dict[str, set[int]]:
    """For each device the numbers of its records that arrived, held ones included."""
    found: dict[str, set[int]] = {}
    for table in (LogEntry, Held):
        for device, n in table.select(table.device, table.n).tuples():
            found.setdefault(device, set()).add(n)
    return found


def last_arrivals() -> dict[str, datetime]:
    """When the last record of each device arrived."""
    found: dict[str, datetime] = {}
    for table in (LogEntry, Held):
        last = fn.MAX(table.received_at).alias("received_at")
        for row in table.select(table.device, last).group_by(table.device):
            found[row.device] = max(row.received_at, found.get(row.device, row.received_at))
    return found


def settled() -> dict[str, list[tuple[int, int]]]:
    """For each device the spans of numbers somebody has answered for."""
    found: dict[str, list[tuple[int, int]]] = {}
    for row in GapSettled.select().order_by(GapSettled.id):
        found.setdefault(row.device, []).append((row.first, row.last))
    return found


def settle(device: str, spans: Iterable[tuple[int, int]], at: datetime, by: str | None) -> None:
    """Note that somebody has answered for these numbers."""
    for first, last in spans:
        GapSettled.create(device=device, first=first, last=last, at=at, by=by)


def looked(person: str) -> LookedAt | None:
    """The flags as this person last left the review."""
    row = LookedRow.get_or_none(LookedRow.person == person)
    return as_dataclass(LookedAt, row) if row else None


def keep_looked(person: str, at: datetime, seen: list[dict[str, Any]]) -> None:
    """Keep the flags as this person leaves the review now."""
    values = {"at": at, "seen": seen}
    LookedRow.insert(person=person, **values).on_conflict(
        conflict_target=[LookedRow.person], update=values
    ).execute()
