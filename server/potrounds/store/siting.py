"""Siting checks: what was measured around a planter, by whom and when; only ever added to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from potrounds.store.rows import as_dataclass
from potrounds.store.tables_place import SitingCheck


@dataclass(frozen=True)
class Check:
    """One siting check."""

    planter: str
    at: datetime
    by: str | None
    facts: dict[str, Any]


def add(planter_id: str, at: datetime, by: str | None, facts: dict[str, Any]) -> None:
    """A new check."""
    SitingCheck.create(planter=planter_id, at=at, by=by, facts=facts)


def checks(planter_ids: Iterable[str] | None = None) -> dict[str, list[Check]]:
    """Each planter's checks, oldest first."""
    query = SitingCheck.select().order_by(SitingCheck.at, SitingCheck.id)
    if planter_ids is not None:
        query = query.where(SitingCheck.planter.in_(list(planter_ids)))
    found: dict[str, list[Check]] = {}
    for row in query:
        found.setdefault(row.__data__["planter"], []).append(as_dataclass(Check, row))
    return found
