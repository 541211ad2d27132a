"""The furnished town of tests/desk.py."""

from desk import desk

__all__ = ["desk"]
