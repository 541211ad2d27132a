"""A town with weather, its planters measured, and a season of check-ins."""

from __future__ import annotations

import itertools
import math
from datetime import date, timedelta
from typing import Any

import pytest

from desk import Desk, Phone
from potrounds.services import register, town_settings, weather

SEASON = 48  # days from the season's first weather to the desk's day, 4 May 2026


@pytest.fixture(autouse=True)
def same_ids(monkeypatch: pytest.MonkeyPatch) -> None:
    """A planter's guesses are drawn by its id: the same ids give the same figures in every run."""
    numbers = itertools.count(1)
    monkeypatch.setattr(register, "short_id", lambda prefix: f"{prefix}-{next(numbers):08d}")


@pytest.fixture
def town(desk: Desk) -> Desk:
    """A town with latitude and weather since 17 March, its planters measured."""
    town_settings.change_settings(desk.ctx, {"latitude": 48.2})
    for planter in (desk.planter, desk.other_planter):
        version = register.one_planter(planter)["version"]
        sizes = {"mix_l": 66.0, "top_area_m2": 0.21}
        register.change_planter(desk.ctx, planter, sizes, version)
    weather.import_days(desk.ctx, a_table(), dry_run=False)
    return desk


def a_table(days: int = SEASON, warmer: float = 0.0) -> bytes:
    lines = ["date,tmin_c,tmax_c,rain_mm,wind_ms"]
    for ago in range(days, 0, -1):
        day = date(2026, 5, 4) - timedelta(ago)
        wave = math.sin(ago)
        low, high = 8 + wave + warmer, 21 + 2 * wave + warmer
        lines.append(f"{day},{low:.1f},{high:.1f},0.0,2.0")
    return "\n".join(lines).encode()


def a_season(phone: Phone, planter: str = "", **last: Any) -> list[str]:
    """A check-in a week: read, filled until the overflow ran, litres written down."""
    bodies = [
        {"level": 0.5, "litres_l": 8.0, "overflow": "ran-while-filling", "plants": 5}
        for _ in range(6)
    ]
    bodies[-1] |= last
    return [
        phone.record(planter=planter, ago=timedelta(days=7 * (6 - number)), body=body)
        for number, body in enumerate(bodies)
    ]


def doubts(desk: Desk, planter: str = "") -> str:
    return " ".join(water(desk, planter)["doubts"])


def water(desk: Desk, planter: str = "") -> dict[str, Any]:
    found = desk.card(planter)["water"]
    assert found is not None
    return dict(found)
