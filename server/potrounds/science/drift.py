"""Small steady departures, found by a running sum (tabular CUSUM)."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Values = npt.NDArray[np.floating]


def cusum_step(total: float | Values, deviation: float | Values, slack: float = 0.0) -> Values:
    """The running sum after one more value, never below zero.

    Parameters: total : the sum before; deviation : how far the value lies on the side watched, in
                whatever unit (value - target for the high side, target - value for the low side);
                slack : what is let pass each time, half of the shift worth finding
    Returns: the sum after it, in the unit of the deviation; it signals above a decision limit.
        Where the deviation is a log likelihood ratio, slack is 0 and this is Page's test.
    Source: NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.3; Page, E. S. (1954).
    """
    return np.asarray(np.maximum(total + deviation - slack, 0.0))
