"""Photos: the raw bytes under their hash (R13)."""

from __future__ import annotations

from typing import Any

from flask import Response, request, send_file

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint
from potrounds.api.schemas_sync import PhotoAnswer, PhotoQuery
from potrounds.services import erasure, photos

blp = Blueprint("photos", __name__, url_prefix="/api/v1/photos", description="Photos")

BYTES = {"schema": {"type": "string", "format": "binary"}}
JPEG = {"200": {"description": "The photo", "content": {"image/jpeg": BYTES}}}


@blp.route("/<string:sha256>", methods=["PUT"])
@blp.doc(requestBody={"required": True, "content": {"image/jpeg": BYTES}})
@blp.response(200, PhotoAnswer, description="It was here already")
@blp.alt_response(201, schema=PhotoAnswer, description="It is here now", success=True)
def put(sha256: str) -> tuple[dict[str, Any], int]:
    """Send the bytes of a photo that a record of yours names."""
    status = photos.put(
        context(),
        sha256,
        request.stream,
        request.content_length,
        request.headers.get("Content-Digest"),
    )
    return {"sha256": sha256, "state": "here"}, status


@blp.route("/<string:sha256>", methods=["DELETE"])
@blp.response(204)
@blp.alt_response(403, "FORBIDDEN")
@blp.alt_response(404, "NOT_FOUND")
def erase(sha256: str) -> None:
    """Erase a photo at once and for good: for who took it, and for coordinators (R24)."""
    erasure.erase(context(), sha256)


@blp.route("/<string:sha256>")
@blp.query(PhotoQuery)
@blp.doc(responses=JPEG)
def get(asked: dict[str, Any], sha256: str) -> Response:
    """A photo, re-encoded, for people who are signed in."""
    path = photos.get(context(), sha256, asked.get("size", "full"))
    opened_alone = request.headers.get("Sec-Fetch-Dest") == "document"
    response = send_file(
        path,
        mimetype="image/jpeg",
        as_attachment=opened_alone,
        download_name=f"{sha256[:12]}.jpg",
        etag=False,
    )
    # Asked anew each time, so that an erased photo is gone from every browser at once.
    response.headers["Cache-Control"] = "private, no-cache"
    response.set_etag(f"{sha256}-{asked.get('size', 'full')}")
    response.make_conditional(request)
    response.headers["Content-Security-Policy"] = "sandbox"
    return response
