"""The station's daily lows of the demo: thirty-four invented winters of a river town.

A smooth year by month, a memory from day to day, winters that differ. One October has a week
without lows, so that a season is left out and named.
"""

from __future__ import annotations

import math
from datetime import date, timedelta
from random import Random

SEED = 4631
FIRST, LAST = date(1992, 8, 1), date(2026, 7, 31)
MEAN_F, SWING_F, WARMEST = 42.5, 19.0, 203  # of the lows' year; day of the year
STAYS, SPREAD_F, YEAR_F = 0.66, 4.8, 1.6
MISSING = {date(1999, 10, 9) + timedelta(days=n) for n in range(7)} | {date(2008, 3, 2)}


def lows_f() -> dict[date, int]:
    """The low of every day, in whole degF as a station reads them; a missing one is left out."""
    rng = Random(f"{SEED}:lows")
    found: dict[date, int] = {}
    day, off, year = FIRST, 0.0, 0.0
    while day <= LAST:
        if (day.month, day.day) == (8, 1):
            year = rng.gauss(0, YEAR_F)
        off = STAYS * off + rng.gauss(0, SPREAD_F)
        wave = math.cos(2 * math.pi * (day.timetuple().tm_yday - WARMEST) / 365.25)
        low = round(MEAN_F + SWING_F * wave + off + year)
        if day not in MISSING:
            found[day] = low
        day += timedelta(days=1)
    return found


def rows() -> list[list[str]]:
    """The lines of lows.csv."""
    body = [[day.isoformat(), str(low)] for day, low in lows_f().items()]
    return [["DATE", "TMIN_F"], *body]
