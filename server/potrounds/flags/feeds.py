"""When a planter was fed, when it is fed next, and what speaks against it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from potrounds.domain.visits import Visit
from potrounds.flags.establishing import establishing, has_plants, rooted_on
from potrounds.flags.looking import newest
from potrounds.flags.registry import Case

# Feeding stops this long before the winter list does: two to three weeks ahead of the first
# freeze. [days] Common practice, no source.
STOP_BEFORE_DAYS = 21

# Signs that the roots cannot take feed: a dry mix burns, a drowned one rots.
DRY = ("dry-mix", "wilting")
WET = ("soggy-mix", "bad-smell")


@dataclass(frozen=True)
class FeedPlan:
    """The next feed of a planter by the town's interval."""

    due: date
    last: Visit | None
    hold: str | None  # why it is not to be fed now, in words

    def is_due(self, today: date) -> bool:
        """Whether somebody should feed now."""
        return self.hold is None and self.due <= today


def feeds(case: Case) -> list[Visit]:
    """The feeds of the plants now in the planter, of a sure time, oldest first."""
    since = case.state.planting.planted_on if case.state.planting else date.min
    return [v for v in case.sure_visits if "fed" in v.check_in.done and v.day >= since]


def feed_plan(case: Case) -> FeedPlan | None:
    """When to feed next; None where the town has set no interval, or nothing grows."""
    every = case.calendar.care.every_days
    if every is None or not has_plants(case):
        return None
    given = feeds(case)
    last = given[-1] if given else None
    rooted = rooted_on(case)
    due = last.day + timedelta(days=every) if last else rooted or case.today
    if rooted is not None:
        due = max(due, rooted)
    return FeedPlan(due, last, _hold(case))


def stops_on(case: Case) -> date:
    """The day from which nobody feeds any more before the coming winter."""
    calendar = case.calendar
    month, day = calendar.winter_from
    year = case.today.year
    winter = date(year, month, min(day, 28))
    if winter < case.today and not calendar.is_winter(case.today):
        winter = date(year + 1, month, min(day, 28))
    freeze = calendar.expected_freeze(case.planter.site, case.today)
    first = min(winter, freeze) if freeze is not None and freeze >= case.today else winter
    return first - timedelta(days=STOP_BEFORE_DAYS)


def _hold(case: Case) -> str | None:
    if case.closing or case.calendar.is_winter(case.today) or case.today >= stops_on(case):
        return "no feed so late in the season"
    if establishing(case) is not None:
        return "roots are not down yet"
    look = newest(case, lambda visit: visit.looked_over)
    signs = look.check_in.signs if look else frozenset()
    if signs & set(DRY):
        return "the mix was dry or the plants hung: water first, never feed a dry mix"
    if signs & set(WET):
        return "the mix was too wet"
    if "salt-crust" in signs and look is not None and "flushed" not in look.check_in.done:
        return "salt shows on the mix: flush first"
    return None
