"""The season report, and the records behind its numbers."""

from __future__ import annotations

from typing import Any

from flask import Response

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint
from potrounds.api.schemas_report import BehindQuery, RecordsBehind, SeasonQuery, SeasonReport
from potrounds.services import report_behind, report_view

blp = Blueprint("report", __name__, url_prefix="/api/v1/report", description="The season report")

CSV = {"schema": {"type": "string"}}


@blp.route("/season")
@blp.query(SeasonQuery)
@blp.response(200, SeasonReport)
def season(asked: dict[str, Any]) -> dict[str, Any]:
    """What a season came to: the town, its sites, its planters, and the season before."""
    return report_view.season(context(), asked.get("year"))


@blp.route("/season.csv")
@blp.query(SeasonQuery)
@blp.doc(responses={"200": {"description": "A table", "content": {"text/csv": CSV}}})
def season_table(asked: dict[str, Any]) -> Response:
    """The same as a table: a row a planter, a row a site, a row for the town."""
    response = Response(report_view.table(context(), asked.get("year")), mimetype="text/csv")
    response.headers["Content-Disposition"] = 'attachment; filename="season.csv"'
    return response


@blp.route("/season/records")
@blp.query(BehindQuery)
@blp.response(200, RecordsBehind)
def behind(asked: dict[str, Any]) -> dict[str, Any]:
    """What a number of the report was made of."""
    return report_behind.behind(
        context(),
        asked.get("year"),
        asked["of"],
        asked.get("planter"),
        asked.get("site"),
        asked.get("flag"),
        asked.get("person"),
    )
