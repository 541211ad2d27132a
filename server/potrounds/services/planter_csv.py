"""Planters from and to a CSV file, as a spreadsheet writes it. One wrong cell and nothing is added.

Columns, in any order (units are in the names; * must be there and filled in):
name*, site* (a site's name), size*, shape (round, square, rectangular), reservoir_l*, gauge (none,
float, dipstick, sight-tube), status (in-use, stored, retired, lost), installed_on (YYYY-MM-DD),
weight_moist_kg, weight_full_kg, mix_l, top_area_m2, canopy_m2, sun (full, part, shade), wind
(sheltered, open, windy), rain_reaches (yes, no), planted_on (YYYY-MM-DD), plants (with semicolons
between), notes, lat and lon (WGS 84 degrees, north and east positive).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from potrounds.domain.planter import GAUGES, SHAPES, STATUSES, SUNS, WINDS
from potrounds.services import changes
from potrounds.services.cells import (
    BadCell,
    day_of,
    degrees,
    number_in,
    one_of,
    short_text,
    yes_or_no,
)
from potrounds.services.context import Context
from potrounds.services.register import make_planter, planter_faults
from potrounds.services.register_view import public_planters
from potrounds.services.table_file import Errors, Row, note_fault, read_table, write_table
from potrounds.store import register
from potrounds.store.database import write_transaction
from potrounds.store.rows import name_key

COLUMNS = (
    "name",
    "site",
    "size",
    "shape",
    "reservoir_l",
    "gauge",
    "status",
    "installed_on",
    "weight_moist_kg",
    "weight_full_kg",
    "planted_on",
    "plants",
    "notes",
    "mix_l",
    "top_area_m2",
    "canopy_m2",
    "sun",
    "wind",
    "rain_reaches",
    "lat",
    "lon",
)
REQUIRED = ("name", "site", "size", "reservoir_l")
MOST_ROWS = 2000


def import_planters(ctx: Context, data: bytes, dry_run: bool) -> dict[str, Any]:
    """Add the planters of a file, or say what is wrong with every row of it.

    A dry run adds nothing; `created` then says how many would be.
    """
    errors: Errors = []
    rows = read_table(data, COLUMNS, REQUIRED, MOST_ROWS, errors)
    with write_transaction():
        bodies = [_body(row, errors) for row in rows]
        _judge_sense(rows, bodies, errors)
        created = 0 if errors else len(bodies)
        if created and not dry_run:
            changes.planters_changed([make_planter(ctx, body) for body in bodies])
    if created and not dry_run:
        changes.follow_up(ctx)
    return {"rows": len(rows), "created": created, "errors": errors}


def export_planters(ctx: Context) -> str:
    """All planters in the layout that can be read in again."""
    sites = {site.id: site.name for site in register.sites()}
    rows = []
    for planter in public_planters(register.planters()):
        planting = planter["planting"] or {"planted_on": None, "plants": []}
        values = {
            **planter,
            "site": sites[planter["site"]],
            "planted_on": planting["planted_on"],
            "plants": "; ".join(planting["plants"]),
        }
        rows.append([values[column] for column in COLUMNS])
    return write_table(COLUMNS, rows)


# --- reading the cells ---------------------------------------------------------------------------


def _body(row: Row, errors: Errors) -> dict[str, Any]:
    """A row as the body of a new planter; what cannot be read is noted and left out."""
    body: dict[str, Any] = {}
    for column in COLUMNS:
        cell = row.cells.get(column, "")
        if not cell and column in REQUIRED:
            note_fault(errors, row.line, column, "This has to be filled in.")
        if not cell:
            continue
        try:
            body[column] = READERS[column](cell)
        except BadCell as bad:
            note_fault(errors, row.line, column, str(bad))
    planted_on, plants = body.pop("planted_on", None), body.pop("plants", [])
    if planted_on or plants:
        body["planting"] = {"planted_on": planted_on, "plants": plants, "scheme": ""}
    return body


def _judge_sense(rows: list[Row], bodies: list[dict[str, Any]], errors: Errors) -> None:
    """What only the register can tell: sites that are not there, names used twice, weights.

    A row that could not be read is left out, so that its own fault is said alone.
    """
    wrong = {error["row"] for error in errors}
    readable = [
        (row, body) for row, body in zip(rows, bodies, strict=True) if row.line not in wrong
    ]
    sites = {name_key(site.name): site.id for site in register.sites()}
    for row, body in readable:
        found = sites.get(name_key(body["site"]))
        if found is None:
            note_fault(errors, row.line, "site", f"There is no site {body['site']}. Add it first.")
        body["site"] = found or ""
    for pointer, detail in planter_faults([body for _, body in readable]):
        _, _, index, column = pointer.split("/")
        if column != "site":
            note_fault(errors, readable[int(index)][0].line, column, detail)
    errors.sort(key=lambda error: int(error["row"]))


def _plants(cell: str) -> list[str]:
    plants = [plant.strip() for plant in cell.split(";") if plant.strip()]
    if len(plants) > 40 or any(len(plant) > 80 for plant in plants):
        raise BadCell("At most 40 plants of at most 80 characters, with semicolons between.")
    return plants


READERS: dict[str, Callable[[str], Any]] = {
    "name": short_text(80),
    "site": short_text(80),
    "size": short_text(40),
    "shape": one_of(SHAPES),
    "reservoir_l": number_in(0.1, 2000, "L"),
    "gauge": one_of(GAUGES),
    "status": one_of(STATUSES),
    "installed_on": day_of,
    "weight_moist_kg": number_in(0, 5000, "kg"),
    "weight_full_kg": number_in(0, 5000, "kg"),
    "mix_l": number_in(1, 5000, "L"),
    "top_area_m2": number_in(0.01, 20, "m²"),
    "canopy_m2": number_in(0.01, 40, "m²"),
    "sun": one_of(SUNS),
    "wind": one_of(WINDS),
    "rain_reaches": yes_or_no,
    "lat": degrees(90),
    "lon": degrees(180),
    "planted_on": day_of,
    "plants": _plants,
    "notes": short_text(2000),
}
