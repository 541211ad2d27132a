"""A town's ground as a plane: degrees to metres, and a plan picture laid on it by two points.

Metres are east and north of an origin. Pixels are counted from the picture's upper left corner, x
to the right and y down. A similarity turns, scales and shifts, and bends nothing: two points fix
it.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

#: WGS 84: semi-major axis and flattening. NIMA TR8350.2, table 3.1.
AXIS_M, FLATTENING = 6_378_137.0, 1 / 298.257223563
SQUARED_ECCENTRICITY = FLATTENING * (2 - FLATTENING)

Metres = tuple[float, float]
Pixels = tuple[float, float]


def degree_lengths_m(lat: float) -> tuple[float, float]:
    """Metres in a degree of latitude, and in a degree of longitude, at a latitude. [m/degree]

    Parameters: lat : WGS 84 latitude. [degrees]
    Source: radii of curvature of the meridian and the prime vertical, J. P. Snyder, Map
        Projections: A Working Manual, USGS Professional Paper 1395 (1987), eq. 4-18 to 4-21 [from
        memory].
    """
    phi = math.radians(lat)
    bulge = 1 - SQUARED_ECCENTRICITY * math.sin(phi) ** 2
    meridian_m = AXIS_M * (1 - SQUARED_ECCENTRICITY) / bulge**1.5
    parallel_m = AXIS_M / math.sqrt(bulge) * math.cos(phi)
    return math.radians(meridian_m), math.radians(parallel_m)


@dataclass(frozen=True)
class Plane:
    """The ground around an origin, equirectangular: metres in a degree are those of the origin.

    5 km north of the origin the east-west metres are off by less than 0.15 %, up to 60 degrees of
    latitude: they shrink by the tangent of the latitude.
    """

    lat: float
    lon: float
    north_m: float
    east_m: float

    def metres(self, lat: float, lon: float) -> Metres:
        """East and north of the origin, the short way round the globe. [m]"""
        turn = (lon - self.lon + 540) % 360 - 180
        return turn * self.east_m, (lat - self.lat) * self.north_m


def plane_at(lat: float, lon: float) -> Plane:
    """The plane that touches the ground here."""
    north_m, east_m = degree_lengths_m(lat)
    return Plane(lat, lon, north_m, east_m)


@dataclass(frozen=True)
class Similarity:
    """Metres to pixels: scale [px/m], where north points clockwise from up [degrees], and the
    pixel of the origin."""

    px_per_m: float
    turn_deg: float
    x: float
    y: float

    def pixels(self, place: Metres) -> Pixels:
        """Where a place lies on the picture."""
        east, north = place
        turn = math.radians(self.turn_deg)
        right = east * math.cos(turn) + north * math.sin(turn)
        up = north * math.cos(turn) - east * math.sin(turn)
        return self.x + right * self.px_per_m, self.y - up * self.px_per_m

    def metres(self, spot: Pixels) -> Metres:
        """Which place a pixel shows."""
        right, up = (spot[0] - self.x) / self.px_per_m, (self.y - spot[1]) / self.px_per_m
        turn = math.radians(self.turn_deg)
        return (
            right * math.cos(turn) - up * math.sin(turn),
            right * math.sin(turn) + up * math.cos(turn),
        )


def similarity(places: tuple[Metres, Metres], spots: tuple[Pixels, Pixels]) -> Similarity:
    """The one similarity that lays two places on two pixels.

    Source: a line of complex numbers, spot = a place + b, with a = scale times e^(i angle).
    Raises: ValueError where two places or two pixels are one.
    """
    here, there = (complex(*place) for place in places)
    one, other = (complex(x, -y) for x, y in spots)
    if here == there or one == other:
        raise ValueError("two points that are one fix nothing")
    factor = (other - one) / (there - here)
    origin = one - factor * here
    return Similarity(abs(factor), -math.degrees(cmath.phase(factor)), origin.real, -origin.imag)


def doubt_m(place: Metres, known: tuple[Metres, Metres], point_m: float) -> float:
    """How far a place may lie off on the picture, when each known point may be off by so much. [m]

    With t the place's share of the way from one known point to the other (a complex number, for a
    place beside the line), the errors of the two points add up as (1 - t) and t.
    Source: propagation of independent errors, JCGM 100:2008 (GUM) 5.1.2.
    """
    here, there = (complex(*one) for one in known)
    share = (complex(*place) - here) / (there - here)
    return point_m * math.hypot(abs(1 - share), abs(share))
