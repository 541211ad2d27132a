"""Salt in the mix: what a meter reads, in words; what water and feed bring; when to flush.

Electrical conductivity (EC) is in mS/cm throughout. 1 mS/cm = 1 dS/m = 1000 uS/cm.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

METHODS = ("1:2", "saturated", "pour-through")
WORDS = ("very-low", "low", "normal", "high", "very-high", "extreme")

# Where each word begins and ends, by method. [mS/cm] University of Massachusetts, greenhouse EC
# guide; the pour-through procedure is NC State's, HIL 590. The last word has no end.
GUIDE: dict[str, tuple[tuple[float, float], ...]] = {
    "1:2": ((0.0, 0.3), (0.3, 0.8), (0.8, 1.3), (1.3, 1.8), (1.8, 2.3), (2.3, float("inf"))),
    "saturated": ((0.0, 0.8), (0.8, 2.0), (2.0, 3.5), (3.5, 5.0), (5.0, 6.0), (6.0, float("inf"))),
    "pour-through": (
        *((0.0, 1.0), (1.0, 2.6), (2.6, 4.6), (4.6, 6.5), (6.6, 7.8)),
        (7.8, float("inf")),
    ),
}
# More than this is a reading in uS/cm under the wrong name. [mS/cm] Sea water has about 50; no mix
# with living plants comes near 20. Judgement.
MOST_EC = 20.0

# Share of the mix's volume that is water after it has drained. [-] Judgement, from container
# capacities of 0.48 (pine bark) to 0.87 (peat), Int. J. Agronomy 2012, 978528.
HELD_SHARE = 0.55
# EC that feed adds to its water where the label does not say: 0.65 for 100 ppm N. [mS/cm per ppm N]
# From memory of labels of 20-10-20.
FEED_EC_PER_PPM = 0.0065
# Flush when the water of the mix would have risen by this much, no plant taking any. [mS/cm]
# Judgement.
FLUSH_RISE = 2.0
# Clean water to flush with, in volumes of the mix. Two is the common figure for house plants.
FLUSH_VOLUMES = (1.0, 2.0)


@dataclass(frozen=True)
class EcWord:
    """A reading's word, and whether it lies in a hole of the table."""

    word: str
    low: float
    high: float
    between: bool


def ec_word(method: str, ms_cm: float) -> EcWord:
    """What a reading means.

    Parameters: method : one of METHODS. ms_cm : the reading. [mS/cm]
    Raises: KeyError for another method; ValueError for a reading below 0 or above MOST_EC.
    Notes: a limit two words share belongs to the upper one, but for the last, which begins above
    its limit; a reading between two words takes the upper. Both ways the careful one.
    Source: University of Massachusetts, greenhouse EC guide.
    """
    bands = GUIDE[method]
    if not 0 <= ms_cm <= MOST_EC:
        raise ValueError(f"a reading is from 0 to {MOST_EC:g} mS/cm")
    last = len(bands) - 1
    for number, (low, high) in enumerate(bands):
        shared = number < last - 1 and bands[number + 1][0] == high
        if ms_cm < high or (ms_cm == high and not shared):
            return EcWord(WORDS[number], low, high, ms_cm < low)
    raise AssertionError("the last word has no end")


def salt_rise(parts: Iterable[tuple[float, float]], held_l: float) -> float:
    """How far the water of the mix rises in EC, no plant and no drain taking any. [mS/cm]

    Parameters: parts : litres poured and their EC. [L, mS/cm] held_l : water the mix holds. [L]
    Raises: ValueError for a mix that holds nothing.
    Source: a balance of mass, the sum of V x EC over what is held.
    """
    if held_l <= 0:
        raise ValueError("a mix holds some water")
    return sum(litres * ec for litres, ec in parts) / held_l


def dissolved_ppm(ms_cm: float) -> float:
    """Dissolved salts as a meter of ppm would show them. [mg/L]

    Source: about 640 x EC, University of Tennessee.
    """
    return 640.0 * ms_cm
