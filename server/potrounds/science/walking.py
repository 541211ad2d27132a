"""Metres between places: straight over the globe times a factor, or as somebody paced them out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

#: Mean radius of the earth (IUGG): (2 a + b) / 3 of WGS84. [m]
EARTH_M = 6_371_008.8
#: Ways in a town beside the straight line. Common practice, no source; a setting of the town.
WALKING_FACTOR = 1.3
#: Between two places of which one has no position: at one site, or at another.
SAME_SITE_M, OTHER_SITE_M = 40.0, 400.0

Metres = npt.NDArray[np.float64]


def haversine_m(lat: npt.ArrayLike, lon: npt.ArrayLike) -> Metres:
    """Straight metres between all pairs of places on a sphere, [place, place].

    Parameters: lat, lon : WGS84 positions; NaN where there is none. [degrees]
    Source: the haversine formula, R. W. Sinnott, Virtues of the Haversine, Sky and Telescope 68
        (1984) 159 [from memory]; radius: IUGG mean radius.
    """
    phi, lam = np.radians(np.asarray(lat, float)), np.radians(np.asarray(lon, float))
    half_phi, half_lam = (phi[:, None] - phi) / 2, (lam[:, None] - lam) / 2
    inner = np.sin(half_phi) ** 2 + np.cos(phi)[:, None] * np.cos(phi) * np.sin(half_lam) ** 2
    return np.asarray(2 * EARTH_M * np.arcsin(np.sqrt(np.clip(inner, 0.0, 1.0))))


def walking_m(
    lat: Sequence[float | None],
    lon: Sequence[float | None],
    sites: Sequence[str | None],
    factor: float = WALKING_FACTOR,
    paced: Mapping[tuple[int, int], float] | None = None,
) -> Metres:
    """Metres to walk between all pairs of places, [place, place], the same both ways.

    Parameters: sites : name of each place's site, for pairs without positions;
                paced : metres by pair of places, instead of what is reckoned. [m]
    Raises: ValueError for a factor below 1.
    """
    if factor < 1:
        raise ValueError("no way is shorter than the straight line")
    where = [
        np.array([np.nan if one is None else one for one in some], float) for some in (lat, lon)
    ]
    metres = haversine_m(*where) * factor
    unknown = np.isnan(metres)
    site = np.array(["" if one is None else one for one in sites])
    guessed = np.where((site[:, None] == site) & (site != ""), SAME_SITE_M, OTHER_SITE_M)
    metres[unknown] = guessed[unknown]
    for (one, other), told in (paced or {}).items():
        metres[one, other] = metres[other, one] = told
    np.fill_diagonal(metres, 0.0)
    return metres
