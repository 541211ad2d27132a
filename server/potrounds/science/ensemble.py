"""Many weighted guesses of each planter's hidden settings, and the day that moves them all.

An ensemble is one float32 array [quantity, planter, guess].  Guesses stand in fixed places by what
they suppose: all well, a leak, a failed wick, a blocked overflow; their weights say how likely.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import IntEnum
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from potrounds.science.draws import even_normals, seed_of
from potrounds.science.water_balance import Stores, step_day
from potrounds.science.weather_ahead import EXPOSURES, WET_MM

Floats = npt.NDArray[np.float32]
NEVER = 1e9


class Q(IntEnum):
    """Quantities of a guess."""

    RESERVOIR = 0  # [L]
    MIX = 1  # available water [L]
    TRIM = 2  # log of the canopy left by trimming, comes back
    USE = 3  # log of the full canopy's use factor on the top area
    START = 4  # growth begins, days after planting
    LENGTH = 5  # days of growth
    FIRST = 6  # log of the canopy's share at planting
    BARE = 7  # log of the use before planting
    RAIN = 8  # logit of the share of rain that reaches the mix
    CAPACITY = 9  # log of true over stated reservoir
    MIX_HELD = 10  # log of available water a litre of mix holds
    WICK = 11  # log of how briskly the wick makes up the mix's deficit over a full reservoir
    HEAD = 12  # log of the share of that which is left over a nearly empty one
    GAUGE = 13  # gauge reads too high by, share of the reservoir
    LITRES = 14  # log of told over poured
    BRIM = 15  # logit of the chance that whoever fills it goes on to the brim
    LOSS = 16  # log of a leak, share of the reservoir a day
    WICK_LEFT = 17  # log of what a failed wick lifts, share of the reservoir a day
    SINCE = 18  # day number from which the supposed fault is at work
    UNTIL = 19  # and on which it is mended


STATIC = slice(Q.USE, Q.BRIM + 1)  # settings of a planter, as against its state
WELL, LEAK, WICK_FAILED, BLOCKED = range(4)
SHARES = (0.62, 0.20, 0.12, 0.06)  # places of each supposition

# Centre and spread of each setting at first: wide, judgement within FAO-56's ranges.
PRIOR = {
    Q.TRIM: (0.0, 0.0),
    Q.USE: (0.54, 0.38),
    Q.START: (-1.0, 4.0),
    Q.LENGTH: (39.0, 9.0),
    Q.FIRST: (np.log(0.30), 0.3),
    Q.BARE: (np.log(0.13), 0.5),
    Q.CAPACITY: (0.0, 0.055),
    Q.MIX_HELD: (np.log(0.245), 0.12),
    Q.WICK: (np.log(0.85), 0.4),
    Q.HEAD: (np.log(0.45), 0.2),
    Q.GAUGE: (0.0, 0.02),
    Q.LITRES: (0.02, 0.04),
    Q.BRIM: (0.0, 1.8),
    Q.WICK_LEFT: (np.log(0.03), 1.2),
}
# Logit of the share of rain that reaches the mix under open sky and under cover, centre and spread.
RAIN_OPEN, RAIN_COVERED = (0.4, 0.25), (-1.4, 0.6)
# Three in ten are covered: the normal's 30 % point, and its mean and spread below and above it.
COVERED_BELOW, BELOW, ABOVE = -0.5244, (-1.159, 0.514), (0.497, 0.702)
WET_DAY_USE = 0.85  # of a dry day's: rain on the leaves evaporates before plants give up their own
HEAD_START = 21  # days of growth at most that a planting has made before the season began
# Log of a leak that weeps and of one that empties within hours; a third are fast.  Judgement.
LOSS_SLOW, LOSS_FAST, LOSS_FAST_ABOVE = (np.log(0.12), 0.7), (np.log(5.0), 0.5), 0.4
LOG_USE_OF_SUN = {"full": 0.0, "part": -0.35, "shade": -0.7}
LOG_USE_OF_WIND = {"sheltered": 0.0, "open": 0.0, "windy": 0.15}
# Full canopy a planter has beside its top area, and how far a measured one is believed.  Judgement.
USUAL_CANOPY, CANOPY_TRUST, MOST_CANOPY = 1.6, 0.6, 0.9
DAY_NOISE = 0.14  # log spread of a day's use about its reference ET
BLOCKED_ROOM = 1.25  # a blocked overflow lets water stand this far above the stated brim
SLOWS_BELOW = 0.3  # share of the mix's available water below which plants use less
TRIM_BACK = np.float32(np.exp(-1 / 20.0))
HORIZON_NOISE_ROWS = 512


@dataclass(frozen=True)
class PlanterFacts:
    """What the register says of a planter."""

    key: str
    mix_volume_l: float
    reservoir_l: float
    top_area_m2: float
    sun: str = "full"
    wind: str = "open"
    planted_on: date | None = None
    rain_reaches_mix: bool | None = None  # asked once; None: not known
    canopy_m2: float | None = None


@dataclass
class Ensemble:
    """All planters' guesses, with the register's figures as columns."""

    q: Floats  # [quantity, planter, guess]
    log_weight: Floats  # [planter, guess]
    mix_l: Floats  # these four: [planter, 1]
    reservoir_l: Floats
    area_m2: Floats
    planted: Floats  # day number
    exposure: npt.NDArray[np.intp]  # [planter]
    seeds: npt.NDArray[np.int64]  # [planter]
    noise: Floats  # [row, guess], spread evenly

    @property
    def guesses(self) -> int:
        return int(self.q.shape[2])


def places(guesses: int) -> list[slice]:
    """The places of each supposition among the guesses."""
    counts = [max(2, round(share * guesses)) for share in SHARES[1:]]
    edges = np.cumsum([0, guesses - sum(counts), *counts]).tolist()
    return [slice(a, b) for a, b in pairwise(edges)]


def use_of_place(facts: PlanterFacts) -> float:
    """Log of the usual use factor where the planter stands, less that in open full sun; a measured
    canopy moves it part of the way, never far: it may be spring's, or typed in other units."""
    place = LOG_USE_OF_SUN.get(facts.sun, -0.2) + LOG_USE_OF_WIND.get(facts.wind, 0.0)
    if not facts.canopy_m2:
        return place
    wider = float(np.log(facts.canopy_m2 / facts.top_area_m2 / USUAL_CANOPY))
    return place + CANOPY_TRUST * min(max(wider, -MOST_CANOPY), MOST_CANOPY)


