"""The card of a round: one person, one day. Every phone keeps all of them, so two see each other.

What was told is kept as it was; what became of each stop is folded from the log.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from potrounds.domain.calendar import TownCalendar
from potrounds.domain.planter import lifting_caution
from potrounds.domain.round_course import Course, Hours, StopState
from potrounds.domain.rounds import first_name, read_round_key, round_key
from potrounds.domain.spoken import spoken_celsius, spoken_day
from potrounds.services import weather_record
from potrounds.services.crew_view import backflow_caution
from potrounds.services.moments import day_text, stamp
from potrounds.services.round_day import course_of, people_names
from potrounds.services.today import NO_WATER_BEFORE_FREEZE_DAYS
from potrounds.store import derived, log, log_rounds, register, rounds
from potrounds.store.log import Sent

#: Cards of rounds stay on the phones so long; the log keeps everything.
KEPT_DAYS = 14
#: A high from which work in the open needs care. OSHA, Using the Heat Index: from 91 degF on;
#: the forecast says no humidity, so the air's own temperature stands in for the index.
HOT_C = 32.8
WET_PAVING = "Stop when the overflow runs: water on the paving is slippery."


def is_round(key: str) -> bool:
    """Whether a card's key is that of a round."""
    return key.startswith(derived.ROUND)


def keys() -> list[str]:
    """The keys of all rounds that were told, or that somebody's record names."""
    return sorted({one.key for one in rounds.told(date.min)} | log_rounds.rounds_named())


def keys_touched(sent: Sent, calendar: TownCalendar) -> set[str]:
    """The rounds whose cards a record may change."""
    seen, ahead = {sent.id}, sent
    while ahead.replaces and ahead.replaces not in seen:
        original = log.find(ahead.replaces)
        if original is None:
            break
        seen.add(original.id)
        ahead = original
    if ahead.kind == "decision":
        return log_rounds.rounds_decided(ahead.planter, str(ahead.body.get("flag")))
    if ahead.kind not in ("check-in", "round", "stop"):
        return set()
    body = ahead.body
    found = read_round_key(str(body.get("round") or ""))
    if found is None and ahead.kind != "check-in":
        return set()
    day = found[0] if found else calendar.local_day(ahead.observed_at)
    keys_ = {one.key for one in rounds.told(day, day)}
    if found or keys_:
        keys_ |= log_rounds.rounds_named(f"round-{day.isoformat()}-")
    return keys_ | ({round_key(*found)} if found else set())


class RoundCards:
    """Makes cards; a day is folded once for all its rounds."""

    def __init__(self, calendar: TownCalendar, today: date) -> None:
        self.calendar, self.today = calendar, today
        self.names = people_names()
        self._courses: dict[date, Course] = {}
        self._planters: dict[str, dict[str, Any]] | None = None

    def card(self, key: str) -> dict[str, Any] | None:
        """One card without its number; None where there is no such round, or it is long over."""
        found = read_round_key(key)
        if found is None or found[0] < self.today - timedelta(days=KEPT_DAYS):
            return None
        day, person = found
        if person not in self.names:
            return None
        told = {one.person: one for one in rounds.told(day, day)}
        course = self._course(day)
        own = told.get(person)
        mine = course.of(person)
        if own is None and not mine and person not in course.hours:
            return None
        snapshots = {stop["planter"]: stop for one in told.values() for stop in one.plan["stops"]}
        plan = own.plan if own else EMPTY_PLAN
        away = [one for one in course.stops if one.told_to == person and one.person != person]
        hours = course.hours.get(person)
        return {
            "id": key,
            "day": day_text(day),
            "person": {"id": person, "name": self.names[person]},
            "told_at": stamp(own.told_at) if own else None,
            "state": _state(mine, hours),
            **{name: plan[name] for name in EMPTY_PLAN if name != "stops"},
            "stops": [self._stop(one, snapshots) for one in mine],
            "handed_on": [
                {
                    "planter": one.planter,
                    "name": self._planter(one.planter)["name"],
                    "to": {"id": one.person, "name": self.names.get(one.person, "")},
                    "state": one.state,
                }
                for one in away
            ],
            "hours": _hours(hours),
            "cautions": self._cautions(day, plan, mine),
        }

    def _course(self, day: date) -> Course:
        if day not in self._courses:
            self._courses[day] = course_of(day, self.calendar)
        return self._courses[day]

    def _planter(self, planter: str) -> dict[str, Any]:
        if self._planters is None:
            sites = {one.id: one.name for one in register.sites()}
            self._planters = {
                row.id: {"name": row.name, "site": {"id": row.site, "name": sites[row.site]}}
                for row in register.planters()
            }
        nowhere = {"name": planter, "site": {"id": "", "name": ""}}
        return self._planters.get(planter, nowhere)

    def _stop(self, one: StopState, snapshots: Mapping[str, Any]) -> dict[str, Any]:
        snapshot = snapshots.get(one.planter, EMPTY_STOP)
        return {
            **EMPTY_STOP,
            **snapshot,
            "planter": one.planter,
            **self._planter(one.planter),
            "must": snapshot.get("must", False) or bool(one.asked),
            "why": list(dict.fromkeys([*snapshot.get("why", ()), *one.asked])),
            "added": one.told_to is None,
            "state": one.state,
            "by": one.by,
            "at": stamp(one.at),
            "record": one.record,
            "reason": one.reason,
            "note": one.note or None,
            "handed_by": one.handed_by,
        }

    def _cautions(
        self, day: date, plan: Mapping[str, Any], mine: tuple[StopState, ...]
    ) -> list[str]:
        said = []
        high = next(
            (row.tmax_c for row in weather_record.latest_forecast(self.today) if row.date == day),
            None,
        )
        if high is not None and high >= HOT_C:
            said.append(
                f"Hot: {spoken_celsius(high)} is forecast. Go early, drink often, rest in the "
                "shade, and do not go alone."
            )
        if self.calendar.freeze_within(day, NO_WATER_BEFORE_FREEZE_DAYS) is not None:
            said.append("A freeze is near: no top-up, water on the paving becomes ice.")
        elif mine:
            said.append(WET_PAVING)
        tank = plan["tank_l"]
        if tank and (lift := lifting_caution(tank)):
            said.append(f"The full tank: {lift[0].lower()}{lift[1:]}")
        used = {stop["refill_at"] for stop in plan["stops"] if stop["refill_at"]}
        used |= {plan["start_tap"]} - {None}
        for tap in rounds.taps():
            if tap.id in used:
                said.append(backflow_caution(tap.name, tap.vacuum_breaker))
        return list(dict.fromkeys(said))


