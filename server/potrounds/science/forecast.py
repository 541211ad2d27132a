"""Days until empty, and litres to the brim, from a planter's guesses and the weather to come."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from potrounds.science.calibration import Calibration, _systematic
from potrounds.science.ensemble import (
    DAY_NOISE,
    TRIM_BACK,
    Floats,
    Q,
    Settings,
    canopy_use,
    faults_at,
    move_day,
    settings_of,
    wet_day_use,
)
from potrounds.science.water_balance import Stores
from potrounds.science.weather_ahead import Ahead

EMPTY_SHARE = 0.03  # a reservoir at or below this share is empty
ELEMENTS = 8192  # moved at a time, so that they stay in the processor's cache
RENEW_STEPS = 3
# Few draws are for towns of thousands: past the first days two are moved at once.
COARSE_DRAWS, FIRST_DAYS, ALL_DAYS = 40, 8, 10_000


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
    sky = _sky(ahead, draws, today.toordinal(), e.noise)
    block = max(8, ELEMENTS // draws)
    for start in range(0, planters, block):
        part = slice(start, min(start + block, planters))
        rows = wanted[part]
        w = np.exp(e.log_weight[rows] - e.log_weight[rows].max(axis=1, keepdims=True))
        w = w.astype(np.float64)
        w /= w.sum(axis=1, keepdims=True)
        chosen = _systematic(w, draws)[:, order]
        q = np.take_along_axis(e.q[:, rows], chosen[None], axis=2)
        s = settings_of(
            q,
            e.mix_l[rows],
            e.reservoir_l[rows],
            e.area_m2[rows],
            e.planted[rows],
            calibration.kind[chosen],
        )
        room = np.maximum(s.capacity - q[Q.RESERVOIR], 0.0)
        top[part] = np.median(room, axis=1)
        spread[part] = room.std(axis=1)
        days[part] = _run(q, s, today.toordinal(), sky, e.exposure[rows], levels[:, part])
    days.sort(axis=1)
    return Forecast(days, top, spread, levels)


def _run(
    q: Floats, s: Settings, today: int, sky: Sky, exposure: npt.NDArray[np.intp], levels: Floats
) -> Floats:
    """Day on which each draw first falls to the empty share; inf past the horizon."""
    stores, trim = Stores(q[Q.RESERVOIR], q[Q.MIX]), q[Q.TRIM]
    threshold = EMPTY_SHARE * s.capacity
    days = np.where(stores.reservoir <= threshold, 0.0, np.inf).astype(np.float32)
    for k, (day, length) in enumerate(sky.steps):
        if length > 1 and sky.steps[k - 1][1] == 1:  # from here several days go at once
            s = replace(s, rate=s.rate * length, gain=s.gain * length)
        if k % RENEW_STEPS == 0:  # canopy and supposed faults change slowly
            use = canopy_use(s, today + day + 1, trim * TRIM_BACK**day)
            leak, limit = faults_at(s, today + day)
        if day < len(levels):
            levels[day : day + length] = stores.reservoir / s.capacity
        demand = use * sky.et0[k][exposure]
        after = move_day(s, stores, demand, sky.rain[k], leak * length, limit * length)
        crossed = (after.reservoir <= threshold) & (days == np.inf)
        if crossed.any():
            fell = stores.reservoir - after.reservoir
            part = np.clip((stores.reservoir - threshold) / np.maximum(fell, 1e-6), 0.0, 1.0)
            days = np.where(crossed, day + length * part, days)
            if day >= len(levels) and np.isfinite(days).all():
                break
        stores = after
    return days


class Sky(NamedTuple):
    """Scenarios with each draw's day noise in them: et0 [step, exposure, draw], rain [step, draw].

    steps: first day and length in days of each.
    """

    steps: list[tuple[int, int]]
    et0: Floats
    rain: Floats


def _sky(ahead: Ahead, draws: int, today: int, noise: Floats) -> Sky:
    horizon = ahead.rain_mm.shape[1]
    sky_et0 = np.moveaxis(ahead.et0_mm[:, :draws].astype(np.float32), 2, 0)
    rows = [np.roll(noise[(today * 3 + d) % len(noise)], d * 7)[:draws] for d in range(horizon)]
    shaken = np.exp(np.float32(DAY_NOISE) * np.stack(rows))
    rain = np.ascontiguousarray(ahead.rain_mm[:draws].T, np.float32)
    et0 = np.ascontiguousarray(sky_et0 * (shaken * wet_day_use(rain))[:, None])
    daily = min(horizon, ALL_DAYS if draws > COARSE_DRAWS else FIRST_DAYS)
    starts = [*range(daily), *range(daily, horizon, 2)]
    ends = [*starts[1:], horizon]
    steps = [(a, b - a) for a, b in zip(starts, ends, strict=True)]
    return Sky(steps, np.add.reduceat(et0, starts), np.add.reduceat(rain, starts))


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
