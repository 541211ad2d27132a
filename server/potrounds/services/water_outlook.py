"""From a town's morning to each planter's water: what is there, what lies ahead, what is amiss."""

from __future__ import annotations

import hashlib
import math
import threading
from bisect import bisect_right
from collections import OrderedDict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np

from potrounds.domain.water import Band, Outlook, Swap, Water
from potrounds.science.calibration import Calibration
from potrounds.science.ensemble import BLOCKED, LEAK, WICK_FAILED, Q, use_of_place
from potrounds.science.weather_ahead import Ahead
from potrounds.services import weather_record
from potrounds.services.water_ahead import outlooks
from potrounds.services.water_doubts import DOUBT_DAYS, swaps
from potrounds.services.water_pass import BAND, MEMORY, Morning, mark_of, quantiles_of, run
from potrounds.services.water_season import Season

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
    _swaps: dict[int, list[Swap]] | None = None
    _odd: bool | None = None
    _mornings: tuple[dict[date, int], np.ndarray] | None = None

    def prepare(self, planters: Sequence[str]) -> None:
        """Work out several planters at once, which costs little more than one."""
        places = {facts.key: place for place, facts in enumerate(self.season.facts)}
        rows = [places[key] for key in planters if key in places and key not in self._made]
        if not rows:
            return
        for row, outlook in zip(
            rows, outlooks(self.season, self.morning, self.ahead, rows), strict=True
        ):
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
            tuple(self.swaps().get(row, ())),
            self.weather_odd(),
            float(morning.overfill[season.today][row]),
        )

    def past_mark(self, planter: str) -> Callable[[date], bytes]:
        """A hash of what was believed of a planter on a past morning, by day."""
        keys = [facts.key for facts in self.season.facts]
        if planter not in keys:
            return lambda day: b""
        row, facts = keys.index(planter), self.season.facts[keys.index(planter)]
        looks = sorted(self.morning.looks.get(row, ()), key=lambda look: look.day)
        days = [look.day for look in looks]
        chain = [hashlib.sha256(repr(facts.reservoir_l).encode()).digest()]
        for look in looks:
            chain.append(hashlib.sha256(chain[-1] + repr(look).encode()).digest())

        days_kept, figures = self._kept_mornings()
        width = figures.shape[2] * figures.itemsize
        block = figures[:, row].tobytes()

        def on(day: date) -> bytes:
            at = days_kept.get(day)
            if at is None or (self.season.today - day).days > PAST_WATER_DAYS:
                return b""
            return block[at * width : (at + 1) * width] + chain[bisect_right(days, day)]

        return on

    def _kept_mornings(self) -> tuple[dict[date, int], np.ndarray]:
        """All figures of the mornings that are kept: by morning, planter and figure."""
        if self._mornings is None:
            told = self.morning
            places = len(self.season.facts)
            unknown = np.full((places, len(BAND)), np.nan)
            rows = [
                np.column_stack(
                    (
                        told.odds[day],
                        told.levels[day].T if day in told.levels else unknown,
                        told.overfill[day],
                    )
                )
                for day in told.odds
            ]
            empty = np.empty((0, places, 1))
            self._mornings = (
                {day: at for at, day in enumerate(told.odds)},
                np.stack(rows) if rows else empty,
            )
        return self._mornings

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

    def swaps(self) -> dict[int, list[Swap]]:
        """Readings of the last weeks that look mixed up between two planters."""
        if self._swaps is None:
            since = self.season.today - timedelta(days=DOUBT_DAYS)
            looks = {
                place: [look for look in several if look.day >= since]
                for place, several in self.morning.looks.items()
            }
            keys = [facts.key for facts in self.season.facts]
            self._swaps = swaps(looks, list(zip(keys, self.season.names, strict=True)))
        return self._swaps

    def mixed_up_with(self, planters: Iterable[str]) -> list[str]:
        """The planters whose readings look mixed up with some of these."""
        places = {facts.key: place for place, facts in enumerate(self.season.facts)}
        rows = (places[key] for key in planters if key in places)
        return [swap.other for row in rows for swap in self.swaps().get(row, ())]

    def weather_odd(self) -> bool:
        """Whether the weather on record is that of the other half of the world."""
        if self._odd is None:
            told = [row for row in self.season.weather if row.source != weather_record.FILLED]
            self._odd = weather_record.other_half_of_the_world(told, self.season.latitude)
        return self._odd

    def peers(self) -> dict[int, tuple[float | None, bool]]:
        """How much each planter uses beside the others, place and size allowed for, and whether
        four out of five guesses agree that it is far off."""
        if self._peers is None:
            self._peers = _peers(self.morning.state.calibration, self.season)
        return self._peers


_towns: OrderedDict[bytes, TownWater] = OrderedDict()
_towns_lock = threading.Lock()
MOST_TOWNS = 2


def town_water(season: Season | None) -> TownWater | None:
    """The water of a town; None where nothing can be said.

    The same inputs give the same object again: whoever is about to take the write lock asks
    first, and then again inside it, at no cost. Whoever asks while it is being worked out waits
    for it: the same season is never replayed twice at once.
    """
    if season is None:
        return None
    mark = mark_of(season)
    with _towns_lock:
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
    with _towns_lock:
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
