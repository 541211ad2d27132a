"""Weather of the demo's season: a river town with hot dry summers and its first freeze in October.

April to 9 October come from a seeded generator (temperatures that remember the day before, wet
spells, showers); the days around the town's clock are written out, because the story needs them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

WEATHER_SEED = 2039  # picked for a summer like the one described

FIRST, LAST = date(2026, 4, 1), date(2026, 10, 31)
LATITUDE = 46.5
# month: (mean high C, mean low C, share of wet days, mm on a wet day)
NORMALS = {
    4: (16.5, 5.0, 0.34, 5.0),
    5: (21.0, 9.5, 0.3, 6.5),
    6: (27.0, 14.5, 0.2, 8.0),
    7: (31.0, 17.5, 0.12, 9.0),
    8: (30.5, 17.0, 0.12, 9.5),
    9: (24.5, 12.0, 0.2, 8.0),
    10: (17.0, 7.0, 0.3, 6.0),
}
HEAT_WAVES = ((date(2026, 7, 8), date(2026, 7, 17)), (date(2026, 8, 9), date(2026, 8, 14)))
WRITTEN = {  # day of October: (low, high, rain)
    10: (8.2, 17.9, 0.0),
    11: (9.4, 15.2, 14.6),
    12: (7.9, 13.8, 6.2),
    13: (6.1, 16.4, 0.0),
    14: (5.0, 17.6, 0.0),
    15: (6.4, 18.3, 0.0),
    16: (8.8, 14.1, 18.4),
    17: (7.2, 14.9, 1.2),
    18: (4.4, 16.0, 0.0),
    19: (3.6, 15.4, 0.0),
    20: (5.1, 14.2, 0.0),
    21: (6.3, 13.5, 0.4),
    22: (3.7, 11.8, 0.0),
    23: (3.2, 11.0, 0.0),
    24: (1.1, 9.6, 0.0),
    25: (-2.3, 8.4, 0.0),
    26: (-0.8, 9.1, 0.0),
    27: (1.9, 10.2, 2.8),
}
FORECAST = {21: 6.0, 22: 4.0, 23: 3.0, 24: 1.5, 25: -2.0, 26: -1.0}


@dataclass(frozen=True)
class Day:
    """One day's weather."""

    date: date
    tmin_c: float
    tmax_c: float
    rain_mm: float
    sun_h: float
    et0_mm: float

    @property
    def sky(self) -> str:
        if self.rain_mm > 1:
            return "rain"
        return "sun" if self.sun_h > 6 else "cloud"


def _sun(day: date) -> tuple[float, float]:
    """Extraterrestrial radiation [MJ m-2] and day length [h], FAO-56 equations 21, 24 and 34."""
    j = day.timetuple().tm_yday
    phi, decl = math.radians(LATITUDE), 0.409 * math.sin(2 * math.pi * j / 365 - 1.39)
    near = 1 + 0.033 * math.cos(2 * math.pi * j / 365)
    set_angle = math.acos(-math.tan(phi) * math.tan(decl))
    part = set_angle * math.sin(phi) * math.sin(decl)
    part += math.cos(phi) * math.cos(decl) * math.sin(set_angle)
    return 24 * 60 / math.pi * 0.0820 * near * part, 24 * set_angle / math.pi


def _hargreaves(day: date, low: float, high: float) -> float:
    """Reference evapotranspiration [mm], FAO-56 equation 52."""
    if high <= low:
        return 0.0
    return 0.0023 * ((low + high) / 2 + 17.8) * math.sqrt(high - low) * 0.408 * _sun(day)[0]


def _normal(day: date, which: int) -> float:
    """A month's mean, drawn smoothly from mid-month to mid-month."""
    if day.day < 15:
        before = max(4, day.month - 1)
        share = (day.day + 15) / 30
        return NORMALS[before][which] * (1 - share) + NORMALS[day.month][which] * share
    after = min(10, day.month + 1)
    share = (day.day - 15) / 30
    return NORMALS[day.month][which] * (1 - share) + NORMALS[after][which] * share


def season() -> dict[date, Day]:
    """Make every day from April to October."""
    rng = Random(f"{WEATHER_SEED}:weather")
    days: dict[date, Day] = {}
    warm, wet = 0.0, False
    day = FIRST
    while day <= LAST:
        warm = 0.72 * warm + rng.gauss(0, 1.7)
        heat = any(a <= day <= b for a, b in HEAT_WAVES)
        share = _normal(day, 2) * (1.9 if wet else 0.75)
        wet = rng.random() < share and not heat
        rain = round(rng.expovariate(1 / _normal(day, 3)) + 0.2, 1) if wet else 0.0
        high = _normal(day, 0) + warm + (3.0 if heat else 0) - (3.0 if wet else -0.6)
        low = _normal(day, 1) + 0.7 * warm + (1.8 if heat else 0) + (1.0 if wet else 0)
        low = min(low, high - 3)
        bright = (0.32 if wet else 0.78) + rng.uniform(-0.14, 0.16)
        if day.month == 10 and day.day in WRITTEN:
            low, high, rain = WRITTEN[day.day]
            bright = 0.3 if rain > 1 else 0.62
        low, high = round(low, 1), round(high, 1)
        sun = round(min(0.95, bright) * _sun(day)[1], 1)
        days[day] = Day(day, low, high, rain, sun, _hargreaves(day, low, high))
        day += timedelta(days=1)
    return days


def nights(days: dict[date, Day]) -> list[dict[str, object]]:
    """Lows as the coordinator typed them: recorded so far in October, and the forecast."""
    recorded = [d for d in days.values() if date(2026, 10, 1) <= d.date <= date(2026, 10, 20)]
    rows: list[dict[str, object]] = [
        {"date": d.date.isoformat(), "low_c": d.tmin_c, "kind": "recorded"} for d in recorded
    ]
    for number, low in FORECAST.items():
        rows.append({"date": f"2026-10-{number}", "low_c": low, "kind": "forecast"})
    return rows


def rows(days: dict[date, Day]) -> list[list[str]]:
    """The lines of weather.csv."""
    head = ["date", "tmin_c", "tmax_c", "rain_mm", "sun_h"]
    body = [
        [d.date.isoformat(), f"{d.tmin_c}", f"{d.tmax_c}", f"{d.rain_mm}", f"{d.sun_h}"]
        for d in days.values()
    ]
    return [head, *body]
