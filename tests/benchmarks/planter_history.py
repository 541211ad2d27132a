"""How long a planter's whole history takes: three seasons of so many visits each.

    python tests/benchmarks/planter_history.py [visits a season, 150]

Prints the seconds of each answer as the server makes it, first and again, and its size.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from course_town import live_through
from desk import open_desk
from potrounds.services import planter_course, planter_flags, planter_visits
from potrounds.store import database


def timed(make: Callable[[], Any]) -> tuple[float, int]:
    """Seconds, and the answer's size in kB."""
    start = time.perf_counter()
    told = make()
    return time.perf_counter() - start, len(json.dumps(told)) // 1024


def main(a_season: int) -> None:
    """Print a line an answer."""
    with tempfile.TemporaryDirectory() as folder:
        desk = open_desk(Path(folder))
        live_through(desk, a_season=a_season)
        ctx, planter = desk.ctx, desk.planter
        answers: dict[str, Callable[[], Any]] = {
            "history, this season": lambda: planter_course.whole(ctx, planter, None),
            "history, first season": lambda: planter_course.whole(ctx, planter, "2024"),
            "visits, first 30": lambda: planter_visits.visits(ctx, planter, None, None, 30),
            "flags, this season": lambda: planter_flags.season(ctx, planter, None),
            "flags, first season": lambda: planter_flags.season(ctx, planter, "2024"),
        }
        for name, make in answers.items():
            first, size = timed(make)
            again, _ = timed(make)
            print(f"{name:24s} {first:6.2f} s, again {again:6.2f} s, {size:4d} kB")
        database.shut()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 150)
