"""A planter's whole history, for the coordinator: what phones need of it is on its card."""

from __future__ import annotations

from typing import Any

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint
from potrounds.api.schemas_course import (
    PlanterCourse,
    PlanterFlags,
    PlanterVisits,
    VisitsQuery,
)
from potrounds.api.schemas_report import SeasonQuery
from potrounds.services import planter_course, planter_flags, planter_visits

blp = Blueprint("planters", __name__, url_prefix="/api/v1/planters", description="Histories")


@blp.route("/<string:planter>/history")
@blp.query(SeasonQuery)
@blp.response(200, PlanterCourse)
def history(asked: dict[str, Any], planter: str) -> dict[str, Any]:
    """A season of a planter day by day, its photos, plantings, lists, tags and moves."""
    return planter_course.whole(context(), planter, asked.get("year"))


@blp.route("/<string:planter>/visits")
@blp.query(VisitsQuery)
@blp.response(200, PlanterVisits)
def visits(asked: dict[str, Any], planter: str) -> dict[str, Any]:
    """Everything recorded at a planter, some at a time, newest first."""
    return planter_visits.visits(
        context(), planter, asked.get("year"), asked.get("before"), asked["most"]
    )


@blp.route("/<string:planter>/flags")
@blp.query(SeasonQuery)
@blp.response(200, PlanterFlags)
def flags(asked: dict[str, Any], planter: str) -> dict[str, Any]:
    """The flags of a season: when raised, by what, and what or who ended them."""
    return planter_flags.season(context(), planter, asked.get("year"))
