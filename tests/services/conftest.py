"""The furnished town of tests/desk.py, and two people who go out."""

from desk import desk
from round_people import both_go_out, omar, vera

__all__ = ["both_go_out", "desk", "omar", "vera"]
