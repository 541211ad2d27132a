"""The revised NIOSH lifting equation, in the units it was published in.

Inches and pounds, because the worked examples are; the metric form rounds its constants otherwise
and gives up to 4 % less.

It covers two-handed, smooth lifts by one person on a firm, dry footing. It does not cover carrying,
pushing, shovelling, one-handed lifts, sitting or kneeling, unstable loads, heat, slippery ground,
or lifts over more than an hour a day as used here. Where it is silent, two people or a cart.

Source: Waters, Putz-Anderson & Garg, Applications Manual for the Revised NIOSH Lifting Equation,
DHHS (NIOSH) 94-110, rev. 9/2021. HM, VM, DM and the frequency figures for 0.2, 1, 4 and 6 lifts a
minute as read in a public implementation; AM, coupling and the other frequencies from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

LOAD_CONSTANT_LB = 51.0
CAUTION_INDEX = 1.0
HIGH_INDEX = 3.0
#: Nearest the hands can be to the ankles, and farthest; shortest move; highest reach. [in]
NEAREST_IN, FARTHEST_IN = 10.0, 25.0
SHORTEST_MOVE_IN, LONGEST_MOVE_IN = 10.0, 70.0
HIGHEST_IN = 70.0
WAIST_IN = 30.0
COUPLINGS = ("good", "fair", "poor")
#: Lifts a minute, and the multiplier for work of up to one hour.
_FREQUENCY = (
    *((0.2, 1.00), (0.5, 0.97), (1.0, 0.94), (2.0, 0.91)),
    *((3.0, 0.88), (4.0, 0.84), (5.0, 0.80), (6.0, 0.75)),
)


@dataclass(frozen=True)
class Multipliers:
    """What each circumstance leaves of the load constant, 0 to 1."""

    horizontal: float
    vertical: float
    distance: float
    asymmetry: float
    frequency: float
    coupling: float

    @property
    def limit_lb(self) -> float:
        """The recommended weight limit. [lb]"""
        product = self.horizontal * self.vertical * self.distance
        product *= self.asymmetry * self.frequency * self.coupling
        return LOAD_CONSTANT_LB * product


def multipliers(
    *,
    hands_out_in: float,
    hands_up_in: float,
    move_in: float,
    turn_deg: float = 0.0,
    lifts_per_min: float = 0.2,
    coupling: str = "good",
) -> Multipliers:
    """The six multipliers of a lift at its origin or its destination.

    Parameters:
        hands_out_in : float  From between the ankles to the hands, H. [in]
        hands_up_in : float  Hands above the floor, V. [in]
        move_in : float  How far up or down, D. [in]
        turn_deg : float  Turn of the trunk, A. [degrees]
        lifts_per_min : float  Within an hour, F. [1/min]
        coupling : str  How the hands hold it: good, fair or poor.
    Raises: ValueError for what cannot be: negative lengths, an unknown coupling, more than six
        lifts a minute (not in the table kept here).
    Notes: out of reach (H over 25 in, V over 70 in, A over 135 degrees) gives a multiplier of 0:
        nothing may be lifted so.
    Source: DHHS (NIOSH) 94-110, tables 1 to 7.
    """
    if min(hands_out_in, hands_up_in, move_in, turn_deg, lifts_per_min) < 0:
        raise ValueError("no figure of a lift is less than 0")
    if coupling not in COUPLINGS:
        raise ValueError(f"a coupling is one of {', '.join(COUPLINGS)}, not {coupling!r}")
    horizontal = min(1.0, NEAREST_IN / max(hands_out_in, NEAREST_IN))
    vertical = 1 - 0.0075 * abs(hands_up_in - WAIST_IN)
    distance = 0.82 + 1.8 / max(move_in, SHORTEST_MOVE_IN)
    return Multipliers(
        horizontal=horizontal if hands_out_in <= FARTHEST_IN else 0.0,
        vertical=vertical if hands_up_in <= HIGHEST_IN else 0.0,
        distance=distance if move_in <= LONGEST_MOVE_IN else 0.0,
        asymmetry=1 - 0.0032 * turn_deg if turn_deg <= 135 else 0.0,
        frequency=_frequency(lifts_per_min),
        coupling=_coupling(coupling, hands_up_in),
    )


def _frequency(lifts_per_min: float) -> float:
    for most, multiplier in _FREQUENCY:
        if lifts_per_min <= most:
            return multiplier
    raise ValueError(f"at most {_FREQUENCY[-1][0]:g} lifts a minute are in the table")


def _coupling(coupling: str, hands_up_in: float) -> float:
    if coupling == "poor":
        return 0.90
    return 0.95 if coupling == "fair" and hands_up_in < WAIST_IN else 1.0


def lifting_index(load_lb: float, limit_lb: float) -> float:
    """Load over limit: above 1 caution, above 3 high risk.

    Raises: ValueError when the load is negative or nothing may be lifted so.
    Source: DHHS (NIOSH) 94-110.
    """
    if load_lb < 0 or not limit_lb > 0:
        raise ValueError("an index needs a load and a limit above 0")
    return load_lb / limit_lb


def how_risky(index: float) -> str:
    """The word for a lifting index: "fine", "caution" or "high"."""
    if index > HIGH_INDEX:
        return "high"
    return "caution" if index > CAUTION_INDEX else "fine"
