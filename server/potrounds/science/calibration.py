"""A Bayesian filter a planter: from check-ins and weather to what it uses and where it stands.

Each planter is an ensemble of weighted guesses (a particle filter).  Between check-ins every
guess runs the daily balance; a check-in weighs the guesses; the likely ones are multiplied, the
settings are jittered a little without widening them, and some guesses are set to suppose a fault
beginning soon, or a fault mended.  All draws are fixed by the planter's key and the day.

Source: particle filter with kernel shrinkage, Liu & West (2001), Combined parameter and state
estimation in simulation-based filtering; interacting modes, Blom & Bar-Shalom (1988).
"""

from __future__ import annotations

from datetime import date

import numpy as np

from potrounds.science.alarms import OverfillWatch
from potrounds.science.draws import even_normals
from potrounds.science.ensemble import (
    BLOCKED,
    DAY_NOISE,
    LEAK,
    NEVER,
    PRIOR,
    STATIC,
    TRIM_BACK,
    WELL,
    WICK_FAILED,
    Floats,
    PlanterFacts,
    Q,
    Settings,
    canopy_use,
    faults_at,
    logistic,
    loss_log,
    move_day,
    new_ensemble,
    places,
    settings_of,
    use_of_place,
    wet_day_use,
)
from potrounds.science.evidence import (
    CheckIns,
    GaugeWatch,
    filling,
    gauge_likelihood,
    plants_likelihood,
)
from potrounds.science.town import EVERY_DAYS, SHARED, TownPrior
from potrounds.science.water_balance import Stores

KEEP = 0.994  # Liu-West shrinkage at a check-in
DRIFT = 0.007  # random walk of the log use factor a root day
TRIM_A_DAY, TRIM_LEAST, TRIM_MOST = 1 / 250.0, 0.12, 0.45
BEGINS = {LEAK: 1 / 900.0, WICK_FAILED: 1 / 500.0, BLOCKED: 1 / 2500.0}  # a day
BEGINS_WITHIN = 10.0  # days after a check-in in which a supposed fault may begin
MENDED_AFTER = 30.0  # days, on the mean
SEEN_START = (10.0, 10.0)  # of top-ups to the brim: overflow told as running, and not
DRAW_ROWS, DRAWS = 61, 4
GROWTH = (Q.USE, Q.START, Q.LENGTH, Q.FIRST)  # belong to what is planted, not to the pot
BLOCK = 64  # planters moved at a time, so that their guesses stay in the processor's cache


