"""Volumes of tapered planters, filled to a height, and the bags of mix they take.

A planter is a taper between two parallel faces. Lengths are inner lengths in centimetres, volumes
litres; the bottom face is the floor that the mix stands on. A bottom wider than the top is a shape
like any other.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

CM3_PER_L = 1000.0
#: What rounding upwards forgives, so that 16.000000000000004 bags are 16.
ROUNDING = 1e-9


@dataclass(frozen=True)
class Face:
    """A level cut through a planter: a circle of diameter `a_cm` when there is no `b_cm`. [cm]"""

    a_cm: float
    b_cm: float | None = None

    @property
    def area_cm2(self) -> float:
        """Its area. [cm2]"""
        if self.b_cm is None:
            return math.pi / 4 * self.a_cm**2
        return self.a_cm * self.b_cm

    @property
    def round_cm(self) -> float:
        """The way around it. [cm]"""
        if self.b_cm is None:
            return math.pi * self.a_cm
        return 2 * (self.a_cm + self.b_cm)


def face_at(top: Face, bottom: Face, depth_cm: float, height_cm: float) -> Face:
    """The level cut at a height above the bottom, the walls being straight.

    Parameters: top, bottom : Face  The two ends, both round or neither. [cm]
                depth_cm : float  From the bottom to the top. [cm]
                height_cm : float  Where the cut lies, 0 the bottom. [cm]
    Raises: ValueError for a length that is not positive, a height outside the planter, or a
        round end on an angular one.
    Source: linear interpolation.
    """
    lengths = [face.a_cm for face in (top, bottom)]
    lengths += [face.b_cm for face in (top, bottom) if face.b_cm is not None]
    if not all(math.isfinite(one) and one > 0 for one in [*lengths, depth_cm]):
        raise ValueError("every length of a planter is more than 0 cm")
    if (top.b_cm is None) != (bottom.b_cm is None):
        raise ValueError("a planter is round at both ends or at neither")
    if not 0 <= height_cm <= depth_cm:
        raise ValueError(f"{height_cm} cm is not between the bottom and the top at {depth_cm} cm")
    share = height_cm / depth_cm

    def between(low: float, high: float) -> float:
        return low + (high - low) * share

    if top.b_cm is None or bottom.b_cm is None:
        return Face(between(bottom.a_cm, top.a_cm))
    return Face(between(bottom.a_cm, top.a_cm), between(bottom.b_cm, top.b_cm))


def fill_volume(top: Face, bottom: Face, depth_cm: float, height_cm: float | None = None) -> float:
    """What a tapered planter holds up to a height. [L]

    Parameters: top, bottom : Face  The two ends. [cm]
                depth_cm : float  From the bottom to the top. [cm]
                height_cm : float | None  How high it is filled; None: to the top. [cm]
    Raises: ValueError as face_at does.
    Notes: exact for the frustum of a cone and for a prismoid whose two tapers differ, where the
        formula of a similar pyramid is not.
    Source: V = pi h/12 (D2 + D d + d2) and the prismoidal formula
        V = h/6 [a1 b1 + (a1 + a2)(b1 + b2) + a2 b2], as in any handbook of mensuration.
    """
    height = depth_cm if height_cm is None else height_cm
    level = face_at(top, bottom, depth_cm, height)
    if level.b_cm is None or bottom.b_cm is None:
        high, low = level.a_cm, bottom.a_cm
        return math.pi * height / 12 * (high**2 + high * low + low**2) / CM3_PER_L
    middle = (level.a_cm + bottom.a_cm) * (level.b_cm + bottom.b_cm)
    return height / 6 * (level.area_cm2 + middle + bottom.area_cm2) / CM3_PER_L


def loose_volume(settled_l: float, allowance: float) -> float:
    """Loose mix to bring for so much settled mix. [L]

    Parameters: settled_l : float  What is to stand in the planter after the first soak. [L]
                allowance : float  Extra for settling. [share]
    Raises: ValueError when either is negative.
    Source: 10 to 20 % more, common practice, no source.
    """
    if settled_l < 0 or allowance < 0:
        raise ValueError("neither mix nor allowance is less than nothing")
    return settled_l * (1 + allowance)


def bags_to_order(volumes_l: Iterable[float], bag_l: float, in_shed: int = 0) -> int:
    """Whole bags to buy for several planters together.

    Parameters: volumes_l : Iterable[float]  Loose mix of each planter. [L]
                bag_l : float  What a bag holds. [L]
                in_shed : int  Bags that are there already.
    Raises: ValueError when a bag holds nothing.
    Notes: rounded once for the order. Rounding each planter up buys bags that stay over.
    Source: arithmetic.
    """
    if not bag_l > 0:
        raise ValueError(f"a bag holds more than 0 L, not {bag_l}")
    return max(0, whole_up(sum(volumes_l) / bag_l) - in_shed)


def whole_up(amount: float) -> int:
    """The next whole number upwards, forgiving what floating point adds."""
    return math.ceil(amount - ROUNDING * max(1.0, abs(amount)))
