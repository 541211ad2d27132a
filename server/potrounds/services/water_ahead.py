"""What lies ahead of a planter nobody fills: days until empty and until stress, litres to pour."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from potrounds.domain.water import Band, Outlook, SeriesDay, TopUpDay
from potrounds.science.ensemble import (
    Floats,
    Q,
    canopy_use,
    faults_at,
    move_day,
    settings_of,
    wet_day_use,
)
from potrounds.science.forecast import forecast, quantiles
from potrounds.science.water_balance import Stores
from potrounds.science.weather_ahead import Ahead
from potrounds.services.water_pass import BAND, Morning, Values
from potrounds.services.water_season import Season

HORIZON_DAYS = 40
DRAWS = 256
TOP_UP_DAYS = 15
USE_DAYS = 7
#: Share of the mix's available water at which plants feel the want of it. Judgement: two thirds of
#: the share below which the balance lets them use less.
STRESS_SHARE = 0.2


def outlooks(season: Season, morning: Morning, ahead: Ahead, rows: list[int]) -> list[Outlook]:
    """What lies ahead of some planters, nobody filling; `rows` are their places."""
    some = np.array(rows)
    found = forecast(
        morning.state.calibration,
        season.today,
        ahead,
        morning.state.draws,
        only=some,
        levels_for=TOP_UP_DAYS + 1,
    )
    days = morning.state.honesty.spread(found.days_to_empty)
    empty = quantiles(days, BAND)
    dry = np.sort(_days_to_stress(season, morning, ahead, some), axis=1)
    stress = quantiles(morning.state.honesty.spread(dry), BAND)
    share = np.clip(found.levels, 0.0, 1.0)
    levels = np.quantile(share, BAND, axis=2)  # [band, day, planter]
    out = []
    for at, row in enumerate(rows):
        capacity = season.facts[row].reservoir_l
        top = tuple(
            _top_up(season.today + timedelta(days=day), capacity, levels[:, day, at])
            for day in range(TOP_UP_DAYS)
        )
        top = (_told_today(top[0], min(float(found.top_up_l[at]), capacity)), *top[1:])
        use = np.quantile(_use(season, morning, ahead, row), BAND)
        chance = tuple(float(np.mean(days[at] < day + 1)) for day in range(HORIZON_DAYS))
        out.append(
            Outlook(
                _band(empty[:, at]),
                _band(stress[:, at]),
                chance,
                top,
                Band(*(float(one) for one in use)),
                _series(season, morning, row, capacity * levels[:, :, at]),
            )
        )
    return out


def _top_up(day: date, capacity: float, levels: Values) -> TopUpDay:
    low, mid, high = (capacity * (1.0 - float(levels[band])) for band in (2, 0, 1))
    return TopUpDay(day, mid, low, high)


def _told_today(top: TopUpDay, litres_l: float) -> TopUpDay:
    """Today's best single figure, which weighs how much each guess holds; inside its range."""
    low, high = min(top.low_l, litres_l), max(top.high_l, litres_l)
    return replace(top, litres_l=litres_l, low_l=low, high_l=high)


def _band(values: Values) -> Band:
    return Band(*(float(one) if one < HORIZON_DAYS else None for one in values))


def _series(season: Season, morning: Morning, row: int, levels: Values) -> tuple[SeriesDay, ...]:
    """Mornings up to today as believed then, and those to come."""
    today = season.today
    past = [
        _series_day(day, then[:, row], False)
        for day, then in sorted(morning.levels.items())
        if day < today
    ]
    future = [
        _series_day(today + timedelta(days=day), levels[:, day], day > 0)
        for day in range(TOP_UP_DAYS)
    ]
    return (*past[-35:], *future)


def _series_day(day: date, band: Values, ahead: bool) -> SeriesDay:
    return SeriesDay(day, float(band[0]), float(band[1]), float(band[2]), ahead)


def _use(season: Season, morning: Morning, ahead: Ahead, row: int) -> Values:
    """Litres a day over the coming week, a figure for each guess that counts."""
    calibration, today = morning.state.calibration, season.today.toordinal()
    e = calibration.ensemble
    rows = np.array([row])
    settings = calibration.settings_at(rows)
    et0 = np.maximum(ahead.et0_mm.astype(np.float32), np.float32(0.0))[
        e.exposure[row], :, :USE_DAYS
    ]
    mean = np.full((1, 1), et0.mean(), np.float32)
    demand = canopy_use(settings, today + USE_DAYS // 2, e.q[Q.TRIM, rows]) * mean
    weight = np.exp(e.log_weight[row] - e.log_weight[row].max()).astype(np.float64)
    order = np.argsort(demand[0])
    edges = np.cumsum(weight[order]) / weight.sum()
    places = np.searchsorted(edges, (np.arange(DRAWS) + 0.5) / DRAWS)
    return np.asarray(demand[0][order][np.minimum(places, order.size - 1)])


def _days_to_stress(season: Season, morning: Morning, ahead: Ahead, rows: np.ndarray) -> Floats:
    """Days until the mix is too dry, [planter, draw]; inf past the horizon."""
    calibration, e = morning.state.calibration, morning.state.calibration.ensemble
    count = min(DRAWS, ahead.rain_mm.shape[0])
    weight = np.exp(e.log_weight[rows] - e.log_weight[rows].max(axis=1, keepdims=True))
    edges = np.cumsum(weight.astype(np.float64), axis=1)
    edges /= edges[:, -1:]
    want = (np.arange(count) + 0.5) / count
    chosen = np.array([np.searchsorted(edge, want) for edge in edges])
    chosen = np.minimum(chosen, e.q.shape[2] - 1)
    mixed = np.random.Generator(np.random.PCG64(count)).permutation(count)
    chosen = chosen[:, mixed]
    q = np.take_along_axis(e.q[:, rows], chosen[None], axis=2)
    s = settings_of(
        q,
        e.mix_l[rows],
        e.reservoir_l[rows],
        e.area_m2[rows],
        e.planted[rows],
        calibration.kind[chosen],
    )
    stores, today = Stores(q[Q.RESERVOIR], q[Q.MIX]), season.today.toordinal()
    days = np.full(chosen.shape, np.inf, np.float32)
    et0 = np.maximum(ahead.et0_mm.astype(np.float32), np.float32(0.0))
    for day in range(HORIZON_DAYS):
        dry = (stores.mix < STRESS_SHARE * s.mix_held) & ~np.isfinite(days)
        days[dry] = day
        rain = ahead.rain_mm[:count, day].astype(np.float32)
        et0_today = et0[e.exposure[rows], :count, day] * wet_day_use(rain)
        demand = canopy_use(s, today + day, q[Q.TRIM]) * et0_today
        stores = move_day(s, stores, demand, rain, *faults_at(s, today + day))
    return days
