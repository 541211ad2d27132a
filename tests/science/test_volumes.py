"""Volumes against hand computation, slices added up, and the trade's own bag check."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from potrounds.science.units import litres
from potrounds.science.volumes import (
    Face,
    bags_to_order,
    face_at,
    fill_volume,
    loose_volume,
    whole_up,
)

length = st.floats(5, 300)


def test_a_frustum_by_hand() -> None:
    """D 60, d 45, h 50 cm: pi 50/12 (3600 + 2700 + 2025) = 108 974 cm3, by hand."""
    assert fill_volume(Face(60), Face(45), 50) == pytest.approx(108.974, abs=0.001)


def test_a_prismoid_by_hand() -> None:
    """100 x 40 over 80 x 30, 45 cm: 45/6 (4000 + 180 * 70 + 2400) = 142 500 cm3, by hand.

    The formula of a similar pyramid gives 142.476 L: its two tapers would have to be one.
    """
    assert fill_volume(Face(100, 40), Face(80, 30), 45) == pytest.approx(142.5, abs=1e-9)


def test_a_partial_fill_by_hand() -> None:
    """The same frustum filled to 20 cm: the level is 51 cm wide, pi 20/12 (2601 + 2295 + 2025)."""
    by_hand = math.pi * 20 / 12 * (2601 + 2295 + 2025) / 1000
    assert fill_volume(Face(60), Face(45), 50, 20) == pytest.approx(by_hand, rel=1e-12)
    assert by_hand == pytest.approx(36.24, abs=0.005)


@given(length, length, length, length, length)
def test_a_prismoid_is_its_slices_added_up(
    a: float, b: float, c: float, d: float, h: float
) -> None:
    """Simpson's rule on the area is exact for a prismoid: (h/6)(A0 + 4 Am + A1)."""
    top, bottom = Face(a, b), Face(c, d)
    middle = face_at(top, bottom, h, h / 2)
    simpson = h / 6 * (top.area_cm2 + 4 * middle.area_cm2 + bottom.area_cm2) / 1000
    assert fill_volume(top, bottom, h) == pytest.approx(simpson, rel=1e-9)


@given(length, length, st.floats(5, 100), st.floats(0, 1))
def test_a_part_and_the_rest_are_the_whole(top: float, low: float, h: float, share: float) -> None:
    level = face_at(Face(top), Face(low), h, h * share)
    part = fill_volume(Face(top), Face(low), h, h * share)
    rest = fill_volume(Face(top), level, h - h * share) if h - h * share > 0 else 0
    assert part + rest == pytest.approx(fill_volume(Face(top), Face(low), h), rel=1e-9)


def test_a_bottom_wider_than_the_top_is_a_shape_like_any_other() -> None:
    assert fill_volume(Face(45), Face(60), 50) == fill_volume(Face(60), Face(45), 50)


def test_straight_walls_are_a_cylinder_and_a_box() -> None:
    assert fill_volume(Face(40), Face(40), 50) == pytest.approx(math.pi * 400 * 50 / 1000)
    assert fill_volume(Face(50, 40), Face(50, 40), 30) == pytest.approx(60)


@pytest.mark.parametrize(
    ("top", "bottom", "depth", "height"),
    [
        (Face(60), Face(45), 0, None),
        (Face(60), Face(45), -5, None),
        (Face(0), Face(45), 50, None),
        (Face(60), Face(-45), 50, None),
        (Face(60, 40), Face(45), 50, None),
        (Face(60), Face(45), 50, 51),
        (Face(60), Face(45), 50, -1),
        (Face(math.nan), Face(45), 50, None),
    ],
)
def test_what_cannot_be_is_refused(
    top: Face, bottom: Face, depth: float, height: float | None
) -> None:
    with pytest.raises(ValueError, match=r"cm|round"):
        fill_volume(top, bottom, depth, height)


def test_the_trades_bag_check() -> None:
    """Common practice: planters of 3.2 ft3, bags of 2 ft3: 1.6 bags each, 1.84 with 15 % more.

    Ten planters are 16 bags, 19 with 15 %; rounding each up would buy 20.
    """
    each, bag = litres(3.2, "ft3"), litres(2, "ft3")
    assert each / bag == pytest.approx(1.6)
    assert loose_volume(each, 0.15) / bag == pytest.approx(1.84)
    assert bags_to_order([each] * 10, bag) == 16
    assert bags_to_order([loose_volume(each, 0.15)] * 10, bag) == 19
    assert sum(whole_up(loose_volume(each, 0.15) / bag) for _ in range(10)) == 20
    assert bags_to_order([each] * 10, bag, in_shed=5) == 11
    assert bags_to_order([each] * 10, bag, in_shed=40) == 0
    assert bags_to_order([], bag) == 0


def test_nothing_and_less_than_nothing() -> None:
    with pytest.raises(ValueError, match="bag"):
        bags_to_order([90.0], 0)
    with pytest.raises(ValueError, match="nothing"):
        loose_volume(90, -0.1)
