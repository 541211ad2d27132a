"""Care of the plants: the feed calculator."""

from __future__ import annotations

from typing import Any

from potrounds.api.blueprint import Blueprint
from potrounds.api.schemas_care import FeedAnswer, FeedQuestion
from potrounds.services import feed_doses

blp = Blueprint("care", __name__, url_prefix="/api/v1/care", description="Feed and salts")


@blp.route("/feed", methods=["POST"])
@blp.arguments(FeedQuestion)
@blp.response(200, FeedAnswer)
def feed(asked: dict[str, Any]) -> dict[str, Any]:
    """Work out a feed: rate to dose, or dose to rate. Nothing is kept."""
    return feed_doses.calculate(asked)
