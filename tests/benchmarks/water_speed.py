"""How fast and how large: a town's season with a forecast a planter a day, and one check-in.

    python tests/benchmarks/water_speed.py [--planters 10000] [--days 200]

Prints processor seconds, peak memory and ratios to the plain balance (one guess a planter, no
learning) over the same days.
"""

from __future__ import annotations

import argparse
import resource
import sys
import time
from datetime import date, timedelta
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "server"))

from potrounds.science.ensemble import PlanterFacts
from potrounds.science.evidence import CheckIns
from potrounds.science.season import Season
from potrounds.science.water_balance import Stores, step_day
from potrounds.science.weather_ahead import Days, Normals

FIRST = date(2023, 4, 1)
NORMALS = Normals(
    np.array([0, 1, 3, 6, 10, 13, 15, 15, 12, 8, 4, 1.0]),
    np.array([6, 8, 12, 16, 20, 24, 27, 27, 23, 17, 10, 7.0]),
    np.full(12, 0.3),
    np.full(12, 5.0),
    np.full(12, 2.5),
)


def town(count: int, rng: np.random.Generator) -> list[PlanterFacts]:
    suns, winds = ("full", "part", "shade"), ("sheltered", "open", "windy")
    return [
        PlanterFacts(
            f"P{i:05d}",
            float(v),
            float(v) * 0.25,
            float(v) / 310,
            suns[i % 3],
            winds[i % 2],
            FIRST + timedelta(int(i % 20)),
        )
        for i, v in enumerate(rng.uniform(30, 180, count))
    ]


def sky(rng: np.random.Generator, day: date, count: int) -> Days:
    low = rng.normal(12, 3, count)
    rain = np.where(rng.random(count) < 0.25, rng.exponential(5, count), 0.0)
    return Days(day, low, low + rng.uniform(6, 14, count), rain, rng.uniform(1, 4, count))


def visits(rng: np.random.Generator, rows: np.ndarray, size: np.ndarray) -> CheckIns:
    level = rng.integers(0, 5, rows.size) / 4
    litres = np.where(level < 0.8, np.round((1 - level) * size[rows]), 0.0)
    litres = np.where(rng.random(rows.size) < 0.1, np.nan, litres)
    ran = (rng.random(rows.size) < 0.3) & (np.nan_to_num(litres) > 0)
    columns = (level, litres, ran.astype(float), np.full(rows.size, 5.0))
    return CheckIns(rows, *(np.asarray(c, np.float32)[:, None] for c in columns))


def plain_balance(count: int, days: int, ahead: int) -> tuple[float, float]:
    """Seconds of the balance alone over the days, and with a forecast run each day."""
    size = np.linspace(8, 45, count)
    out = []
    for horizon in (0, ahead):
        stores, began = Stores(size.copy(), size.copy()), time.process_time()
        for _ in range(days):
            run = stores
            for _ in range(horizon):
                run, _ = step_day(run, mix_capacity=size, reservoir_capacity=size, demand=2.0)
            stores, _ = step_day(stores, mix_capacity=size, reservoir_capacity=size, demand=2.0)
        out.append(time.process_time() - began)
    return out[0], out[1]


def season_seconds(count: int, days: int) -> float:
    rng = np.random.default_rng(1)
    facts = town(count, rng)
    size = np.array([f.reservoir_l for f in facts])
    began = time.process_time()
    season = Season(facts, 48.0, NORMALS, FIRST)
    for i in range(days):
        day = FIRST + timedelta(i)
        rows = np.flatnonzero(rng.random(count) < 1 / 7)
        season.assess_day(day, sky(rng, day, 7), visits(rng, rows, size), sky(rng, day, 1))
    return time.process_time() - began


def one_check_in_ms(repeats: int = 20) -> float:
    """One planter of a small town: its check-in taken and its forecast renewed."""
    rng = np.random.default_rng(2)
    facts = town(24, rng)
    size = np.array([f.reservoir_l for f in facts])
    season = Season(facts, 48.0, NORMALS, FIRST)
    for i in range(60):
        day = FIRST + timedelta(i)
        rows = np.flatnonzero(rng.random(24) < 1 / 7)
        season.assess_day(day, sky(rng, day, 7), visits(rng, rows, size), sky(rng, day, 1))
    season.begin_day(FIRST + timedelta(60), sky(rng, FIRST + timedelta(60), 7))
    times = []
    for k in range(repeats):
        row, began = np.array([k % 24]), time.process_time()
        season.check_in(visits(rng, row, size))
        season.forecast(row)
        season.alarms()
        times.append(time.process_time() - began)
    return 1000 * float(np.median(times))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--planters", type=int, default=10_000)
    parser.add_argument("--days", type=int, default=200)
    a = parser.parse_args()
    took = season_seconds(a.planters, a.days)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
    alone, with_forecast = plain_balance(a.planters, a.days, 40)
    one = one_check_in_ms()
    print(f"{a.planters} planters x {a.days} days, forecast each day: {took:.1f} s, {peak:.2f} GiB")
    print(f"plain balance, same days: {alone:.2f} s, ratio {took / alone:.0f}")
    print(f"plain balance with a 40-day run each day: {with_forecast:.1f} s, ", end="")
    print(f"ratio {took / with_forecast:.1f}")
    print(f"one check-in with its forecast: {one:.1f} ms")


if __name__ == "__main__":
    main()
