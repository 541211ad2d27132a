"""The lists of winterization and start-up, and the seasons they belong to."""

from __future__ import annotations

from typing import Any

from flask import Response

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint
from potrounds.api.register import IF_MATCH, read_version
from potrounds.api.schemas_season import (
    CloseBody,
    ClosedSeason,
    ListBody,
    ListEditor,
    ListEditors,
    ListTableQuery,
    ReopenBody,
    Seasons,
)
from potrounds.services import list_csv, seasons, step_lists

blp = Blueprint("seasons", __name__, url_prefix="/api/v1", description="Lists and seasons")

CSV = {"schema": {"type": "string"}}


@blp.route("/register/lists")
@blp.response(200, ListEditors)
def lists() -> dict[str, Any]:
    """Both lists as the coordinator edits them."""
    return step_lists.view(context())


@blp.route("/register/lists/<string:name>", methods=["PUT"], parameters=[IF_MATCH])
@blp.arguments(ListBody)
@blp.response(200, ListEditor)
@blp.alt_response(412, "PRECONDITION_FAILED")
@blp.alt_response(428, "PRECONDITION_REQUIRED")
def change_list(asked: dict[str, Any], name: str) -> dict[str, Any]:
    """Put a whole list in place of the present one, from the version that was read."""
    return step_lists.change(context(), name, asked["steps"], read_version())


@blp.route("/lists/<string:name>.csv")
@blp.query(ListTableQuery)
@blp.doc(responses={"200": {"description": "A table", "content": {"text/csv": CSV}}})
def list_table(asked: dict[str, Any], name: str) -> Response:
    """Every planter's steps as a table: state, by whom, when, proof, plug, what is missing."""
    only_open = asked.get("open") == "1"
    response = Response(list_csv.table(context(), name, only_open), mimetype="text/csv")
    which = "-open" if only_open else ""
    response.headers["Content-Disposition"] = f'attachment; filename="{name}{which}.csv"'
    return response


@blp.route("/seasons")
@blp.response(200, Seasons)
def overview() -> dict[str, Any]:
    """The season that can be closed, with what is open in it, and closed ones."""
    return seasons.overview(context())


@blp.route("/seasons/<string:year>")
@blp.response(200, ClosedSeason)
def one(year: str) -> dict[str, Any]:
    """A closed season, and what arrived after closing."""
    return seasons.one(context(), year)


@blp.route("/seasons/<string:year>/close", methods=["POST"])
@blp.arguments(CloseBody)
@blp.response(200, ClosedSeason)
@blp.alt_response(409, "CONFLICT")
@blp.alt_response(412, "PRECONDITION_FAILED")
def close(asked: dict[str, Any], year: str) -> dict[str, Any]:
    """Close a season, with all that was seen to be open."""
    return seasons.close(context(), year, asked["open_seen"])


@blp.route("/seasons/<string:year>/reopen", methods=["POST"])
@blp.arguments(ReopenBody)
@blp.response(200, ClosedSeason)
@blp.alt_response(409, "CONFLICT")
def reopen(asked: dict[str, Any], year: str) -> dict[str, Any]:
    """Open a closed season again, with the reason."""
    return seasons.reopen(context(), year, asked["reason"])
