"""The registry of rules: Case in, Evidence out, or nothing.

A rule is a small pure function. Its name is the flag's code, its trade name, urgency and advice
stand in the decorator, its docstring ends with its source. It sees a Case and nothing else, so it
needs no database and no clock, and it can be asked about any day of the past.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from functools import cached_property, lru_cache
from zoneinfo import ZoneInfo

from potrounds.domain.calendar import TownCalendar
from potrounds.domain.fold import PlanterState
from potrounds.domain.folds import folds
from potrounds.domain.outside import Outside
from potrounds.domain.planter import Planter
from potrounds.domain.records import Record
from potrounds.domain.visits import DecisionMark, ReportMark, Standing, StepMark, Visit, standing
from potrounds.domain.water import Water

URGENCIES = ("today", "this-week", "watch")
# By where one looks, water first.
FAMILY_ORDER = ("reservoir", "water", "plants", "feeding", "season", "site", "visits")

# How far back the beginning of a run is looked for. [days]
REPLAY_DAYS = 120


@dataclass(frozen=True)
class Case:
    """What a rule may know: one planter on one day."""

    planter: Planter
    state: PlanterState
    calendar: TownCalendar
    today: date
    water: Water | None = None
    outside: Outside = field(default_factory=dict, hash=False)

    @property
    def visits(self) -> tuple[Visit, ...]:
        """The check-ins as they now stand, oldest first."""
        return self.state.visits

    @cached_property  # a score of rules look at them
    def sure_visits(self) -> tuple[Visit, ...]:
        """The check-ins whose time is more than a claim, oldest first."""
        return tuple(visit for visit in self.state.visits if not visit.time_uncertain)

    @property
    def steps(self) -> tuple[StepMark, ...]:
        """The checklist steps that stand, of any season, oldest first."""
        return self.state.steps

    @property
    def reports(self) -> tuple[ReportMark, ...]:
        """What passers-by reported and nobody has answered yet, oldest first."""
        return self.state.waiting

    @property
    def in_use(self) -> bool:
        """Whether the planter stands in the street with water and plants to be cared for."""
        return self.planter.status == "in-use" and not self.state.drained

    @property
    def closing(self) -> bool:
        """Whether this winter's list has stopped feed and top-up: from then on it may run dry."""
        stop = self.state.winterization.step("stop-water")
        begun = stop is not None and stop.state == "done"
        return begun and self.calendar.is_cold_half(self.today)

    def days_since(self, day: date) -> int:
        """Whole days from that day to today."""
        return (self.today - day).days


@dataclass(frozen=True)
class Evidence:
    """Why a flag is up: one sentence with its numbers, and the records it rests on."""

    sentence: str
    records: tuple[str, ...] = ()
    numbers: Mapping[str, float] = field(default_factory=dict, hash=False)
    urgency: str | None = None
    caution: str | None = None
    advice: str | None = None  # in place of the rule's own


Judge = Callable[[Case], Evidence | None]


@dataclass(frozen=True)
class Rule:
    """A rule as registered."""

    code: str
    family: str
    name: str
    urgency: str
    advice: str
    caution: str | None
    source: str
    judge: Judge


RULES: dict[str, Rule] = {}


def flag(
    *, name: str, urgency: str, advice: str, caution: str | None = None
) -> Callable[[Judge], Judge]:
    """Register the decorated function as the rule of that name.

    Raises: ValueError for a second rule of the same code, an unknown urgency, an empty name or
    advice, or a docstring without a Source line.
    """

    def register(judge: Judge) -> Judge:
        code = judge.__name__
        if code in RULES:
            raise ValueError(f"two rules are called {code}")
        if urgency not in URGENCIES:
            raise ValueError(f"{code}: no such urgency as {urgency!r}")
        if not name.strip() or not advice.strip():
            raise ValueError(f"{code}: a flag says its name and what to do")
        family = judge.__module__.rpartition(".")[2]
        if family not in FAMILY_ORDER:
            raise ValueError(f"{code}: no such family as {family!r}")
        RULES[code] = Rule(code, family, name, urgency, advice, caution, _source(judge), judge)
        return judge

    return register


def _source(judge: Judge) -> str:
    """The text after "Source:" in a rule's docstring."""
    _, found, source = (judge.__doc__ or "").partition("Source:")
    words = " ".join(source.split()).rstrip(".")
    if not found or not words:
        raise ValueError(f"{judge.__name__}: the docstring names no Source")
    return words


