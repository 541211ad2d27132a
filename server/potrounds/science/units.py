"""Exact factors between the units of the trade and SI.

Every value is a definition or a product of definitions, not a measurement.

Source: NIST Special Publication 811 (2008), Appendix B, from memory; checked against the library
pint in tests/science/test_units.py. A US dry quart is not a liquid quart: a bag of 50 quarts holds
55.06 L, not 47.32 L.
"""

from __future__ import annotations

CM_PER_IN = 2.54
L_PER_FT3 = 28.316846592
L_PER_YD3 = 27 * L_PER_FT3
L_PER_US_GAL = 3.785411784
L_PER_US_QUART = L_PER_US_GAL / 4
L_PER_US_DRY_QUART = 1.101220942715
KG_PER_LB = 0.45359237

#: What the volume of a bag may be printed in, and the litres of one. [L]
BAG_UNITS: dict[str, float] = {
    "L": 1.0,
    "ft3": L_PER_FT3,
    "dry-quart": L_PER_US_DRY_QUART,
    "liquid-quart": L_PER_US_QUART,
}


def litres(amount: float, unit: str) -> float:
    """A volume as printed on a bag, in litres. [L]

    Parameters: amount : float  The printed number. [unit]
                unit : str  One of BAG_UNITS.
    Raises: ValueError when the unit is not known or the amount is not positive.
    Source: NIST SP 811, Appendix B.
    """
    if unit not in BAG_UNITS:
        raise ValueError(f"{unit!r} is none of {', '.join(BAG_UNITS)}")
    if not amount > 0:
        raise ValueError(f"a bag holds more than nothing, not {amount}")
    return amount * BAG_UNITS[unit]
