"""What the town's planters teach about each other: the prior moves to where they gather.

Each setting's prior starts at a judged centre.  Once a week the centre moves to the mean of what
the planters are believed to be (one step of expectation-maximisation), held back by a few
imagined planters that stay at the start; the spread stays as wide as it was.  Moving a Gaussian
prior's centre only tilts the weights of guesses already drawn, so nothing is run again.

Source: empirical Bayes; Dempster, Laird & Rubin (1977) for the step.
"""

from __future__ import annotations

import numpy as np

from potrounds.science.ensemble import PRIOR, Ensemble, Floats, Q

SHARED = (Q.USE, Q.LENGTH, Q.FIRST, Q.WICK, Q.HEAD, Q.BRIM)
IMAGINED_PLANTERS = 6.0
GROWN_DAYS = 50  # since planting; a young planting's growth is easily taken for its thirst
MOST_SHIFT = 1.2  # of a prior's spread
EVERY_DAYS = 7
LEARN_FROM = 400  # planters at most, evenly chosen; more teach no more


class TownPrior:
    """Centres of the shared settings, as shifts from where they began."""

    def __init__(self, base: Floats) -> None:
        self.base = base  # starting centre of each shared setting, [setting, planter]
        self.spread = np.array([PRIOR[k][1] for k in SHARED], np.float32)
        self.shift = np.zeros(len(SHARED), np.float32)

    def centre(self, quantity: Q, planter: int) -> float:
        """Where a planter's prior of a shared setting now has its centre."""
        k = SHARED.index(quantity)
        return float(self.base[k, planter] + self.shift[k])

    def learn(self, ensemble: Ensemble, day: int) -> None:
        """Move the centres a step and tilt every guess's weight to match."""
        e = ensemble
        q = e.q[list(SHARED)]
        step = max(1, q.shape[1] // LEARN_FROM)
        w = np.exp(e.log_weight[::step] - e.log_weight[::step].max(axis=1, keepdims=True))
        w /= w.sum(axis=1, keepdims=True)
        mean = np.einsum("qpn,pn->qp", q[:, ::step], w) - self.base[:, ::step]
        grown = day - e.planted[::step, 0] >= GROWN_DAYS
        new = mean[:, grown].sum(axis=1) / (grown.sum() + IMAGINED_PLANTERS)
        new = np.clip(new, -MOST_SHIFT * self.spread, MOST_SHIFT * self.spread)
        tilt = ((new - self.shift) / self.spread**2).astype(np.float32)
        for k in range(len(SHARED)):
            e.log_weight += tilt[k] * (q[k] - self.base[k][:, None])
        e.log_weight -= e.log_weight.max(axis=1, keepdims=True)
        self.shift = new.astype(np.float32)