def loss_log(z: Floats) -> Floats:
    """Log of a leak, share of the reservoir a day: a plug that weeps, or one that is gone."""
    over = z - LOSS_FAST_ABOVE
    slow, fast = LOSS_SLOW[0] + LOSS_SLOW[1] * (over + 0.8), LOSS_FAST[0] + LOSS_FAST[1] * over
    return np.asarray(np.where(over > 0, fast, slow), np.float32)


def rain_share_logit(reaches: bool | None, z: Floats) -> Floats:
    """Logit of the share of rain that reaches the mix: most planters are open, some covered."""
    if reaches is not None:
        centre, spread = RAIN_OPEN if reaches else RAIN_COVERED
        return np.asarray(centre + spread * z, np.float32)
    open_to_sky = RAIN_OPEN[0] + RAIN_OPEN[1] * (z - ABOVE[0]) / ABOVE[1]
    covered = RAIN_COVERED[0] + RAIN_COVERED[1] * (z - BELOW[0]) / BELOW[1]
    return np.where(z < COVERED_BELOW, covered, open_to_sky).astype(np.float32)


def wet_day_use(rain_mm: Floats | float) -> Floats:
    """What plants use on days of so much rain, as a share of a dry day's."""
    return np.where(np.asarray(rain_mm) > WET_MM, np.float32(WET_DAY_USE), np.float32(1.0))


def growth_from(planted_on: date | None, first_day: date) -> float:
    """Day number from which a planting grows.

    Set out in the cold weeks before the season begins, it has hardly grown when it does; set out
    long before, it is well on.  Judgement.
    """
    planted = (planted_on or first_day).toordinal()
    return float(planted + min(max(first_day.toordinal() - planted, 0), HEAD_START))


def new_ensemble(facts: list[PlanterFacts], guesses: int, first_day: date) -> Ensemble:
    """Guesses of planters of which nothing but the register is known."""
    q = np.zeros((len(Q), len(facts), guesses), np.float32)
    seeds = np.array([seed_of(f.key) for f in facts], dtype=np.int64)
    for i, f in enumerate(facts):
        rng = np.random.Generator(np.random.PCG64(int(seeds[i])))
        z = even_normals(rng, len(Q), guesses)
        for quantity, (centre, spread) in PRIOR.items():
            q[quantity, i] = centre + spread * z[quantity]
        q[Q.USE, i] += use_of_place(f)
        q[Q.RAIN, i] = rain_share_logit(f.rain_reaches_mix, z[Q.RAIN])
        below = np.minimum(np.abs(z[Q.RESERVOIR]) * 0.15, 0.9)
        q[Q.RESERVOIR, i] = f.reservoir_l * np.exp(q[Q.CAPACITY, i]) * (1.0 - below)
        held = f.mix_volume_l * np.exp(q[Q.MIX_HELD, i])
        q[Q.MIX, i] = held * (1.0 - np.minimum(np.abs(z[Q.MIX]) * 0.15, 0.9))
    q[Q.SINCE], q[Q.UNTIL] = NEVER, NEVER
    log_weight = np.full((len(facts), guesses), -60.0, np.float32)
    well = places(guesses)[WELL]
    log_weight[:, well] = -np.log(well.stop - well.start)

    def column(values: list[float]) -> Floats:
        return np.array(values, np.float32)[:, None]

    planted = [growth_from(f.planted_on, first_day) for f in facts]
    rng = np.random.Generator(np.random.PCG64(20))
    return Ensemble(
        q,
        log_weight,
        column([f.mix_volume_l for f in facts]),
        column([f.reservoir_l for f in facts]),
        column([f.top_area_m2 for f in facts]),
        column(planted),
        np.array([EXPOSURES.index(f.wind) if f.wind in EXPOSURES else 1 for f in facts]),
        seeds,
        even_normals(rng, HORIZON_NOISE_ROWS, guesses),
    )


