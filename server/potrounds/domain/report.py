"""What a season came to, for the town: plain counts and sums, each with the records it rests on.

Water is counted in whole tenths of a litre: each amount is rounded once, half up, as no bucket and
no hose timer knows more; whatever is added after that is exact, so lines add up to their totals.
Amounts are never added across how they were known. No source; arithmetic.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from statistics import median

from potrounds.domain.season_summary import LOST, UNSAID, PlanterSeason
from potrounds.domain.visits import Visit

#: How water through the fill port was known, then water from the top.
TIMED, TYPED, OVERFLOW, OVERHEAD = "hose-timer", "typed", "to-overflow", "overhead"
HOWS = (TIMED, TYPED, OVERFLOW, UNSAID, OVERHEAD)
GONE = 1  # plants: dead or gone


@dataclass(frozen=True)
class Poured:
    """One amount of water, in tenths of a litre."""

    record: str
    day: date
    how: str
    tenths: int


@dataclass(frozen=True)
class FlagRun:
    """A flag from the first day it was up to the first on which it was not (None: still up)."""

    code: str
    urgency: str
    since: date
    cleared: date | None
    records: tuple[str, ...] = ()

    @property
    def days(self) -> int | None:
        """Days from raised to cleared."""
        return None if self.cleared is None else (self.cleared - self.since).days


@dataclass(frozen=True)
class Loss:
    """A planter that left the town, or whose plants were found dead or gone."""

    what: str
    day: date
    record: str | None = None


@dataclass(frozen=True)
class DryDays:
    """What the water balance says of a planter's days from `first` to `last`.

    `empty`: mornings on which the reservoir was believed empty. `avoided`: mornings after a fill,
    up to the next, on which it was believed to hold water that it would not have held without
    that fill, the planter using what it was believed to use.
    """

    first: date
    last: date
    empty: tuple[date, ...]
    avoided: tuple[date, ...]


@dataclass(frozen=True)
class Line:
    """One planter's season as the report counts it."""

    season: PlanterSeason
    site: str
    poured: tuple[Poured, ...]
    unmeasured: tuple[str, ...]
    seen_empty: Mapping[date, str]
    flags: tuple[FlagRun, ...]
    losses: tuple[Loss, ...]
    dry: DryDays | None = None


def tenths(litres: float) -> int:
    """Whole tenths of a litre, half up, from the figure as it was written down."""
    return int((Decimal(str(litres)) * 10).quantize(Decimal(1), ROUND_HALF_UP))


def poured(visits: Iterable[Visit]) -> tuple[Poured, ...]:
    """Every amount that was said, by how it was known."""
    found = []
    for visit in visits:
        seen = visit.check_in
        at = (visit.correction or visit.record, visit.day)
        if seen.litres_l is not None:
            found.append(Poured(*at, seen.litres_how or UNSAID, tenths(seen.litres_l)))
        if seen.overhead_l:
            found.append(Poured(*at, OVERHEAD, tenths(seen.overhead_l)))
    return tuple(found)


def unmeasured(visits: Iterable[Visit]) -> tuple[str, ...]:
    """Check-ins with a fill of which no amount was said."""
    return tuple(
        visit.correction or visit.record
        for visit in visits
        if visit.check_in.litres_l is None and (visit.ran_over or visit.check_in.litres_how)
    )


def water(amounts: Iterable[Poured]) -> dict[str, int]:
    """Tenths of a litre by how they were known; every way is named, also with nothing."""
    sums = dict.fromkeys(HOWS, 0)
    for one in amounts:
        sums[one.how] = sums.get(one.how, 0) + one.tenths
    return sums


def seen_empty(visits: Iterable[Visit]) -> dict[date, str]:
    """Days on which somebody found the reservoir empty, with the first such check-in of each.

    A lower bound: of days on which nobody came, nobody knows.
    """
    found: dict[date, str] = {}
    for visit in visits:
        if visit.check_in.level == 0:
            found.setdefault(visit.day, visit.correction or visit.record)
    return found


Up = Callable[[date], Mapping[str, tuple[str, tuple[str, ...]]]]


def flag_runs(first: date, last: date, up: Up) -> tuple[FlagRun, ...]:
    """The runs of every flag in some days; `up(day)` gives urgency and records by code.

    Days are replayed with what is known now, so a check-in that came late counts on its day. A run
    that was up on the day before `first` belongs to the season before.
    """
    earlier = set(up(first - timedelta(days=1)))
    open_runs: dict[str, FlagRun] = {}
    ended: list[FlagRun] = []
    day = first
    while day <= last:
        now = up(day)
        for code in [code for code in open_runs if code not in now]:
            run = open_runs.pop(code)
            ended.append(FlagRun(code, run.urgency, run.since, day, run.records))
        earlier &= set(now)
        for code, (urgency, records) in now.items():
            if code not in open_runs and code not in earlier:
                open_runs[code] = FlagRun(code, urgency, day, None, records)
        day += timedelta(days=1)
    return tuple(sorted((*ended, *open_runs.values()), key=lambda run: (run.since, run.code)))


