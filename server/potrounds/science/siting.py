"""What stands around a planter, as lengths on a plan: the path that is left, and what sticks out.

Across the path everything is measured from its kerb side: 0 is the edge towards the road, the
path's width is the edge towards the wall. The planter and its full-grown plants stand in it, with
posts and the like beside them. All lengths in cm. Local code decides; the figures here are those of
the sources named, and say when to ask.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

CM_IN_AN_INCH = 2.54

#: Clear width of a walking surface: 36 in. 2010 ADA Standards 403.5.1.
ADA_CLEAR_CM = 91.5
#: 32 in are enough over a length of at most 24 in, 48 in from the next narrow place. 403.5.1.
ADA_SHORT_CM, ADA_SHORT_LENGTH_CM = 81.5, 61.0
#: Pedestrian access route: 48 in beside the kerb. PROWAG, 2011 text R302.3; enforceable once
#: adopted.
PROWAG_CLEAR_CM = 122.0
#: Things so near along the path narrow it at the same place. 48 in, after 403.5.1.
ABREAST_CM = 122.0
#: Edges above 27 in and up to 80 in may stick out by 4 in. 2010 ADA Standards 307.2.
CANE_CM, HEAD_CM, PROTRUDING_CM = 68.5, 203.0, 10.0
#: Lowest height seen in local codes, 30 in (San Bernardino County; Elizabethtown), and a triangle
#: of 25 ft (Norfolk). Local code decides; both can be typed.
SIGHT_HEIGHT_CM, SIGHT_LEG_CM = 76.0, 762.0
#: Free room around a hydrant, 36 in. International Fire Code 507.5.5, from memory.
HYDRANT_CM = 91.5
#: A bus stop's boarding area is 60 in wide along the kerb. 2010 ADA Standards 810.2.2, from memory.
BUS_STOP_CM = 152.5
#: Ground in front of a tap that a person can use: 30 in. 2010 ADA Standards 305.3, from memory.
TAP_CM = 76.0
#: Ground that falls more than this makes the reservoir stand askew. [%] Common practice, no source.
LEVEL_GROUND_PERCENT = 2.0

Interval = tuple[float, float]


@dataclass(frozen=True)
class Thing:
    """Something near the planter.

    `distance_cm`: along the path, from the planter's nearest edge; for a corner or a driveway, from
    the corner point. `from_kerb_cm`, `width_cm`: where it stands across the path, if in it.
    `swing_cm`: a door's leaf.
    """

    what: str
    distance_cm: float
    from_kerb_cm: float | None = None
    width_cm: float = 0.0
    swing_cm: float | None = None


@dataclass(frozen=True)
class Place:
    """A planter's place as measured. `width_cm` across the path, `length_cm` along it.

    `rim_cm`: height of the rim; `plants_cm`: of the full-grown plants above it. `trailing_cm`: how
    far plants hang below the rim.
    """

    path_cm: float
    from_kerb_cm: float
    width_cm: float
    length_cm: float
    rim_cm: float
    canopy_cm: float
    plants_cm: float = 0.0
    trailing_cm: float = 0.0
    slope_percent: float = 0.0
    things: tuple[Thing, ...] = ()
    sight_leg_cm: float = SIGHT_LEG_CM
    sight_height_cm: float = SIGHT_HEIGHT_CM

    @property
    def planter(self) -> Interval:
        """Where the planter stands across the path."""
        return self.from_kerb_cm, self.from_kerb_cm + self.width_cm

    @property
    def canopy(self) -> Interval:
        """Where its full-grown plants reach, never less than the planter itself."""
        middle, half = self.from_kerb_cm + self.width_cm / 2, max(self.canopy_cm, self.width_cm) / 2
        return middle - half, middle + half

    @property
    def overhang_cm(self) -> float:
        """How far full-grown plants reach over the planter's edge, to each side."""
        return max(0.0, (self.canopy_cm - self.width_cm) / 2)

    @property
    def length_grown_cm(self) -> float:
        """Length of the narrow place along the path, with full-grown plants."""
        return self.length_cm + 2 * self.overhang_cm


