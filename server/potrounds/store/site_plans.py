"""Plan pictures: one a site and one for the town. The picture itself lies among the photos."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from potrounds.store.rows import as_dataclass
from potrounds.store.tables_place import SitePlan


@dataclass(frozen=True)
class Plan:
    """A plan picture as it lies on disk, `width` by `height` pixels, and the points on it."""

    scope: str
    photo: str
    width: int
    height: int
    points: list[dict[str, Any]]
    at: datetime
    by: str | None
    version: int


def plans() -> list[Plan]:
    """All plan pictures, by site."""
    return [as_dataclass(Plan, row) for row in SitePlan.select().order_by(SitePlan.scope)]


def plan(scope: str) -> Plan | None:
    """The plan picture of a site, or of the town."""
    row = SitePlan.get_or_none(SitePlan.scope == scope)
    return as_dataclass(Plan, row) if row else None


def put(scope: str, values: dict[str, Any]) -> None:
    """A new plan picture, or other values of the one that is there; its version counts up."""
    changed = SitePlan.update(version=SitePlan.version + 1, **values).where(SitePlan.scope == scope)
    if not changed.execute():
        SitePlan.create(scope=scope, **values)


def remove(scope: str) -> None:
    """Forget a plan picture; its bytes stay among the photos, as an archive may name them."""
    SitePlan.delete().where(SitePlan.scope == scope).execute()
