"""Planters from and to a CSV file, as a spreadsheet writes it. One wrong cell and nothing is added.

Columns, in any order (units are in the names; * must be there and filled in):
name*, site* (a site's name), size*, shape (round, square, rectangular), reservoir_l*, gauge (none,
float, dipstick, sight-tube), status (in-use, stored, retired, lost), installed_on (YYYY-MM-DD),
weight_moist_kg, weight_full_kg, mix_l, top_area_m2, canopy_m2, sun (full, part, shade), wind
(sheltered, open, windy), rain_reaches (yes, no), planted_on (YYYY-MM-DD), plants (with semicolons
between), notes, lat and lon (WGS 84 degrees, north and east positive).
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from potrounds.domain.planter import GAUGES, SHAPES, STATUSES, SUNS, WINDS
from potrounds.services import changes
from potrounds.services.cells import BadCell, degrees
from potrounds.services.context import Context
from potrounds.services.register import make_planter, planter_faults
from potrounds.services.register_view import public_planters
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
NUMBER = re.compile(r"\d{1,6}(\.\d{1,6})?")
#: Cells that begin like this would be computed by a spreadsheet (ASVS 1.2.10).
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True)
class Row:
    """One line of the file under its headers."""

    line: int
    cells: dict[str, str]


Errors = list[dict[str, Any]]


def import_planters(ctx: Context, data: bytes, dry_run: bool) -> dict[str, Any]:
    """Add the planters of a file, or say what is wrong with every row of it.

    A dry run adds nothing; `created` then says how many would be.
    """
    errors: Errors = []
    rows = _rows(data, errors)
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
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for planter in public_planters(register.planters()):
        planting = planter["planting"] or {"planted_on": None, "plants": []}
        values = {
            **planter,
            "site": sites[planter["site"]],
            "planted_on": planting["planted_on"],
            "plants": "; ".join(planting["plants"]),
        }
        writer.writerow([_out(values[column]) for column in COLUMNS])
    return out.getvalue()


def _out(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.10g}"  # a position has more places than six
    text = str(value)
    return f"'{text}" if text.startswith(FORMULA_SIGNS) else text


# --- reading the file ----------------------------------------------------------------------------


def _error(errors: Errors, row: int, column: str | None, detail: str) -> None:
    errors.append({"row": row, "column": column, "detail": detail})


def _rows(data: bytes, errors: Errors) -> list[Row]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        _error(errors, 1, None, "This file is not UTF-8. Save it as “CSV UTF-8”.")
        return []
    if "\x00" in text:
        _error(errors, 1, None, "This is no text file. Save the table as “CSV UTF-8”.")
        return []
    lines = _lines(text)
    try:
        _, first = next(lines, (1, []))
        headers = [cell.strip().lower() for cell in first]
        _check_headers(headers, errors)
        if errors:
            return []
        rows = [_row(line, headers, cells, errors) for line, cells in lines if any(cells)]
    except csv.Error as broken:
        _error(errors, 1, None, f"This file cannot be read as a table: {broken}.")
        return []
    if len(rows) > MOST_ROWS:
        _error(errors, 1, None, f"At most {MOST_ROWS} planters at once; this file has {len(rows)}.")
        return []
    return rows


def _lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Each row with the number of the line it begins on; the separator is the header's."""
    header = text.splitlines()[0] if text.strip() else ""
    separator = max(",;\t", key=header.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    begins = 1
    for cells in reader:
        yield begins, [cell.strip() for cell in cells]
        begins = reader.line_num + 1


def _check_headers(headers: list[str], errors: Errors) -> None:
    if not any(headers):
        _error(errors, 1, None, f"The first line has to name the columns: {', '.join(COLUMNS)}.")
        return
    for header in headers:
        if header not in COLUMNS:
            _error(errors, 1, header, f"Unknown column. Known are: {', '.join(COLUMNS)}.")
    for column in COLUMNS:
        if headers.count(column) > 1:
            _error(errors, 1, column, "This column is there twice.")
    for column in REQUIRED:
        if column not in headers:
            _error(errors, 1, column, "This column is missing.")


def _row(line: int, headers: list[str], cells: list[str], errors: Errors) -> Row:
    if len(cells) > len(headers):
        _error(
            errors,
            line,
            None,
            f"{len(cells)} cells under {len(headers)} columns. Put text with separators in quotes.",
        )
    return Row(line, {name: _text(cell) for name, cell in zip(headers, cells, strict=False)})


def _text(cell: str) -> str:
    """A cell as it is, formula or not; the mark that an export put before one is taken off."""
    marked = cell.startswith("'") and cell[1:].startswith(FORMULA_SIGNS)
    return cell[1:] if marked else cell


# --- reading the cells ---------------------------------------------------------------------------


def _body(row: Row, errors: Errors) -> dict[str, Any]:
    """A row as the body of a new planter; what cannot be read is noted and left out."""
    body: dict[str, Any] = {}
    for column in COLUMNS:
        cell = row.cells.get(column, "")
        if not cell and column in REQUIRED:
            _error(errors, row.line, column, "This has to be filled in.")
        if not cell:
            continue
        try:
            body[column] = READERS[column](cell)
        except BadCell as bad:
            _error(errors, row.line, column, str(bad))
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
            _error(errors, row.line, "site", f"There is no site {body['site']}. Add it first.")
        body["site"] = found or ""
    for pointer, detail in planter_faults([body for _, body in readable]):
        _, _, index, column = pointer.split("/")
        if column != "site":
            _error(errors, readable[int(index)][0].line, column, detail)
    errors.sort(key=lambda error: int(error["row"]))


def _short(longest: int) -> Callable[[str], str]:
    def read(cell: str) -> str:
        if len(cell) > longest:
            raise BadCell(f"At most {longest} characters; this has {len(cell)}.")
        return cell

    return read


def _one_of(allowed: tuple[str, ...]) -> Callable[[str], str]:
    def read(cell: str) -> str:
        word = cell.lower().replace(" ", "-")
        if word not in allowed:
            raise BadCell(f"{cell} is not known here. Write one of: {', '.join(allowed)}.")
        return word

    return read


def _number(low: float, high: float, unit: str) -> Callable[[str], float]:
    def read(cell: str) -> float:
        if not NUMBER.fullmatch(cell):
            raise BadCell(f"{cell} is no number. Write it without its unit, like 16 or 16.5.")
        value = float(cell)
        if not low <= value <= high:
            raise BadCell(f"{cell} {unit} cannot be right: {low:g} to {high:g} {unit}.")
        return value

    return read


def _yes_or_no(cell: str) -> bool:
    word = cell.lower()
    if word not in ("yes", "no"):
        raise BadCell(f"{cell} is not known here. Write yes or no.")
    return word == "yes"


def _day(cell: str) -> date:
    try:
        if len(cell) != len("YYYY-MM-DD"):
            raise ValueError(cell)
        return date.fromisoformat(cell)
    except ValueError:
        raise BadCell(f"{cell} is no day. Write year, month, day, like 2026-05-12.") from None


def _plants(cell: str) -> list[str]:
    plants = [plant.strip() for plant in cell.split(";") if plant.strip()]
    if len(plants) > 40 or any(len(plant) > 80 for plant in plants):
        raise BadCell("At most 40 plants of at most 80 characters, with semicolons between.")
    return plants


READERS: dict[str, Callable[[str], Any]] = {
    "name": _short(80),
    "site": _short(80),
    "size": _short(40),
    "shape": _one_of(SHAPES),
    "reservoir_l": _number(0.1, 2000, "L"),
    "gauge": _one_of(GAUGES),
    "status": _one_of(STATUSES),
    "installed_on": _day,
    "weight_moist_kg": _number(0, 5000, "kg"),
    "weight_full_kg": _number(0, 5000, "kg"),
    "mix_l": _number(1, 5000, "L"),
    "top_area_m2": _number(0.01, 20, "m²"),
    "canopy_m2": _number(0.01, 40, "m²"),
    "sun": _one_of(SUNS),
    "wind": _one_of(WINDS),
    "rain_reaches": _yes_or_no,
    "lat": degrees(90),
    "lon": degrees(180),
    "planted_on": _day,
    "plants": _plants,
    "notes": _short(2000),
}
