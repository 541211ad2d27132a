"""Litres to the overflow from a gauge mark. Figures worked by hand, a 16 L reservoir."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from potrounds.science.reservoir import TopUp, top_up_range, uptake_share


@pytest.mark.parametrize(
    ("level", "litres"),
    [
        # 16 L: a quarter is 4 L, half a step is 2 L
        (0.0, TopUp(16.0, 14.0, 16.0)),  # "empty" is at or below: the whole reservoir at most
        (0.25, TopUp(12.0, 10.0, 14.0)),
        (0.5, TopUp(8.0, 6.0, 10.0)),
        (0.75, TopUp(4.0, 2.0, 6.0)),
        (1.0, TopUp(0.0, 0.0, 2.0)),
    ],
)
def test_a_mark_is_known_to_half_a_step_each_way(level: float, litres: TopUp) -> None:
    assert top_up_range(16, level) == litres


def test_a_finer_gauge_gives_a_narrower_range() -> None:
    assert top_up_range(20, 0.5, step=0.1) == TopUp(10.0, pytest.approx(9.0), pytest.approx(11.0))


@settings(deadline=None)
@given(
    water=st.floats(0, 1),
    capacity_l=st.floats(1, 500),
    step=st.sampled_from([0.5, 0.25, 0.125]),
)
def test_whatever_the_water_stands_at_the_range_of_its_nearest_mark_holds_the_truth(
    water: float, capacity_l: float, step: float
) -> None:
    mark = round(water / step) * step
    top_up = top_up_range(capacity_l, mark, step)
    truth_l = capacity_l * (1 - water)
    assert top_up.low_l - 1e-9 <= truth_l <= top_up.high_l + 1e-9
    assert 0 <= top_up.low_l <= top_up.litres_l <= top_up.high_l <= capacity_l


@pytest.mark.parametrize(
    ("capacity_l", "level", "step"),
    [
        (0, 0.5, 0.25),
        (-1, 0.5, 0.25),
        (float("nan"), 0.5, 0.25),
        (16, -0.1, 0.25),
        (16, 1.1, 0.25),
        (16, 0.5, 0),
        (16, 0.5, 2),
    ],
)
def test_nonsense_is_refused(capacity_l: float, level: float, step: float) -> None:
    with pytest.raises(ValueError, match="not"):
        top_up_range(capacity_l, level, step)


def test_the_share_a_fill_put_back() -> None:
    assert uptake_share(4, 16) == 0.25
    assert uptake_share(18, 16) == pytest.approx(1.125)
    with pytest.raises(ValueError, match="less than 0"):
        uptake_share(-1, 16)
    with pytest.raises(ValueError, match="more than 0"):
        uptake_share(1, 0)
