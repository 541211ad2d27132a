"""When a suspicion is strong enough to say: fault alarms from the odds of the guesses.

A leak, a failed wick and a blocked overflow come from the share of guesses that suppose them.
Overfilling is a habit of people, not of the planter: it comes from a running sum (CUSUM) of how
much better each filling fits a lavish hand than a usual one, see drift.cusum_step.
"""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

import numpy as np

from potrounds.science.drift import cusum_step
from potrounds.science.ensemble import BLOCKED, LEAK, WICK_FAILED, Floats
from potrounds.science.evidence import CheckIns

# Odds from which a fault is told; set for about one false alarm in 300 planter-weeks.  Judgement.
TELL_FROM = {LEAK: 0.22, WICK_FAILED: 0.35, BLOCKED: 0.5}
NAMES = {LEAK: "leak", WICK_FAILED: "wick_failed", BLOCKED: "overflow_blocked"}
LOOK_FIRST_BELOW = 0.9  # a leak less sure than this wants a look 1-2 days after a fill first
USUAL_OVER, LAVISH_OVER = 0.06, 0.4  # poured beyond the room, share of the reservoir
LITRES_SD, LAVISH_SD = 0.22, 0.3  # of log litres told
MOST_FROM_ONE = 2.0  # of the running sum: one wrong figure cannot raise the alarm
DRY_STEP = -0.7  # a filling at which nothing ran over speaks against it
OVERFILLING_FROM = 4.0
FADES_A_DAY = 1 / 45.0


class Alarm(NamedTuple):
    """A fault worth telling."""

    planter: int
    kind: str
    odds: float
    look_first: bool


class OverfillWatch:
    """Running evidence of overfilling, a number a planter."""

    def __init__(self, planters: int) -> None:
        self.total = np.zeros(planters)
        self._last = np.zeros(planters)

    def fill(self, told: CheckIns, day: int, room: Floats, room_sd: Floats, size: Floats) -> None:
        """Add the fillings of a morning; room before them and its doubt, per planter [L]."""
        litres, ran = told.litres[:, 0], told.overflow[:, 0] == 1
        known = np.nan_to_num(litres) > 0
        rows = told.rows
        fade = np.exp(-(day - self._last[rows]) * FADES_A_DAY)
        self._last[rows] = day
        usual, lavish = room + USUAL_OVER * size, room + LAVISH_OVER * size
        log_litres = np.log(np.where(known, litres, 1.0))
        score = _log_bell(log_litres, np.log(lavish), np.hypot(LAVISH_SD, room_sd / lavish))
        score -= _log_bell(log_litres, np.log(usual), np.hypot(LITRES_SD, room_sd / usual))
        step = np.where(ran, np.clip(score, -MOST_FROM_ONE, MOST_FROM_ONE), DRY_STEP)
        step = np.where(known, step, 0.0)
        self.total[rows] = cusum_step(self.total[rows] * fade, step)


def _log_bell(x: Floats, centre: Floats, sd: Floats) -> Floats:
    return np.asarray(-0.5 * ((x - centre) / sd) ** 2 - np.log(sd))


def alarms(odds: Floats, overfill: OverfillWatch, day: date) -> list[Alarm]:
    """The faults to tell that day; odds [planter, supposition] as Calibration.fault_odds gives."""
    found = []
    for kind, level in TELL_FROM.items():
        for planter in np.flatnonzero(odds[:, kind] > level):
            sure = float(odds[planter, kind])
            look = kind == LEAK and sure < LOOK_FIRST_BELOW
            found.append(Alarm(int(planter), NAMES[kind], sure, look))
    for planter in np.flatnonzero(overfill.total > OVERFILLING_FROM):
        e = float(np.exp(overfill.total[planter] - OVERFILLING_FROM))
        found.append(Alarm(int(planter), "overfilling", e / (1 + e), False))
    return found
