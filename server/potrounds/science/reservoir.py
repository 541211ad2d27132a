"""What a mark on a reservoir's gauge means in litres."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class TopUp:
    """Litres from the water line to the overflow: as read, the least and the most. [L]"""

    litres_l: float
    low_l: float
    high_l: float


def top_up_range(capacity_l: float, level: float, step: float = 0.25) -> TopUp:
    """Water that brings a reservoir from a read mark up to its overflow.

    Parameters:
        capacity_l : float  What the reservoir holds up to its overflow. [L]
        level : float  The mark that was read, 0 empty to 1 full. [share of the capacity]
        step : float  Distance between two marks of the gauge. [share of the capacity]
    Returns: litres as read, with the least and the most they can be. [L]
    Raises: ValueError when the capacity is not positive, or level or step lie outside 0..1.
    Notes: the nearest mark was read, so the water line is known to half a step each way and no
        better. "Empty" is at or below the lowest mark: the most is the whole reservoir.
        At "full" nothing is needed, or at most half a step.
    Source: arithmetic; that people read the nearest mark is common practice, no source.
    """
    if not capacity_l > 0:
        raise ValueError(f"a reservoir holds more than 0 L, not {capacity_l}")
    if not 0 <= level <= 1:
        raise ValueError(f"a level lies between 0 (empty) and 1 (full), not {level}")
    if not 0 < step <= 1:
        raise ValueError(f"a gauge step lies between 0 and 1, not {step}")
    highest = min(1.0, level + step / 2)
    lowest = max(0.0, level - step / 2)
    return TopUp(
        litres_l=capacity_l * (1 - level),
        low_l=capacity_l * (1 - highest),
        high_l=capacity_l * (1 - lowest),
    )


def uptake_share(litres_l: float, capacity_l: float) -> float:
    """Share of the reservoir that a fill up to the overflow put back.

    Parameters: litres_l : float  Water given until the overflow ran. [L]
                capacity_l : float  What the reservoir holds. [L]
    Returns: what the planter had taken up since it was last full, 0 to 1 and a little more when
        some ran out of the overflow. [share of the capacity]
    Raises: ValueError when the capacity is not positive or the litres are negative.
    Source: arithmetic.
    """
    if not capacity_l > 0:
        raise ValueError(f"a reservoir holds more than 0 L, not {capacity_l}")
    if litres_l < 0:
        raise ValueError(f"water given is never less than 0 L, not {litres_l}")
    return litres_l / capacity_l
