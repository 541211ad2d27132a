"""A planter's state on one day after the other, folded anew only where something changes."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from datetime import datetime

from potrounds.domain.calendar import TownCalendar
from potrounds.domain.fold import PlanterState, fold_standing
from potrounds.domain.planter import Planter
from potrounds.domain.step_lists import LISTS
from potrounds.domain.visits import Standing


def folds(
    planter: Planter, stands: Standing, calendar: TownCalendar
) -> Callable[[datetime], PlanterState]:
    """fold_standing for one moment after the other; days on which nothing changes share a state.

    A state changes with what was seen, with the season of a list, and on days that something
    waits for: a planting's own, and the day a decision holds until.
    """
    seen = (stands.visits, stands.steps, stands.reports, stands.decisions, stands.plantings)
    moments = sorted(one.at for some in seen for one in some)
    turns = {one.day for one in stands.plantings}
    turns |= {one.decision.until for one in stands.decisions if one.decision.until}
    if planter.planting is not None:
        turns.add(planter.planting.planted_on)
    turning = sorted(turns)
    last: tuple[object, PlanterState] | None = None

    def fold_to(up_to: datetime) -> PlanterState:
        nonlocal last
        day = calendar.local_day(up_to)
        seasons = tuple(calendar.list_season(name, day) for name in LISTS)
        key = (bisect_right(moments, up_to), bisect_right(turning, day), seasons)
        if last is None or last[0] != key:
            last = (key, fold_standing(planter, stands, calendar, up_to))
        return last[1]

    return fold_to
