"""Potrounds: check-ins, flags and winterization for a town's self-watering planters."""

__version__ = "0.1.0"
