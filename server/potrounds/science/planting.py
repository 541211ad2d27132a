"""How many plants fit, how much controlled-release feed, and what things weigh."""

from __future__ import annotations

from potrounds.science.units import KG_PER_LB, L_PER_YD3
from potrounds.science.volumes import Face

#: Nitrogen a growing month and cubic yard of mix, the usual guideline. [lb/yd3/month]
#: Source: nursery trade article after Swanson, University of Minnesota, which says a third of a
#: pound and reckons with 0.33.
GUIDE_N_LB_YD3_MONTH = 0.33
#: The heaviest wet mix to reckon with where nobody weighed the planter; peat alone reaches 0.98.
#: [kg/L] Judgement.
HEAVY_MIX_KG_L = 1.0
#: Mix in the bag as sold, 0.15 kg/L dry at 60 % moisture by weight. [kg/L]
BAGGED_MIX_KG_L = 0.15 / (1 - 0.60)
WATER_KG_L = 1.0


def plants_by_spacing(face: Face, spacing_cm: float, along_rim: bool = False) -> int:
    """Plants that a planter's top takes at a spacing, at least one.

    Parameters: face : Face  The surface of the mix. [cm]
                spacing_cm : float  From stem to stem. [cm]
                along_rim : bool  Trailing plants stand along the rim, others over the surface.
    Raises: ValueError when the spacing is not positive.
    Notes: on the surface each plant has a square of its spacing, to the nearest whole plant;
        along the rim only whole spacings count.
    Source: arithmetic; that trailing plants go along the rim is common practice, no source.
    """
    if not spacing_cm > 0:
        raise ValueError(f"plants stand more than 0 cm apart, not {spacing_cm}")
    if along_rim:
        return max(1, int(face.round_cm / spacing_cm + 1e-9))
    return max(1, int(face.area_cm2 / spacing_cm**2 + 0.5))


def controlled_release_g_l(
    percent_n: float, months: float, n_lb_yd3_month: float = GUIDE_N_LB_YD3_MONTH
) -> float:
    """Controlled-release product a litre of mix for a season, watered from above. [g/L]

    Parameters: percent_n : float  Nitrogen in the product. [% by weight]
                months : float  Growing months it has to feed. [months]
                n_lb_yd3_month : float  Nitrogen wanted. [lb/yd3/month]
    Raises: ValueError when a figure is not positive, or there is more than 100 % nitrogen.
    Notes: a guideline where no label is at hand; the label decides. Release roughly doubles with
        9 to 10 degC more, so a hot planter uses it up sooner.
    Source: 0.33 lb N per growing month and cubic yard; 6 months at 19 % N = 10.42 lb/yd3.
    """
    if not (0 < percent_n <= 100 and months > 0 and n_lb_yd3_month > 0):
        raise ValueError("nitrogen lies between 0 and 100 %, months and rate above 0")
    product_lb_yd3 = n_lb_yd3_month * months / (percent_n / 100)
    return product_lb_yd3 * KG_PER_LB * 1000 / L_PER_YD3


def planter_mass(empty_kg: float, mix_l: float, mix_kg_l: float, water_l: float = 0.0) -> float:
    """A planter with moist mix, and with so much water in its reservoir. [kg]

    Parameters: empty_kg : float  The planter itself. [kg]
                mix_l : float  Settled mix. [L]
                mix_kg_l : float  What a litre of the moist mix weighs. [kg/L]
                water_l : float  In the reservoir. [L]
    Raises: ValueError when anything is negative.
    Notes: plants are left out.
    Source: sum.
    """
    if min(empty_kg, mix_l, water_l, mix_kg_l) < 0:
        raise ValueError("nothing weighs less than nothing")
    return empty_kg + mix_l * mix_kg_l + water_l * WATER_KG_L
