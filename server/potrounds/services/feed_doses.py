"""Feed in doses a person can weigh: the town's standing feed, and the coordinator's calculator."""

from __future__ import annotations

from typing import Any

from potrounds.domain.feed_rules import FeedRules
from potrounds.science import feeding
from potrounds.services.refusal import Fault, Refusal

#: Cans people carry: the town's own first, then those on sale. [L]
USUAL_CANS = (10.0, 5 * feeding.LITRES_IN_A_GALLON, 20.0)
LABEL_FIRST = "The product's label comes first, and its rate is the most that may be used."


def standing(care: FeedRules) -> dict[str, Any]:
    """The town's feed for its card: ready-made doses, so that a phone without signal has them."""
    doses = []
    if care.percent_n and care.ppm_n:
        grams_l = feeding.grams_per_litre(care.ppm_n, care.percent_n)
        cans = dict.fromkeys([*([care.can_l] if care.can_l else []), *USUAL_CANS])
        doses = [dose(grams_l, can_l) for can_l in cans]
    return {
        "every_days": care.every_days,
        "least_days": care.least_days,
        "what": care.what or None,
        "percent_n": care.percent_n,
        "ppm_n": care.ppm_n,
        "can_l": care.can_l,
        "doses": doses,
    }


def dose(grams_l: float, can_l: float) -> dict[str, float]:
    """Product for one can."""
    grams = grams_l * can_l
    return {
        "can_l": can_l,
        "grams": round(grams, 1),
        "ounces": round(grams / feeding.GRAMS_IN_AN_OUNCE, 2),
    }


def calculate(asked: dict[str, Any]) -> dict[str, Any]:
    """Rate to dose, or dose to rate, for a can, 100 gallons and an injector.

    Raises: Refusal 422 when neither or both are given, or a figure cannot be.
    """
    percent_n, rate = asked["percent_n"], asked.get("ppm_n")
    given = asked.get("dose")
    if (rate is None) == (given is None):
        detail = "Give the rate that is wanted, or the dose that was mixed: one of them."
        raise _refused([("/ppm_n", detail)])
    cut = asked.get("cut_percent") or 0.0
    if given is not None:
        grams_l = _grams_per_litre(given, asked)
        rate = feeding.ppm_n(grams_l, percent_n)
    else:
        assert rate is not None
        rate = feeding.from_below(rate, cut / 100.0)
        grams_l = feeding.grams_per_litre(rate, percent_n)
    if rate > feeding.MOST_PPM:
        detail = (
            f"That makes {rate:.0f} ppm N. More than {feeding.MOST_PPM:g} burns any root: look at "
            "the unit, and whether ounces are of weight."
        )
        raise _refused([("/dose" if given is not None else "/ppm_n", detail)])
    ratio, density = asked.get("injector"), asked.get("density_kg_l")
    can_l = asked.get("can_l") or USUAL_CANS[0]
    return {
        "ppm_n": round(rate, 1),
        "grams_l": round(grams_l, 4),
        "ounces_100_gal": round(feeding.ounces_per_100_gal(grams_l), 2),
        "can": dose(grams_l, can_l),
        "can_ml": round(grams_l * can_l / density, 1) if density else None,
        "can_fluid_ounces": _fluid_ounces(grams_l * can_l, density),
        "stock_grams_l": round(feeding.stock_grams_per_litre(grams_l, ratio), 1) if ratio else None,
        "stock_ounces_gal": (
            round(feeding.stock_ounces_per_gallon(grams_l, ratio), 2) if ratio else None
        ),
        "notes": _notes(rate, grams_l, ratio, cut, density),
    }


def _grams_per_litre(given: dict[str, Any], asked: dict[str, Any]) -> float:
    """The dose that was typed, in grams a litre."""
    amount, unit = given["amount"], given["unit"]
    can_l = asked.get("can_l") or USUAL_CANS[0]
    density = asked.get("density_kg_l")
    if unit in ("ml_can", "fl_oz_can") and density is None:
        detail = (
            "A fluid ounce and a millilitre are volumes. Give the product's density from its "
            "label, or weigh it: an ounce of weight is 28.35 g."
        )
        raise _refused([("/density_kg_l", detail)])
    match unit:
        case "g_l":
            return float(amount)
        case "oz_100_gal":
            return feeding.grams_from_ounces_per_100_gal(amount)
        case "g_can":
            return float(amount) / can_l
        case "oz_can":
            return float(amount) * feeding.GRAMS_IN_AN_OUNCE / can_l
        case "ml_can":
            return float(amount) * (density or 0.0) / can_l
        case _:
            return float(amount) * feeding.ML_IN_A_FLUID_OUNCE * (density or 0.0) / can_l


def _fluid_ounces(grams: float, density: float | None) -> float | None:
    return round(grams / density / feeding.ML_IN_A_FLUID_OUNCE, 2) if density else None


def _notes(
    rate: float, grams_l: float, ratio: float | None, cut: float, density: float | None
) -> list[str]:
    """What to mind, the label first."""
    said = [LABEL_FIRST]
    low, high = (feeding.from_below(ppm) for ppm in feeding.CONSTANT_FEED_PPM)
    if cut:
        said.append(f"Cut by {cut:g} % for a reservoir: nothing leaches from below.")
    elif rate > high:
        said.append(
            f"Strong for a reservoir: {low:.0f} to {high:.0f} ppm N is usual from below, 30 to 50 "
            "% less than from above."
        )
    if ratio and feeding.stock_grams_per_litre(grams_l, ratio) > feeding.MOST_STOCK_G_L:
        said.append("So strong a stock may not dissolve. Use a thinner one.")
    if density is None:
        said.append("Ounces are of weight, never fluid ounces: use scales.")
    return said


def _refused(faults: list[Fault]) -> Refusal:
    return Refusal(422, "feed", "No dose from this", faults[0][1], faults)
