"""The printable sheet of tags."""

from __future__ import annotations

from typing import Any

from flask import Response

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint
from potrounds.api.schemas_register import TagSheetQuery
from potrounds.services import print_tags

blp = Blueprint("tags", __name__, url_prefix="/api/v1", description="Tag sheets")

PDF = {"application/pdf": {"schema": {"type": "string", "format": "binary"}}}


@blp.route("/tags.pdf")
@blp.query(TagSheetQuery)
@blp.doc(responses={"200": {"description": "The sheet", "content": PDF}})
@blp.alt_response(409, "CONFLICT")
def sheet(asked: dict[str, Any]) -> Response:
    """Tags to print, for some planters or all."""
    named = asked.get("planters", "all")
    ids = None if named == "all" else [name for name in named.split(",") if name]
    data = print_tags.sheet_pdf(
        context(), ids, size=asked.get("size", "medium"), paper=asked.get("paper", "a4")
    )
    response = Response(data, mimetype="application/pdf")
    response.headers["Content-Disposition"] = 'inline; filename="tags.pdf"'
    return response
