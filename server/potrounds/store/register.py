"""The register: sites, planters, tags, plantings, settings, nights, and the list of its changes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from datetime import date as Day
from typing import Any

from potrounds.store import tables
from potrounds.store.database import in_mind
from potrounds.store.rows import as_dataclass, name_key


@dataclass(frozen=True)
class Site:
    """A place with planters, and the day its first freeze is usual."""

    id: str
    name: str
    freeze_on: date | None
    version: int


@dataclass(frozen=True)
class Planter:
    """A planter's own columns."""

    id: str
    name: str
    site: str
    size: str
    shape: str | None
    reservoir_l: float
    gauge: str
    status: str
    installed_on: date | None
    weight_moist_kg: float | None
    weight_full_kg: float | None
    picture: str | None
    mix_l: float | None
    top_area_m2: float | None
    canopy_m2: float | None
    sun: str
    wind: str
    rain_reaches: bool | None
    lat: float | None
    lon: float | None
    notes: str
    version: int


@dataclass(frozen=True)
class Tag:
    """A printed code and the planter it belongs or belonged to."""

    code: str
    planter: str
    issued_at: datetime
    retired_at: datetime | None
    reason: str


@dataclass(frozen=True)
class Planting:
    """What grows in a planter from a day on."""

    planter: str
    planted_on: date
    plants: list[str]
    scheme: str


@dataclass(frozen=True)
class Night:
    """A night's low."""

    date: Day
    kind: str
    low_c: float
    known_on: Day | None


@dataclass(frozen=True)
class Change:
    """One change to the register. `act` is the number of the first of those made together."""

    id: int
    at: datetime
    by: str | None
    what: str
    ref: str
    name: str
    before: dict[str, Any]
    after: dict[str, Any]
    act: int | None
    undoes: int | None


# --- settings ------------------------------------------------------------------------------------


def settings() -> dict[str, Any]:
    """All settings that are set."""
    return {row.name: row.value for row in tables.Setting.select()}


def setting(name: str, default: Any = None) -> Any:
    """One setting."""
    row = tables.Setting.get_or_none(tables.Setting.name == name)
    return default if row is None else row.value


def set_setting(name: str, value: Any) -> None:
    """Set one setting."""
    tables.Setting.insert(name=name, value=value).on_conflict(
        conflict_target=[tables.Setting.name], update={tables.Setting.value: value}
    ).execute()


# --- sites ---------------------------------------------------------------------------------------


def site(site_id: str) -> Site:
    """One site. Raises: LookupError."""
    return as_dataclass(Site, tables.Site.get_or_none(tables.Site.id == site_id))


def sites() -> list[Site]:
    """All sites by name."""
    query = tables.Site.select().order_by(tables.Site.name_key)
    return [as_dataclass(Site, row) for row in query]


def add_site(site_id: str, name: str, freeze_on: date | None) -> Site:
    """A new site."""
    tables.Site.create(id=site_id, name=name, name_key=name_key(name), freeze_on=freeze_on)
    return site(site_id)


def change_site(site_id: str, values: dict[str, Any]) -> Site:
    """Write some columns of a site and count its version up."""
    _write(tables.Site, site_id, values)
    return site(site_id)


# --- planters ------------------------------------------------------------------------------------


def planter(planter_id: str) -> Planter:
    """One planter. Raises: LookupError."""
    return as_dataclass(Planter, tables.Planter.get_or_none(tables.Planter.id == planter_id))


def planters(planter_ids: Iterable[str] | None = None) -> list[Planter]:
    """All planters, or some, by name."""
    query = tables.Planter.select().order_by(tables.Planter.name_key)
    if planter_ids is not None:
        query = query.where(tables.Planter.id.in_(list(planter_ids)))
    return [as_dataclass(Planter, row) for row in query]


def planter_exists(planter_id: str) -> bool:
    """Whether the register knows this planter."""
    return bool(tables.Planter.select().where(tables.Planter.id == planter_id).exists())


def add_planter(planter_id: str, values: dict[str, Any], made_at: datetime) -> Planter:
    """A new planter."""
    tables.Planter.create(
        id=planter_id, name_key=name_key(values["name"]), made_at=made_at, **values
    )
    return planter(planter_id)


def change_planter(planter_id: str, values: dict[str, Any]) -> Planter:
    """Write some columns of a planter and count its version up."""
    _write(tables.Planter, planter_id, values)
    return planter(planter_id)


def touch_planter(planter_id: str) -> None:
    """Count a planter's version up: its tag or planting changed."""
    _write(tables.Planter, planter_id, {})


