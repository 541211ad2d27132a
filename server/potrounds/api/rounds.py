"""Rounds: taps, crew and ways; the plan, telling it, hours; the calendar."""

from __future__ import annotations

from datetime import date
from typing import Any

from flask import Response, request

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint
from potrounds.api.register import IF_MATCH, read_version
from potrounds.api.schemas_rounds import (
    Bucket,
    CalendarLinkBody,
    CalendarLinkMade,
    CalendarLinks,
    CrewAnswer,
    CrewBody,
    HoursAnswer,
    HoursQuery,
    Member,
    PlanAnswer,
    Tap,
    TapBody,
    TapPatch,
    TellBody,
    ToldAnswer,
    Ways,
    WaysBody,
    WaysFrom,
)
from potrounds.services import calendar_feed, crew, rounds, ways

blp = Blueprint("rounds", __name__, url_prefix="/api/v1", description="Rounds")

ICS = {"schema": {"type": "string"}}


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


@blp.route("/rounds/crew")
@blp.response(200, CrewAnswer)
def overview() -> dict[str, Any]:
    """Taps, crew, and ways that were paced out."""
    return crew.overview(context())


@blp.route("/rounds/taps", methods=["POST"])
@blp.arguments(TapBody)
@blp.response(201, Tap)
def add_tap(asked: dict[str, Any]) -> dict[str, Any]:
    """Add a tap."""
    return crew.add_tap(context(), asked)


@blp.route("/rounds/taps/<string:tap>", methods=["PATCH"], parameters=[IF_MATCH])
@blp.arguments(TapPatch)
@blp.response(200, Tap)
@blp.alt_response(404, "NOT_FOUND")
@blp.alt_response(412, "PRECONDITION_FAILED")
def change_tap(asked: dict[str, Any], tap: str) -> dict[str, Any]:
    """Change a tap."""
    return crew.change_tap(context(), tap, asked, read_version())


@blp.route("/rounds/taps/<string:tap>", methods=["DELETE"])
@blp.response(204)
@blp.alt_response(404, "NOT_FOUND")
def remove_tap(tap: str) -> None:
    """Remove a tap that is no more."""
    crew.remove_tap(context(), tap)


@blp.route("/rounds/taps/<string:tap>/calibration", methods=["POST"])
@blp.arguments(Bucket)
@blp.response(200, Tap)
@blp.alt_response(404, "NOT_FOUND")
def calibrate_tap(asked: dict[str, Any], tap: str) -> dict[str, Any]:
    """Measure a tap with a bucket: litres and seconds."""
    return crew.calibrate_tap(context(), tap, asked["litres_l"], asked["seconds"])


@blp.route("/rounds/crew/<string:person>", methods=["PUT"], parameters=[IF_MATCH])
@blp.arguments(CrewBody)
@blp.response(200, Member)
@blp.alt_response(404, "NOT_FOUND")
@blp.alt_response(412, "PRECONDITION_FAILED")
def put_member(asked: dict[str, Any], person: str) -> dict[str, Any]:
    """Say on which days somebody goes out, for how long, and what with."""
    return crew.put_member(context(), person, asked, read_version())


@blp.route("/rounds/crew/<string:person>", methods=["DELETE"])
@blp.response(204)
@blp.alt_response(404, "NOT_FOUND")
def remove_member(person: str) -> None:
    """Somebody goes out no more."""
    crew.remove_member(context(), person)


@blp.route("/rounds/ways", methods=["PUT"])
@blp.arguments(WaysBody)
@blp.response(200, Ways)
def put_ways(asked: dict[str, Any]) -> dict[str, Any]:
    """Put right how far it is from one place to another."""
    return crew.put_ways(context(), asked["ways"])


@blp.route("/rounds/ways/<string:place>")
@blp.response(200, WaysFrom)
@blp.alt_response(404, "NOT_FOUND")
def ways_from(place: str) -> dict[str, Any]:
    """How far every other place is from this planter or tap."""
    return ways.ways_from(context(), place)


@blp.route("/rounds/plan", methods=["POST"])
@blp.response(200, PlanAnswer)
def plan() -> dict[str, Any]:
    """Plan the next two weeks as things stand now. Nobody is told yet."""
    return rounds.plan(context())


@blp.route("/rounds/tell", methods=["POST"])
@blp.arguments(TellBody)
@blp.response(200, ToldAnswer)
@blp.alt_response(409, "CONFLICT")
def tell(asked: dict[str, Any]) -> dict[str, Any]:
    """Tell people the plan that was looked at."""
    return rounds.tell(context(), asked["mark"], _day(asked.get("until")))


@blp.route("/rounds")
@blp.response(200, ToldAnswer)
def told() -> dict[str, Any]:
    """The rounds from today on, as told, and how far they are."""
    return rounds.told_rounds(context())


@blp.route("/rounds/hours")
@blp.query(HoursQuery)
@blp.response(200, HoursAnswer)
def hours(asked: dict[str, Any]) -> dict[str, Any]:
    """Hours by round: everybody's for a coordinator, else one's own."""
    return rounds.hours(context(), _day(asked.get("first")), _day(asked.get("last")))


@blp.route("/rounds/calendar-links")
@blp.response(200, CalendarLinks)
def links() -> dict[str, Any]:
    """The addresses of the calendar, without their secrets."""
    return {"links": calendar_feed.links(context())}


@blp.route("/rounds/calendar-links", methods=["POST"])
@blp.arguments(CalendarLinkBody)
@blp.response(201, CalendarLinkMade)
def make_link(asked: dict[str, Any]) -> dict[str, Any]:
    """Make an address for a calendar app; it is shown once."""
    return calendar_feed.make_link(context(), asked, request.host_url)


@blp.route("/rounds/calendar-links/<string:link>", methods=["DELETE"])
@blp.response(204)
@blp.alt_response(404, "NOT_FOUND")
def revoke_link(link: str) -> None:
    """Take an address back."""
    calendar_feed.revoke_link(context(), link)


@blp.route("/calendar/<string:secret>.ics")
@blp.doc(responses={"200": {"description": "RFC 5545", "content": {"text/calendar": ICS}}})
@blp.alt_response(404, "NOT_FOUND")
def feed(secret: str) -> Response:
    """The calendar behind a secret address."""
    response = Response(calendar_feed.feed(context(), secret), mimetype="text/calendar")
    response.headers["Cache-Control"] = "private, max-age=3600"
    return response
