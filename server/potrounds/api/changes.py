"""The list of changes, and undoing one. For coordinators."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint
from potrounds.api.schemas_changes import ChangesPage, ChangesQuery, UndoBody, UndoLook, UndoMade
from potrounds.services import changes_view
from potrounds.services import undo as undoing
from potrounds.services.refusal import not_found

blp = Blueprint("changes", __name__, url_prefix="/api/v1/register/changes", description="Changes")


@blp.route("")
@blp.query(ChangesQuery)
@blp.response(200, ChangesPage)
def page(asked: dict[str, Any]) -> dict[str, Any]:
    """A page of changes, looked through by words, kind, person and day."""
    return changes_view.page(
        search=asked.get("search") or "",
        what=asked.get("what"),
        by=asked.get("by"),
        since=_day(asked.get("since")),
        until=_day(asked.get("until")),
        oldest_first=asked.get("order") == "oldest",
        after=asked.get("after"),
    )


def _day(value: Any) -> date | None:
    return date.fromisoformat(value) if isinstance(value, str) else value


def _number(text: str) -> int:
    """A change's number; anything else is no change."""
    if not re.fullmatch(r"[0-9]{1,15}", text):
        raise not_found("change")
    return int(text)


@blp.route("/<string:change>/undo")
@blp.response(200, UndoLook)
def look(change: str) -> dict[str, Any]:
    """What undoing a change would do, and what stands in its way; nothing is changed."""
    return undoing.look(context(), _number(change))


@blp.route("/<string:change>/undo", methods=["POST"])
@blp.arguments(UndoBody)
@blp.response(201, UndoMade)
@blp.alt_response(409, "CONFLICT")
@blp.alt_response(412, "PRECONDITION_FAILED")
def undo(asked: dict[str, Any], change: str) -> dict[str, Any]:
    """Take a change back, and all that was made with it, by a new change."""
    return undoing.undo(context(), _number(change), asked["mark"], bool(asked.get("overwrite")))