def settled(runs: Sequence[FlagRun]) -> dict[str, float | int | None]:
    """How many flags were raised and cleared, and in how many days: the median and the longest."""
    days = [run.days for run in runs if run.days is not None]
    return {
        "raised": len(runs),
        "cleared": len(days),
        "still_up": len(runs) - len(days),
        "median_days": float(median(days)) if days else None,
        "longest_days": max(days, default=None),
    }


def losses(
    visits: Sequence[Visit], left: Iterable[tuple[date, str]], first: date, last: date
) -> tuple[Loss, ...]:
    """Planters lost or retired in these days, and plants found dead or gone, once a planting.

    `left`: days and statuses out of the register's changes.
    """
    found = [Loss(what, day) for day, what in left if what in LOST and first <= day <= last]
    gone = False
    for visit in visits:
        score = visit.check_in.plants
        if score is not None:
            if score == GONE and not gone:
                found.append(Loss("plants-gone", visit.day, visit.correction or visit.record))
            gone = score == GONE
    return tuple(sorted(found, key=lambda loss: (loss.day, loss.what)))


def figures(lines: Sequence[Line]) -> dict[str, object]:
    """The figures of some planters together: of one, of a site, of the town."""
    amounts = [one for line in lines for one in line.poured]
    runs = [run for line in lines for run in line.flags]
    dry = [line.dry for line in lines if line.dry is not None]
    return {
        "planters": len(lines),
        "water": {how: amount / 10 for how, amount in water(amounts).items()},
        "unmeasured_fills": sum(len(line.unmeasured) for line in lines),
        "visits": sum(len(line.season.visits) for line in lines),
        "steps": sum(len(line.season.steps) for line in lines),
        "seen_empty_days": sum(len(line.seen_empty) for line in lines),
        "believed_empty_days": sum(len(one.empty) for one in dry) if dry else None,
        "avoided_days": sum(len(one.avoided) for one in dry) if dry else None,
        "flags": settled(runs),
        "decisions": sum(len(line.season.decisions) for line in lines),
        "losses": sum(len(line.losses) for line in lines),
        "winter": winter([line for line in lines if line.season.status not in LOST]),
    }


def winter(lines: Sequence[Line]) -> dict[str, int]:
    """How many planters are proven drained, unproven, under way, not begun."""
    states = [line.season.winter.state for line in lines]
    return {
        key: states.count(state)
        for key, state in (
            ("proven", "proven"),
            ("unproven", "unproven"),
            ("under_way", "under-way"),
            ("not_begun", "not-begun"),
        )
    }


#: The figures that rest on records, and which: what a link behind a number may ask for.
BEHIND: dict[str, Callable[[Line], Iterable[str]]] = {
    **{
        f"water-{how}": lambda line, how=how: [  # type: ignore[misc]
            one.record for one in line.poured if one.how == how
        ]
        for how in HOWS
    },
    "unmeasured-fills": lambda line: line.unmeasured,
    "visits": lambda line: [v.correction or v.record for v in line.season.visits],
    "steps": lambda line: [step.record for step in line.season.steps],
    "seen-empty": lambda line: line.seen_empty.values(),
    "flags": lambda line: dict.fromkeys(r for run in line.flags for r in run.records),
    "decisions": lambda line: [mark.record for mark in line.season.decisions],
    "plants-gone": lambda line: [one.record for one in line.losses if one.record],
}


def avoided(
    levels: Mapping[date, float], fills: Sequence[tuple[date, float]], least_l: float
) -> tuple[tuple[date, ...], tuple[date, ...]]:
    """Mornings believed empty, and mornings a fill kept from being so.

    `levels`: litres believed on each morning after that day's fill, in unbroken days. `fills`:
    days with the litres believed before the fill. Below `least_l` a reservoir counts as empty.
    Without a fill a planter would have used the same, until its own water was gone.
    """
    days = sorted(levels)
    empty = tuple(day for day in days if levels[day] < least_l)
    kept: set[date] = set()
    for at, (day, before) in enumerate(fills):
        if day not in levels or levels[day] - before <= 0:
            continue
        until = fills[at + 1][0] if at + 1 < len(fills) else date.max
        added = levels[day] - before
        for morning in days:
            if day < morning < until and levels[morning] >= least_l > levels[morning] - added:
                kept.add(morning)
    return empty, tuple(sorted(kept))
