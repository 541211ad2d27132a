"""The weather on record without holes, what is usual here, and what is odd about it in words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from potrounds.store import register, weather
from potrounds.store.weather import OBSERVED, WeatherRow

NORMALS = "weather_normals"
NORMAL_KEYS = ("tmin_c", "tmax_c", "wet_day_share", "rain_per_wet_day_mm", "wind_ms")
FILLED = "filled"
WET_MM = 0.2
#: Neighbours speak for a gap no longer than this; beyond it what is usual does. Judgement.
NEAR_DAYS = 3
#: A month's own mean counts from so many days on. Judgement.
MONTH_DAYS = 10
#: A usual year by latitude, where nothing is on record: mean of the year and half its swing.
#: Judgement, fitted by eye to inland towns of middle latitudes; it moves to the days there are.
YEAR_MEAN_C, COOLER_A_DEGREE, SWING_A_DEGREE, DAY_RANGE_C = 27.0, 0.36, 0.22, 9.5
WARMEST_NORTH, WARMEST_SOUTH = 200, 17
USUAL_WET_SHARE, USUAL_RAIN_MM, USUAL_WIND_MS = 0.3, 5.0, 2.0
#: So many days over such a part of the year's course tell which half of the world they are from.
HEMISPHERE_DAYS, HEMISPHERE_SPAN, HEMISPHERE_SLOPE_C = 40, 0.5, 3.0
STALE_DAYS = 4


@dataclass(frozen=True)
class Month:
    """What is usual in a month."""

    tmin_c: float
    tmax_c: float
    wet_day_share: float
    rain_per_wet_day_mm: float
    wind_ms: float


def place() -> tuple[float | None, float]:
    """The town's latitude, if it is set, and its elevation."""
    return register.setting("latitude"), register.setting("elevation_m") or 0.0


def usual_year(rows: Iterable[WeatherRow], latitude: float) -> tuple[Month, ...]:
    """What is usual, January first: as a coordinator gave it, or as the days on record have it.

    A month with few days takes the usual course of its latitude, moved to the other months.
    """
    given = register.setting(NORMALS)
    if given:
        return tuple(Month(**{key: month[key] for key in NORMAL_KEYS}) for month in given)
    by_month: dict[int, list[WeatherRow]] = {}
    for row in rows:
        by_month.setdefault(row.date.month, []).append(row)
    known = {month: days for month, days in by_month.items() if len(days) >= MONTH_DAYS}
    off = [_mean_c(days) - _course_c(latitude, month * 30.4 - 15) for month, days in known.items()]
    shift = sum(off) / len(off) if off else 0.0
    everything = [row for days in known.values() for row in days]
    return tuple(
        _month(known[month], everything)
        if month in known
        else _guessed_month(latitude, month, shift, everything)
        for month in range(1, 13)
    )


def _month(days: list[WeatherRow], everything: list[WeatherRow]) -> Month:
    share, amount, wind = _rain_and_wind(days, everything)
    return Month(
        _mean(row.tmin_c for row in days), _mean(row.tmax_c for row in days), share, amount, wind
    )


def _guessed_month(
    latitude: float, month: int, shift: float, everything: list[WeatherRow]
) -> Month:
    mean = _course_c(latitude, month * 30.4 - 15) + shift
    half = DAY_RANGE_C / 2
    if everything:
        half = _mean(row.tmax_c - row.tmin_c for row in everything) / 2
    share, amount, wind = _rain_and_wind(everything, everything)
    return Month(mean - half, mean + half, share, amount, wind)


def _rain_and_wind(
    days: list[WeatherRow], everything: list[WeatherRow]
) -> tuple[float, float, float]:
    rain = [row.rain_mm for row in days if row.rain_mm is not None]
    wet = [mm for mm in rain if mm > WET_MM]
    share = (len(wet) + 3 * USUAL_WET_SHARE) / (len(rain) + 3)
    amount = (sum(wet) + 3 * USUAL_RAIN_MM) / (len(wet) + 3)
    winds = [row.wind_ms for row in days if row.wind_ms is not None]
    winds = winds or [row.wind_ms for row in everything if row.wind_ms is not None]
    return share, amount, _mean(winds) if winds else USUAL_WIND_MS


def _mean(values: Iterable[float]) -> float:
    found = list(values)
    return sum(found) / len(found)


def _mean_c(days: list[WeatherRow]) -> float:
    return _mean((row.tmin_c + row.tmax_c) / 2 for row in days)


