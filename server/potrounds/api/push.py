"""A phone turns pushes on and off for itself."""

from __future__ import annotations

from typing import Any

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint
from potrounds.api.schemas_people import PushAddress
from potrounds.services import push

blp = Blueprint("push", __name__, url_prefix="/api/v1/push", description="Pushes to phones")


@blp.route("", methods=["PUT"])
@blp.arguments(PushAddress)
@blp.response(204)
@blp.alt_response(409, "CONFLICT")
def turn_on(asked: dict[str, Any]) -> None:
    """Send pushes to this phone, at the address its browser gave; another one replaces it."""
    push.turn_on(context(), asked["endpoint"], asked["p256dh"], asked["auth"])


@blp.route("", methods=["DELETE"])
@blp.response(204)
def turn_off() -> None:
    """Send no more pushes to this phone."""
    push.turn_off(context())
