"""Records that need a person before they count."""

from __future__ import annotations

from typing import Any

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint
from potrounds.api.schemas_register import HeldDecision, HeldList, HeldSettled
from potrounds.services import held

blp = Blueprint("held", __name__, url_prefix="/api/v1/held", description="Held records")


@blp.route("")
@blp.response(200, HeldList)
def list_held() -> dict[str, Any]:
    """What is held, and why."""
    return {"held": held.list_held(context())}


@blp.route("/<string:item>", methods=["POST"])
@blp.arguments(HeldDecision)
@blp.response(200, HeldSettled)
def settle(asked: dict[str, Any], item: str) -> dict[str, Any]:
    """Take a held record into the log, or leave it out."""
    return held.settle_held(context(), item, asked["take"], asked.get("planter"))
