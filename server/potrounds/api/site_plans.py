"""Plan pictures of sites, and the known points that place them."""

from __future__ import annotations

from typing import Any

from flask import request

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint, read_body
from potrounds.api.register import IF_MATCH, read_version
from potrounds.api.schemas_site_plans import PointsBody, SitePlan, SitePlans
from potrounds.services import site_plans
from potrounds.services.photos import MOST_BYTES
from potrounds.services.refusal import Refusal

blp = Blueprint("siteplans", __name__, url_prefix="/api/v1/siteplans", description="Site plans")

KINDS = ("image/jpeg", "image/png", "image/webp")
BYTES = {"schema": {"type": "string", "format": "binary"}}


@blp.route("")
@blp.response(200, SitePlans)
def overview() -> dict[str, Any]:
    """All plan pictures, as the town's card has them."""
    return site_plans.overview(context())


@blp.route("/<string:scope>/picture", methods=["PUT"], parameters=[IF_MATCH])
@blp.doc(requestBody={"required": True, "content": dict.fromkeys(KINDS, BYTES)})
@blp.response(200, SitePlan)
@blp.alt_response(412, "PRECONDITION_FAILED")
@blp.alt_response(428, "PRECONDITION_REQUIRED")
def put_picture(scope: str) -> dict[str, Any]:
    """Send the plan picture of a site, or of the town; points are marked anew on it."""
    if request.mimetype not in KINDS:
        detail = "Send the plan as JPEG, PNG or WebP. Save a PDF as a picture first."
        raise Refusal(415, "photo-format", "Not a picture we take", detail)
    return site_plans.put_picture(context(), scope, read_body(MOST_BYTES), read_version())


@blp.route("/<string:scope>/points", methods=["PUT"], parameters=[IF_MATCH])
@blp.arguments(PointsBody)
@blp.response(200, SitePlan)
@blp.alt_response(412, "PRECONDITION_FAILED")
@blp.alt_response(428, "PRECONDITION_REQUIRED")
def put_points(asked: dict[str, Any], scope: str) -> dict[str, Any]:
    """Say what two spots of the picture are; a third one only checks it."""
    return site_plans.put_points(context(), scope, asked, read_version())


@blp.route("/<string:scope>", methods=["DELETE"], parameters=[IF_MATCH])
@blp.response(204)
@blp.alt_response(412, "PRECONDITION_FAILED")
@blp.alt_response(428, "PRECONDITION_REQUIRED")
def remove(scope: str) -> None:
    """Take a plan picture away."""
    site_plans.remove(context(), scope, read_version())
