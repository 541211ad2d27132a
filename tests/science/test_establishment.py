"""Water from above for a new planting: within the span that guides give, warmer is sooner."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from potrounds.science import establishment as rule


def test_degree_days() -> None:
    # McMaster & Wilhelm (1997), Agric. For. Meteorol. 87:291, method 1: mean less base, not below 0
    assert rule.degree_days(14.0, 26.0) == 10.0
    assert rule.degree_days(2.0, 10.0) == 0.0
    assert rule.degree_days(5.0, 25.0, base_c=5.0) == 10.0


def test_without_weather_roots_take_three_weeks() -> None:
    # two to four weeks, consumer guides; the middle is common practice, no source
    assert rule.days_to_root([]) == 21
    assert rule.days_to_root([None] * 40) == 21


@pytest.mark.parametrize(
    ("mean_c", "days"),
    [
        # by hand, 168 degree days above 10: 168/12, 168/8, 168/6; then the ends of the span
        (22.0, 14),
        (18.0, 21),
        (16.0, 28),
        (11.0, 28),
        (35.0, 14),
    ],
)
def test_warmth_shortens_and_cold_lengthens(mean_c: float, days: int) -> None:
    assert rule.days_to_root([rule.degree_days(mean_c, mean_c)] * 40) == days


@given(st.lists(st.one_of(st.none(), st.floats(0, 40)), max_size=40))
def test_it_is_never_outside_two_to_four_weeks(warmth: list[float | None]) -> None:
    # two to four weeks from above: consumer guides
    assert 14 <= rule.days_to_root(warmth) <= 28


@pytest.mark.parametrize(
    ("et0_mm", "factor", "days"),
    [
        # by hand, 12.5 mm in the top: whole days it lasts, at least one and at most three
        (4.0, 1.0, 3),
        (5.0, 1.0, 2),
        (6.25, 1.0, 2),
        (7.0, 1.2, 1),
        (13.0, 1.0, 1),
        (2.0, 1.0, 3),
        (7.0, 0.7, 2),
    ],
)
def test_how_long_the_top_lasts(et0_mm: float, factor: float, days: int) -> None:
    assert rule.days_until_check([et0_mm] * 5, factor) == days


def test_where_the_weather_is_not_known_it_is_two_days() -> None:
    # every one to three days: common practice, no source
    assert rule.days_until_check([]) == 2
    assert rule.days_until_check([None, None, None], 1.2) == 2
    assert rule.days_until_check([3.0]) == 2


def test_wind_dries_and_shade_spares() -> None:
    # judgement: 0.7 in shade, 1.0 in the open, 1.2 in wind
    assert rule.exposure_factor("full", "open") == 1.0
    assert rule.exposure_factor("shade", "sheltered") == 0.7
    assert rule.exposure_factor("full", "windy") == 1.2
    assert rule.exposure_factor("part", "windy") == 1.2
