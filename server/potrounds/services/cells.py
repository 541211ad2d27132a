"""Cells of a table that a person filled in: what they may hold, and what to write instead."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date

NUMBER = re.compile(r"\d{1,6}(\.\d{1,6})?")
DEGREES = re.compile(r"[-+−]?\d{1,3}(\.\d{1,12})?")


class BadCell(ValueError):
    """A cell that cannot be read; the text tells a person what to write instead."""


def degrees(most: int) -> Callable[[str], float]:
    """A reader of degrees from minus to plus so many; south and west are negative."""

    def read(cell: str) -> float:
        if not DEGREES.fullmatch(cell) or abs(float(cell.replace("−", "-"))) > most:
            raise BadCell(f"{cell} is no position. Write degrees like 46.50131, at most {most}.")
        return float(cell.replace("−", "-"))

    return read


def short_text(longest: int) -> Callable[[str], str]:
    """A reader of text of at most so many characters."""

    def read(cell: str) -> str:
        if len(cell) > longest:
            raise BadCell(f"At most {longest} characters; this has {len(cell)}.")
        return cell

    return read


def one_of(allowed: tuple[str, ...]) -> Callable[[str], str]:
    """A reader of one of a few words; case, and spaces for hyphens, do not count."""

    def read(cell: str) -> str:
        word = cell.lower().replace(" ", "-")
        if word not in allowed:
            raise BadCell(f"{cell} is not known here. Write one of: {', '.join(allowed)}.")
        return word

    return read


def number_in(low: float, high: float, unit: str) -> Callable[[str], float]:
    """A reader of a number between limits, written without its unit."""

    def read(cell: str) -> float:
        if not NUMBER.fullmatch(cell):
            raise BadCell(f"{cell} is no number. Write it without its unit, like 16 or 16.5.")
        value = float(cell)
        if not low <= value <= high:
            raise BadCell(f"{cell} {unit} cannot be right: {low:g} to {high:g} {unit}.")
        return value

    return read


def yes_or_no(cell: str) -> bool:
    """Read yes or no. Raises: BadCell."""
    word = cell.lower()
    if word not in ("yes", "no"):
        raise BadCell(f"{cell} is not known here. Write yes or no.")
    return word == "yes"


def day_of(cell: str) -> date:
    """Read a day, YYYY-MM-DD. Raises: BadCell."""
    try:
        if len(cell) != len("YYYY-MM-DD"):
            raise ValueError(cell)
        return date.fromisoformat(cell)
    except ValueError:
        raise BadCell(f"{cell} is no day. Write year, month, day, like 2026-05-12.") from None
