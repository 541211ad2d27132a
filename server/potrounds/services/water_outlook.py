"""From a town's morning to each planter's water: what is there, what lies ahead, what is amiss."""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np

from potrounds.domain.water import Band, Outlook, SeriesDay, TopUpDay, Water
from potrounds.science.calibration import Calibration
from potrounds.science.ensemble import (
    BLOCKED,
    LEAK,
    WICK_FAILED,
    Floats,
    Q,
    canopy_use,
    faults_at,
    move_day,
    settings_of,
    use_of_place,
)
from potrounds.science.forecast import forecast, quantiles
from potrounds.science.water_balance import Stores
from potrounds.science.weather_ahead import Ahead
from potrounds.services.water_pass import BAND, MEMORY, Morning, Values, mark_of, quantiles_of, run
from potrounds.services.water_season import Season

HORIZON_DAYS = 40
DRAWS = 256
TOP_UP_DAYS = 15
USE_DAYS = 7
#: Share of the mix's available water at which plants feel the want of it. Judgement: half of the
#: share below which the balance lets them use less.
STRESS_SHARE = 0.2
#: Fewer others than these are no peers to compare with. Judgement.
LEAST_PEERS = 4
PAST_WATER_DAYS = 120


@dataclass
class TownWater:
    """The water of a town's planters this morning; each planter's part is worked out when asked."""

    season: Season
    morning: Morning
    ahead: Ahead
    _made: dict[str, Water] = field(default_factory=dict)
    _peers: dict[int, tuple[float | None, bool]] | None = None

    def prepare(self, planters: Sequence[str]) -> None:
        """Work out several planters at once, which costs little more than one."""
        places = {facts.key: place for place, facts in enumerate(self.season.facts)}
        rows = [places[key] for key in planters if key in places and key not in self._made]
        if not rows:
            return
        for row, outlook in zip(rows, _outlooks(self, rows), strict=True):
            self._made[self.season.facts[row].key] = self._water(row, outlook)

    def at(self, planter: str) -> Callable[[date], Water | None]:
        """A planter's water by day: today with its outlook, the days before without."""
        self.prepare([planter])
        today = self._made.get(planter)
        keys = [facts.key for facts in self.season.facts]

        def on(day: date) -> Water | None:
            if today is None or day >= self.season.today:
                return today
            return self._past(keys.index(planter), day)

        return on

    def _water(self, row: int, outlook: Outlook) -> Water:
        morning, season = self.morning, self.season
        e = morning.state.calibration.ensemble
        capacity = season.facts[row].reservoir_l
        litres = np.minimum(e.q[Q.RESERVOIR, row : row + 1], capacity)
        level = quantiles_of(litres, e.log_weight[row : row + 1], BAND)[:, 0]
        odds = morning.odds[season.today][row]
        ratio, sure = self.peers().get(row, (None, False))
        return Water(
            season.today,
            capacity,
            Band(*(float(one) for one in level)),
            float(odds[LEAK]),
            float(odds[WICK_FAILED]),
            float(odds[BLOCKED]),
            tuple(morning.looks.get(row, ())),
            ratio,
            sure,
            "none" if not season.any_weather else "forecast" if season.forecast else "observed",
            season.estimated[row],
            season.unsure[row],
            outlook,
            float(morning.overfill[season.today][row]),
        )

    def _past(self, row: int, day: date) -> Water | None:
        odds = self.morning.odds.get(day)
        if odds is None or (self.season.today - day).days > PAST_WATER_DAYS:
            return None
        levels = self.morning.levels.get(day)
        level = (
            Band(None, None, None)
            if levels is None
            else Band(*(float(one) for one in levels[:, row]))
        )
        looks = tuple(look for look in self.morning.looks.get(row, ()) if look.day <= day)
        return Water(
            day,
            self.season.facts[row].reservoir_l,
            level,
            float(odds[row, LEAK]),
            float(odds[row, WICK_FAILED]),
            float(odds[row, BLOCKED]),
            looks,
            overfill=float(self.morning.overfill[day][row]),
        )

    def peers(self) -> dict[int, tuple[float | None, bool]]:
        """How much each planter uses beside the others, place and size allowed for, and whether
        four out of five guesses agree that it is far off."""
        if self._peers is None:
            self._peers = _peers(self.morning.state.calibration, self.season)
        return self._peers


_towns: OrderedDict[bytes, TownWater] = OrderedDict()
MOST_TOWNS = 2


def town_water(season: Season | None) -> TownWater | None:
    """The water of a town; None where nothing can be said.

    The same inputs give the same object again: whoever is about to take the write lock asks
    first, and then again inside it, at no cost.
    """
    if season is None:
        return None
    mark = mark_of(season)
    found = _towns.get(mark)
    if found is None:
        morning = run(season)
        ahead = morning.state._ahead
        if ahead is None:
            return None
        found = _towns[mark] = TownWater(season, morning, ahead)
        while len(_towns) > MOST_TOWNS:
            _towns.popitem(last=False)
    return found


def forget() -> None:
    """Drop all that is kept in memory; everything is worked out anew."""
    _towns.clear()
    MEMORY.mornings.clear()


