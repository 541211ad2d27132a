"""The one place where check-ins and weather meet the science: a town's season, day by day.

A season is replayed from its start, so that a record that comes late falls into its place and a
rebuild gives the same figures. Mornings on the way are kept in memory under a hash of everything
that led to them; they can be missing, never stale.
"""

from __future__ import annotations

import copy
import hashlib
import threading
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

import numpy as np
import numpy.typing as npt

from potrounds.domain.water import Look
from potrounds.science.ensemble import Q
from potrounds.science.evidence import CheckIns
from potrounds.science.season import Season as ScienceSeason
from potrounds.science.weather_ahead import Days, Normals
from potrounds.services.water_season import Season, Told
from potrounds.services.water_shelf import Shelf
from potrounds.services.weather_record import Month
from potrounds.store.weather import WeatherRow

PAST_SHOWN = 35
#: Mornings kept this many days before today, so that a late record does not cost the whole season.
KEPT_BEFORE = (0, 4, 15, 40, 80)
MOST_KEPT = 6
#: What is believed before a look: all but one in fifty.
LOOK_LEVELS = (0.5, 0.01, 0.99)
BAND = (0.5, 0.1, 0.9)
RAIN_KEPT_OFF, RAIN_LET_IN = -4.0, 0.2  # logit of the share of rain that reaches the mix
Values = npt.NDArray[np.floating]


@dataclass
class Morning:
    """The town on the morning of a day."""

    state: ScienceSeason
    plug_out: set[int] = field(default_factory=set)
    looks: dict[int, list[Look]] = field(default_factory=dict)
    odds: dict[date, Values] = field(default_factory=dict)  # mornings: [planter, supposition]
    overfill: dict[date, Values] = field(default_factory=dict)  # mornings: [planter]
    levels: dict[date, Values] = field(default_factory=dict)  # mornings: [band, planter]

    def kept(self) -> Morning:
        """A copy that goes its own way; tables that never change are shared."""
        c = self.state.calibration
        fixed = [value for name, value in vars(c).items() if name in ("_normals", "_evens")]
        fixed += [c.ensemble.noise, self.state.memory.normals]
        return Morning(
            copy.deepcopy(self.state, {id(one): one for one in fixed}),
            set(self.plug_out),
            {place: list(looks) for place, looks in self.looks.items()},
            dict(self.odds),
            dict(self.overfill),
            dict(self.levels),
        )


def guesses_for(planters: int) -> int:
    """Guesses a planter: as many as a small machine moves through a season in a few seconds."""
    steps = ((24, 8192), (60, 3072), (300, 512))
    return next((guesses for most, guesses in steps if planters <= most), 192)


class Memory:
    """Mornings by the hash of what led to them, the latest used last."""

    def __init__(self) -> None:
        self.mornings: OrderedDict[bytes, Morning] = OrderedDict()
        self.lock = threading.Lock()
        self.shelf: Shelf | None = None

    def get(self, key: bytes) -> Morning | None:
        """A copy of a morning, from memory or from the disk."""
        found = self.mornings.get(key)
        if found is None and self.shelf is not None:
            found = self.shelf.get(key)
            if found is not None:
                self.mornings[key] = found
        if found is None:
            return None
        self.mornings.move_to_end(key)
        return found.kept()

    def put(self, key: bytes, morning: Morning) -> None:
        """Keep a copy of a morning."""
        self.mornings[key] = morning.kept()
        self.mornings.move_to_end(key)
        while len(self.mornings) > MOST_KEPT:
            self.mornings.popitem(last=False)

    def shelve(self, key: bytes) -> None:
        """Keep a morning on disk too, for the next start and for other processes."""
        if self.shelf is not None:
            self.shelf.put(key, self.mornings[key])


MEMORY = Memory()


def run(season: Season, memory: Memory = MEMORY) -> Morning:
    """The town this morning, today's check-ins taken in."""
    with memory.lock:
        keys = _keys(season)
        begin, morning = _start(season, keys, memory)
        for number in range(begin, len(season.weather)):
            day = season.first + timedelta(days=number)
            if (season.today - day).days in KEPT_BEFORE:
                memory.put(keys[number], morning)
            _live(morning, season, day)
            _end(morning, season, season.weather[number])
        if begin < len(season.weather) or not season.weather:
            memory.put(keys[-1], morning)
            memory.shelve(keys[-1])
        _live(morning, season, season.today)
    return morning


def mark_of(season: Season) -> bytes:
    """A hash of all that this morning's figures depend on."""
    told, planted = season.told.get(season.today, ()), season.planted.get(season.today, ())
    now = (season.today, told, planted, season.forecast, season.unsure)
    rest = (season.any_weather, season.estimated)
    return hashlib.sha256(_keys(season)[-1] + repr((now, rest)).encode()).digest()


def _keys(season: Season) -> list[bytes]:
    """A hash for each morning, of all that comes before it."""
    basis = (
        season.facts,
        season.rain_reaches,
        season.plug_out,
        season.latitude,
        season.elevation_m,
        season.usual,
    )
    key = hashlib.sha256(repr((basis, season.first)).encode()).digest()
    keys = [key]
    for row in season.weather:
        told = season.told.get(row.date, ())
        issued = season.issued.get(row.date, ())
        planted = season.planted.get(row.date, ())
        key = hashlib.sha256(key + repr((row, issued, told, planted)).encode()).digest()
        keys.append(key)
    return keys


