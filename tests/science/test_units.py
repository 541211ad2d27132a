"""The factors against an independent library, and bags by what is printed on them."""

from __future__ import annotations

import pint
import pytest

from potrounds.science import units

PINT = pint.UnitRegistry()

# NIST SP 811 (2008), Appendix B, from memory; values of pint 0.25.
FACTORS = [
    (units.CM_PER_IN, "inch", "cm"),
    (units.L_PER_FT3, "foot ** 3", "liter"),
    (units.L_PER_YD3, "yard ** 3", "liter"),
    (units.L_PER_US_GAL, "US_liquid_gallon", "liter"),
    (units.L_PER_US_QUART, "US_liquid_quart", "liter"),
    (units.L_PER_US_DRY_QUART, "US_dry_quart", "liter"),
    (units.KG_PER_LB, "pound", "kg"),
]


@pytest.mark.parametrize(("ours", "unit", "wanted"), FACTORS)
def test_a_factor_is_that_of_pint(ours: float, unit: str, wanted: str) -> None:
    assert ours == pytest.approx(PINT.Quantity(1, unit).to(wanted).magnitude, rel=1e-12)


def test_fifty_dry_quarts_are_not_fifty_liquid_quarts() -> None:
    """Handbook figures computed with pint: 50 dry quarts = 55.06 L, and not 47.3 L."""
    assert units.litres(50, "dry-quart") == pytest.approx(55.06, abs=0.005)
    assert units.litres(50, "liquid-quart") == pytest.approx(47.32, abs=0.005)
    assert units.litres(2, "ft3") == pytest.approx(56.634, abs=0.0005)
    assert units.litres(60, "L") == 60


@pytest.mark.parametrize(("amount", "unit"), [(1, "bushel"), (0, "L"), (-2, "ft3")])
def test_what_is_no_bag_is_refused(amount: float, unit: str) -> None:
    with pytest.raises(ValueError, match=r"bag|none of"):
        units.litres(amount, unit)
