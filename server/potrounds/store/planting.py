"""Reads and writes what planting day rests on: sizes, schemes, who gets which, assets."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from peewee import Model

from potrounds.domain.planting import Asset, PlanterSize, Scheme, SchemePlant
from potrounds.store import tables_plan as tables
from potrounds.store.rows import as_dataclass, name_key


def sizes() -> list[PlanterSize]:
    """All sizes, small to large by their name and shape."""
    query = tables.PlanterSize.select().order_by(
        tables.PlanterSize.reservoir_l, tables.PlanterSize.name_key, tables.PlanterSize.shape
    )
    return [as_dataclass(PlanterSize, row) for row in query]


def size(size_id: str) -> PlanterSize:
    """One size. Raises: LookupError."""
    found = tables.PlanterSize.get_or_none(tables.PlanterSize.id == size_id)
    return as_dataclass(PlanterSize, found)


def put_size(size_id: str, values: dict[str, Any]) -> PlanterSize:
    """Write a size, new or changed."""
    values = {**values, "name_key": name_key(values["name"])}
    _put(tables.PlanterSize, tables.PlanterSize.id == size_id, {"id": size_id}, values)
    return size(size_id)


def drop_size(size_id: str) -> None:
    """Take a size off the register; planters keep its name."""
    tables.PlanterSize.delete().where(tables.PlanterSize.id == size_id).execute()


def schemes() -> list[Scheme]:
    """All schemes by name."""
    return [_scheme(row) for row in tables.Scheme.select().order_by(tables.Scheme.name_key)]


def scheme(scheme_id: str) -> Scheme:
    """One scheme. Raises: LookupError."""
    return _scheme(tables.Scheme.get_or_none(tables.Scheme.id == scheme_id))


def put_scheme(scheme_id: str, name: str, plants: list[dict[str, Any]]) -> Scheme:
    """Write a scheme, new or changed."""
    values = {"name": name, "name_key": name_key(name), "plants": plants}
    _put(tables.Scheme, tables.Scheme.id == scheme_id, {"id": scheme_id}, values)
    return scheme(scheme_id)


def drop_scheme(scheme_id: str) -> None:
    """Take a scheme off the register, and off the planters that were to get it."""
    planned = tables.PlannedPlanting
    planned.delete().where(planned.scheme == scheme_id).execute()
    tables.Scheme.delete().where(tables.Scheme.id == scheme_id).execute()


def _scheme(row: Model | None) -> Scheme:
    if row is None:
        raise LookupError("no such scheme")
    told = row.__data__
    plants = tuple(SchemePlant(**plant) for plant in told["plants"])
    return Scheme(told["id"], told["name"], plants, told["version"])


def planned() -> dict[str, str]:
    """Scheme ids by planter id."""
    rows = tables.PlannedPlanting.select()
    return {row.__data__["planter"]: row.__data__["scheme"] for row in rows}


def plan_for(scheme_id: str, planter_ids: Iterable[str]) -> None:
    """Give these planters this scheme, and take it off all others."""
    table = tables.PlannedPlanting
    wanted = list(dict.fromkeys(planter_ids))
    table.delete().where(table.planter.in_(wanted) | (table.scheme == scheme_id)).execute()
    for planter_id in wanted:
        table.create(planter=planter_id, scheme=scheme_id)


def assets() -> dict[str, Asset]:
    """Assets by planter id, of the planters that have such notes."""
    found = [as_dataclass(Asset, row) for row in tables.Asset.select()]
    return {one.planter: one for one in found}


def put_asset(planter_id: str, values: dict[str, Any]) -> Asset:
    """Write what is kept of a planter as an asset."""
    _put(tables.Asset, tables.Asset.planter == planter_id, {"planter": planter_id}, values)
    return assets()[planter_id]


def _put(table: Any, own: Any, key: dict[str, Any], values: dict[str, Any]) -> None:
    """Change the row and count its version up, or make it."""
    if not table.update(version=table.version + 1, **values).where(own).execute():
        table.create(**key, **values)
