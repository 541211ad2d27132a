"""The shapes of rounds: taps, crew, ways, the plan, a round's card, hours, calendar addresses."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError, validates_schema

from potrounds.api.fields import Choice, Day, Moment, Number, Text, Truth, Whole
from potrounds.api.fields_nested import ListOf, Several, Within
from potrounds.api.schemas import Answer, Ask, Named
from potrounds.domain import records
from potrounds.domain.rounds import MODES, VACUUM_BREAKER

NAME = 80
WAY_HOW = ("paced", "reckoned", "guessed")
ROUND_STATES = ("planned", "under-way", "ended")
STOP_STATES = ("to-do", "done", "skipped")


class Tap(Named):
    site = Text(null=True)
    lat = Number(null=True)
    lon = Number(null=True)
    flow_l_min = Number(null=True)
    vacuum_breaker = Choice(VACUUM_BREAKER)
    opens = Text(says="Who may open it, and how")
    notes = Text()
    version = Whole()
    caution = Text(says="What to mind before the hose goes on")


class TapBody(Ask):
    name = Text(NAME, shortest=1)
    site = Text(40, shortest=1, null=True, optional=True, says="Id of a site")
    lat = Number(-90, 90, null=True, optional=True, says="WGS84, north positive")
    lon = Number(-180, 180, null=True, optional=True, says="WGS84, east positive")
    flow_l_min = Number(0.1, 400, null=True, optional=True)
    vacuum_breaker = Choice(VACUUM_BREAKER, optional=True)
    opens = Text(200, optional=True)
    notes = Text(2000, optional=True)


class TapPatch(TapBody):
    name = Text(NAME, shortest=1, optional=True)


class Bucket(Ask):
    litres_l = Number(1, 200, says="What the bucket holds")
    seconds = Number(1, 3600, says="How long it took to fill")


class CrewBody(Ask):
    weekdays = Several(Whole(0, 6), 7, says="Monday 0; empty: the town's crew days")
    minutes = Whole(15, 720)
    mode = Choice(MODES)
    tank_l = Number(1, 5000, null=True, optional=True, says="null: water is at the planters")
    start_tap = Text(40, null=True, optional=True, says="Begins and ends at this tap")
    away = Several(Day(), 100, optional=True)


class Member(Answer):
    person = Text()
    name = Text()
    weekdays = Several(Whole(0, 6))
    minutes = Whole()
    mode = Choice(MODES)
    tank_l = Number(null=True)
    start_tap = Text(null=True)
    away = Several(Day())
    version = Whole()


class PacedWay(Answer):
    one = Text()
    other = Text()
    metres = Number()


class WayBody(Ask):
    one = Text(40, shortest=1, says="Id of a planter or tap")
    other = Text(40, shortest=1)
    metres = Number(0, 100000, null=True, says="null: as reckoned again")


class WaysBody(Ask):
    ways = ListOf(WayBody, 500, least=1)


class Ways(Answer):
    ways = ListOf(PacedWay)


class WayFrom(Answer):
    other = Within(Named)
    metres = Number(says="As the plan reckons with it")
    how = Choice(WAY_HOW, says="Paced out, by the straight line, or without a position")


class WaysFrom(Answer):
    place = Within(Named)
    ways = ListOf(WayFrom)


class CrewAnswer(Answer):
    taps = ListOf(Tap)
    crew = ListOf(Member)
    ways = ListOf(PacedWay)


class PlannedStop(Answer):
    planter = Text()
    name = Text()
    site = Within(Named)
    litres_l = Number(null=True, says="null: nothing was planned for it")
    low_l = Number(null=True)
    high_l = Number(null=True)
    minutes = Number(null=True)
    way_m = Number(null=True, says="From the stop before, by way of the tap")
    new_leg = Truth(says="The way here is driven")
    refill_at = Text(null=True, says="Tap at which the tank is filled on the way here")
    loads = Whole(1, says="Tank loads it takes")
    tank_left_l = Number(null=True)
    must = Truth()
    chance = Number(null=True, says="Of being dry before the crew's next day, if left out")
    why = Several(Text())


class RoundPlan(Answer):
    id = Text(says="round-YYYY-MM-DD-person")
    person = Within(Named)
    mode = Choice(MODES)
    tank_l = Number(null=True)
    most_minutes = Whole(null=True, says="The person's time")
    start_tap = Text(null=True)
    takes_min = Whole()
    litres_l = Number()
    walk_m = Whole()
    drive_m = Whole()
    back_m = Whole()
    refills = Whole()


class PlannedRound(RoundPlan):
    stops = ListOf(PlannedStop)


class StopLeftOut(Answer):
    planter = Text()
    name = Text()
    why = Several(Text())


class PlannedDay(Answer):
    date = Day()
    rounds = ListOf(PlannedRound)
    left_out = ListOf(StopLeftOut, says="Should be visited that day, and does not fit")


class TradeOff(Answer):
    risk = Number()
    visits = Whole(says="Within two weeks")
    dry = Number(says="Planters to be found dry within them, in the long run")
    chosen = Truth()


class PlanChange(Answer):
    what = Choice(("moved", "added", "dropped"))
    planter = Text()
    sentence = Text()


class PlanAnswer(Answer):
    mark = Text(says="Sent back to tell exactly this plan")
    today = Day()
    run_dry_risk = Number()
    notes = Several(Text(), says="What is missing or does not fit, in words")
    choices = ListOf(TradeOff)
    days = ListOf(PlannedDay)
    changes = ListOf(PlanChange, says="Against what people were told")


class TellBody(Ask):
    mark = Text(64, shortest=1)
    until = Day(null=True, optional=True, says="Tell up to this day; a week ahead by default")


class CardStop(PlannedStop):
    added = Truth(says="Added on site, or taken over without being told")
    state = Choice(STOP_STATES)
    by = Text(null=True)
    at = Moment(null=True)
    record = Text(null=True, says="The check-in, skip or hand-over it rests on")
    reason = Choice(records.SKIP_REASONS, null=True)
    note = Text(null=True)
    handed_by = Text(null=True)


class HandedOn(Answer):
    planter = Text()
    name = Text()
    to = Within(Named)
    state = Choice(STOP_STATES)


class RoundHours(Answer):
    minutes = Whole(says="To the quarter hour, half up")
    exact_min = Number(null=True)
    by_hand = Truth()
    under_way = Truth()
    started_at = Moment(null=True)
    ended_at = Moment(null=True)


class RoundCard(RoundPlan):
    seq = Whole()
    day = Day()
    told_at = Moment(null=True, says="null: nobody planned it")
    state = Choice(ROUND_STATES)
    stops = ListOf(CardStop, says="In order: as told, then what came to it")
    handed_on = ListOf(HandedOn, says="Told to this person, now somebody else's")
    hours = Within(RoundHours, null=True)
    cautions = Several(Text())


class ToldAnswer(Answer):
    rounds = ListOf(RoundCard)


class HoursQuery(Ask):
    first = Day(optional=True)
    last = Day(optional=True)


class HoursRow(RoundHours):
    round = Text()
    day = Day()
    person = Within(Named)
    sentence = Text()


class HoursTotal(Answer):
    person = Within(Named)
    minutes = Whole()


class HoursAnswer(Answer):
    rounds = ListOf(HoursRow)
    people = ListOf(HoursTotal)
    rule = Text()


class CalendarLinkBody(Ask):
    name = Text(NAME, shortest=1, says="Whose calendar or where it is shown")
    person = Text(40, null=True, optional=True, says="Only this person's rounds")

    @validates_schema(skip_on_field_errors=True)
    def _a_person_has_an_id(self, data: dict[str, Any], **_: Any) -> None:
        if data.get("person") == "":
            raise ValidationError("Name a person, or leave this out for all rounds.", "person")


class CalendarLinkMade(Answer):
    id = Text()
    name = Text()
    person = Text(null=True)
    url = Text(says="Shown this once")


class CalendarLinkRow(Answer):
    id = Text()
    name = Text()
    person = Text(null=True)
    made_at = Moment()
    revoked_at = Moment(null=True)


class CalendarLinks(Answer):
    links = ListOf(CalendarLinkRow)
