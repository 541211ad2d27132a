"""fold(records) -> PlanterState: what a planter is like, from all that was ever recorded of it.

It starts at the first record every time, so that a check-in which arrives three weeks late is
simply in its place, and so that any order of arrival gives the same state.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from potrounds.domain.checklists import ListProgress, Where, progress
from potrounds.domain.planter import Planter, TownCalendar
from potrounds.domain.records import Record
from potrounds.domain.season_lists import season_list
from potrounds.domain.visits import (
    DecisionMark,
    ReportMark,
    Standing,
    StepMark,
    Visit,
    standing,
)

#: Steps that say where the plug is; a place written down at another step is of something else.
PLUG_STEPS = ("pull-plug", "bag-plug")


@dataclass(frozen=True)
class Mark:
    """Somebody was here."""

    at: datetime
    day: date
    by: str
    record: str


@dataclass(frozen=True)
class Fed(Mark):
    """The last feed."""

    what: str | None = None


@dataclass(frozen=True)
class PlantsSeen(Mark):
    """The plants as last judged, 1 dead or gone to 5 thriving."""

    score: int = 0


@dataclass(frozen=True)
class LevelReading(Mark):
    """The reservoir as last read, or full because it was filled until the overflow ran."""

    value: float = 0.0
    person: str | None = None
    read_by: str | None = None
    from_overflow: bool = False


@dataclass(frozen=True)
class PlugSeen:
    """The drain plug as last seen, and where it is if it was put away."""

    state: str = "unknown"
    at: datetime | None = None
    day: date | None = None
    by: str | None = None
    place: str | None = None
    record: str | None = None


@dataclass(frozen=True)
class PlanterState:
    """Everything the records say about one planter at one moment."""

    planter: str
    level: LevelReading | None
    plug: PlugSeen
    plants: PlantsSeen | None
    last_visit: Mark | None
    last_full: Mark | None
    last_fed: Fed | None
    last_winter_season: int | None
    drained: bool
    visits: tuple[Visit, ...]
    steps: tuple[StepMark, ...]
    reports: tuple[ReportMark, ...]
    waiting: tuple[ReportMark, ...]
    decisions: tuple[DecisionMark, ...]
    winterization: ListProgress
    start_up: ListProgress


def fold(
    planter: Planter, records: Iterable[Record], calendar: TownCalendar, up_to: datetime | None
) -> PlanterState:
    """The state of a planter, from all of its records in any order.

    `up_to` leaves out what was seen after that moment, and decides the season of the lists
    (None: the moment of the newest record). Corrections and withdrawals count whenever they were
    made, because they say how it really was.
    """
    return fold_standing(planter, standing(records, calendar.zone), calendar, up_to)


def fold_standing(
    planter: Planter, stands: Standing, calendar: TownCalendar, up_to: datetime | None
) -> PlanterState:
    """fold, where the records have been put in order already."""
    visits = tuple(visit for visit in stands.visits if _by_then(visit.at, up_to))
    steps = tuple(step for step in stands.steps if _by_then(step.at, up_to))
    reports = tuple(report for report in stands.reports if _by_then(report.at, up_to))
    decided = tuple(one for one in stands.decisions if _by_then(one.at, up_to))
    now = up_to or _newest_moment(stands)
    today = calendar.local_day(now) if now else date.min
    # A time that is only a claim never decides what is the latest (R12).
    course = _Course(calendar)
    for seen in _in_order(
        [visit for visit in visits if not visit.time_uncertain],
        [step for step in steps if not step.time_uncertain],
    ):
        course.follow(seen)
    return PlanterState(
        planter=planter.id,
        level=course.level,
        plug=course.plug,
        plants=course.plants,
        last_visit=course.last_visit,
        last_full=course.last_full,
        last_fed=course.last_fed,
        last_winter_season=max(
            (s.step.season for s in steps if _is_step(s, "winterization", "pull-plug")),
            default=None,
        ),
        drained=course.drained,
        visits=visits,
        steps=steps,
        reports=reports,
        waiting=_waiting(reports, decided, today),
        decisions=tuple({one.decision.flag: one for one in decided}.values()),
        winterization=_list_progress("winterization", planter, steps, course, calendar, today),
        start_up=_list_progress("start-up", planter, steps, course, calendar, today),
    )


def _by_then(at: datetime, up_to: datetime | None) -> bool:
    return up_to is None or at <= up_to


def _newest_moment(stands: Standing) -> datetime | None:
    moments = [visit.at for visit in stands.visits]
    moments += [step.at for step in stands.steps]
    moments += [report.at for report in stands.reports]
    moments += [decision.at for decision in stands.decisions]
    return max(moments, default=None)


def _season(list_name: str, calendar: TownCalendar, today: date) -> int:
    return 0 if today == date.min else calendar.list_season(list_name, today)


def _list_progress(
    list_name: str,
    planter: Planter,
    steps: tuple[StepMark, ...],
    course: _Course,
    calendar: TownCalendar,
    today: date,
) -> ListProgress:
    """A list of today's season, taking into account that the plug may have been put back since."""
    season, winter = _season(list_name, calendar, today), list_name == "winterization"
    return progress(
        steps,
        list_name,
        season,
        where=Where(planter.planting is not None or not winter, planter.size, planter.site),
        put_back_at=course.put_back_at.get(season) if winter else None,
        plan=season_list(calendar, list_name, season) if season else None,
    )


