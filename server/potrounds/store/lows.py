"""The station's record of daily lows: one row a calendar year, as sixty years are read at once."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from potrounds.store import register
from potrounds.store.tables_place import LowsOfYear

ABOUT = "lows_record"


@dataclass(frozen=True)
class About:
    """Where the record is from, who brought it last, and a mark that changes with it."""

    mark: str
    station: str | None
    at: str | None
    by: str | None


def about() -> About | None:
    """What is known of the record; None where there is none."""
    found = register.setting(ABOUT)
    return About(**found) if found else None


def read() -> dict[date, float]:
    """All lows by day [degC]."""
    lows: dict[date, float] = {}
    for row in LowsOfYear.select().order_by(LowsOfYear.year):
        first = date(row.year, 1, 1)
        for number, low in enumerate(row.lows_c):
            if low is not None:
                lows[first + timedelta(days=number)] = low
    return lows


def put(lows_c: Mapping[date, float], station: str | None, at: str | None, by: str | None) -> None:
    """Keep these lows; a day that is there already takes the new one, all others stay."""
    years: dict[int, list[Any]] = {
        row.year: row.lows_c
        for row in LowsOfYear.select().where(
            LowsOfYear.year.in_(sorted({day.year for day in lows_c}))
        )
    }
    for day, low in lows_c.items():
        days = years.setdefault(day.year, [None] * 366)
        days[day.timetuple().tm_yday - 1] = low
    for year, days in years.items():
        LowsOfYear.insert(year=year, lows_c=days).on_conflict(
            conflict_target=[LowsOfYear.year], update={LowsOfYear.lows_c: days}
        ).execute()
    told = {"mark": secrets.token_hex(8), "station": station, "at": at, "by": by}
    register.set_setting(ABOUT, told)


def forget() -> None:
    """Take the record away: it was another station's."""
    LowsOfYear.delete().execute()
    register.set_setting(ABOUT, None)


def by_year() -> dict[str, Any]:
    """The whole record as a change keeps it: each year's lows, and where they are from."""
    years = {str(row.year): row.lows_c for row in LowsOfYear.select()}
    told = about()
    return {**years, **({"station": told.station} if told else {})}


def put_years(
    years: Mapping[str, Any], station: str | None, at: str | None, by: str | None
) -> None:
    """Put whole years in place of those there are; one of None is taken away."""
    for year, days in years.items():
        LowsOfYear.delete().where(LowsOfYear.year == int(year)).execute()
        if days is not None:
            LowsOfYear.create(year=int(year), lows_c=days)
    if not LowsOfYear.select().exists():
        register.set_setting(ABOUT, None)
        return
    told = {"mark": secrets.token_hex(8), "station": station, "at": at, "by": by}
    register.set_setting(ABOUT, told)
