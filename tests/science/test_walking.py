"""Metres between places, against figures from outside."""

from __future__ import annotations

import numpy as np
import pytest

from potrounds.science.walking import haversine_m, walking_m


def test_a_degree_of_a_great_circle() -> None:
    """IUGG mean radius 6371.0088 km: one degree is 2 pi 6371008.8 / 360 = 111 195.08 m."""
    metres = haversine_m([0.0, 1.0, 0.0], [0.0, 0.0, 1.0])
    assert metres[0, 1] == pytest.approx(111_195.08, abs=0.01)
    assert metres[0, 2] == pytest.approx(111_195.08, abs=0.01)


def test_a_nautical_mile() -> None:
    """1852 m by definition, a minute of latitude within 0.1 %."""
    assert haversine_m([45.0, 45.0 + 1 / 60], [7.0, 7.0])[0, 1] == pytest.approx(1852, rel=2e-3)


def test_against_the_law_of_cosines() -> None:
    """The same sphere by the other textbook formula, at distances where it is exact enough."""
    rng = np.random.default_rng(1)
    lat, lon = rng.uniform(-60, 60, 30), rng.uniform(-180, 180, 30)
    phi, lam = np.radians(lat), np.radians(lon)
    inner = np.sin(phi)[:, None] * np.sin(phi) + np.cos(phi)[:, None] * np.cos(phi) * np.cos(
        lam[:, None] - lam
    )
    other = 6_371_008.8 * np.arccos(np.clip(inner, -1, 1))
    assert np.allclose(haversine_m(lat, lon), other, atol=200)  # arccos is coarse near zero


def test_a_factor_pairs_paced_out_and_places_without_position() -> None:
    metres = walking_m(
        [0.0, 1.0, None, None],
        [0.0, 0.0, None, None],
        ["Quay", "Market", "Market", "Quay"],
        factor=1.5,
        paced={(0, 2): 75.0},
    )
    assert metres[0, 1] == pytest.approx(1.5 * 111_195.08, abs=0.1)
    assert metres[0, 2] == metres[2, 0] == 75.0  # as paced out, both ways
    assert metres[1, 2] == 40.0  # one site
    assert metres[2, 3] == 400.0  # two
    assert not metres.diagonal().any()


def test_no_way_is_shorter_than_straight() -> None:
    with pytest.raises(ValueError, match="straight"):
        walking_m([0.0], [0.0], [None], factor=0.9)
