"""Feed figures against extension tables, with the source beside each."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from potrounds.science import feeding

# Label charts round 13.35 up to 13.5 and scale from that.
CHART = 0.015


@pytest.mark.parametrize(
    ("percent_n", "ounces"),
    [
        # University of Massachusetts, Fertilizer Calculations for Greenhouse Crops: 200 ppm N
        (20, 13.5),
        (15, 18.0),
    ],
)
def test_ounces_for_a_hundred_gallons_are_those_of_the_table(
    percent_n: float, ounces: float
) -> None:
    grams_l = feeding.grams_per_litre(200, percent_n)
    assert feeding.ounces_per_100_gal(grams_l) == pytest.approx(ounces, rel=CHART)


def test_stock_for_an_injector_is_that_of_the_label_chart() -> None:
    # Cornell University (Mattson): 150 ppm N of 20-10-20 at 1:200 is 20.25 oz a gallon of stock
    grams_l = feeding.grams_per_litre(150, 20)
    assert feeding.stock_ounces_per_gallon(grams_l, 200) == pytest.approx(20.25, rel=CHART)


def test_at_one_in_a_hundred_the_stock_is_a_hundred_times_the_feed() -> None:
    # Cornell University (Mattson): at 1:100 the stock for 200 ppm is 20 000 ppm, and its ounces a
    # gallon are the ounces for 100 gallons; 1:200 doubles it
    grams_l = feeding.grams_per_litre(200, 20)
    stock = feeding.stock_grams_per_litre(grams_l, 100)
    assert feeding.ppm_n(stock, 20) == pytest.approx(20_000)
    ounces = feeding.ounces_per_100_gal(grams_l)
    assert feeding.stock_ounces_per_gallon(grams_l, 100) == pytest.approx(ounces)
    assert feeding.stock_ounces_per_gallon(grams_l, 200) == pytest.approx(2 * ounces)


def test_exact_figures() -> None:
    # By hand: 200 mg/L of N from a product with 200 mg of N a gram is 1 gram a litre
    assert feeding.grams_per_litre(200, 20) == 1.000
    # By hand from the exact ounce and gallon (NIST SP 811, Appendix B): 1 oz of pure N in 100 gal
    pure = feeding.grams_from_ounces_per_100_gal(1)
    assert feeding.ppm_n(pure, 100) == pytest.approx(74.8915, abs=5e-5)
    # Extension short form, ppm over %N times 0.75, within its own rounding
    assert feeding.ounces_per_100_gal(1.0) == pytest.approx(200 / (20 * 0.75), rel=0.002)


def test_the_constants_are_those_of_another_library() -> None:
    pint = pytest.importorskip("pint")
    units = pint.UnitRegistry()
    assert units("ounce").to("gram").magnitude == pytest.approx(feeding.GRAMS_IN_AN_OUNCE)
    assert units("gallon").to("liter").magnitude == pytest.approx(feeding.LITRES_IN_A_GALLON)
    assert units("fluid_ounce").to("mL").magnitude == pytest.approx(feeding.ML_IN_A_FLUID_OUNCE)


def test_a_reservoir_gets_half_of_what_is_poured_from_above() -> None:
    # University of Arkansas, Greenhouse Management Online 9.6: 30 to 50 % less; University of
    # Massachusetts: 150 to 250 ppm N from above. So 75 to 125 ppm N from below.
    low, high = feeding.CONSTANT_FEED_PPM
    assert (feeding.from_below(low), feeding.from_below(high)) == (75, 125)
    assert feeding.from_below(200, 0.30) == pytest.approx(140)


@given(st.floats(1, 1000), st.floats(0.1, 100))
def test_rate_to_dose_and_back_is_the_same(rate: float, percent_n: float) -> None:
    grams_l = feeding.grams_per_litre(rate, percent_n)
    assert feeding.ppm_n(grams_l, percent_n) == pytest.approx(rate)
    ounces = feeding.ounces_per_100_gal(grams_l)
    assert feeding.grams_from_ounces_per_100_gal(ounces) == pytest.approx(grams_l)


@pytest.mark.parametrize("percent_n", [0, -1, 100.1])
def test_nitrogen_that_cannot_be_is_refused(percent_n: float) -> None:
    with pytest.raises(ValueError, match="nitrogen"):
        feeding.grams_per_litre(200, percent_n)
    with pytest.raises(ValueError, match="nitrogen"):
        feeding.ppm_n(1, percent_n)


def test_other_figures_that_cannot_be_are_refused() -> None:
    for wrong in (0, -5):
        with pytest.raises(ValueError, match="more than 0"):
            feeding.grams_per_litre(wrong, 20)
        with pytest.raises(ValueError, match="more than 0"):
            feeding.ppm_n(wrong, 20)
    with pytest.raises(ValueError, match="injector"):
        feeding.stock_grams_per_litre(1, 0.5)
    with pytest.raises(ValueError, match="share"):
        feeding.from_below(200, 1)
