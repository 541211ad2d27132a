"""Plants, feed and weights against the handbook's worked figures."""

from __future__ import annotations

import pytest

from potrounds.science.planting import (
    BAGGED_MIX_KG_L,
    HEAVY_MIX_KG_L,
    controlled_release_g_l,
    planter_mass,
    plants_by_spacing,
)
from potrounds.science.units import KG_PER_LB, L_PER_YD3, litres
from potrounds.science.volumes import Face


@pytest.mark.parametrize(("months", "lb_yd3"), [(6, 10.42), (9, 15.63)])
def test_controlled_release_guideline(months: float, lb_yd3: float) -> None:
    """0.33 lb N per growing month and yd3 at 19 % N: 10.42 and 15.63 lb of product.

    Source: nursery trade article citing Swanson, University of Minnesota.
    """
    g_l = controlled_release_g_l(19, months)
    assert g_l * L_PER_YD3 / 1000 / KG_PER_LB == pytest.approx(lb_yd3, abs=0.01)


def test_controlled_release_in_grams() -> None:
    """6 months at 19 %: 6.18 g/L, 560 g for a planter of 3.2 ft3; half from below (computed)."""
    g_l = controlled_release_g_l(19, 6)
    assert g_l == pytest.approx(6.18, abs=0.01)
    assert g_l * litres(3.2, "ft3") == pytest.approx(560, abs=1)
    assert 0.5 * g_l * litres(3.2, "ft3") == pytest.approx(280, abs=1)


@pytest.mark.parametrize(("percent", "months"), [(0, 6), (101, 6), (19, 0), (19, -1)])
def test_no_such_feed(percent: float, months: float) -> None:
    with pytest.raises(ValueError, match="nitrogen"):
        controlled_release_g_l(percent, months)


def test_plants_by_spacing_by_hand() -> None:
    """A top of 59.25 cm: 2757 cm2 / 25^2 = 4.41, so 4; rim 186.1 cm / 30 = 6.2, so 6."""
    top = Face(59.25)
    assert plants_by_spacing(top, 25) == 4
    assert plants_by_spacing(top, 30, along_rim=True) == 6
    assert plants_by_spacing(Face(100, 40), 20) == 10
    assert plants_by_spacing(Face(100, 40), 20, along_rim=True) == 14
    assert plants_by_spacing(top, 200) == 1
    with pytest.raises(ValueError, match="apart"):
        plants_by_spacing(top, 0)


def test_weights_of_the_handbook() -> None:
    """3.2 ft3 of moist mix: 60 to 89 kg (0.66 bark to 0.98 peat); 2 ft3 bag at 0.15/60 %: 21.2 kg.

    Bark 0.18 + 0.48, Int. J. Agronomy 2012, 978528; bag: Arkansas Greenhouse Management Online.
    """
    mix = litres(3.2, "ft3")
    assert planter_mass(0, mix, 0.66) == pytest.approx(60, abs=0.5)
    assert planter_mass(0, mix, 0.98) == pytest.approx(89, abs=0.5)
    assert planter_mass(0, mix, HEAVY_MIX_KG_L) == pytest.approx(90.6, abs=0.05)
    assert planter_mass(20, 100, 0.7, 16) == pytest.approx(106)
    assert litres(2, "ft3") * BAGGED_MIX_KG_L == pytest.approx(21.2, abs=0.05)
    with pytest.raises(ValueError, match="nothing"):
        planter_mass(-1, 100, 0.7)
