"""Files in and out: records and weather as tables, positions as GeoJSON, the whole town."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

from flask import Response

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint, need_type, read_body
from potrounds.api.schemas_files import RecordsQuery, VisitsReport
from potrounds.api.schemas_register import ImportQuery
from potrounds.services import (
    archive,
    fresh_password,
    geojson,
    history_csv,
    records_csv,
    weather_csv,
)

blp = Blueprint("files", __name__, url_prefix="/api/v1", description="Files in and out")

MOST_CSV_BYTES = 2 * 1024 * 1024
CSV = {"schema": {"type": "string"}}
TABLE = {"200": {"description": "A table", "content": {"text/csv": CSV}}}
GEOJSON = "application/geo+json"
BYTES = {"schema": {"type": "string", "format": "binary"}}


def _saved(data: str, mimetype: str, name: str) -> Response:
    response = Response(data, mimetype=mimetype)
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


@blp.route("/records.csv")
@blp.query(RecordsQuery)
@blp.doc(responses=TABLE)
def records(asked: dict[str, Any]) -> Response:
    """Every record as a line, with what became of it; of some days or one planter where asked."""
    first, last = asked.get("from"), asked.get("to")
    table = records_csv.export_records(
        context(),
        date.fromisoformat(first) if first else None,
        date.fromisoformat(last) if last else None,
        asked.get("planter"),
    )
    return _saved(table, "text/csv", "records.csv")


@blp.route("/records/import", methods=["POST"])
@blp.query(ImportQuery)
@blp.doc(requestBody={"required": True, "content": {"text/csv": CSV}})
@blp.response(201, VisitsReport)
@blp.alt_response(200, schema=VisitsReport, description="Dry run", success=True)
@blp.alt_response(422, schema=VisitsReport, description="Nothing was imported")
def import_visits(asked: dict[str, Any]) -> tuple[dict[str, Any], int]:
    """Read in visits of the past from a table, all or none; twice adds nothing."""
    need_type("text/csv")
    dry_run = asked.get("dry_run") == "1"
    report = history_csv.import_visits(context(), read_body(MOST_CSV_BYTES), dry_run)
    if report["errors"]:
        return report, 422
    return report, 200 if dry_run else 201


@blp.route("/weather.csv")
@blp.doc(responses=TABLE)
def weather() -> Response:
    """The weather on record as a table that can be read in again."""
    return _saved(weather_csv.export_days(context()), "text/csv", "weather.csv")


@blp.route("/planters.geojson")
@blp.doc(
    responses={
        "200": {"description": "RFC 7946", "content": {GEOJSON: {"schema": {"type": "object"}}}}
    }
)
def planters() -> Response:
    """Where the planters stand, as GeoJSON."""
    text = json.dumps(geojson.planters(context()), ensure_ascii=False)
    return _saved(text, GEOJSON, "planters.geojson")


@blp.route("/archive.zip")
@blp.alt_response(403, "FORBIDDEN")
@blp.doc(responses={"200": {"description": "The town", "content": {"application/zip": BYTES}}})
def whole_town() -> Response:
    """The whole town, photos too, as one file that `potrounds import` reads.

    It holds the hashes of all passwords: 403 `password-needed` until the own one is typed again.
    """
    fresh_password.need(context())
    folder = tempfile.TemporaryDirectory(dir=context().settings.home, prefix="archive-")
    try:
        file = Path(folder.name) / "town.zip"
        archive.write(context(), file)
        size = file.stat().st_size
    except BaseException:
        folder.cleanup()
        raise

    def parts() -> Iterator[bytes]:
        with folder, file.open("rb") as stream:
            while chunk := stream.read(archive.CHUNK):
                yield chunk

    response = Response(parts(), mimetype="application/zip")
    response.call_on_close(folder.cleanup)
    response.content_length = size
    response.headers["Content-Disposition"] = 'attachment; filename="town.zip"'
    return response