def _peers(calibration: Calibration, season: Season) -> dict[int, tuple[float | None, bool]]:
    e = calibration.ensemble
    place = np.array([use_of_place(facts) for facts in season.facts], np.float32)
    found = quantiles_of(e.q[Q.USE] - place[:, None], e.log_weight, BAND)
    out: dict[int, tuple[float | None, bool]] = {}
    for row in range(found.shape[1]):
        others = np.delete(found[0], row)
        if others.size < LEAST_PEERS:
            out[row] = (None, False)
            continue
        middle = float(np.median(others))
        low, high = float(found[1, row]) - middle, float(found[2, row]) - middle
        out[row] = (math.exp(float(found[0, row]) - middle), low > 0 or high < 0)
    return out


def _outlooks(town: TownWater, rows: list[int]) -> list[Outlook]:
    season, calibration = town.season, town.morning.state.calibration
    some = np.array(rows)
    found = forecast(
        calibration,
        season.today,
        town.ahead,
        town.morning.state.draws,
        only=some,
        levels_for=TOP_UP_DAYS + 1,
    )
    days = town.morning.state.honesty.spread(found.days_to_empty)
    empty = quantiles(days, BAND)
    stress = quantiles(np.sort(_days_to_stress(town, some), axis=1), BAND)
    share = np.clip(found.levels, 0.0, 1.0)
    levels = np.quantile(share, BAND, axis=2)  # [band, day, planter]
    out = []
    for at, row in enumerate(rows):
        capacity = season.facts[row].reservoir_l
        top = tuple(
            TopUpDay(
                season.today + timedelta(days=day),
                float(found.top_up_l[at]) if day == 0 else capacity * (1.0 - levels[0, day, at]),
                capacity * (1.0 - levels[2, day, at]),
                capacity * (1.0 - levels[1, day, at]),
            )
            for day in range(TOP_UP_DAYS)
        )
        use = np.quantile(_use(town, row), BAND)
        chance = tuple(float(np.mean(days[at] < day + 1)) for day in range(HORIZON_DAYS))
        out.append(
            Outlook(
                _band(empty[:, at]),
                _band(stress[:, at]),
                chance,
                top,
                Band(*(float(one) for one in use)),
                _series(town, row, capacity * levels[:, :, at]),
            )
        )
    return out


def _band(values: Values) -> Band:
    return Band(*(float(one) if one < HORIZON_DAYS else None for one in values))


def _series(town: TownWater, row: int, ahead: Values) -> tuple[SeriesDay, ...]:
    """Mornings up to today as believed then, and those to come."""
    today = town.season.today
    past = [
        _series_day(day, levels[:, row], False)
        for day, levels in sorted(town.morning.levels.items())
        if day < today
    ]
    future = [
        _series_day(today + timedelta(days=day), ahead[:, day], day > 0)
        for day in range(TOP_UP_DAYS)
    ]
    return (*past[-35:], *future)


def _series_day(day: date, band: Values, ahead: bool) -> SeriesDay:
    return SeriesDay(day, float(band[0]), float(band[1]), float(band[2]), ahead)


def _use(town: TownWater, row: int) -> Values:
    """Litres a day over the coming week, a figure for each guess that counts."""
    calibration, today = town.morning.state.calibration, town.season.today.toordinal()
    e = calibration.ensemble
    rows = np.array([row])
    settings = calibration.settings_at(rows)
    et0 = np.maximum(town.ahead.et0_mm.astype(np.float32), np.float32(0.0))[
        e.exposure[row], :, :USE_DAYS
    ]
    mean = np.full((1, 1), et0.mean(), np.float32)
    demand = canopy_use(settings, today + USE_DAYS // 2, e.q[Q.TRIM, rows]) * mean
    weight = np.exp(e.log_weight[row] - e.log_weight[row].max()).astype(np.float64)
    order = np.argsort(demand[0])
    edges = np.cumsum(weight[order]) / weight.sum()
    places = np.searchsorted(edges, (np.arange(DRAWS) + 0.5) / DRAWS)
    return np.asarray(demand[0][order][np.minimum(places, order.size - 1)])


def _days_to_stress(town: TownWater, rows: np.ndarray) -> Floats:
    """Days until the mix is too dry, [planter, draw]; inf past the horizon."""
    calibration, e = town.morning.state.calibration, town.morning.state.calibration.ensemble
    count = min(DRAWS, town.ahead.rain_mm.shape[0])
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
    stores, today = Stores(q[Q.RESERVOIR], q[Q.MIX]), town.season.today.toordinal()
    days = np.full(chosen.shape, np.inf, np.float32)
    et0 = np.maximum(town.ahead.et0_mm.astype(np.float32), np.float32(0.0))
    for day in range(HORIZON_DAYS):
        dry = (stores.mix < STRESS_SHARE * s.mix_held) & ~np.isfinite(days)
        days[dry] = day
        demand = canopy_use(s, today + day, q[Q.TRIM]) * et0[e.exposure[rows], :count, day]
        rain = town.ahead.rain_mm[:count, day].astype(np.float32)
        stores = move_day(s, stores, demand, rain, *faults_at(s, today + day))
    return days
