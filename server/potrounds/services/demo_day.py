"""The demo town as it stood on an earlier day: what came later is left out of its files' content.

Autumn shows little of summer's work. An earlier day shows water, heat and rounds with litres.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from potrounds.domain.spoken import spoken_day
from potrounds.services.moments import read_moment, stamp
from potrounds.services.refusal import Refusal
from potrounds.store.weather import FORECAST, WeatherRow
from potrounds.weather import WeatherDay

#: By then everything is planted and has been visited a few times.
SETTLED_DAYS = 60
MORNING = time(7, 30)
FORECAST_DAYS = 7


def as_of(story: dict[str, Any], day: date) -> dict[str, Any]:
    """The town's story up to the morning of a day; the same, where that is its own last day.

    Raises: Refusal 422 for a day on which there is no such town yet, or no more.
    """
    zone = ZoneInfo(story["zone"])
    end, start = _at(story["clock"]).astimezone(zone), _at(story["loaded_from"])
    first = (start + timedelta(days=SETTLED_DAYS)).date()
    if not first <= day <= end.date():
        detail = (
            f"The demo town can be opened on a day from {spoken_day(first)} to "
            f"{spoken_day(end.date())} {end.year}."
        )
        raise Refusal(422, "demo-day", "Not a day of the demo town", detail)
    if day == end.date():
        return story
    clock = datetime.combine(day, MORNING, zone)
    told = {**story, "clock": stamp(clock)}
    told["nights"] = [
        one for one in story["nights"] if one["kind"] == "recorded" and one["date"] <= f"{day}"
    ]
    told["plantings"] = [one for one in story["plantings"] if one["planted_on"] <= f"{day}"]
    told["phones"] = [
        _phone(one, clock) for one in story["phones"] if _at(one["first_seen"]) <= clock
    ]
    told["planters"] = [_tags(one, clock) for one in story["planters"]]
    return told


def forecast(table: Iterable[WeatherDay], today: date) -> list[WeatherRow]:
    """The week ahead as it came: an invented town's forecast is right."""
    return [
        WeatherRow(
            day.date, FORECAST, today, day.tmin_c, day.tmax_c, day.rain_mm, day.wind_ms, "csv"
        )
        for day in table
        if 0 <= (day.date - today).days < FORECAST_DAYS
    ]


def _at(text: str) -> datetime:
    moment = read_moment(text)
    if moment is None:
        raise ValueError(f"{text!r} in the demo town is no moment")
    return moment


def _phone(phone: dict[str, Any], clock: datetime) -> dict[str, Any]:
    return {**phone, "last_seen": stamp(min(_at(phone["last_seen"]), clock))}


def _tags(planter: dict[str, Any], clock: datetime) -> dict[str, Any]:
    """The tag a planter wore then: one that was lost later is still on."""
    old = [one for one in planter["old_codes"] if _at(one["retired_at"]) <= clock]
    later = [one for one in planter["old_codes"] if one not in old]
    code = later[0]["code"] if later else planter["code"]
    return {**planter, "old_codes": old, "code": code}