@dataclass(frozen=True)
class Clear:
    """The clear path beside a planter: its width, and between where and where it runs."""

    width_cm: float
    begin_cm: float
    end_cm: float


def clear_path(place: Place) -> Clear:
    """The widest free strip of the path beside the full-grown plants and what stands abreast.

    Source: the widths add up; that plants and not the pot count is common practice, and 307.5 of
    the 2010 ADA Standards: nothing may stick out into the required width.
    """
    taken = [place.canopy, *_abreast(place.things)]
    strips = free_strips(place.path_cm, taken)
    begin, end = max(strips, key=lambda strip: strip[1] - strip[0], default=(0.0, 0.0))
    return Clear(end - begin, begin, end)


def _abreast(things: Iterable[Thing]) -> list[Interval]:
    return [
        (thing.from_kerb_cm, thing.from_kerb_cm + thing.width_cm)
        for thing in things
        if thing.from_kerb_cm is not None and thing.distance_cm <= ABREAST_CM
    ]


def free_strips(path_cm: float, taken: Sequence[Interval]) -> list[Interval]:
    """What intervals leave free of a path that runs from 0 to its width."""
    free, at = [], 0.0
    for begin, end in sorted(taken):
        if begin > at:
            free.append((at, min(begin, path_cm)))
        at = max(at, end)
    if at < path_cm:
        free.append((at, path_cm))
    return [(begin, end) for begin, end in free if end > begin]


def allowed_short(place: Place, width_cm: float) -> bool:
    """Whether a strip narrower than 36 in passes as a short narrow place.

    Source: 2010 ADA Standards 403.5.1, exception: 32 in over at most 24 in of length.
    """
    return width_cm >= ADA_SHORT_CM and place.length_grown_cm <= ADA_SHORT_LENGTH_CM


def protrudes(place: Place) -> bool:
    """Whether plants stick out where a cane does not find them and a head or arm does.

    Source: 2010 ADA Standards 307.2: edges above 27 in and up to 80 in, at most 4 in. Plants that
    hang down to 27 in or less are found by a cane.
    """
    lowest = place.rim_cm - place.trailing_cm
    return place.overhang_cm > PROTRUDING_CM and CANE_CM < lowest <= HEAD_CM


def in_sight_triangle(along_cm: float, from_kerb_cm: float, leg_cm: float) -> bool:
    """Whether a point lies in the triangle between a corner and so far along both kerbs.

    Source: plane geometry; the legs are the local code's.
    """
    return along_cm / leg_cm + from_kerb_cm / leg_cm < 1.0


def height_grown_cm(place: Place) -> float:
    """Height of planter and full-grown plants."""
    return place.rim_cm + place.plants_cm


def tilt_cm(place: Place) -> float:
    """How much deeper the water stands at the low side than at the high one.

    Source: slope times width, over the longer side.
    """
    return place.slope_percent / 100 * max(place.width_cm, place.length_cm)


def outer_volume_l(place: Place) -> float:
    """Most that a planter of these outer sizes can hold. [L]"""
    return place.width_cm * place.length_cm * place.rim_cm / 1000


def equal_circle_cm(area_m2: float) -> float:
    """The diameter of a circle of that area. [cm]"""
    return 200 * math.sqrt(area_m2 / math.pi)


def distance_m(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Distance over the ground between two positions (latitude, longitude; WGS 84 degrees). [m]

    Source: haversine formula on a sphere of 6 371 009 m (IUGG mean radius); off by up to 0.6 %.
    """
    (lat1, lon1), (lat2, lon2) = (
        (math.radians(lat), math.radians(lon)) for lat, lon in (one, other)
    )
    half = math.sin((lat2 - lat1) / 2) ** 2
    half += math.cos(lat1) * math.cos(lat2) * math.sin((lon2 - lon1) / 2) ** 2
    return 2 * 6_371_009 * math.asin(math.sqrt(half))
