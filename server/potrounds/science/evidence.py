"""How likely a check-in is under each guess, and where each guess's reservoir stands after it.

Every likelihood has a floor: one wrong reading can never rule a guess out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from potrounds.science.ensemble import BLOCKED_ROOM, Floats, logistic

# Where one mark gives way to the next, share of the reservoir.  A float rests on the bottom and
# against the top, so people call empty and full over less than an even eighth.  Judgement.
EDGES = (0.095, 0.37, 0.63, 0.895)
GAUGE_SCALE = 0.036  # logistic scale of a gauge's error, share of the reservoir (sd 0.07)
GAUGE_FLOOR = 0.015  # a slip of the eye or a stuck float: any mark
STICKS = 1 / 100.0  # chance that a gauge sticks between two readings
LITRES_SCALE = 0.115  # logistic scale of log litres told (sd 0.21)
OVERSHOOT = 0.06  # poured after the overflow begins to run, share of the reservoir
OVERSHOOT_SCALE = 0.13
OVERFILL, OVERFILL_SCALE, OVERFILL_SHARE = 0.35, 0.25, 0.12
LEAST_FILL, MOST_FILL = 0.4, 0.95  # share of the room that a top-up fills when it stops short
TOLD_AMISS = 0.02  # litres that have nothing to do with what was poured
RAN_AMISS = 0.02  # overflow told as running that did not
NOTHING_LOW, NOTHING_FULL = 0.02, 0.3  # litres not told, overflow not seen: none poured
# Plants' score by how dry the mix is: odds of 5, 4, 3, 2-1 in a wet and in a dry mix.
SCORE_WET = (0.68, 0.26, 0.04, 0.02)
SCORE_DRY = (0.04, 0.16, 0.35, 0.45)
DRY_FROM, WET_FROM = 0.05, 0.45  # share of the mix's available water


@dataclass(frozen=True)
class CheckIns:
    """One day's check-ins of some planters, a column [planter, 1] each; NaN where not told.

    level : gauge before filling, 0..1; litres : poured through the fill port [L];
    overflow : 1 seen, 0 not; plants : 1..5.  May be left out: trimmed : 1 where leaves were cut
    back; by_hand : 1 where the level was read with a dipstick or by lifting the cap
    """

    rows: npt.NDArray[np.intp]
    level: Floats
    litres: Floats
    overflow: Floats
    plants: Floats
    trimmed: Floats | None = None
    by_hand: Floats | None = None

    def part(self, which: slice) -> CheckIns:
        """Some of the rows."""
        return CheckIns(
            self.rows[which],
            self.level[which],
            self.litres[which],
            self.overflow[which],
            self.plants[which],
            None if self.trimmed is None else self.trimmed[which],
            None if self.by_hand is None else self.by_hand[which],
        )


def gauge_likelihood(level: Floats, filled: Floats, bias: Floats) -> Floats:
    """Odds of the mark read, given how full the reservoir is.

    A mark stands for the interval about half way to its neighbours; empty for all below, full
    for all above.
    """
    mark = np.where(np.isnan(level), 0, np.round(level * 4)).astype(np.intp)
    high = np.array([*EDGES, 9.0], np.float32)[mark]
    low = np.array([-9.0, *EDGES], np.float32)[mark]
    seen, scale = filled + bias, np.float32(GAUGE_SCALE)
    upper = np.asarray((high - seen) / scale, np.float32)
    lower = np.asarray((low - seen) / scale, np.float32)
    odds = logistic(upper) - logistic(lower)
    return np.where(np.isnan(level), np.float32(1.0), odds + np.float32(GAUGE_FLOOR))


class GaugeWatch:
    """Chance that a planter's gauge is stuck at the mark it last showed, a number a planter.

    A float that hangs shows one mark whatever the water does.  Each reading is weighed as coming
    from a free gauge or from a stuck one, so a stuck gauge loses its say instead of bending what
    is believed of the water.  A dipstick cannot hang: what is read by hand is never doubted so.

    Source: Bayes' rule over two states, hidden Markov model; the hazard is judgement.
    """

    def __init__(self, planters: int) -> None:
        self.stuck = np.zeros(planters)
        self._mark = np.full(planters, np.nan)

    def weigh(self, told: CheckIns, free: Floats, w: Floats) -> Floats:
        """Odds of each guess once the gauge may be stuck; free : odds from a free gauge, w :
        weights of the guesses before the reading, [planter, guess]."""
        rows, mark = told.rows, np.round(told.level[:, 0] * 4)
        read = ~np.isnan(mark)
        if told.by_hand is not None:
            read &= told.by_hand[:, 0] != 1
        before = self.stuck[rows] + (1.0 - self.stuck[rows]) * STICKS
        same = mark == self._mark[rows]
        if_stuck = before * same
        if_free = (1.0 - before) * np.sum(w * free, axis=1)
        after = if_stuck / np.maximum(if_stuck + if_free, 1e-30)
        self.stuck[rows] = np.where(read, after, self.stuck[rows])
        self._mark[rows] = np.where(read, mark, self._mark[rows])
        odds = if_stuck[:, None] + (1.0 - before)[:, None] * free
        return np.where(read[:, None], odds, free).astype(np.float32)


def plants_likelihood(plants: Floats, wetness: Floats) -> Floats:
    """Odds of the plants' score, given the share of the mix's available water."""
    index = np.where(np.isnan(plants), 0, np.clip(5 - plants, 0, 3)).astype(np.intp)
    wet, dry = np.array(SCORE_WET, np.float32)[index], np.array(SCORE_DRY, np.float32)[index]
    w = np.clip((wetness - DRY_FROM) / (WET_FROM - DRY_FROM), 0.0, 1.0)
    odds = dry + (wet - dry) * w
    return np.where(np.isnan(plants), np.float32(1.0), odds)


@dataclass(frozen=True)
class Filling:
    """After the filling: the reservoir of each guess [L], the odds of what was told, and the
    chance that this guess was filled to its brim, 0 where no litres tell of it."""

    reservoir: Floats
    likelihood: Floats
    to_brim: Floats


def _bell(x: Floats, scale: float) -> Floats:
    """Logistic density about zero."""
    p = logistic(x / np.float32(scale))
    return np.asarray(p * (1.0 - p) / np.float32(scale), np.float32)


def filling(
    told: CheckIns,
    reservoir: Floats,
    capacity: Floats,
    blocked: npt.NDArray[np.bool_],
    bias: Floats,
    brim: Floats,
    seen: float,
    u: Floats,
    v: Floats,
) -> Filling:
    """Reservoir after the top-up told, for every guess.

    Overflow seen: at the brim, however much was poured, and the litres tell of the room there
    was.  Not seen: either to the brim unnoticed or short of it, whichever the litres fit.
    brim: chance of each guess that a top-up reaches the brim; seen: share of those at which the
    overflow is told as running; u, v: even numbers in 0..1.
    """
    litres = told.litres
    saw, saw_not = told.overflow == 1, told.overflow == 0
    untold, some = np.isnan(litres), np.nan_to_num(litres) > 0
    room = np.maximum(capacity - reservoir, np.float32(0.02) * capacity)
    log_room = np.log(room)
    centre = np.where(some, np.log(np.maximum(litres, 0.05)) - bias, log_room).astype(np.float32)

    full, short, low, high = _fits(centre, log_room, capacity, saw, untold)
    stands = np.where(blocked, np.float32(BLOCKED_ROOM), np.float32(1.0)) * capacity
    full = full * brim * np.where(saw, seen, np.where(saw_not, 1 - seen, 1))
    short = short * (1.0 - brim) * np.where(saw, RAN_AMISS, 1.0)
    any_litres = TOLD_AMISS * np.where(saw, brim * seen, 1.0)
    odds = full + short + any_litres
    brim_chance = (full + any_litres * brim) / odds
    p = np.clip(low + v * (high - low), 1e-4, 1 - 1e-4)
    poured = np.exp(centre + np.float32(LITRES_SCALE) * np.log(p / (1.0 - p)))
    poured = np.where(untold, room * (LEAST_FILL + (MOST_FILL - LEAST_FILL) * v), poured)
    after = np.where(u < brim_chance, capacity, np.minimum(reservoir + poured, capacity))

    odds = np.where(blocked, _blocked_odds(centre, reservoir, capacity, untold, saw), odds)
    after = np.where(blocked, np.minimum(reservoir + poured, stands), after)
    nothing = NOTHING_LOW + (NOTHING_FULL - NOTHING_LOW) * np.minimum(reservoir / capacity, 1) ** 3
    after = np.where(untold & ~saw & (v < nothing), reservoir, after)
    wet = logistic((reservoir / capacity - 0.95) / np.float32(0.02)) + np.float32(TOLD_AMISS)
    odds = np.where(some | untold, odds, np.where(saw, wet, np.float32(1.0)))
    after = np.where(some | untold, after, reservoir)
    brim_chance = np.where(some & ~blocked, brim_chance, np.float32(0.0))
    return Filling(
        after.astype(np.float32), odds.astype(np.float32), brim_chance.astype(np.float32)
    )


def _fits(
    centre: Floats, log_room: Floats, capacity: Floats, saw: Floats, untold: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """Density of the litres told if filled to the brim and if short, and the latter's ends."""
    over = np.exp(log_room) + np.float32(OVERSHOOT) * capacity
    lavish = np.exp(log_room) + np.float32(OVERFILL) * capacity
    ran = _bell(centre - np.log(over), OVERSHOOT_SCALE) * (1.0 - OVERFILL_SHARE)
    ran = ran + _bell(centre - np.log(lavish), OVERFILL_SCALE) * OVERFILL_SHARE
    full = np.where(saw, ran, _bell(centre - log_room, LITRES_SCALE))
    low = logistic((log_room + np.log(np.float32(LEAST_FILL)) - centre) / np.float32(LITRES_SCALE))
    high = logistic((log_room + np.log(np.float32(MOST_FILL)) - centre) / np.float32(LITRES_SCALE))
    density = np.exp(np.minimum(centre - log_room, 0.5)) / np.float32(MOST_FILL - LEAST_FILL)
    one = np.float32(1.0)
    return np.where(untold, one, full), np.where(untold, one, density * (high - low)), low, high


def _blocked_odds(
    centre: Floats, reservoir: Floats, capacity: Floats, untold: Floats, saw: Floats
) -> Floats:
    """Density of the litres told where the overflow is blocked and nothing shows the brim."""
    log_room = np.log(np.maximum(1.4 * capacity - reservoir, 0.05 * capacity))
    low = logistic((log_room + np.log(np.float32(0.3)) - centre) / np.float32(LITRES_SCALE))
    high = logistic((log_room - centre) / np.float32(LITRES_SCALE))
    density = np.exp(np.minimum(centre - log_room, 0.5)) / np.float32(0.7) * (high - low)
    odds = np.where(untold, np.float32(1.0), density + np.float32(TOLD_AMISS))
    return np.where(saw, np.float32(0.02), np.float32(1.0)) * odds