def _start(season: Season, keys: list[bytes], memory: Memory) -> tuple[int, Morning]:
    for number in range(len(keys) - 1, -1, -1):
        found = memory.get(keys[number])
        if found is not None:
            return number, found
    months = zip(*(vars(month).values() for month in season.usual), strict=True)
    state = ScienceSeason(
        list(season.facts),
        season.latitude,
        Normals(*(np.array(values) for values in months)),
        season.first,
        elevation_m=season.elevation_m,
        guesses=guesses_for(len(season.facts)),
    )
    ensemble = state.calibration.ensemble
    for place, reaches in enumerate(season.rain_reaches):
        if reaches is not None:
            ensemble.q[Q.RAIN, place] *= 0.5
            ensemble.q[Q.RAIN, place] += RAIN_LET_IN if reaches else RAIN_KEPT_OFF
    return 0, Morning(state, plug_out=set(season.plug_out))


def _live(morning: Morning, season: Season, day: date) -> None:
    """Take in a morning's forecast and check-ins."""
    issued = season.forecast if day == season.today else season.issued.get(day)
    morning.state.begin_day(day, days_of(issued) if issued else None)
    if season.planted.get(day):
        morning.state.replant(np.array(season.planted[day]))
    waiting = list(season.told.get(day, ()))
    while waiting:  # a planter visited twice in a day is taken in twice, in order
        now: list[tuple[int, Told]] = []
        later: list[tuple[int, Told]] = []
        seen: set[int] = set()
        for place, told in waiting:
            (later if place in seen else now).append((place, told))
            seen.add(place)
        _take_in(morning, now)
        waiting = later
    _note(morning, season, day)


def _take_in(morning: Morning, visits: Sequence[tuple[int, Told]]) -> None:
    calibration = morning.state.calibration
    e = calibration.ensemble
    rows = np.array([place for place, _ in visits])
    before = quantiles_of(
        e.q[Q.RESERVOIR, rows] / e.reservoir_l[rows], e.log_weight[rows], LOOK_LEVELS
    )
    capacity = calibration.settings_at(rows).capacity
    room = quantiles_of(
        np.maximum(capacity - e.q[Q.RESERVOIR, rows], 0.0), e.log_weight[rows], (0.5,)
    )[0]
    for at, (place, told) in enumerate(visits):
        mid, low, high = (float(before[level, at]) for level in range(3))
        look = Look(
            told.record,
            told.day,
            told.person,
            told.level,
            told.litres_l,
            told.overflow is True,
            mid,
            low,
            high,
            float(room[at]),
        )
        morning.looks.setdefault(place, []).append(look)
        if told.plug_out is not None:
            (morning.plug_out.add if told.plug_out else morning.plug_out.discard)(place)

    def column(values: Sequence[float | None]) -> npt.NDArray[np.float32]:
        return np.array([np.nan if v is None else v for v in values], np.float32)[:, None]

    if any(_says_something(told) for _, told in visits):
        morning.state.check_in(
            CheckIns(
                rows,
                column([told.level for _, told in visits]),
                column([told.litres_l for _, told in visits]),
                column(
                    [
                        told.overflow if told.overflow is None else float(told.overflow)
                        for _, told in visits
                    ]
                ),
                column([told.plants for _, told in visits]),
                column([float(told.trimmed) for _, told in visits]),
                column([float(told.by_hand) for _, told in visits]),
            ),
        )
    for place, told in visits:
        if told.overhead_l:
            e.q[Q.MIX, place] += np.float32(told.overhead_l)
    _run_out(morning)


def _says_something(told: Told) -> bool:
    heard = (told.level, told.litres_l, told.overflow, told.plants)
    return told.trimmed or heard != (None,) * 4


def _run_out(morning: Morning) -> None:
    """With its plug out, a reservoir holds nothing."""
    for place in morning.plug_out:
        morning.state.calibration.ensemble.q[Q.RESERVOIR, place] = 0.0


def _note(morning: Morning, season: Season, day: date) -> None:
    """Keep what is believed this morning, for charts and for how long a flag has been up."""
    calibration = morning.state.calibration
    morning.odds[day] = calibration.fault_odds(day)
    morning.overfill[day] = calibration.overfill.total.copy()
    if (season.today - day).days <= PAST_SHOWN:
        e = calibration.ensemble
        morning.levels[day] = quantiles_of(e.q[Q.RESERVOIR], e.log_weight, BAND)


def _end(morning: Morning, season: Season, row: WeatherRow) -> None:
    """Let a day pass."""
    whole = replace(row, rain_mm=_rain(row, season.usual))
    morning.state.end_day(days_of((whole,)))
    _run_out(morning)


def _rain(row: WeatherRow, usual: tuple[Month, ...]) -> float:
    if row.rain_mm is not None:
        return row.rain_mm
    month = usual[row.date.month - 1]
    return month.wet_day_share * month.rain_per_wet_day_mm


def days_of(rows: Sequence[WeatherRow]) -> Days:
    """Rows of consecutive days as the science takes them."""
    table = np.array(
        [
            [np.nan if v is None else v for v in (r.tmin_c, r.tmax_c, r.rain_mm, r.wind_ms)]
            for r in rows
        ],
        dtype=float,
    )
    return Days(rows[0].date, table[:, 0], table[:, 1], table[:, 2], table[:, 3])


def quantiles_of(values: Values, log_weight: Values, levels: Sequence[float]) -> Values:
    """Weighted quantiles of each planter's guesses, [level, planter]."""
    order = np.argsort(values, axis=1)
    sorted_values = np.take_along_axis(values, order, axis=1)
    weight = np.exp(log_weight - log_weight.max(axis=1, keepdims=True)).astype(np.float64)
    total = np.cumsum(np.take_along_axis(weight, order, axis=1), axis=1)
    total /= total[:, -1:]
    places = [np.minimum((total < level).sum(axis=1), values.shape[1] - 1) for level in levels]
    rows = np.arange(values.shape[0])
    return np.array([sorted_values[rows, place] for place in places])
