"""A planter with three seasons behind it: visits and weather out of tables, as towns have them."""

from __future__ import annotations

import math
from datetime import date, timedelta

from desk import Desk
from potrounds.services import history_csv, register, town_settings, weather

FIRST = date(2024, 4, 1)
SEASONS = (2024, 2025, 2026)
LAST = date(2026, 9, 20)
LEVELS = ("full", "three-quarters", "half", "quarter", "empty")
AT_ONCE = 150  # lines of one table


def visit_days(a_season: int) -> list[date]:
    """So many days a season, spread evenly from April to September."""
    days = []
    for year in SEASONS:
        first = date(year, 4, 1)
        span = (min(LAST, date(year, 9, 20)) - first).days
        days += [first + timedelta(round(n * span / (a_season - 1))) for n in range(a_season)]
    return days


def visit_table(planter: str, a_season: int) -> list[str]:
    """A visit a line: level, litres and plants go up and down; every fifth overflows."""
    lines = []
    for n, day in enumerate(visit_days(a_season)):
        level = LEVELS[(n * 7) % 5]
        overflow = "ran-while-filling" if n % 5 == 0 else "not-looked"
        signs = "wilting" if n % 11 == 0 else ""
        litres = f"{0.1 * (n % 83):.2f}" if n % 3 else ""
        plants = 5 - (n // 4) % 5 if n % 2 else ""
        lines.append(f"{planter},{day},09:30,{level},{litres},{overflow},{plants},{signs}")
    return lines


def sky_table(last: date = LAST) -> str:
    """Every day's weather; of every ninth the rain is not known."""
    lines = ["date,tmin_c,tmax_c,rain_mm"]
    for n in range((last - FIRST).days + 1):
        warm = 14 - 11 * math.cos(2 * math.pi * (n + 80) / 365.25)
        rain = "" if n % 9 == 0 else f"{max(0.0, 12 * math.sin(n * 1.7)):.1f}"
        lines.append(f"{FIRST + timedelta(n)},{warm - 6:.1f},{warm + 7 + n % 5:.1f},{rain}")
    return "\n".join(lines)


def live_through(desk: Desk, a_season: int = 150) -> None:
    """Move the clock to September 2026, and bring three seasons of Ferry landing 1."""
    desk.clock.tick(days=(LAST - desk.clock.now().date()).days, hours=4)
    town_settings.change_settings(desk.ctx, {"latitude": 44.0, "spring_from": "04-01"})
    version = register.one_planter(desk.planter)["version"]
    register.change_planter(desk.ctx, desk.planter, {"installed_on": FIRST}, version)
    table = sky_table(LAST - timedelta(1)).splitlines()
    for start in range(1, len(table), 300):
        some = "\n".join([table[0], *table[start : start + 300]])
        report = weather.import_days(desk.ctx, some.encode(), dry_run=False)
        assert not report["errors"], report["errors"][:3]
    lines = visit_table("Ferry landing 1", a_season)
    head = "planter,day,time,level,litres_l,overflow,plants_1_to_5,signs"
    for start in range(0, len(lines), AT_ONCE):
        some = "\n".join([head, *lines[start : start + AT_ONCE]])
        report = history_csv.import_visits(desk.ctx, some.encode(), dry_run=False)
        assert not report["errors"], report["errors"][:3]
