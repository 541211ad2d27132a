"""The town's record of daily lows, and what it says of the first and the last freeze."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from typing import Any

from potrounds.domain.spoken import spoken_count, spoken_day
from potrounds.science import freeze_dates
from potrounds.science.freeze_dates import (
    CHANCES,
    LEAST_SEASONS,
    THRESHOLDS_F,
    Odds,
    SeasonDays,
)
from potrounds.services.moments import day_text
from potrounds.store import lows, register

METHOD = "two-part-normal"
FREEZE_F = 32
WARN_CHANCE = 10
Line = dict[str, Any]


@dataclass(frozen=True)
class Record:
    """What was worked out of the record; nothing in it depends on the day it is read."""

    first: date
    last: date
    lows: int
    missing: int
    southern: bool
    seasons: dict[int, tuple[SeasonDays, ...]]
    fall: dict[int, Odds | None]
    spring: dict[int, Odds | None]

    @property
    def enough(self) -> bool:
        """Whether odds can be told at every threshold."""
        return all((*self.fall.values(), *self.spring.values()))


def record() -> Record | None:
    """The town's record; None where nobody brought one."""
    about = lows.about()
    if about is None:
        return None
    return _worked_out(about.mark, (register.setting("latitude") or 0.0) < 0)


@lru_cache(maxsize=4)
def _worked_out(mark: str, southern: bool) -> Record | None:
    """Kept in memory by the record's mark, as every card of the town asks for it."""
    found = lows.read()
    if not found:
        return None
    days = sorted(found)
    seasons = freeze_dates.by_season(
        {day: freeze_dates.whole_f(low) for day, low in found.items()}, southern
    )
    of = {f: tuple(freeze_dates.season_days(seasons, f)) for f in THRESHOLDS_F}
    return Record(
        first=days[0],
        last=days[-1],
        lows=len(days),
        missing=(days[-1] - days[0]).days + 1 - len(days),
        southern=southern,
        seasons=of,
        fall={f: _odds(f, [one.fall for one in of[f] if one.fall_gap is None], True) for f in of},
        spring={
            f: _odds(f, [one.spring for one in of[f] if one.spring_gap is None], False) for f in of
        },
    )


def _odds(threshold_f: int, days: Sequence[int | None], fall: bool) -> Odds | None:
    if len(days) < LEAST_SEASONS:
        return None
    return freeze_dates.odds_of(threshold_f, days, fall)


def warn_on() -> date | None:
    """The day by which it has frozen (32 °F) in one year of ten; only month and day matter."""
    found = record()
    odds = found.fall[FREEZE_F] if found and found.enough else None
    days = odds.normal[WARN_CHANCE] if odds else None
    if found is None or days is None:
        return None
    return freeze_dates.day_in_season(days, found.last.year, found.southern)


def odds_card(today: date) -> Line | None:
    """The odds as the town's card tells them, in days of the present season; None without."""
    found = record()
    if found is None or not found.enough:
        return None
    odds = found.fall[FREEZE_F]
    return {
        "years": odds.seasons if odds else 0,
        "from": found.first.year,
        "to": found.last.year,
        "method": METHOD,
        "fall": [_public(one, found, today) for one in found.fall.values() if one],
        "spring": [_public(one, found, today) for one in found.spring.values() if one],
        "observed": _observed(found)[-10:],
    }


def _public(odds: Odds, found: Record, today: date) -> Line:
    year = freeze_dates.season_of(today, found.southern)

    def day(days: int | None) -> str | None:
        if days is None:
            return None
        return day_text(freeze_dates.day_in_season(days, year, found.southern))

    return {
        "f": odds.threshold_f,
        "years": odds.seasons,
        "share": round(odds.share, 3),
        **{f"p{chance}": day(odds.normal[chance]) for chance in CHANCES},
        "counted": {f"p{chance}": day(odds.counted[chance]) for chance in CHANCES},
    }


def record_card(names: dict[str, str]) -> Line | None:
    """The record itself: what it covers, what was left out of the odds and why, the days seen."""
    found, about = record(), lows.about()
    if found is None or about is None:
        return None
    return {
        "station": about.station,
        "brought_at": about.at,
        "brought_by": names.get(about.by or ""),
        "from": day_text(found.first),
        "to": day_text(found.last),
        "missing": found.missing,
        "southern": found.southern,
        "too_few": None if found.enough else _too_few(found),
        "skipped": _skipped(found),
        "observed": _observed(found),
    }


def _too_few(found: Record) -> str:
    fall = sum(one.fall_gap is None for one in found.seasons[FREEZE_F])
    spring = sum(one.spring_gap is None for one in found.seasons[FREEZE_F])
    return (
        f"The record has {spoken_count(fall, 'whole fall')} and "
        f"{spoken_count(spring, 'whole spring')}. Odds need {LEAST_SEASONS}, better 30: below are "
        "the days seen, and no chance is told."
    )


def _skipped(found: Record) -> list[Line]:
    """Seasons that count at one end or neither, at 32 degF, and the day that is missing."""
    lines = []
    for one in found.seasons[FREEZE_F]:
        start = freeze_dates.season_start(one.year, found.southern)
        for what, gap in (("fall", one.fall_gap), ("spring", one.spring_gap)):
            if gap is None:
                continue
            missing = start + timedelta(days=gap)
            if missing < found.first:
                why = f"The record begins on {_long(found.first)}."
            elif missing > found.last:
                why = f"The record ends on {_long(found.last)}."
            elif what == "fall":
                why = f"No low for {_long(missing)}, before the first freeze seen."
            else:
                why = f"No low for {_long(missing)}, after the last freeze seen."
            lines.append({"year": one.year, "what": what, "why": why})
    return lines


def _long(day: date) -> str:
    return f"{spoken_day(day)} {day.year}"


def _observed(found: Record) -> list[Line]:
    """The days seen, a season each; a day that a gap makes doubtful is left out."""
    lines = []
    for index, season in enumerate(found.seasons[FREEZE_F]):
        start = freeze_dates.season_start(season.year, found.southern)

        def day(days: int | None, gap: int | None, start: date = start) -> str | None:
            if days is None or gap is not None:
                return None
            return day_text(start + timedelta(days=days))

        at = {f: found.seasons[f][index] for f in THRESHOLDS_F}
        lines.append(
            {
                "year": season.year,
                "fall": [day(at[f].fall, at[f].fall_gap) for f in THRESHOLDS_F],
                "spring": [day(at[f].spring, at[f].spring_gap) for f in THRESHOLDS_F],
            }
        )
    return lines
