"""Degrees to metres, and a picture laid on the ground by two points.

Lengths of a degree against the series of Bowditch, American Practical Navigator (H.O. 9), as
printed in many programs, and against the lengths told at 0 and 90 degrees; a worked place at 48
degrees from a chart of WGS 84 lengths (74.63 km, 111.2 km). Similarities against the affine maps of
shapely.
"""

from __future__ import annotations

import math
from random import Random

import pytest
import shapely
from shapely.affinity import affine_transform, rotate, scale, translate

from potrounds.science import ground
from potrounds.science.walking import haversine_m


def bowditch_m(lat: float) -> tuple[float, float]:
    """The series; its constants are those of an ellipsoid a few decimetres off WGS 84."""
    phi = math.radians(lat)
    north = 111_132.92 - 559.82 * math.cos(2 * phi) + 1.175 * math.cos(4 * phi)
    north -= 0.0023 * math.cos(6 * phi)
    east = 111_412.84 * math.cos(phi) - 93.5 * math.cos(3 * phi) + 0.118 * math.cos(5 * phi)
    return north, east


@pytest.mark.parametrize("lat", [-71.3, -33.9, 0.0, 12.0, 30.0, 46.5, 60.0, 78.2])
def test_degrees_are_as_long_as_the_series_says(lat: float) -> None:
    north, east = ground.degree_lengths_m(lat)
    told_north, told_east = bowditch_m(lat)
    assert north == pytest.approx(told_north, abs=0.6)
    assert east == pytest.approx(told_east, abs=0.6)


def test_degrees_are_as_long_as_tables_say() -> None:
    assert ground.degree_lengths_m(0) == (
        pytest.approx(110_574, abs=1),
        pytest.approx(111_320, 1e-5),
    )
    assert ground.degree_lengths_m(90)[0] == pytest.approx(111_694, abs=1)
    assert ground.degree_lengths_m(90)[1] == pytest.approx(0, abs=1e-6)
    north, east = ground.degree_lengths_m(48)
    assert (round(north / 1000, 1), round(east / 1000, 2)) == (111.2, 74.63)


def test_a_plane_agrees_with_the_globe_over_a_town() -> None:
    """The haversine takes the earth for a ball, and is off by up to 0.6 % itself."""
    plane = ground.plane_at(46.5, -38.0)
    east, north = plane.metres(46.52, -37.96)
    straight = float(haversine_m([46.5, 46.52], [-38.0, -37.96])[0, 1])
    assert math.hypot(east, north) == pytest.approx(straight, rel=0.006)
    assert east == pytest.approx(0.04 * bowditch_m(46.5)[1], abs=0.1)
    for lat in (0, 30, 46.5, 60):
        off = ground.degree_lengths_m(lat + 5 / 111.2)[1] / ground.degree_lengths_m(lat)[1]
        assert abs(off - 1) < 0.0015


def test_a_plane_goes_the_short_way_over_the_antimeridian() -> None:
    east, north = ground.plane_at(-17.0, 179.999).metres(-17.0, -179.999)
    assert east == pytest.approx(0.002 * ground.degree_lengths_m(-17)[1])
    assert north == 0


def test_two_points_fix_turn_scale_and_shift() -> None:
    """Worked by hand: 100 m east are 200 px down the picture, so north points right."""
    fit = ground.similarity(((0, 0), (100, 0)), ((300, 50), (300, 250)))
    assert fit.px_per_m == pytest.approx(2)
    assert fit.turn_deg == pytest.approx(90)
    assert (fit.x, fit.y) == pytest.approx((300, 50))
    assert fit.pixels((0, 30)) == pytest.approx((360, 50))
    assert fit.metres((360, 50)) == pytest.approx((0, 30))


def shapely_spot(place: ground.Metres, by: float, px: float, shift: ground.Pixels) -> ground.Pixels:
    """A place on a picture whose north lies `by` degrees clockwise from up."""
    turned = rotate(shapely.Point(place), -by, origin=(0, 0))  # counterclockwise there
    sized = scale(turned, px, px, origin=(0, 0))
    flipped = affine_transform(sized, [1, 0, 0, -1, 0, 0])  # pixels are counted downwards
    spot = translate(flipped, *shift)
    return spot.x, spot.y


def test_a_similarity_is_the_affine_map_that_shapely_makes() -> None:
    rng = Random(7)
    for _ in range(40):
        by, px = rng.uniform(-180, 180), rng.uniform(0.1, 40)
        shift = rng.uniform(-900, 900), rng.uniform(-900, 900)
        places = [(rng.uniform(-80, 80), rng.uniform(-80, 80)) for _ in range(5)]
        spots = [shapely_spot(place, by, px, shift) for place in places]
        fit = ground.similarity((places[0], places[1]), (spots[0], spots[1]))
        assert fit.px_per_m == pytest.approx(px)
        assert math.cos(math.radians(fit.turn_deg - by)) == pytest.approx(1)
        for place, spot in zip(places, spots, strict=True):
            assert fit.pixels(place) == pytest.approx(spot, abs=1e-6)
            assert fit.metres(spot) == pytest.approx(place, abs=1e-6)


def test_one_point_twice_fixes_nothing() -> None:
    with pytest.raises(ValueError, match="fix nothing"):
        ground.similarity(((3, 4), (3, 4)), ((0, 0), (9, 9)))
    with pytest.raises(ValueError, match="fix nothing"):
        ground.similarity(((3, 4), (5, 4)), ((9, 9), (9, 9)))


def test_doubt_grows_away_from_the_known_points() -> None:
    known = ((0.0, 0.0), (100.0, 0.0))
    assert ground.doubt_m((0, 0), known, 5) == pytest.approx(5)
    assert ground.doubt_m((50, 0), known, 5) == pytest.approx(5 / math.sqrt(2))
    assert ground.doubt_m((200, 0), known, 5) == pytest.approx(5 * math.sqrt(5))


def test_doubt_is_the_spread_of_many_tries() -> None:
    """The formula against a plain simulation of known points that are each off at random."""
    rng, place, known = Random(3), (140.0, 60.0), ((0.0, 0.0), (100.0, 0.0))
    spots = ((0.0, 0.0), (100.0, 0.0))
    squares = []
    for _ in range(4000):
        off = [(e + rng.gauss(0, 1), n + rng.gauss(0, 1)) for e, n in known]
        fit = ground.similarity((off[0], off[1]), spots)
        true = ground.similarity(known, spots).pixels(place)
        squares.append(math.dist(fit.metres(true), place) ** 2)
    spread = math.sqrt(sum(squares) / len(squares) / 2)  # of one axis
    assert ground.doubt_m(place, known, 1) == pytest.approx(spread, rel=0.05)
