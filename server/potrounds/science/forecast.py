"""Days until empty, and litres to the brim, from a planter's guesses and the weather to come."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from potrounds.science.calibration import Calibration, _systematic
from potrounds.science.ensemble import (
    DAY_NOISE,
    TRIM_BACK,
    Floats,
    Q,
    demand_of,
    felt_et0,
    move_day,
    settings_of,
)
from potrounds.science.water_balance import Stores
from potrounds.science.weather_ahead import Ahead

EMPTY_SHARE = 0.03  # a reservoir at or below this share is empty
BLOCK = 64


@dataclass(frozen=True)
class Forecast:
    """Per planter: quantiles of days until empty (inf: past the horizon) and top-up today."""

    days_to_empty: Floats  # [planter, draw], sorted
    top_up_l: Floats  # [planter]
    top_up_sd_l: Floats
    levels: Floats  # share of the reservoir at the start of each coming day [day, planter, draw]


def forecast(
    calibration: Calibration,
    today: date,
    ahead: Ahead,
    draws: int = 64,
    only: np.ndarray | None = None,
    levels_for: int = 0,
) -> Forecast:
    """Run a choice of each planter's guesses through the scenarios, nobody filling.

    only : the planters wanted; all without it; levels_for : days ahead whose levels are kept
    """
    e = calibration.ensemble
    wanted = np.arange(e.q.shape[1]) if only is None else only
    planters = wanted.size
    days = np.empty((planters, draws), np.float32)
    top = np.empty(planters, np.float32)
    spread = np.empty(planters, np.float32)
    levels = np.empty((levels_for, planters, draws), np.float32)
    order = np.random.Generator(np.random.PCG64(draws)).permutation(draws)
    for start in range(0, planters, BLOCK):
        part = slice(start, min(start + BLOCK, planters))
        rows = wanted[part]
        w = np.exp(e.log_weight[rows] - e.log_weight[rows].max(axis=1, keepdims=True))
        w = w.astype(np.float64)
        w /= w.sum(axis=1, keepdims=True)
        chosen = _systematic(w, draws)[:, order]
        q = np.take_along_axis(e.q[:, rows], chosen[None], axis=2)
        s = settings_of(
            q, e.mix_l[rows], e.reservoir_l[rows], e.area_m2[rows], e.planted[rows],
            calibration.kind[chosen],
        )
        room = np.maximum(s.capacity - q[Q.RESERVOIR], 0.0)
        top[part] = np.median(room, axis=1)
        spread[part] = room.std(axis=1)
        days[part] = _run(q, s, today.toordinal(), ahead, e.exposure[rows], e.noise, levels[:, part])
    days.sort(axis=1)
    return Forecast(days, top, spread, levels)


def _run(q, s, today: int, ahead: Ahead, exposure, noise, levels: Floats) -> Floats:
    draws = q.shape[2]
    stores = Stores(q[Q.RESERVOIR], q[Q.MIX])
    trim = q[Q.TRIM]
    threshold = EMPTY_SHARE * s.capacity
    days = np.where(stores.reservoir <= threshold, 0.0, np.inf).astype(np.float32)
    horizon = ahead.rain_mm.shape[1]
    et0 = felt_et0(ahead.et0_mm.astype(np.float32))
    rain = ahead.rain_mm.astype(np.float32)
    for day in range(horizon):
        if day < len(levels):
            levels[day] = stores.reservoir / s.capacity
        z = np.exp(np.float32(DAY_NOISE) * np.roll(noise[(today * 3 + day) % len(noise)], day * 7)[:draws])
        demand = demand_of(s, today + day, et0[exposure, :, day] * z, trim)
        after = move_day(s, stores, today + day, demand, rain[:, day], True)
        fell = stores.reservoir - after.reservoir
        crossed = (after.reservoir <= threshold) & (days == np.inf)
        if crossed.any():
            part = np.clip((stores.reservoir - threshold) / np.maximum(fell, 1e-6), 0.0, 1.0)
            days = np.where(crossed, day + part, days)
            if day >= len(levels) and np.isfinite(days).all():
                break
        stores = after
        trim = trim * TRIM_BACK
    return days


def quantiles(days: Floats, levels: tuple[float, ...]) -> Floats:
    """Quantiles of each row of sorted draws, [level, planter]; inf past the horizon."""
    n = days.shape[1]
    out = []
    for level in levels:
        at = level * n - 0.5
        low = int(np.clip(np.floor(at), 0, n - 1))
        high = min(low + 1, n - 1)
        part = np.float32(np.clip(at - low, 0.0, 1.0))
        a, b = days[:, low], days[:, high]
        with np.errstate(invalid="ignore"):
            value = np.where(np.isinf(b) & (part < 0.5), a, a + part * (b - a))
        out.append(np.where(np.isnan(value), np.inf, value))
    return np.array(out)
