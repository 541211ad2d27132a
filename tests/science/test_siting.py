"""Geometry of a planter's place. Widths: 2010 ADA Standards and PROWAG, both by handbook 8."""

from __future__ import annotations

import pint
import pytest

from potrounds.science.siting import (
    ADA_CLEAR_CM,
    ADA_SHORT_CM,
    ADA_SHORT_LENGTH_CM,
    CANE_CM,
    HEAD_CM,
    PROTRUDING_CM,
    PROWAG_CLEAR_CM,
    SIGHT_HEIGHT_CM,
    SIGHT_LEG_CM,
    Place,
    Thing,
    allowed_short,
    clear_path,
    distance_m,
    equal_circle_cm,
    free_strips,
    in_sight_triangle,
    outer_volume_l,
    protrudes,
    tilt_cm,
)


def a_place(**changes: object) -> Place:
    """A path of 240 cm; a planter of 60 x 60 cm, rim at 55, stands 20 cm from its kerb side."""
    values = {
        "path_cm": 240.0,
        "from_kerb_cm": 20.0,
        "width_cm": 60.0,
        "length_cm": 60.0,
        "rim_cm": 55.0,
        "canopy_cm": 60.0,
    }
    return Place(**(values | changes))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("ours_cm", "inches", "published_mm"),
    [
        (ADA_CLEAR_CM, 36, 915),  # 403.5.1
        (ADA_SHORT_CM, 32, 815),  # 403.5.1, exception
        (ADA_SHORT_LENGTH_CM, 24, 610),  # 403.5.1, exception
        (PROWAG_CLEAR_CM, 48, 1220),  # PROWAG R302 (2011)
        (CANE_CM, 27, 685),  # 307.2
        (HEAD_CM, 80, 2030),  # 307.2
        (PROTRUDING_CM, 4, 100),  # 307.2
    ],
)
def test_thresholds_are_the_published_ones(ours_cm: float, inches: int, published_mm: int) -> None:
    """Handbook 8, read in the source (metric values of the standards); inches by pint."""
    assert ours_cm * 10 == published_mm
    assert (inches * pint.UnitRegistry().inch).to("mm").magnitude == pytest.approx(
        published_mm, abs=5
    )


def test_sight_values_are_those_seen_in_local_codes() -> None:
    """30 in (San Bernardino County, Elizabethtown), 25 ft (Norfolk). Handbook 8; pint."""
    unit = pint.UnitRegistry()
    assert (30 * unit.inch).to("cm").magnitude == pytest.approx(SIGHT_HEIGHT_CM, abs=0.5)
    assert (25 * unit.foot).to("cm").magnitude == pytest.approx(SIGHT_LEG_CM, abs=0.5)


def test_the_clear_path_by_hand() -> None:
    """240 - 20 - 60 = 160 beside the wall; with plants 30 cm wider on both sides, 130."""
    clear = clear_path(a_place())
    assert (clear.width_cm, clear.begin_cm, clear.end_cm) == (160, 80, 240)
    assert clear_path(a_place(canopy_cm=120.0)).width_cm == 130
    assert clear_path(a_place(canopy_cm=10.0)).width_cm == 160  # never less than the planter


def test_the_wider_side_counts() -> None:
    """By hand: a planter at the wall leaves the kerb side."""
    clear = clear_path(a_place(from_kerb_cm=180.0))
    assert (clear.begin_cm, clear.end_cm) == (0, 180)


def test_a_post_abreast_narrows_the_path_and_one_farther_on_does_not() -> None:
    """By hand: strips 80-150 and 160-240 beside a post of 10 cm at 150."""
    post = Thing("post", distance_cm=40, from_kerb_cm=150, width_cm=10)
    assert clear_path(a_place(things=(post,))).width_cm == 80
    far = Thing("post", distance_cm=130, from_kerb_cm=150, width_cm=10)
    assert clear_path(a_place(things=(far,))).width_cm == 160
    beside = Thing("tap", distance_cm=10)
    assert clear_path(a_place(things=(beside,))).width_cm == 160


@pytest.mark.parametrize(
    ("taken", "free"),
    [
        ([], [(0, 100)]),
        ([(0, 100)], []),
        ([(-20, 30)], [(30, 100)]),
        ([(20, 60), (40, 70)], [(0, 20), (70, 100)]),
        ([(90, 130), (10, 20)], [(0, 10), (20, 90)]),
        ([(150, 160)], [(0, 100)]),
    ],
)
def test_free_strips_by_hand(taken: list[tuple[float, float]], free: list[tuple[float, float]]):
    assert free_strips(100, taken) == free


def test_a_path_that_is_full_has_no_clear_strip() -> None:
    assert clear_path(a_place(path_cm=80.0, from_kerb_cm=10.0, canopy_cm=200.0)).width_cm == 0


@pytest.mark.parametrize(
    ("width", "length", "passes"),
    [(81.5, 61.0, True), (81.4, 61.0, False), (85.0, 61.1, False)],
)
def test_a_short_narrow_place(width: float, length: float, passes: bool) -> None:
    """2010 ADA Standards 403.5.1: 32 in over at most 24 in."""
    assert allowed_short(a_place(length_cm=length), width) is passes


def test_a_short_narrow_place_counts_with_its_plants() -> None:
    assert not allowed_short(a_place(length_cm=55.0, canopy_cm=80.0), 85.0)


@pytest.mark.parametrize(
    ("rim", "trailing", "canopy", "sticks_out"),
    [
        (68.6, 0, 80.2, True),
        (68.6, 0, 80.0, False),  # 10 cm are allowed
        (68.5, 0, 120.0, False),  # a cane finds it
        (90.0, 22.0, 120.0, False),  # plants hang to 68 cm
        (90.0, 20.0, 120.0, True),
        (203.1, 0, 120.0, False),  # over all heads
    ],
)
def test_protruding_plants(rim: float, trailing: float, canopy: float, sticks_out: bool) -> None:
    """2010 ADA Standards 307.2: above 27 in and up to 80 in, at most 4 in."""
    place = a_place(rim_cm=rim, trailing_cm=float(trailing), canopy_cm=canopy)
    assert protrudes(place) is sticks_out


@pytest.mark.parametrize(
    ("along", "back", "inside"),
    [(0, 0, True), (380, 380, True), (381, 381, False), (762, 0, False), (100, 700, False)],
)
def test_the_sight_triangle_by_hand(along: float, back: float, inside: bool) -> None:
    """The line from (762, 0) to (0, 762)."""
    assert in_sight_triangle(along, back, 762.0) is inside


def test_slope_volume_and_circle_by_hand() -> None:
    assert tilt_cm(a_place(slope_percent=4.0, length_cm=100.0)) == pytest.approx(4.0)
    assert outer_volume_l(a_place()) == pytest.approx(198.0)
    assert equal_circle_cm(0.785398) == pytest.approx(100.0, abs=0.001)


def test_distance_over_the_ground() -> None:
    """By hand on that sphere: a degree of the meridian 2 pi R / 360, a quarter circle pi R / 2."""
    assert distance_m((46.0, 7.0), (47.0, 7.0)) == pytest.approx(111_195, abs=1)
    assert distance_m((0.0, 0.0), (0.0, 90.0)) == pytest.approx(10_007_557, abs=2)
    assert distance_m((46.5, -38.0), (46.5, -38.0)) == 0