def _season_wave(latitude: float, day_of_year: float) -> float:
    """1 on the warmest day of a usual year, -1 on the coldest."""
    warmest = WARMEST_NORTH if latitude >= 0 else WARMEST_SOUTH
    return math.cos(2 * math.pi * (day_of_year - warmest) / 365.25)


def _course_c(latitude: float, day_of_year: float) -> float:
    wave = _season_wave(latitude, day_of_year) * SWING_A_DEGREE
    return YEAR_MEAN_C + (wave - COOLER_A_DEGREE) * abs(latitude)


def without_gaps(
    rows: Iterable[WeatherRow], first: date, last: date, usual: tuple[Month, ...]
) -> list[WeatherRow]:
    """Every day from first to last: as observed, or filled in and marked so."""
    known = {row.date: row for row in rows}
    days = (first + timedelta(days=n) for n in range((last - first).days + 1))
    return [known.get(day) or _filled(day, known, usual) for day in days]


def _filled(day: date, known: dict[date, WeatherRow], usual: tuple[Month, ...]) -> WeatherRow:
    month = usual_day(day, usual)
    before = _near(day, known, -1)
    after = _near(day, known, 1)
    low, high = month.tmin_c, month.tmax_c
    if before and after:
        part = (day - before.date).days / (after.date - before.date).days
        low = before.tmin_c + part * (after.tmin_c - before.tmin_c)
        high = before.tmax_c + part * (after.tmax_c - before.tmax_c)
    rain = month.wet_day_share * month.rain_per_wet_day_mm
    return WeatherRow(
        day, OBSERVED, None, round(low, 1), round(high, 1), round(rain, 1), None, FILLED
    )


def _near(day: date, known: dict[date, WeatherRow], way: int) -> WeatherRow | None:
    around = (day + timedelta(days=way * n) for n in range(1, NEAR_DAYS + 1))
    return next((known[one] for one in around if one in known), None)


def usual_day(day: date, usual: tuple[Month, ...]) -> Month:
    """What is usual on a day, from mid-month to mid-month."""
    at = (day.timetuple().tm_yday - 15.2) / 30.44
    low, part = math.floor(at), at - math.floor(at)
    a, b = usual[low % 12], usual[(low + 1) % 12]
    return Month(*(x + part * (y - x) for x, y in zip(_values(a), _values(b), strict=True)))


def _values(month: Month) -> tuple[float, ...]:
    return tuple(getattr(month, key) for key in NORMAL_KEYS)


def notes(today: date) -> list[str]:
    """What stands between this town and a good water forecast, in words for its coordinator."""
    latitude, _ = place()
    rows = weather.observed(since=today - timedelta(days=366))
    if latitude is None:
        return ["The town's latitude is not set. Without it nothing is said about water use."]
    if not rows:
        return [
            "No weather is on record. Water use is a guess from a usual year at this latitude: "
            "type highs, lows and rain, or bring a table."
        ]
    said = []
    if other_half_of_the_world(rows, latitude):
        half = "north" if latitude >= 0 else "south"
        said.append(
            "The weather on record is warm when it should be cold: it fits the other half of the "
            f"world. Look at the latitude ({abs(latitude):g}° {half}) and at the table."
        )
    gap = (today - rows[-1].date).days
    if gap > STALE_DAYS:
        said.append(
            f"The last day of weather on record is {gap} days ago; what is usual stands in for "
            "the days since."
        )
    return said


def other_half_of_the_world(rows: Sequence[WeatherRow], latitude: float) -> bool:
    """Whether the weather is warm when it should be cold at this latitude."""
    waves = [_season_wave(latitude, row.date.timetuple().tm_yday) for row in rows]
    if len(rows) < HEMISPHERE_DAYS or max(waves) - min(waves) < HEMISPHERE_SPAN:
        return False
    means = [(row.tmin_c + row.tmax_c) / 2 for row in rows]
    wave, mean = _mean(waves), _mean(means)
    spread = sum((one - wave) ** 2 for one in waves)
    slope = sum((a - wave) * (b - mean) for a, b in zip(waves, means, strict=True)) / spread
    return slope < -HEMISPHERE_SLOPE_C


def latest_forecast(today: date) -> list[WeatherRow]:
    """The newest forecast, from today on; one issued long ago speaks for nothing."""
    issued = weather.forecasts(since=today - timedelta(days=STALE_DAYS))
    newest = max((row.issued_on for row in issued if row.issued_on), default=None)
    return [row for row in issued if row.issued_on == newest and row.date >= today]


def public(row: WeatherRow) -> dict[str, Any]:
    """A day as the web shows it."""
    issued = row.issued_on.isoformat() if row.issued_on else None
    return {**vars(row), "date": row.date.isoformat(), "issued_on": issued}
