"""What anyone may see and say: the page of a tag, and a report. No name, no photo, no hour."""

from __future__ import annotations

from typing import Any

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint
from potrounds.api.schemas_register import PublicReport, PublicTag, ReportReceipt
from potrounds.services import public

blp = Blueprint("public", __name__, url_prefix="/api/v1/public/tags", description="For anyone")


@blp.route("/<string:code>")
@blp.response(200, PublicTag)
@blp.alt_response(404, "NOT_FOUND")
def tag(code: str) -> dict[str, Any]:
    """The planter behind a tag."""
    return public.tag_page(context(), code)


@blp.route("/<string:code>/reports", methods=["POST"])
@blp.arguments(PublicReport)
@blp.response(201, ReportReceipt)
@blp.alt_response(404, "NOT_FOUND")
@blp.alt_response(429, "TOO_MANY_REQUESTS")
def report(asked: dict[str, Any], code: str) -> dict[str, Any]:
    """Tell the volunteers about a planter (R28)."""
    return public.report(context(), code, asked)
