"""Vehicle loads: things that cannot be cut, two limits, as few trips as a simple rule finds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

SLACK = 1e-9


@dataclass(frozen=True)
class Goods:
    """So many like pieces to bring."""

    name: str
    count: int
    each_kg: float
    each_l: float


@dataclass
class Trip:
    """One load: pieces by name, and what they weigh and take up."""

    pieces: dict[str, int] = field(default_factory=dict)
    mass_kg: float = 0.0
    volume_l: float = 0.0


class TooBig(ValueError):
    """One piece alone is over a limit; `name` says which."""

    def __init__(self, name: str) -> None:
        super().__init__(f"one {name} alone is more than the vehicle takes")
        self.name = name


def trips(goods: Sequence[Goods], payload_kg: float, room_l: float) -> list[Trip]:
    """Share pieces out over trips, neither limit passed.

    Parameters: goods : Sequence[Goods]  What has to be brought. [kg, L a piece]
                payload_kg : float  What the vehicle may carry. [kg]
                room_l : float  What its bed takes. [L]
    Returns: the trips in the order they are filled.
    Raises: TooBig when one piece fits in no trip; ValueError when a limit is not positive.
    Notes: first fit, largest pieces first. It can need a trip more than the best sharing, never
        less than payload and room allow.
    Source: first-fit decreasing bin packing, textbook rule.
    """
    if not (payload_kg > 0 and room_l > 0):
        raise ValueError("a vehicle carries more than nothing")

    def share(one: Goods) -> float:
        return max(one.each_kg / payload_kg, one.each_l / room_l)

    made: list[Trip] = []
    for one in sorted(goods, key=share, reverse=True):
        if one.count > 0 and share(one) > 1 + SLACK:
            raise TooBig(one.name)
        left, at = one.count, 0
        while left > 0:
            if at == len(made):
                made.append(Trip())
            taken = min(left, _fitting(one, made[at], payload_kg, room_l))
            if taken:
                made[at].pieces[one.name] = taken
                made[at].mass_kg += taken * one.each_kg
                made[at].volume_l += taken * one.each_l
            left, at = left - taken, at + 1
    return made


def _fitting(one: Goods, trip: Trip, payload_kg: float, room_l: float) -> int:
    """How many more pieces a trip takes."""
    by_mass = (payload_kg - trip.mass_kg) / one.each_kg if one.each_kg > 0 else one.count
    by_room = (room_l - trip.volume_l) / one.each_l if one.each_l > 0 else one.count
    return max(0, int(min(by_mass, by_room, one.count) + SLACK))