@dataclass(frozen=True)
class Flag:
    """A flag that is up today."""

    code: str
    family: str
    name: str
    urgency: str
    sentence: str
    advice: str
    caution: str | None
    source: str
    since: date
    urgent_since: date
    records: tuple[str, ...]
    decision: DecisionMark | None = None
    quiet: bool = False
    outdated: bool = False  # something new was seen since the decision, or it is more urgent now


def cases_of(
    planter: Planter,
    records: Iterable[Record] | Standing,
    calendar: TownCalendar,
    now: datetime,
    water: Callable[[date], Water | None] | None = None,
    outside: Outside | None = None,
) -> Callable[[date], Case]:
    """The planter's case for today and for every day before, each as known by its evening."""
    stands = records if isinstance(records, Standing) else standing(records, calendar.zone)
    today = calendar.local_day(now)
    zone = ZoneInfo(calendar.zone)
    fold_to = folds(planter, stands, calendar)

    @lru_cache(maxsize=REPLAY_DAYS + 2)
    def case_at(day: date) -> Case:
        evening = datetime.combine(day, time.max, zone)
        up_to = now if day >= today else evening
        state = fold_to(up_to)
        seen = water(day) if water else None
        return Case(planter, state, calendar, day, seen, outside or {})

    return case_at


def raise_flags(case_at: Callable[[date], Case], today: date) -> tuple[Flag, ...]:
    """The flags that are up today, the most urgent first, each with the day its run began."""
    case = case_at(today)
    raised = [
        _flag(rule, evidence, case_at, today)
        for rule in RULES.values()
        if (evidence := rule.judge(case)) is not None
    ]
    return tuple(sorted(raised, key=_rank))


def _rank(raised: Flag) -> tuple[int, int, str]:
    return (
        URGENCIES.index(raised.urgency),
        FAMILY_ORDER.index(raised.family),
        raised.code,
    )


def _flag(rule: Rule, evidence: Evidence, case_at: Callable[[date], Case], today: date) -> Flag:
    urgency = evidence.urgency or rule.urgency
    since, urgent_since = _run(rule, URGENCIES.index(urgency), case_at, today)
    return Flag(
        code=rule.code,
        family=rule.family,
        name=rule.name,
        urgency=urgency,
        sentence=evidence.sentence,
        advice=evidence.advice or rule.advice,
        caution=evidence.caution or rule.caution,
        source=rule.source,
        since=since,
        urgent_since=urgent_since,
        records=evidence.records,
    )


def _run(rule: Rule, rank: int, case_at: Callable[[date], Case], today: date) -> tuple[date, date]:
    """The first day of the present unbroken run, and of its present urgency or a greater one."""
    since = urgent_since = today
    for _ in range(REPLAY_DAYS):
        evidence = rule.judge(case_at(since - timedelta(days=1)))
        if evidence is None:
            break
        since -= timedelta(days=1)
        was = URGENCIES.index(evidence.urgency or rule.urgency)
        if was <= rank and urgent_since == since + timedelta(days=1):
            urgent_since = since
    return since, urgent_since


def apply_decisions(
    flags: Iterable[Flag], decisions: Iterable[DecisionMark], today: date
) -> tuple[Flag, ...]:
    """The flags with the last decision on each, and quiet where it hides the flag.

    "Not a problem" hides a flag until its day, "settled" until new evidence; records that were
    not there when it was decided end either. Without a day to wait for, a flag that has become
    more urgent since also speaks again. "Seen", "handed" and "next-round" only stand beside the
    flag; `outdated` says that they answer less than is known now.
    """
    last: dict[str, DecisionMark] = {}
    for one in sorted(decisions, key=lambda mark: (mark.at, mark.record)):
        last[one.decision.flag] = one
    return tuple(_judged(raised, last.get(raised.code), today) for raised in flags)


def _judged(raised: Flag, mark: DecisionMark | None, today: date) -> Flag:
    if mark is None:
        return raised
    nothing_new = set(raised.records) <= set(mark.decision.evidence)
    same_run = mark.day >= raised.since
    if not same_run and not (nothing_new and raised.records):
        return raised  # decided about an earlier run of this flag
    return replace(
        raised,
        decision=mark,
        quiet=nothing_new and _hides(raised, mark, today),
        outdated=not nothing_new or mark.day < raised.urgent_since,
    )


def _hides(raised: Flag, mark: DecisionMark, today: date) -> bool:
    body = mark.decision
    no_worse = mark.day >= raised.urgent_since
    if body.decision == "not-a-problem":
        return today < body.until if body.until else no_worse
    return body.decision == "settled" and no_worse
