"""Freeze dates from a station's own record of daily lows: chances of the first and the last one.

A season runs from 1 August to 31 July, half a year later south of the equator, so that a winter
lies whole in it. In each, two days count: the first (fall) and the last (spring) on which the low,
rounded to a whole degF, was at or below a threshold. Two distributions then make the odds: the
share q of seasons in which such a day came at all, and a normal distribution of the days of those
seasons.

Source: NOAA, Climatography of the U.S. No. 20, Supplement 1 (from memory); the method gives the
station page of Clemson Univ, SC, 1971-2000, back in 52 of 54 dates, the others by a day.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import NormalDist, fmean, stdev

#: First frost on plants, freeze, hard freeze. [degF] US National Weather Service, Jackson office.
THRESHOLDS_F = (36, 32, 28)
#: Chances that are told. [%]
CHANCES = tuple(range(10, 100, 10))
#: Below so many seasons no odds are told, only the days seen; thirty are wanted.
LEAST_SEASONS = 20
#: Days that are missing count from so long before the earliest first date on record, and until so
#: long after the latest last one: farther off they hide no freeze. [days] Judgement.
MARGIN_DAYS = 14
#: Where none ever came: October to April. [days of the season] Judgement.
COLD_DAYS = (61, 273)
#: The last day of a season that is no leap year's.
LAST_DAY = 364

Days = Sequence[int | None]


@dataclass(frozen=True)
class SeasonDays:
    """One season at one threshold: days since its start, None where no such low came.

    A gap is the first missing day that could hide an earlier first or a later last day.
    """

    year: int
    fall: int | None
    spring: int | None
    fall_gap: int | None = None
    spring_gap: int | None = None


@dataclass(frozen=True)
class Odds:
    """The chances at one threshold, of one end of the winter.

    `share`: seasons in which it came. By chance [%], days since the season's start: by the two
    distributions, and as counted (Weibull); None where it does not come so often.
    """

    threshold_f: int
    seasons: int
    share: float
    normal: Mapping[int, int | None]
    counted: Mapping[int, int | None]


def whole_f(low_c: float) -> int:
    """A low in whole degF, half up. [degF]

    Stations keep tenths of degC: 28 degF comes back as 28.04, which is not below 28 unrounded.
    """
    return math.floor(low_c * 1.8 + 32.0 + 0.5)


def season_start(year: int, southern: bool) -> date:
    """The first day of the season that is named by that year."""
    return date(year, 2 if southern else 8, 1)


def season_of(day: date, southern: bool) -> int:
    """The season a day lies in, named by the year it begins in."""
    return day.year if day >= season_start(day.year, southern) else day.year - 1


def day_in_season(days: int, year: int, southern: bool) -> date:
    """The month and day so far into a season without a leap day, in the season of that year.

    Source: the published tables name days of a year of 365; a 29 February is none of them.
    """
    usual = season_start(2001, southern) + timedelta(days=min(max(days, 0), LAST_DAY))
    return date(year + usual.year - 2001, usual.month, usual.day)


def by_season(lows_f: Mapping[date, int], southern: bool) -> dict[int, list[int | None]]:
    """Every season that the record touches, as a list of its days; None where a low is missing."""
    found: dict[int, list[int | None]] = {}
    for day, low in lows_f.items():
        year = season_of(day, southern)
        start = season_start(year, southern)
        if year not in found:
            length = (season_start(year + 1, southern) - start).days
            found[year] = [None] * length
        found[year][(day - start).days] = low
    return dict(sorted(found.items()))


def season_days(seasons: Mapping[int, list[int | None]], threshold_f: int) -> list[SeasonDays]:
    """First and last day at or below a threshold in each season, and what a gap might hide."""
    ends = {}
    for year, lows in seasons.items():
        cold = [n for n, low in enumerate(lows) if low is not None and low <= threshold_f]
        ends[year] = (cold[0], cold[-1]) if cold else (None, None)
    firsts = [first for first, _ in ends.values() if first is not None]
    lasts = [last for _, last in ends.values() if last is not None]
    begin, end = COLD_DAYS
    if firsts and lasts:
        begin, end = max(0, min(firsts) - MARGIN_DAYS), max(lasts) + MARGIN_DAYS
    return [
        SeasonDays(
            year,
            first,
            last,
            _gap(lows, begin, end if first is None else first - 1),
            _gap(lows, begin if last is None else last + 1, end),
        )
        for (year, lows), (first, last) in zip(seasons.items(), ends.values(), strict=True)
    ]


def _gap(lows: list[int | None], begin: int, end: int) -> int | None:
    """The first day without a low from one day to another, both included."""
    days = range(begin, min(end, len(lows) - 1) + 1)
    return next((n for n in days if lows[n] is None), None)


def odds_of(threshold_f: int, days: Days, fall: bool) -> Odds:
    """The odds from one day a season (None: did not come in that season).

    Raises: ValueError with fewer than LEAST_SEASONS seasons.
    """
    if len(days) < LEAST_SEASONS:
        raise ValueError(f"odds need {LEAST_SEASONS} seasons, not {len(days)}")
    return Odds(
        threshold_f=threshold_f,
        seasons=len(days),
        share=sum(day is not None for day in days) / len(days),
        normal={chance: two_part_normal(days, chance / 100, fall) for chance in CHANCES},
        counted={chance: weibull(days, chance / 100, fall) for chance in CHANCES},
    )


def two_part_normal(days: Days, chance: float, fall: bool) -> int | None:
    """The day before which (fall) or after which (spring) it comes with that chance.

    Parameters: days : one a season, since its start, None where it did not come. [days]
    Returns: days since the season's start, half up; None where it does not come so often, or came
    too seldom to say.
    Source: mean + sd * z(p / q) in fall, mean + sd * z(1 - p / q) in spring, with the sample's sd;
    see the head of this file.
    """
    came = [day for day in days if day is not None]
    if len(came) < 2 or chance >= len(came) / len(days):
        return None
    part = chance * len(days) / len(came)
    spread = stdev(came)
    z = NormalDist().inv_cdf(part if fall else 1 - part)
    return math.floor(fmean(came) + spread * z + 0.5)


def weibull(days: Days, chance: float, fall: bool) -> int | None:
    """The same day counted off the record itself, with no curve laid through it.

    A season without such a day counts as one in which it is still to come.

    Source: plotting position i / (n + 1) of Weibull; between two places the straight line.
    """
    came = sorted((day for day in days if day is not None), reverse=not fall)
    place = chance * (len(days) + 1)
    low = math.floor(place + 1e-9)
    if low < 1 or place > len(came) + 1e-9:
        return None
    part = place - low
    after = came[min(low, len(came) - 1)]
    return math.floor(came[low - 1] + part * (after - came[low - 1]) + 0.5)
