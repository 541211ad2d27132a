"""The running sum against published examples."""

from __future__ import annotations

import numpy as np
import pytest

from potrounds.science.alarms import OVERFILLING_FROM, OverfillWatch
from potrounds.science.drift import cusum_step
from potrounds.science.evidence import CheckIns

# NIST/SEMATECH e-Handbook 6.3.2.3: target 325, k 0.3175, h 4.1959. from memory, recomputed
NIST = [
    *(324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600),
    *(324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350),
]
TARGET, K, H = 325.0, 0.3175, 4.1959
# Lucas & Crosier's example of a head start: h 5, k 0.5.
HEAD_START = [0.8, 1.9, 1.4, 2.0, 1.1, 0.7, 2.6]


def sums(deviations: list[float], slack: float, start: float = 0.0) -> list[float]:
    found, total = [], start
    for one in deviations:
        total = float(cusum_step(total, one, slack))
        found.append(total)
    return found


def test_the_high_side_of_the_published_example() -> None:
    high = sums([x - TARGET for x in NIST], K)
    assert high[:4] == [0.0] * 4
    assert high[4] == pytest.approx(0.03, abs=0.005)
    published = [3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.00, 19.04]
    assert high[12:] == pytest.approx(published, abs=0.011)
    assert next(n for n, total in enumerate(high, start=1) if total > H) == 14


def test_the_low_side_of_the_published_example() -> None:
    low = sums([TARGET - x for x in NIST], K)
    assert max(low) == pytest.approx(0.72, abs=0.005)
    assert low.index(max(low)) == 7
    assert max(low) < H


@pytest.mark.parametrize(
    ("start", "published"),
    [(0.0, [0.3, 1.7, 2.6, 4.1, 4.7, 4.9, 7.0]), (2.5, [2.8, 4.2, 5.1, 6.6, 7.2, 7.4, 9.5])],
)
def test_with_and_without_a_head_start(start: float, published: list[float]) -> None:
    assert sums(HEAD_START, 0.5, start) == pytest.approx(published, abs=0.05)


def test_planters_are_summed_side_by_side() -> None:
    total = cusum_step(np.array([0.0, 1.0, 4.0]), np.array([-1.0, 0.5, 1.0]), 0.25)
    assert total.tolist() == [0.0, 1.25, 4.75]


def a_fill(litres: float, ran: float = 1.0) -> CheckIns:
    columns = [np.full((1, 1), one, np.float32) for one in (np.nan, litres, ran, np.nan)]
    return CheckIns(np.array([0]), *columns)


def watched(litres: list[float], ran: float = 1.0) -> float:
    """The sum after weekly fills of a 16 L reservoir that had room for 4 L each time."""
    watch = OverfillWatch(1)
    room, doubt, size = np.array([4.0]), np.array([0.5]), np.array([16.0])
    for week, one in enumerate(litres, start=1):
        watch.fill(a_fill(one, ran), 7 * week, room, doubt, size)
    return float(watch.total[0])


def test_a_lavish_hand_is_told_only_after_it_has_poured_again_and_again() -> None:
    assert watched([12.0] * 8) > OVERFILLING_FROM
    assert watched([12.0]) < OVERFILLING_FROM  # one wrong figure is not a habit
    assert watched([120.0]) < OVERFILLING_FROM
    assert watched([4.5] * 8) == 0.0
    assert watched([12.0] * 3 + [4.5] * 6) < watched([12.0] * 3)


def test_a_fill_at_which_nothing_ran_over_speaks_against_it() -> None:
    assert watched([12.0] * 8, ran=0.0) == 0.0