def _write(table: Any, key: str, values: dict[str, Any]) -> None:
    if "name" in values:
        values = {**values, "name_key": name_key(values["name"])}
    table.update(version=table.version + 1, **values).where(table.id == key).execute()


# --- tags and plantings --------------------------------------------------------------------------


def tag(code: str) -> Tag | None:
    """The tag with this code, current or retired."""
    row = tables.Tag.get_or_none(tables.Tag.code == code)
    return as_dataclass(Tag, row) if row else None


def tags(planter_ids: Iterable[str] | None = None) -> dict[str, list[Tag]]:
    """Each planter's tags, oldest first."""
    query = tables.Tag.select().order_by(tables.Tag.issued_at, tables.Tag.code)
    if planter_ids is not None:
        query = query.where(tables.Tag.planter.in_(list(planter_ids)))
    found: dict[str, list[Tag]] = {}
    for row in query:
        found.setdefault(row.__data__["planter"], []).append(as_dataclass(Tag, row))
    return found


def issue_tag(
    code: str, planter_id: str, at: datetime, retired_at: datetime | None = None, reason: str = ""
) -> None:
    """A new tag for a planter."""
    tables.Tag.create(
        code=code, planter=planter_id, issued_at=at, retired_at=retired_at, reason=reason
    )


def retire_tags(planter_id: str, at: datetime, reason: str) -> None:
    """Retire a planter's current tags; they go on pointing at it."""
    tables.Tag.update(retired_at=at, reason=reason).where(
        tables.Tag.planter == planter_id, tables.Tag.retired_at.is_null()
    ).execute()


def plantings(planter_ids: Iterable[str] | None = None) -> dict[str, list[Planting]]:
    """Each planter's plantings, oldest first."""
    query = tables.Planting.select().order_by(tables.Planting.planted_on, tables.Planting.id)
    if planter_ids is not None:
        query = query.where(tables.Planting.planter.in_(list(planter_ids)))
    found: dict[str, list[Planting]] = {}
    for row in query:
        found.setdefault(row.__data__["planter"], []).append(as_dataclass(Planting, row))
    return found


def add_planting(planter_id: str, planted_on: date, plants: list[str], scheme: str) -> None:
    """A new planting; one of the same day replaces the earlier."""
    tables.Planting.delete().where(
        tables.Planting.planter == planter_id, tables.Planting.planted_on == planted_on
    ).execute()
    tables.Planting.create(planter=planter_id, planted_on=planted_on, plants=plants, scheme=scheme)


# --- nights --------------------------------------------------------------------------------------


def nights() -> list[Night]:
    """All nights by date."""
    query = tables.Night.select().order_by(tables.Night.date, tables.Night.kind)
    return [as_dataclass(Night, row) for row in query]


def put_night(day: date, kind: str, low_c: float | None, known_on: date | None) -> None:
    """Set or, without a low, remove one night's low. The same low keeps the day it was known."""
    same = (tables.Night.date == day) & (tables.Night.kind == kind)
    row = tables.Night.get_or_none(same)
    if row is not None and row.low_c == low_c:
        return
    tables.Night.delete().where(same).execute()
    if low_c is not None:
        tables.Night.create(date=day, kind=kind, low_c=low_c, known_on=known_on)


# --- changes -------------------------------------------------------------------------------------


def note_change(
    at: datetime,
    by: str | None,
    what: str,
    ref: str,
    name: str,
    before: dict[str, Any],
    after: dict[str, Any],
) -> int:
    """Write down who changed what, from what to what; return the change's number."""
    mind = in_mind()
    told = {"what": what, "ref": ref, "name": name, "before": before, "after": after}
    row = tables.Change.create(at=at, by=by, undoes=mind.get("undoes"), **told)
    act = mind.setdefault("act", row.id)
    tables.Change.update(act=act).where(tables.Change.id == row.id).execute()
    return int(row.id)


def last_changes(limit: int) -> list[Change]:
    """The latest changes, newest first."""
    query = tables.Change.select().order_by(tables.Change.id.desc()).limit(limit)
    return [as_dataclass(Change, row) for row in query]


def changes_of(*refs: str) -> list[Change]:
    """All changes to one or more things, oldest first."""
    query = tables.Change.select().where(tables.Change.ref.in_(refs)).order_by(tables.Change.id)
    return [as_dataclass(Change, row) for row in query]


def change_count() -> int:
    """How many changes there have been: the register's version."""
    return int(tables.Change.select().count())
