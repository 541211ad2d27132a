"""A day's rounds read from what was told and from the log."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from potrounds.domain.calendar import TownCalendar
from potrounds.domain.round_course import Course, course
from potrounds.domain.rounds import Told
from potrounds.store import log_rounds, people, rounds

#: Check-ins are looked for so many days around a round: phones with wrong clocks come late.
AROUND_DAYS = 3


def people_names() -> dict[str, str]:
    """Names of everybody who may hold a stop."""
    return {one.id: one.name for one in people.people() if one.state == "active"}


def course_of(day: date, calendar: TownCalendar) -> Course:
    """How the rounds of a day went."""
    told = [
        Told(one.day, one.person, tuple(stop["planter"] for stop in one.plan["stops"]))
        for one in rounds.told(day, day)
    ]
    midnight = datetime.combine(day, time(), ZoneInfo(calendar.zone))
    around = timedelta(days=AROUND_DAYS)
    prefix = f"round-{day.isoformat()}-"
    records = log_rounds.records_around(prefix, midnight - around, midnight + around)
    return course(day, told, records, set(people_names()), calendar.zone)
