"""Sizes of planters: what they hold, and what to ask when that cannot well be."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from statistics import median

from potrounds.domain.planting import PlanterSize
from potrounds.science.units import CM_PER_IN
from potrounds.science.volumes import Face, face_at, fill_volume
from potrounds.services.refusal import Fault
from potrounds.store.register import Planter
from potrounds.store.rows import name_key

#: Litres of mix a litre of reservoir holds in planters of the trade, wide bounds. Judgement.
LEAST_RATIO, MOST_RATIO = 2.0, 15.0
#: How far a size may lie from the middle of the others, either way. Judgement.
NEIGHBOUR_FACTOR = 2.5
#: Inner lengths of large public planters, wide bounds. [cm] Judgement.
SHORTEST_CM, LONGEST_CM = 15.0, 300.0
SHALLOWEST_CM, DEEPEST_CM = 12.0, 120.0
#: Deeper mix than this may not be wetted to the top by wicks. [cm] Judgement, after wicking beds
#: that did better with 30 cm than with 60 cm (Semananda, Ward & Myers 2016).
WICK_REACH_CM = 40.0
INCHES_FACTOR = CM_PER_IN**3
#: How far a planter's own mix may lie from what its size holds, either way. Judgement.
OWN_FACTOR = 2.0


def ends(size: PlanterSize) -> tuple[Face, Face]:
    """Top and bottom of a size; a square has its side twice."""
    if size.shape == "round":
        return Face(size.top_a_cm), Face(size.bottom_a_cm)
    return (
        Face(size.top_a_cm, size.top_b_cm or size.top_a_cm),
        Face(size.bottom_a_cm, size.bottom_b_cm or size.bottom_a_cm),
    )


def size_of(planter: Planter, sizes: Sequence[PlanterSize]) -> PlanterSize | None:
    """The measures a planter's size and shape name; without a shape, if the size has but one."""
    named = [one for one in sizes if name_key(one.name) == name_key(planter.size)]
    if planter.shape is None:
        return named[0] if len(named) == 1 else None
    return next((one for one in named if one.shape == planter.shape), None)


def mix_l(size: PlanterSize) -> float:
    """Settled mix a size takes, up to its gap under the rim. [L]"""
    top, bottom = ends(size)
    return fill_volume(top, bottom, size.depth_cm, size.depth_cm - size.gap_cm)


def surface(size: PlanterSize) -> Face:
    """The top of the mix, where plants stand. [cm]"""
    top, bottom = ends(size)
    return face_at(top, bottom, size.depth_cm, size.depth_cm - size.gap_cm)


def shape_faults(size: PlanterSize) -> list[Fault]:
    """What no planter can be: widths that its shape has not, a gap as deep as itself."""
    faults: list[Fault] = []
    for key in ("top_b_cm", "bottom_b_cm"):
        typed = getattr(size, key) is not None
        if size.shape == "rectangular" and not typed:
            faults.append((f"/{key}", "A rectangular planter has a length and a width."))
        if size.shape != "rectangular" and typed:
            faults.append((f"/{key}", f"A {size.shape} planter has one measure here, not two."))
    if size.gap_cm >= size.depth_cm:
        faults.append(("/gap_cm", "The gap under the rim is as deep as the planter: no mix fits."))
    return faults


def questions(size: PlanterSize, others: Iterable[PlanterSize]) -> list[Fault]:
    """What to ask before a size is believed, each with the measure it is about."""
    asked = [*_lengths(size), *_volume(size, others)]
    return [] if size.measured_again else asked


def _lengths(size: PlanterSize) -> list[Fault]:
    asked: list[Fault] = []
    for key in ("top_a_cm", "top_b_cm", "bottom_a_cm", "bottom_b_cm"):
        length = getattr(size, key)
        if length is not None and not SHORTEST_CM <= length <= LONGEST_CM:
            asked.append((f"/{key}", f"{length:g} cm across is unusual for a planter. Is it so?"))
    if not SHALLOWEST_CM <= size.depth_cm <= DEEPEST_CM:
        asked.append(("/depth_cm", f"{size.depth_cm:g} cm deep is unusual. Is it so?"))
    return asked


def _volume(size: PlanterSize, others: Iterable[PlanterSize]) -> list[Fault]:
    volume = mix_l(size)
    ratio = volume / size.reservoir_l
    ratios = [mix_l(one) / one.reservoir_l for one in others if one.id != size.id]
    low, high = LEAST_RATIO, MOST_RATIO
    usual = "for planters"
    if ratios:
        middle = median(ratios)
        low, high = max(low, middle / NEIGHBOUR_FACTOR), min(high, middle * NEIGHBOUR_FACTOR)
        usual = "beside your other sizes"
    if low <= ratio <= high:
        return []
    said = (
        f"These measures hold {volume:.1f} L of mix over a reservoir of {size.reservoir_l:g} L: "
        f"{'little' if ratio < low else 'much'} {usual}."
    )
    if low <= ratio * INCHES_FACTOR <= high:
        in_inches = volume * INCHES_FACTOR
        said += f" Were inches typed as centimetres? In inches it would be {in_inches:.0f} L."
    elif low <= ratio / INCHES_FACTOR <= high:
        said += f" Were centimetres typed as inches? It would be {volume / INCHES_FACTOR:.0f} L."
    else:
        said += " Measure again."
    return [("/depth_cm", said)]


def remarks(size: PlanterSize) -> list[str]:
    """What is allowed and worth saying of a size."""
    said = []
    top, bottom = ends(size)
    if bottom.area_cm2 > top.area_cm2:
        said.append("Wider at the bottom than at the top. That is allowed; see that they are not"
                    " swapped.")  # fmt: skip
    mix_cm = size.depth_cm - size.gap_cm
    if mix_cm > WICK_REACH_CM:
        said.append(
            f"The mix stands {mix_cm:g} cm ({mix_cm / CM_PER_IN:.0f} in) deep. Above about"
            f" {WICK_REACH_CM:g} cm ({WICK_REACH_CM / CM_PER_IN:.0f} in) wicks may not wet the"
            " top: feel it, and water from above while roots are short."
        )
    return said


def own_mix_question(name: str, own_l: float, reservoir_l: float, size_l: float | None) -> str:
    """What to ask about the litres typed for one planter; empty when they can well be."""
    if size_l is not None and not size_l / OWN_FACTOR <= own_l <= size_l * OWN_FACTOR:
        return (
            f"{name}: {own_l:g} L of mix on its sheet, {size_l:.0f} L by the measures of its size."
            " Which is right? The plan takes the sheet."
        )
    if size_l is None and not LEAST_RATIO <= own_l / reservoir_l <= MOST_RATIO:
        return (
            f"{name}: {own_l:g} L of mix over a reservoir of {reservoir_l:g} L is unusual."
            " Measure again. The plan takes it as typed."
        )
    return ""
