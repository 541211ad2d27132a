"""Liquid feed: parts per million of nitrogen, grams, ounces and stock for an injector.

A rate in ppm N is milligrams of nitrogen a litre. The label of the product comes first; what is
worked out here only turns its rate into a weight, or a weight into a rate.

Figures are exact (NIST SP 811, Appendix B): 1 oz = 28.349523125 g, 1 US gal = 3.785411784 L.
"""

from __future__ import annotations

GRAMS_IN_AN_OUNCE = 28.349523125
LITRES_IN_A_GALLON = 3.785411784
ML_IN_A_FLUID_OUNCE = 29.5735295625

# Fed from below, little or nothing leaches: 30 to 50 % less than is poured from above.
# University of Arkansas, Greenhouse Management Online, Unit 9.6.
SUB_IRRIGATION_CUT = (0.30, 0.50)
# Greenhouse crops fed at every watering from above: University of Massachusetts, Fertilizer
# Calculations for Greenhouse Crops. [ppm N]
CONSTANT_FEED_PPM = (150.0, 250.0)
# A rate beyond this is a slip of the pen: four times the strongest of those. [ppm N] Judgement.
MOST_PPM = 1000.0
# Stronger stock than this does not dissolve. [g/L] Common practice, no source.
MOST_STOCK_G_L = 400.0


def _checked(percent_n: float) -> float:
    if not 0 < percent_n <= 100:
        raise ValueError("nitrogen is more than 0 and at most 100 per cent of the product")
    return percent_n


def grams_per_litre(ppm_n: float, percent_n: float) -> float:
    """Product for a rate. [g/L]

    Parameters: ppm_n : wanted. [mg N/L] percent_n : first number of the label's analysis. [%]
    Raises: ValueError for a rate that is not positive, or nitrogen outside (0, 100].
    Source: University of Massachusetts, Fertilizer Calculations for Greenhouse Crops.
    """
    if ppm_n <= 0:
        raise ValueError("a rate is more than 0 ppm")
    return ppm_n / (10.0 * _checked(percent_n))


def ppm_n(grams_l: float, percent_n: float) -> float:
    """The rate a dose gives: the way back of grams_per_litre. [mg N/L]

    Raises: ValueError for a dose that is not positive, or nitrogen outside (0, 100].
    """
    if grams_l <= 0:
        raise ValueError("a dose is more than 0 grams")
    return grams_l * 10.0 * _checked(percent_n)


def ounces_per_100_gal(grams_l: float) -> float:
    """Grams a litre as ounces of weight in 100 US gallons. [oz/100 gal]"""
    return grams_l * 100.0 * LITRES_IN_A_GALLON / GRAMS_IN_AN_OUNCE


def grams_from_ounces_per_100_gal(ounces: float) -> float:
    """The way back of ounces_per_100_gal. [g/L]"""
    return ounces * GRAMS_IN_AN_OUNCE / (100.0 * LITRES_IN_A_GALLON)


def stock_grams_per_litre(grams_l: float, ratio: float) -> float:
    """Product in a litre of stock for an injector of 1 part in `ratio`. [g/L]

    Raises: ValueError for a ratio below 1.
    Source: Cornell University (Mattson): at 1:100 the stock is a hundred times the feed.
    """
    if ratio < 1:
        raise ValueError("an injector thins: 1 part in 1 or more")
    return grams_l * ratio


def stock_ounces_per_gallon(grams_l: float, ratio: float) -> float:
    """Product in a US gallon of stock, ounces of weight. [oz/gal]

    At 1:100 it is the ounces for 100 gallons, at 1:200 twice that.
    """
    return ounces_per_100_gal(stock_grams_per_litre(grams_l, ratio)) / 100.0


def from_below(ppm: float, cut: float = SUB_IRRIGATION_CUT[1]) -> float:
    """A rate meant for pouring from above, cut for a reservoir. [ppm N]

    Raises: ValueError for a cut outside 0 to 1.
    Source: 30 to 50 % less, University of Arkansas, Greenhouse Management Online, Unit 9.6.
    """
    if not 0 <= cut < 1:
        raise ValueError("a cut is a share from 0 to below 1")
    return ppm * (1.0 - cut)
