"""Weather: looking at it, typing it, bringing a table, asking the forecast service."""

from __future__ import annotations

from datetime import date
from typing import Any

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint, need_type, read_body
from potrounds.api.schemas_place import LowsQuery
from potrounds.api.schemas_register import ImportQuery, ImportReport
from potrounds.api.schemas_water import (
    NormalsBody,
    TypedDays,
    WeatherAnswer,
    WeatherKept,
    WeatherQuery,
)
from potrounds.services import lows, weather

blp = Blueprint("weather", __name__, url_prefix="/api/v1/weather", description="The weather")

MOST_CSV_BYTES = 1024 * 1024
MOST_LOWS_BYTES = 4 * 1024 * 1024  # sixty years with a station's name on every line
CSV = {"schema": {"type": "string"}}


@blp.route("")
@blp.query(WeatherQuery)
@blp.response(200, WeatherAnswer)
def view(asked: dict[str, Any]) -> dict[str, Any]:
    """The weather of some days, gaps filled and marked, and what is usual."""
    first, last = asked.get("from"), asked.get("to")
    return weather.view(context(), _day(first), _day(last))


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


@blp.route("/days", methods=["PUT"])
@blp.arguments(TypedDays)
@blp.response(200, WeatherKept)
def put_days(asked: dict[str, Any]) -> dict[str, Any]:
    """Type in the weather of days that have been; all or none."""
    return weather.put_days(context(), asked["days"])


@blp.route("/import", methods=["POST"])
@blp.query(ImportQuery)
@blp.doc(requestBody={"required": True, "content": {"text/csv": CSV}})
@blp.response(201, ImportReport)
@blp.alt_response(200, schema=ImportReport, description="Dry run", success=True)
@blp.alt_response(422, schema=ImportReport, description="Nothing was imported")
def import_days(asked: dict[str, Any]) -> tuple[dict[str, Any], int]:
    """Import weather from a table, all or none; `dry_run=1` only looks."""
    need_type("text/csv")
    dry_run = asked.get("dry_run") == "1"
    report = weather.import_days(context(), read_body(MOST_CSV_BYTES), dry_run)
    if report["errors"]:
        return report, 422
    return report, 200 if dry_run else 201


@blp.route("/fetch", methods=["POST"])
@blp.response(200, WeatherKept)
@blp.alt_response(409, "CONFLICT")
@blp.alt_response(502, "BAD_GATEWAY")
def fetch() -> dict[str, Any]:
    """Ask the forecast service now."""
    return weather.fetch(context())


@blp.route("/normals", methods=["PUT"])
@blp.arguments(NormalsBody)
@blp.response(200, WeatherAnswer)
def put_normals(asked: dict[str, Any]) -> dict[str, Any]:
    """Say what is usual in each month, from other years."""
    return weather.put_normals(context(), asked["normals"])


@blp.route("/lows/import", methods=["POST"])
@blp.query(LowsQuery)
@blp.doc(requestBody={"required": True, "content": {"text/csv": CSV}})
@blp.response(201, ImportReport)
@blp.alt_response(200, schema=ImportReport, description="Dry run", success=True)
@blp.alt_response(422, schema=ImportReport, description="Nothing was imported")
def import_lows(asked: dict[str, Any]) -> tuple[dict[str, Any], int]:
    """Import a station's record of daily lows, all or none; `dry_run=1` only looks."""
    need_type("text/csv")
    dry_run, replace = asked.get("dry_run") == "1", asked.get("replace") == "1"
    data = read_body(MOST_LOWS_BYTES)
    report = lows.import_lows(context(), data, asked.get("unit"), dry_run, replace)
    if report["errors"]:
        return report, 422
    return report, 200 if dry_run else 201


@blp.route("/lows", methods=["DELETE"])
@blp.response(204)
def forget_lows() -> None:
    """Take the record of lows away: it was another station's."""
    lows.forget_lows(context())
