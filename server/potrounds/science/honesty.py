"""Keeps intervals honest: forecasts made at one visit are judged by the gauge at the next.

A forecast's draws are spread wider or narrower about their median by one power for the whole
town.  Each reading that comes in says how likely it was under each power; old readings fade, and
the start keeps some weight: a little narrower than drawn, as the priors are wide on purpose.  So a
town whose planters behave unlike the model's gets wider intervals, and one that is easier to
foresee gets narrower ones.

Source: the idea of on-line correction by past coverage, Gibbs & Candes (2021), Adaptive conformal
inference under distribution shift; here by likelihood, as a gauge seldom tells the very day.
"""

from __future__ import annotations

import numpy as np

from potrounds.science.ensemble import Floats
from potrounds.science.evidence import CheckIns, gauge_likelihood

POWERS = np.exp(np.linspace(-0.9, 0.9, 13)).astype(np.float32)
START, START_SPREAD = -0.25, 0.25  # of the log power, before any reading
# Near days are spread a little wider and far ones narrower than that, as the draws get the one a
# little too narrow and the other too wide: power of the median in days over EVEN_AT.  Judgement.
LEAN, EVEN_AT, LEAN_WITHIN = -0.05, 10.0, (3.0, 30.0)
FADES_AFTER = 400.0  # readings
LEAST_DAYS, MOST_DAYS = 2, 30  # between forecast and reading
PAST_HORIZON = 60.0  # days stood in for "later than the horizon"
KEPT = 64  # draws kept of each forecast


class IntervalHonesty:
    """One power for a town's intervals, learnt from its readings."""

    def __init__(self, planters: int) -> None:
        self._odds = -0.5 * ((np.log(POWERS) - START) / START_SPREAD) ** 2
        self._start = self._odds.copy()
        self._gain, self._readings = np.zeros_like(self._odds), 0
        self._made = np.full(planters, -1e9)
        self._levels = np.zeros((MOST_DAYS + 1, planters, KEPT), np.float16)

    @property
    def power(self) -> float:
        """How much wider than drawn the intervals should be; exp(START) to begin with."""
        w = np.exp(self._odds - self._odds.max())
        return float(np.exp(np.sum(w * np.log(POWERS)) / w.sum()))

    def remember(self, rows: np.ndarray, day: int, levels: Floats) -> None:
        """Keep forecasts made after a visit: levels [day ahead, planter, draw]."""
        n = levels.shape[2]
        at = ((np.arange(KEPT) + 0.5) / KEPT * n).astype(int)
        self._made[rows] = day
        self._levels[:, rows] = levels[:, :, at]

    def judge(self, told: CheckIns, day: int) -> None:
        """Take in readings of this morning, before the forecasts are renewed; see settle."""
        gap = day - self._made[told.rows]
        use = (gap >= LEAST_DAYS) & (gap <= MOST_DAYS) & ~np.isnan(told.level[:, 0])
        if not use.any():
            return
        rows = told.rows[use]
        drawn = self._levels[gap[use].astype(int), rows].astype(np.float32)
        middle = np.median(drawn, axis=1, keepdims=True)
        spread = middle + POWERS[:, None, None] * (drawn - middle)  # [power, planter, draw]
        odds = gauge_likelihood(told.level[use], np.clip(spread, 0.0, 1.0), np.zeros(1, np.float32))
        self._gain = self._gain + np.log(odds.mean(axis=2)).sum(axis=1)
        self._readings += int(use.sum())

    def settle(self) -> None:
        """Learn from the day's readings, in whatever order they came."""
        fade = np.exp(-self._readings / FADES_AFTER)
        self._odds = self._start + fade * (self._odds - self._start) + self._gain
        self._gain, self._readings = np.zeros_like(self._odds), 0

    def spread(self, days: Floats) -> Floats:
        """Sorted draws spread about their median by the power learnt so far."""
        held = np.minimum(np.maximum(days, 1e-3), PAST_HORIZON)
        middle = np.median(held, axis=1, keepdims=True)
        power = self.power * (np.clip(middle, *LEAN_WITHIN) / EVEN_AT) ** LEAN
        out = middle * (held / middle) ** power.astype(np.float32)
        return np.where(np.isinf(days) & (out >= PAST_HORIZON * 0.999), np.inf, out)
