"""What to do at a planter today, in short sentences: flags first, then lists, water, feed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from potrounds.domain.checklists import ListProgress
from potrounds.domain.fold import PlanterState
from potrounds.domain.planter import Planter, TownCalendar
from potrounds.flags import Flag
from potrounds.science.reservoir import top_up_range

Line = dict[str, str]

MOST_LINES = 6
#: At or below this mark a top-up is worth carrying water for. Common practice, no source.
LOW_MARK = 0.5
#: Roots need this long to reach mix that the wick keeps moist; two to four weeks is the usual
#: advice for consumers. Common practice, no source.
ROOTING_DAYS = 28
#: Liquid feed this often, the first one when the roots have settled. The product's label decides.
#: Common practice, no source.
FEED_DAYS = 14
FIRST_FEED_DAYS = 28
#: Water on the paving near a forecast freeze is ice. Common practice, no source.
NO_WATER_BEFORE_FREEZE_DAYS = 2
#: Flags that mean "no more water", so that no line below asks for some.
NO_WATER = frozenset(
    {"full_but_wilting", "soggy_mix", "overflow_on_arrival", "drain_not_pulled", "standing_water"}
)


def today_lines(
    planter: Planter,
    state: PlanterState,
    flags: Sequence[Flag],
    calendar: TownCalendar,
    today: date,
) -> list[Line]:
    """At most six lines, the most urgent first. A planter that is away asks for nothing."""
    if planter.status in ("retired", "lost"):
        return []
    open_flags = [flag for flag in flags if not flag.quiet]
    lines = [
        _line(flag.code, _first_sentence(flag.advice))
        for flag in open_flags
        if flag.urgency in ("today", "this-week")
    ]
    lines += _list_lines(state, calendar, today)
    if planter.status == "in-use":
        raised = {flag.code for flag in open_flags}
        lines += _water_lines(planter, state, calendar, today, raised)
        lines += _feed_lines(planter, state, calendar, today, raised)
        if state.drained and not lines:
            lines = [_line("drained", "Nothing to do: drained for the winter.")]
        elif not lines:
            lines = [_line("check-in", "Look at level, overflow and plants, and check in.")]
    return lines[:MOST_LINES]


def _line(code: str, text: str) -> Line:
    return {"code": code, "text": text}


def _first_sentence(text: str) -> str:
    head, stop, _ = text.partition(". ")
    return head + "." if stop else text


def _list_lines(state: PlanterState, calendar: TownCalendar, today: date) -> list[Line]:
    lines = []
    if calendar.list_active("winterization", today):
        lines += _next_of(state.winterization, "Winterization", today)
    begun = state.start_up.state not in ("not-begun", "done")
    if calendar.list_active("start-up", today) and (begun or state.plug.state == "out"):
        lines += _next_of(state.start_up, "Start-up", today)
    return lines


def _next_of(progress: ListProgress, title: str, today: date) -> list[Line]:
    code = progress.next
    step = next((one for one in progress.steps if one.code == code), None)
    if step is not None:
        due = step.due if step.proof == "look" else None
        when = "next step" if due is None else _due_words(due, today)
        return [_line(f"{progress.list}.{step.code}", f"{title}, {when}: {step.title}.")]
    if progress.missing:
        return [_line(f"{progress.list}.proof", f"{title}: {progress.missing[0]}")]
    return []


def _due_words(due: date, today: date) -> str:
    return f"due from {due.day} {due:%B}" if due > today else f"due since {due.day} {due:%B}"


def _water_lines(
    planter: Planter, state: PlanterState, calendar: TownCalendar, today: date, raised: set[str]
) -> list[Line]:
    if state.plug.state in ("out", "missing") or state.drained or raised & NO_WATER:
        return []
    freeze = calendar.freeze_within(today, NO_WATER_BEFORE_FREEZE_DAYS)
    if freeze:
        return [
            _line(
                "no-top-up",
                f"No top-up: a freeze is forecast for {freeze.date.day} {freeze.date:%B}.",
            )
        ]
    lines = []
    if state.level and state.level.value <= LOW_MARK:
        litres = top_up_range(planter.reservoir_l, state.level.value)
        lines.append(
            _line(
                "top-up",
                f"Top up: about {litres.litres_l:.0f} L ({litres.low_l:.0f} to {litres.high_l:.0f})"
                " by the last reading. Read the level first, stop when the overflow runs.",
            )
        )
    age = _planted_days(planter, today)
    if age is not None and age < ROOTING_DAYS:
        lines.append(
            _line(
                "water-from-above",
                f"Water from the top as well: planted {age} days ago, roots are still short.",
            )
        )
    return lines


def _feed_lines(
    planter: Planter, state: PlanterState, calendar: TownCalendar, today: date, raised: set[str]
) -> list[Line]:
    age = _planted_days(planter, today)
    if age is None or age < FIRST_FEED_DAYS or calendar.is_cold_half(today):
        return []
    if "salt_crust" in raised or "full_but_wilting" in raised or state.drained:
        return []
    fed = state.last_fed
    if fed is None:
        return [_line("feed", "Feed: none is on record. Follow the label.")]
    days = (today - fed.day).days
    if days < FEED_DAYS:
        return []
    return [_line("feed", f"Feed: the last was {days} days ago. Follow the label.")]


def _planted_days(planter: Planter, today: date) -> int | None:
    return (today - planter.planting.planted_on).days if planter.planting else None