@dataclass
class Settings:
    """Figures of each guess that stay the same until new evidence comes."""

    capacity: Floats
    brim: Floats  # above the capacity where the overflow is supposed blocked [L]
    mix_held: Floats
    use_area: Floats  # use factor times area, trims aside [L/mm]
    first: Floats
    bare: Floats
    start: Floats
    per_day: Floats
    rain_area: Floats  # [L/mm]
    rate: Floats  # wick's over a nearly empty reservoir, for each litre the mix is short [1/day]
    gain: Floats  # what each litre standing in the reservoir adds to it [1/day/L]
    loss: Floats  # [L/day], 0 where no leak is supposed
    wick_limit: Floats  # [L/day]
    since: Floats
    until: Floats
    planted: Floats  # [planter, 1]


def logistic(x: Floats) -> Floats:
    """The logistic curve, held off 0 and 1: the share that a logit stands for."""
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip(x, -30.0, 30.0))), np.float32)


def settings_of(
    q: Floats, mix_l: Floats, reservoir_l: Floats, area: Floats, planted: Floats, kind: Floats
) -> Settings:
    """The figures of guesses, from their logs; kind: the supposition in each place."""
    capacity = reservoir_l * np.exp(q[Q.CAPACITY])
    leaks, fails = kind == LEAK, kind == WICK_FAILED
    first = np.minimum(np.exp(q[Q.FIRST]), 0.95)
    full, left = np.exp(q[Q.WICK]), np.minimum(np.exp(q[Q.HEAD]), np.float32(1.0))
    return Settings(
        capacity,
        capacity * np.where(kind == BLOCKED, np.float32(BLOCKED_ROOM), np.float32(1.0)),
        mix_l * np.exp(q[Q.MIX_HELD]),
        area * np.exp(q[Q.USE]),
        first,
        np.exp(q[Q.BARE]),
        q[Q.START] + planted,
        1.0 / np.maximum(q[Q.LENGTH], 12.0),
        area * logistic(q[Q.RAIN]),
        full * left,
        full * (1.0 - left) / capacity,
        np.where(leaks, capacity * np.exp(q[Q.LOSS]), np.float32(0.0)),
        np.where(fails, capacity * np.exp(q[Q.WICK_LEFT]), np.float32(NEVER)),
        q[Q.SINCE],
        q[Q.UNTIL],
        planted,
    )


def canopy(first: Floats, part: Floats) -> Floats:
    """Canopy as a share of the full one, part of the growing time gone, in an even S. [-]

    Source: FAO-56 Figure 34 (initial, development and mid-season stages), corners rounded.
    """
    x = np.clip(part, np.float32(0.0), np.float32(1.0))
    return np.asarray(first + (1.0 - first) * x * x * (3.0 - 2.0 * x), np.float32)


def canopy_use(s: Settings, day: int, trim: Floats) -> Floats:
    """Use of each guess for a millimetre of reference ET, as its canopy stands. [L/mm]"""
    grown = canopy(s.first, s.per_day * (np.float32(day) - s.start))
    bare = s.planted[:, 0] > day
    if bare.any():
        grown[bare] = s.bare[bare]
    return np.asarray(s.use_area * grown * np.exp(trim), np.float32)


def move_day(
    s: Settings,
    stores: Stores,
    demand: Floats,
    rain_mm: Floats | np.float32,
    leak: Floats,
    limit: Floats,
) -> Stores:
    """Both stores of every guess at the day's end."""
    after, _ = step_day(
        stores,
        mix_capacity=s.mix_held,
        reservoir_capacity=s.brim,
        demand=demand,
        rain=rain_mm * s.rain_area,
        wick_rate=s.rate,
        wick_gain=s.gain,
        slows_below=SLOWS_BELOW,
        leak=leak,
        wick_limit=limit,
    )
    return after


def faults_at(s: Settings, day: int) -> tuple[Floats, Floats]:
    """Leak and wick limit of each guess on a day. [L/day]"""
    at_work = (s.since <= day) & (day < s.until)
    return (
        np.where(at_work, s.loss, np.float32(0.0)),
        np.where(at_work, s.wick_limit, np.float32(NEVER)),
    )