EMPTY_STOP: dict[str, Any] = {
    "planter": "",
    "litres_l": None,
    "low_l": None,
    "high_l": None,
    "minutes": None,
    "way_m": None,
    "new_leg": False,
    "refill_at": None,
    "loads": 1,
    "tank_left_l": None,
    "must": False,
    "chance": None,
    "why": [],
}
EMPTY_PLAN: dict[str, Any] = {
    "mode": "foot",
    "tank_l": None,
    "most_minutes": None,
    "start_tap": None,
    "takes_min": 0,
    "litres_l": 0.0,
    "walk_m": 0,
    "drive_m": 0,
    "back_m": 0,
    "refills": 0,
    "stops": [],
}


def _state(mine: tuple[StopState, ...], hours: Hours | None) -> str:
    if hours is not None and hours.ended_at is not None and not hours.under_way:
        return "ended"
    if hours is not None and hours.under_way:
        return "under-way"
    if mine and all(one.state != "to-do" for one in mine):
        return "ended"
    return "under-way" if any(one.state == "done" for one in mine) else "planned"


def _hours(hours: Hours | None) -> dict[str, Any] | None:
    if hours is None:
        return None
    return {
        "minutes": hours.minutes,
        "exact_min": None if hours.exact_min is None else round(hours.exact_min, 1),
        "by_hand": hours.by_hand,
        "under_way": hours.under_way,
        "started_at": stamp(hours.started_at),
        "ended_at": stamp(hours.ended_at),
    }


def hours_of(
    calendar: TownCalendar, first: date, last: date, person: str | None
) -> list[dict[str, Any]]:
    """Hours by round, of one person or of all, oldest first."""
    names = people_names()
    days = {
        found[0]
        for key in log_rounds.rounds_named()
        if (found := read_round_key(key)) is not None and first <= found[0] <= last
    }
    return [
        {
            "round": round_key(day, whose),
            "day": day_text(day),
            "person": {"id": whose, "name": names.get(whose, "")},
            **(_hours(hours) or {}),
            "sentence": _hours_words(hours, day, first_name(names.get(whose, ""))),
        }
        for day in sorted(days)
        for whose, hours in sorted(course_of(day, calendar).hours.items())
        if person in (None, whose)
    ]


def _hours_words(hours: Hours, day: date, name: str) -> str:
    spent = f"{hours.minutes // 60} h {hours.minutes % 60:02d} min"
    if hours.under_way and not hours.by_hand:
        return f"{name}, {spoken_day(day)}: begun and not ended. Put the minutes in by hand."
    if hours.exact_min is None:
        return f"{name}, {spoken_day(day)}: no sure times. Put the minutes in by hand."
    return f"{name}, {spoken_day(day)}: {spent}{', by hand' if hours.by_hand else ''}."
