"""A planter's season as a course of days: water seen and given, plants, the weather over it.

Plain readings of what was recorded: nothing is believed here, and nothing stands between two
visits. No source; arithmetic.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from potrounds.domain import report as figures
from potrounds.domain.report import FlagRun
from potrounds.domain.season_lists import SkyDay
from potrounds.domain.visits import DecisionMark, StepMark, Visit

WEEK = timedelta(days=7)


@dataclass(frozen=True)
class WaterMark:
    """What one record says of the water. Litres; None where it does not say."""

    record: str
    at: datetime
    day: date
    unsure: bool  # its time is only a claim
    read_l: float | None = None
    given_l: float | None = None
    overhead_l: float | None = None
    filled_to_l: float | None = None
    overflow: str = "not-looked"
    drained: bool = False


@dataclass(frozen=True)
class PlantsMark:
    """What one check-in says of the plants: a score of 1 to 5, signs, or both."""

    record: str
    at: datetime
    day: date
    by: str
    unsure: bool
    score: int | None
    signs: tuple[str, ...]


@dataclass(frozen=True)
class Week:
    """Seven days, or what of them lies within the season."""

    first: date
    last: date
    visits: int = 0
    lowest_l: float | None = None
    given_tenths: int = 0
    overhead_tenths: int = 0
    unmeasured: int = 0
    overflows: int = 0
    rain_mm: float | None = None
    rain_days: int = 0  # days of which the rain is known
    tmax_c: float | None = None
    worst_plants: int | None = None
    signs: tuple[str, ...] = ()


def water_marks(
    visits: Iterable[Visit], steps: Iterable[StepMark], capacity_l: float
) -> tuple[WaterMark, ...]:
    """Every record that says something of the water, in the order of the field.

    capacity_l: what the reservoir holds up to the overflow. [L]
    """
    found = [_of_visit(visit, capacity_l) for visit in visits]
    found += [_of_step(mark, capacity_l) for mark in steps]
    return tuple(sorted((one for one in found if one), key=lambda one: (one.at, one.record)))


def _of_visit(visit: Visit, capacity_l: float) -> WaterMark | None:
    seen = visit.check_in
    read_l = None if seen.level is None else seen.level * capacity_l
    filled_to = None
    if visit.ran_over:
        filled_to = capacity_l
    elif seen.litres_l and read_l is not None:
        filled_to = min(capacity_l, read_l + seen.litres_l)
    mark = WaterMark(
        visit.correction or visit.record,
        visit.at,
        visit.day,
        visit.time_uncertain,
        read_l,
        seen.litres_l or None,
        seen.overhead_l or None,
        filled_to,
        "ran-while-filling" if visit.ran_over else seen.overflow,
        seen.plug == "out",
    )
    says = (mark.read_l is not None, mark.given_l, mark.overhead_l, mark.filled_to_l, mark.drained)
    return mark if any(says) or seen.overflow == "wet-on-arrival" else None


def _of_step(mark: StepMark, capacity_l: float) -> WaterMark | None:
    step = mark.step
    if step.outcome != "done":
        return None
    filled = (step.list, step.step) == ("start-up", "fill")
    drained = (step.list, step.step) == ("winterization", "pull-plug")
    if not filled and not drained and step.level is None:
        return None
    read_l = None if step.level is None or filled else step.level * capacity_l
    return WaterMark(
        mark.record,
        mark.at,
        mark.day,
        mark.time_uncertain,
        read_l,
        filled_to_l=capacity_l if filled else None,
        drained=drained,
    )


def plants_marks(visits: Iterable[Visit]) -> tuple[PlantsMark, ...]:
    """Every look at the plants, in the order of the field; signs of the pot are told with them."""
    return tuple(
        PlantsMark(
            visit.correction or visit.record,
            visit.at,
            visit.day,
            visit.by,
            visit.time_uncertain,
            visit.check_in.plants,
            tuple(sorted(visit.check_in.signs)),
        )
        for visit in visits
        if visit.looked_over
    )


def weeks(
    first: date,
    last: date,
    visits: Sequence[Visit],
    sky: Iterable[SkyDay],
    capacity_l: float,
) -> tuple[Week, ...]:
    """The season in weeks from Monday to Sunday, without those of which nothing is known."""
    days = {one.date: one for one in sky}
    found = []
    begin = first - timedelta(days=first.weekday())
    while begin <= last:
        one = max(begin, first), min(begin + WEEK - timedelta(days=1), last)
        within = [visit for visit in visits if one[0] <= visit.day <= one[1]]
        weather = [days[day] for day in _days(*one) if day in days]
        if within or weather:
            found.append(_week(*one, within, weather, capacity_l))
        begin += WEEK
    return tuple(found)


def _days(first: date, last: date) -> list[date]:
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]


def _week(
    first: date, last: date, visits: list[Visit], weather: list[SkyDay], capacity_l: float
) -> Week:
    water = figures.water(figures.poured(visits))
    overhead = water.pop(figures.OVERHEAD)
    rain = [one.rain_mm for one in weather if one.rain_mm is not None]
    levels = [v.check_in.level for v in visits if v.check_in.level is not None]
    scores = [v.check_in.plants for v in visits if v.check_in.plants is not None]
    return Week(
        first,
        last,
        visits=len(visits),
        lowest_l=min(levels) * capacity_l if levels else None,
        given_tenths=sum(water.values()),
        overhead_tenths=overhead,
        unmeasured=len(figures.unmeasured(visits)),
        overflows=sum(visit.ran_over for visit in visits),
        rain_mm=round(sum(rain), 1) if rain else None,
        rain_days=len(rain),
        tmax_c=max((one.tmax_c for one in weather), default=None),
        worst_plants=min(scores, default=None),
        signs=tuple(sorted({sign for visit in visits for sign in visit.check_in.signs})),
    )


@dataclass(frozen=True)
class Ending:
    """How a flag's run went on: who decided what, and which records its last day rests on.

    `settled`: the first decision that settled it while it was up. `cleared_by`: what was recorded
    on the first day it was not up; nothing where days alone ended it.
    """

    run: FlagRun
    decisions: tuple[DecisionMark, ...] = ()
    settled: DecisionMark | None = None
    cleared_by: tuple[str, ...] = field(default=())

    @property
    def settled_days(self) -> int | None:
        """Days from raised to settled by somebody."""
        return None if self.settled is None else (self.settled.day - self.run.since).days


def ending(
    run: FlagRun, decisions: Iterable[DecisionMark], recorded: Iterable[tuple[date, str]]
) -> Ending:
    """What became of a run. `recorded`: day and id of everything recorded at the planter."""
    own = tuple(
        mark
        for mark in decisions
        if mark.decision.flag == run.code
        and run.since <= mark.day
        and (run.cleared is None or mark.day <= run.cleared)
    )
    settled = next((mark for mark in own if mark.decision.decision == "settled"), None)
    by = () if run.cleared is None else tuple(r for day, r in recorded if day == run.cleared)
    return Ending(run, own, settled, by)
