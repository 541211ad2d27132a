"""The review: what needs a person beside the flags on the cards."""

from __future__ import annotations

from typing import Any

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint
from potrounds.api.schemas_review import Looked, LookedBody, PhoneSettled, ReviewDesk, SettlePhone
from potrounds.services import phone_work, review

blp = Blueprint("review", __name__, url_prefix="/api/v1/review", description="Review")


@blp.route("")
@blp.response(200, ReviewDesk)
def desk() -> dict[str, Any]:
    """Held records, phones to ask after, and the caller's last look."""
    return review.desk(context())


@blp.route("/looked", methods=["PUT"])
@blp.arguments(LookedBody)
@blp.response(200, Looked)
def looked(asked: dict[str, Any]) -> dict[str, Any]:
    """Keep the flags as the caller leaves them: what changes from here on is told apart."""
    return review.keep_looked(context(), asked["seen"])


@blp.route("/phones/<string:device>/settle", methods=["POST"])
@blp.arguments(SettlePhone)
@blp.response(200, PhoneSettled)
def settle_phone(asked: dict[str, Any], device: str) -> dict[str, Any]:
    """Answer for records of a phone that will not come."""
    return phone_work.settle(context(), device, asked["numbers"])
