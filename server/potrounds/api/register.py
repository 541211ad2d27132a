"""The register: sites, planters, plantings, tags, settings and nights. For coordinators."""

from __future__ import annotations

import re
from typing import Any

from flask import Response, request

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint, need_type, read_body
from potrounds.api.schemas_place import SitingBody
from potrounds.api.schemas_register import (
    ImportQuery,
    ImportReport,
    NewPlanters,
    NewTag,
    Nights,
    NightsRequest,
    PlanterPatch,
    PlantersMade,
    PlantingBody,
    Register,
    RegisterPlanter,
    RegisterSettings,
    RegisterSite,
    SettingsPatch,
    SiteBody,
    SitePatch,
)
from potrounds.services import planter_csv, register, siting
from potrounds.services.refusal import Refusal

blp = Blueprint("register", __name__, url_prefix="/api/v1/register", description="The register")

MOST_CSV_BYTES = 1024 * 1024
CSV = {"schema": {"type": "string"}}
IF_MATCH = {
    "in": "header",
    "name": "If-Match",
    "required": False,
    "schema": {"type": "string"},
    "description": "The version that was read; 412 when it has changed since",
}


def read_version() -> int | None:
    """The version a change was made from, out of If-Match."""
    said = request.headers.get("If-Match")
    if said is None:
        return None
    found = re.fullmatch(r'"?([0-9]{1,18})"?', said.strip())
    if not found:
        raise Refusal(400, "bad-version", "No version", "If-Match must hold a version number.")
    return int(found.group(1))


@blp.route("")
@blp.response(200, Register)
def overview() -> dict[str, Any]:
    """All of the register, and its last changes."""
    return register.overview(context())


@blp.route("/sites", methods=["POST"])
@blp.arguments(SiteBody)
@blp.response(201, RegisterSite)
def add_site(asked: dict[str, Any]) -> dict[str, Any]:
    """Add a site."""
    return register.add_site(context(), asked)


@blp.route("/sites/<string:site>", methods=["PATCH"], parameters=[IF_MATCH])
@blp.arguments(SitePatch)
@blp.response(200, RegisterSite)
def change_site(asked: dict[str, Any], site: str) -> dict[str, Any]:
    """Change a site."""
    return register.change_site(context(), site, asked, version=read_version())


@blp.route("/planters", methods=["POST"])
@blp.arguments(NewPlanters)
@blp.response(201, PlantersMade)
def add_planters(asked: dict[str, Any]) -> dict[str, Any]:
    """Add planters, all or none."""
    return {"planters": register.add_planters(context(), asked["planters"])}


@blp.route("/planters/<string:planter>", methods=["PATCH"], parameters=[IF_MATCH])
@blp.arguments(PlanterPatch)
@blp.response(200, RegisterPlanter)
@blp.alt_response(412, "PRECONDITION_FAILED")
@blp.alt_response(428, "PRECONDITION_REQUIRED")
def change_planter(asked: dict[str, Any], planter: str) -> dict[str, Any]:
    """Change a planter, from the version that was read."""
    return register.change_planter(context(), planter, asked, version=read_version())


@blp.route("/planters/<string:planter>/plantings", methods=["POST"])
@blp.arguments(PlantingBody)
@blp.response(201, RegisterPlanter)
def add_planting(asked: dict[str, Any], planter: str) -> dict[str, Any]:
    """Say what was planted, and when."""
    return register.add_planting(context(), planter, asked)


@blp.route("/planters/<string:planter>/tag", methods=["POST"])
@blp.arguments(NewTag)
@blp.response(201, RegisterPlanter)
def replace_tag(asked: dict[str, Any], planter: str) -> dict[str, Any]:
    """Give a planter a new tag code; the old one says that it was replaced."""
    return register.replace_tag(context(), planter, asked["reason"])


@blp.route("/planters/<string:planter>/siting", methods=["POST"], parameters=[IF_MATCH])
@blp.arguments(SitingBody)
@blp.response(201, RegisterPlanter)
@blp.alt_response(412, "PRECONDITION_FAILED")
@blp.alt_response(428, "PRECONDITION_REQUIRED")
def add_siting(asked: dict[str, Any], planter: str) -> dict[str, Any]:
    """Say what was measured around a planter; what looks like a wrong unit is asked back."""
    return siting.add_check(context(), planter, asked, version=read_version())


@blp.route("/planters/import", methods=["POST"])
@blp.query(ImportQuery)
@blp.doc(requestBody={"required": True, "content": {"text/csv": CSV}})
@blp.response(201, ImportReport)
@blp.alt_response(200, schema=ImportReport, description="Dry run", success=True)
@blp.alt_response(422, schema=ImportReport, description="Nothing was imported")
def import_planters(asked: dict[str, Any]) -> tuple[dict[str, Any], int]:
    """Import planters from a table, all or none; `dry_run=1` only looks."""
    need_type("text/csv")
    dry_run = asked.get("dry_run") == "1"
    report = planter_csv.import_planters(context(), read_body(MOST_CSV_BYTES), dry_run)
    if report["errors"]:
        return report, 422
    return report, 200 if dry_run else 201


@blp.route("/planters.csv")
@blp.doc(responses={"200": {"description": "A table", "content": {"text/csv": CSV}}})
def export_planters() -> Response:
    """All planters as a table that can be imported again."""
    response = Response(planter_csv.export_planters(context()), mimetype="text/csv")
    response.headers["Content-Disposition"] = 'attachment; filename="planters.csv"'
    return response


@blp.route("/settings", methods=["PATCH"])
@blp.arguments(SettingsPatch)
@blp.response(200, RegisterSettings)
def change_settings(asked: dict[str, Any]) -> dict[str, Any]:
    """Change the town's settings."""
    return register.change_settings(context(), asked)


@blp.route("/nights", methods=["PUT"])
@blp.arguments(NightsRequest)
@blp.response(200, Nights)
def put_nights(asked: dict[str, Any]) -> dict[str, Any]:
    """Type in nights: lows that were recorded, lows that are forecast."""
    return {"nights": register.put_nights(context(), asked["nights"])}
