"""Cells of a table that a person filled in: what they may hold, and what to write instead."""

from __future__ import annotations

import re
from collections.abc import Callable

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