def _in_order(visits: Sequence[Visit], steps: Sequence[StepMark]) -> list[Visit | StepMark]:
    """Visits and steps in the order of the field; each came in order, ties go by record id."""
    both: list[Visit | StepMark] = [*visits, *steps]
    return sorted(both, key=lambda seen: (seen.at, seen.device, seen.n, seen.record))


def _is_step(mark: StepMark, list_name: str, code: str) -> bool:
    step = mark.step
    return (step.list, step.step, step.outcome) == (list_name, code, "done")


def _waiting(
    reports: tuple[ReportMark, ...], decisions: tuple[DecisionMark, ...], today: date
) -> tuple[ReportMark, ...]:
    """The reports that no decision has answered.

    "Seen" and "handed" answer nobody yet; "not a problem" answers until its day.
    """
    answered: set[str] = set()
    for one in decisions:
        body = one.decision
        if body.flag != "public_report_waiting":
            continue
        lasting = body.decision == "settled" or (
            body.decision == "not-a-problem" and (body.until is None or today < body.until)
        )
        if lasting:
            answered.update(body.evidence)
    return tuple(report for report in reports if report.record not in answered)


class _Course:
    """What is carried along while the visits and steps pass by in order."""

    def __init__(self, calendar: TownCalendar) -> None:
        self.calendar = calendar
        self.level: LevelReading | None = None
        self.plug = PlugSeen()
        self.place: str | None = None
        self.plants: PlantsSeen | None = None
        self.last_visit: Mark | None = None
        self.last_full: Mark | None = None
        self.last_fed: Fed | None = None
        self.drained = False
        self.put_back_at: dict[int, datetime] = {}

    def follow(self, seen: Visit | StepMark) -> None:
        """Take in one visit or step."""
        self.last_visit = Mark(seen.at, seen.day, seen.by, seen.record)
        if isinstance(seen, StepMark):
            self._step(seen)
        else:
            self._visit(seen)

    def _visit(self, visit: Visit) -> None:
        check_in = visit.check_in
        mark = (visit.at, visit.day, visit.by, visit.record)
        if visit.ran_over:
            self._full(visit)
        elif check_in.level is not None:
            self.level = LevelReading(*mark, check_in.level, visit.person, check_in.read_by)
        if check_in.plants is not None:
            self.plants = PlantsSeen(*mark, check_in.plants)
        if "fed" in check_in.done:
            self.last_fed = Fed(*mark, check_in.feed_what)
        if check_in.plug != "not-looked":
            if check_in.plug == "in":
                if self.drained and self.calendar.is_cold_half(visit.day):
                    self.put_back_at[self.calendar.season_year(visit.day)] = visit.at
                self.drained, self.place = False, None
            elif check_in.plug == "out":
                # Out in winter is drained; out in summer is a plug somebody has to bring.
                self.drained = self.drained or self.calendar.is_winter(visit.day)
            self._saw_plug(visit, check_in.plug)

    def _step(self, mark: StepMark) -> None:
        step = mark.step
        if step.outcome != "done":
            return
        if step.step in PLUG_STEPS:
            self.place = step.plug_place or self.place
        if _is_step(mark, "winterization", "pull-plug"):
            self.drained = True
            self._saw_plug(mark, "out")
        elif _is_step(mark, "winterization", "bag-plug") and self.plug.state == "out":
            self._saw_plug(mark, "out")
        elif _is_step(mark, "start-up", "plug-in"):
            self.drained, self.place = False, None
            self._saw_plug(mark, "in")
        if _is_step(mark, "start-up", "fill"):
            self._full(mark)
        elif step.level is not None:
            self.level = LevelReading(
                mark.at, mark.day, mark.by, mark.record, step.level, mark.person
            )

    def _full(self, seen: Visit | StepMark) -> None:
        """Filled until the overflow ran: the one sure full mark."""
        mark = (seen.at, seen.day, seen.by, seen.record)
        self.last_full = Mark(*mark)
        self.level = LevelReading(*mark, 1.0, seen.person, None, from_overflow=True)

    def _saw_plug(self, seen: Visit | StepMark, state: str) -> None:
        if state == "out" and self.level and self.level.record != seen.record:
            self.level = None  # what was read before the plug came out has run away
        place = self.place if state == "out" else None
        self.plug = PlugSeen(state, seen.at, seen.day, seen.by, place, seen.record)
