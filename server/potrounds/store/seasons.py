"""Editions of the lists and closed seasons, read and written."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from potrounds.domain.step_lists import Step
from potrounds.store.rows import as_dataclass
from potrounds.store.tables import LogEntry
from potrounds.store.tables_season import ClosedSeason as ClosedRow
from potrounds.store.tables_season import ListEdition


@dataclass(frozen=True)
class StoredEdition:
    """A list as somebody left it; the town's day of it is for the town to say."""

    list: str
    at: datetime
    by: str | None
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class ClosedSeason:
    """A closing of a season. `closed_seq`: the last record that was counted."""

    year: int
    closed_at: datetime
    closed_by: str | None
    closed_seq: int
    summary: dict[str, Any]
    reopened_at: datetime | None
    reopened_by: str | None
    reason: str


@dataclass(frozen=True)
class LateRecord:
    """A record that came after a number had been taken."""

    id: str
    kind: str
    planter: str
    author: str | None
    text: str
    observed_at: datetime
    received_at: datetime


def editions() -> list[StoredEdition]:
    """All editions, oldest first."""
    query = ListEdition.select().order_by(ListEdition.at, ListEdition.id)
    return [StoredEdition(row.list, row.at, row.by, _steps(row.steps)) for row in query]


def edition_count(list_name: str) -> int:
    """How often a list was edited: its version."""
    return int(ListEdition.select().where(ListEdition.list == list_name).count())


def add_edition(list_name: str, at: datetime, by: str | None, steps: tuple[Step, ...]) -> None:
    """A list as it is from now on."""
    ListEdition.create(list=list_name, at=at, by=by, steps=[asdict(step) for step in steps])


def _steps(rows: list[dict[str, Any]]) -> tuple[Step, ...]:
    return tuple(Step(**{**row, "which": tuple(row["which"])}) for row in rows)


def closed(year: int) -> ClosedSeason | None:
    """The last closing of a season."""
    row = ClosedRow.get_or_none(ClosedRow.year == year)
    return as_dataclass(ClosedSeason, row) if row else None


def all_closed() -> list[ClosedSeason]:
    """Every season that was ever closed, the newest first."""
    query = ClosedRow.select().order_by(ClosedRow.year.desc())
    return [as_dataclass(ClosedSeason, row) for row in query]


def close(year: int, values: dict[str, Any]) -> None:
    """Keep a closing; one of the same season that was reopened gives way to it."""
    ClosedRow.delete().where(ClosedRow.year == year).execute()
    ClosedRow.create(year=year, **values)


def reopen(year: int, at: datetime, by: str | None, reason: str) -> None:
    """Note that a closed season is open again."""
    ClosedRow.update(reopened_at=at, reopened_by=by, reason=reason).where(
        ClosedRow.year == year
    ).execute()


def after(seq: int) -> list[LateRecord]:
    """Records that came after a number."""
    query = LogEntry.select().where(LogEntry.seq > seq).order_by(LogEntry.seq)
    names = LateRecord.__dataclass_fields__
    return [LateRecord(**{name: getattr(row, name) for name in names}) for row in query]