class Calibration:
    """The ensembles of a town's planters, moved day by day."""

    def __init__(self, facts: list[PlanterFacts], first_day: date, guesses: int = 256) -> None:
        self.ensemble = new_ensemble(facts, guesses, first_day)
        self.places = places(guesses)
        self.kind = np.zeros(guesses, np.float32)
        for k, where in enumerate(self.places):
            self.kind[where] = k
        rng = np.random.Generator(np.random.PCG64(7))
        rows = (DRAW_ROWS, len(Q), guesses)
        self._normals = rng.standard_normal(rows).astype(np.float32)
        steps = np.stack([rng.permutation(guesses) for _ in range(DRAW_ROWS * DRAWS)])
        even = (steps + rng.random(steps.shape)) / guesses
        self._evens = even.reshape(DRAW_ROWS, DRAWS, guesses).astype(np.float32)
        self._settings: dict[int, Settings] = {}
        place = np.array([use_of_place(f) for f in facts], np.float32)
        base = np.stack([PRIOR[k][0] + (place if k == Q.USE else 0 * place) for k in SHARED])
        self.town = TownPrior(base.astype(np.float32))
        self.overfill = OverfillWatch(len(facts))
        self.gauge = GaugeWatch(len(facts))
        self._seen = np.array(SEEN_START)
        self._seen_today = np.zeros(2)
        self._last_check = np.full(len(facts), first_day.toordinal() - 7.0)

    def _block(self, start: int) -> tuple[slice, Settings]:
        e = self.ensemble
        rows = slice(start, min(start + BLOCK, e.q.shape[1]))
        if start not in self._settings:
            self._settings[start] = self.settings_at(rows)
        return rows, self._settings[start]

    def _renew_settings(self, rows: np.ndarray) -> None:
        """Bring the kept figures of the planters visited up to date."""
        fresh = self.settings_at(rows)
        for start in {int(r) // BLOCK * BLOCK for r in rows}:
            kept = self._settings.get(start)
            if kept is None:
                continue
            here = np.flatnonzero(rows // BLOCK * BLOCK == start)
            for name, column in vars(kept).items():
                column[rows[here] - start] = getattr(fresh, name)[here]

    def settings_at(self, rows: slice | np.ndarray) -> Settings:
        """The figures of some planters' guesses."""
        e = self.ensemble
        return settings_of(
            e.q[:, rows],
            e.mix_l[rows],
            e.reservoir_l[rows],
            e.area_m2[rows],
            e.planted[rows],
            self.kind,
        )

    def end_day(self, day: date, et0_mm: np.ndarray, rain_mm: float) -> None:
        """Move every planter over a day that has come; et0_mm by exposure."""
        self._seen = self._seen + self._seen_today  # only now: the morning's order is all one
        self._seen_today[:] = 0.0
        e, number = self.ensemble, day.toordinal()
        noise = np.exp(np.float32(DAY_NOISE) * e.noise[number % e.noise.shape[0]])
        et0_here = (et0_mm * wet_day_use(rain_mm)).astype(np.float32)
        for start in range(0, e.q.shape[1], BLOCK):
            rows, s = self._block(start)
            q = e.q[:, rows]
            et0 = et0_here[e.exposure[rows]][:, None] * noise
            demand = canopy_use(s, number, q[Q.TRIM]) * et0
            stores = Stores(q[Q.RESERVOIR], q[Q.MIX])
            after = move_day(s, stores, demand, np.float32(rain_mm), *faults_at(s, number))
            q[Q.RESERVOIR], q[Q.MIX] = after
            q[Q.TRIM] *= TRIM_BACK
        if number % EVERY_DAYS == 0:
            self.town.learn(e, number)

    def check_in(self, day: date, told: CheckIns) -> None:
        """Weigh and renew the guesses of the planters that were visited this morning."""
        for start in range(0, told.rows.size, BLOCK):
            self._check_in(day, told.part(slice(start, start + BLOCK)))

    def _check_in(self, day: date, told: CheckIns) -> None:
        e, number, rows = self.ensemble, day.toordinal(), told.rows
        q, s = e.q[:, rows], self.settings_at(rows)
        draw = (e.seeds[rows] + number * 7919) % DRAW_ROWS
        even = self._evens[draw]
        blocked = (self.kind == BLOCKED) & (s.since <= number) & (number < s.until)
        weight = gauge_likelihood(told.level, q[Q.RESERVOIR] / s.capacity, q[Q.GAUGE])
        weight = self.gauge.weigh(told, weight, _shares(e.log_weight[rows]))
        weight = weight * plants_likelihood(told.plants, q[Q.MIX] / s.mix_held)
        self._watch(told, number, e.log_weight[rows] + np.log(weight), q[Q.RESERVOIR], s.capacity)
        filled = filling(
            told,
            q[Q.RESERVOIR],
            s.capacity,
            blocked,
            q[Q.LITRES],
            logistic(q[Q.BRIM]),
            float(self._seen[0] / self._seen.sum()),
            even[:, 0],
            even[:, 1],
        )
        q[Q.RESERVOIR] = filled.reservoir
        log_weight = e.log_weight[rows] + np.log(weight * filled.likelihood)
        self._learn_seen(told, filled.to_brim, log_weight)
        gap = np.maximum(number - self._last_check[rows], 1.0)[:, None]
        self._last_check[rows] = number
        new, new_weight = self._renew(q, log_weight, number, gap, draw)
        if told.trimmed is not None:
            cut = np.where(told.trimmed == 1, _cut(even[:, 1]), 0.0)
            new[Q.TRIM] += cut.astype(np.float32)
        e.q[:, rows] = new
        e.log_weight[rows] = new_weight
        self._renew_settings(rows)

    def _watch(
        self, told: CheckIns, day: int, log_weight: Floats, reservoir: Floats, capacity: Floats
    ) -> None:
        """Let the overfill watch see the room there was before the filling."""
        w = _shares(log_weight)
        room = np.maximum(capacity - reservoir, 0.0)
        mean = np.sum(w * room, axis=1)
        sd = np.sqrt(np.sum(w * (room - mean[:, None]) ** 2, axis=1))
        self.overfill.fill(told, day, mean, sd, self.ensemble.reservoir_l[told.rows, 0])

    def _learn_seen(self, told: CheckIns, to_brim: Floats, log_weight: Floats) -> None:
        """Learn how often the town's people tell of an overflow that ran."""
        w = _shares(log_weight)
        brim = np.sum(w * to_brim, axis=1)
        ran, ran_not = told.overflow[:, 0] == 1, told.overflow[:, 0] == 0
        self._seen_today += float(brim[ran].sum()), float(brim[ran_not].sum())

    def _renew(
        self, q: Floats, log_weight: Floats, day: int, gap: np.ndarray, draw: np.ndarray
    ) -> tuple[Floats, Floats]:
        """Resample within each supposition, with faults beginning and mended in between."""
        w = np.exp(log_weight - log_weight.max(axis=1, keepdims=True)).astype(np.float64)
        w /= w.sum(axis=1, keepdims=True)
        at_work = (self.kind != WELL) & (q[Q.SINCE] <= day) & (day < q[Q.UNTIL])
        ahead = BEGINS_WITHIN
        free = np.where(at_work, 0.0, w)
        chosen = np.empty(log_weight.shape, np.intp)
        fresh = np.empty_like(log_weight)
        for k, place in enumerate(self.places):
            if k == WELL:
                pool = free * (1.0 - sum(BEGINS.values()) * ahead)
            else:
                pool = np.where(at_work & (self.kind == k), w, free * BEGINS[k] * ahead)
            count = place.stop - place.start
            total = pool.sum(axis=1)
            chosen[:, place] = _systematic(pool / total[:, None], count)
            fresh[:, place] = np.log(np.maximum(total, 1e-30) / count)[:, None]
        moments = _moments(q[STATIC], w)
        new = np.take_along_axis(q, chosen[None], axis=2)
        self._set_faults(new, np.take_along_axis(at_work, chosen, 1), day, draw)
        self._jitter(new, moments, gap, draw)
        return new, fresh

    def _set_faults(self, q: Floats, at_work: np.ndarray, day: int, draw: np.ndarray) -> None:
        """Give guesses that newly suppose a fault its start and size."""
        z = self._normals[draw]
        begins = (self.kind != WELL) & ~at_work
        start = day + self._evens[draw, 2] * BEGINS_WITHIN
        q[Q.SINCE] = np.where(self.kind == WELL, NEVER, np.where(begins, start, q[Q.SINCE]))
        until = np.maximum(q[Q.SINCE], day) - MENDED_AFTER * np.log1p(-self._evens[draw, 3])
        q[Q.UNTIL] = np.where(self.kind == WELL, NEVER, until)  # without memory: drawn anew
        q[Q.LOSS] = np.where(begins, loss_log(z[:, Q.LOSS]), q[Q.LOSS])
        centre, spread = PRIOR[Q.WICK_LEFT]
        q[Q.WICK_LEFT] = np.where(begins, centre + spread * z[:, Q.WICK_LEFT], q[Q.WICK_LEFT])

    def _jitter(
        self, q: Floats, moments: tuple[Floats, Floats], gap: np.ndarray, draw: np.ndarray
    ) -> None:
        """Spread multiplied guesses apart, keeping mean and spread; let use drift, trims come."""
        mean, sd = moments
        z = np.moveaxis(self._normals[draw], 1, 0)
        stir = np.float32(np.sqrt(1 - KEEP**2))
        q[STATIC] = mean + np.float32(KEEP) * (q[STATIC] - mean) + stir * sd * z[STATIC]
        q[Q.USE] += np.float32(DRIFT) * np.sqrt(gap).astype(np.float32) * z[Q.RESERVOIR]
        u = self._evens[draw, 0]
        chance = 1.0 - np.exp(-gap * TRIM_A_DAY)
        cut = _cut(np.minimum(u / chance, 1.0))
        q[Q.TRIM] += np.where(u < chance, cut, 0.0).astype(np.float32)

    def replant(self, rows: np.ndarray, day: date) -> None:
        """Begin the growth of these planters anew: what was learnt of their plants is forgotten,
        what was learnt of pot, wick, gauge and people stays."""
        e = self.ensemble
        for row in rows:
            rng = np.random.Generator(np.random.PCG64([int(e.seeds[row]), day.toordinal()]))
            z = even_normals(rng, len(GROWTH), e.guesses)
            for k, quantity in enumerate(GROWTH):
                centre, spread = PRIOR[quantity]
                if quantity in SHARED:
                    centre = self.town.centre(quantity, row)
                e.q[quantity, row] = centre + spread * z[k]
        e.q[Q.TRIM, rows] = 0.0
        e.planted[rows, 0] = day.toordinal()
        self._renew_settings(rows)

    def fault_odds(self, day: date) -> np.ndarray:
        """Chance that each fault is at work, [planter, supposition]."""
        e = self.ensemble
        number = day.toordinal()
        w = _shares(e.log_weight) * ((e.q[Q.SINCE] <= number) & (number < e.q[Q.UNTIL]))
        return np.stack([w[:, p].sum(axis=1) for p in self.places], axis=1)


def _shares(log_weight: Floats) -> Floats:
    """Weights of each row that add up to one."""
    w = np.exp(log_weight - log_weight.max(axis=1, keepdims=True))
    return np.asarray(w / w.sum(axis=1, keepdims=True))


def _cut(u: Floats) -> Floats:
    """Log of what a trim leaves of the canopy; u: even numbers in 0..1."""
    return np.asarray(np.log1p(-(TRIM_LEAST + (TRIM_MOST - TRIM_LEAST) * u)))


def _systematic(p: np.ndarray, count: int) -> np.ndarray:
    """Evenly chosen places in proportion to each row's weights."""
    rows, n = p.shape
    edge = np.minimum(np.cumsum(p, axis=1), 1.0) + np.arange(rows)[:, None]
    edge[:, -1] = np.arange(rows) + 1.0
    want = (np.arange(count) + 0.5) / count + np.arange(rows)[:, None]
    found = np.searchsorted(edge.ravel(), want.ravel()).reshape(rows, count)
    return np.asarray(found - np.arange(rows)[:, None] * n)


def _moments(q: Floats, w: np.ndarray) -> tuple[Floats, Floats]:
    """Weighted mean and spread of each setting, [setting, planter, 1]."""
    weight = w.astype(np.float32)
    mean = np.einsum("qpn,pn->qp", q, weight)[..., None]
    variance = np.einsum("qpn,pn->qp", (q - mean) ** 2, weight)[..., None]
    return mean, np.sqrt(np.maximum(variance, 1e-12))
