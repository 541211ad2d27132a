"""Push and pull (R6 to R8, R17)."""

from __future__ import annotations

from typing import Any

from flask import request

from potrounds.api.access import COOKIE, context
from potrounds.api.auth import keep_cookie
from potrounds.api.blueprint import Blueprint
from potrounds.api.items import read_item
from potrounds.api.schemas_review import HelloAnswer, HelloBody
from potrounds.api.schemas_sync import (
    OutboxPart,
    OutboxTaken,
    PullAnswer,
    PullQuery,
    PushAnswer,
    PushRequest,
)
from potrounds.services import outbox_file, sync

blp = Blueprint("sync", __name__, url_prefix="/api/v1/sync", description="Push and pull")


@blp.route("/push", methods=["POST"])
@blp.arguments(PushRequest)
@blp.response(200, PushAnswer)
@blp.alt_response(400, "BAD_REQUEST")
@blp.alt_response(401, "UNAUTHORIZED")
@blp.alt_response(413, "REQUEST_ENTITY_TOO_LARGE")
def push(envelope: dict[str, Any]) -> dict[str, Any]:
    """Send up to fifty records; each gets its own outcome."""
    return sync.push(context(), envelope, read_item)


@blp.route("/hello", methods=["POST"])
@blp.arguments(HelloBody)
@blp.response(200, HelloAnswer)
@blp.alt_response(400, "BAD_REQUEST")
@blp.alt_response(401, "UNAUTHORIZED")
def hello(asked: dict[str, Any]) -> dict[str, Any]:
    """Say at the end of a talk what the phone still holds, so that somebody can ask after it."""
    return sync.hello(context(), asked)


@blp.route("/outbox-file", methods=["POST"])
@blp.arguments(OutboxPart)
@blp.response(200, OutboxTaken)
@blp.alt_response(413, "REQUEST_ENTITY_TOO_LARGE")
def take_in_file(asked: dict[str, Any]) -> dict[str, Any]:
    """Take in a part of what a phone saved to a file: records first, then photos one by one."""
    return outbox_file.take_in(context(), asked, read_item)


@blp.route("/pull")
@blp.query(PullQuery)
@blp.response(200, PullAnswer)
@blp.alt_response(400, "BAD_REQUEST")
@blp.alt_response(401, "UNAUTHORIZED")
@blp.alt_response(409, "CONFLICT")
def pull(asked: dict[str, Any]) -> dict[str, Any]:
    """What changed since a cursor, in the order of seq."""
    caller = context().caller
    if caller is not None and caller.ends is not None:
        keep_cookie(request.cookies[COOKIE], caller.ends.isoformat())
    return sync.pull(context(), asked.get("since"), asked["limit"])
