"""Minutes a stop, learnt from past visits: from one check-in to the next, less the way."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import median

#: What is reckoned with before anything is known. Common practice, no source.
PRIOR_MIN = 5.0
#: The prior counts like so many visits; a town's figure like so many of a planter's own.
PRIOR_VISITS = 5
TOWN_VISITS = 3
#: A longer gap is a break, not a stop; a shorter one is two check-ins sent at one planter.
LONGEST_MIN, SHORTEST_MIN = 40.0, 0.5


@dataclass(frozen=True)
class CheckedIn:
    """One check-in: where, when, and on which phone."""

    planter: str
    device: str
    at: datetime


def minutes_a_stop(
    seen: Iterable[CheckedIn], way_min: Callable[[str, str], float], prior_min: float = PRIOR_MIN
) -> tuple[float, Mapping[str, float]]:
    """Minutes at a stop: the town's figure, and each planter's that was seen. [min]

    A visit ends with its check-in, so the time since the one before, less the way between, is
    that of the later stop. The median is robust against the odd chat; the prior enters it like
    so many visits more.
    Source: common practice, no source.
    """
    gaps = _gaps(seen, way_min)
    every = [gap for several in gaps.values() for gap in several]
    town = median([*every, *[prior_min] * PRIOR_VISITS])
    return town, {
        planter: median([*several, *[town] * TOWN_VISITS]) for planter, several in gaps.items()
    }


def _gaps(
    seen: Iterable[CheckedIn], way_min: Callable[[str, str], float]
) -> Mapping[str, Sequence[float]]:
    gaps: dict[str, list[float]] = {}
    last: dict[str, CheckedIn] = {}
    for one in sorted(seen, key=lambda mark: (mark.at, mark.device, mark.planter)):
        before, last[one.device] = last.get(one.device), one
        if before is None or before.planter == one.planter:
            continue
        gap = (one.at - before.at).total_seconds() / 60 - way_min(before.planter, one.planter)
        if SHORTEST_MIN <= gap <= LONGEST_MIN:
            gaps.setdefault(one.planter, []).append(gap)
    return gaps
