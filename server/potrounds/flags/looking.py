"""What several rules look up in a case, and how they say it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime

from potrounds.domain.fold import Mark
from potrounds.domain.spoken import spoken_day
from potrounds.domain.visits import Visit
from potrounds.flags.registry import Case
from potrounds.science.reservoir import uptake_share

# No top-up this close to a forecast freeze: what runs over turns to ice on the paving. [days]
# Common practice, no source.
NO_TOP_UP_DAYS = 2


def newest(case: Case, fits: Callable[[Visit], bool]) -> Visit | None:
    """The newest visit of a sure time that fits."""
    return next((visit for visit in reversed(case.sure_visits) if fits(visit)), None)


def when_came(seen: Visit | Mark) -> str:
    """Who and when, in the words of the trade: "when Ines came on Sunday 4 August"."""
    return f"when {seen.by or 'someone'} came on {spoken_day(seen.day)}"


def sign_in_last_look(case: Case, sign: str) -> Visit | None:
    """The newest look at the planter, if it named the sign; a look without it clears it."""
    look = newest(case, lambda visit: visit.looked_over)
    return look if look and sign in look.check_in.signs else None


def lasting_sign(case: Case, sign: str, clear_after: int) -> Visit | None:
    """The newest visit that named the sign, unless so many looks since did not.

    Visits of an unsure time count too: a broken shell is broken whenever it was seen.
    """
    silent = 0
    for visit in reversed(case.visits):
        if sign in visit.check_in.signs:
            return visit
        silent += visit.looked_over
        if silent >= clear_after:
            return None
    return None


def water_since(case: Case, at: datetime) -> Iterator[Visit]:
    """The visits from that moment on, itself included, that gave water through the port."""
    return (visit for visit in case.sure_visits if visit.at >= at and visit.water_given)


def level_as_found(case: Case, visit: Visit) -> float | None:
    """The level before filling: as read, or from the litres it took until the overflow ran."""
    check_in = visit.check_in
    if check_in.level is not None:
        return check_in.level
    if visit.ran_over and check_in.litres_l is not None:
        return max(0.0, 1 - uptake_share(check_in.litres_l, case.planter.reservoir_l))
    return None


def freeze_caution(case: Case) -> str | None:
    """The caution that replaces a rule's own when a freeze is near."""
    night = case.calendar.freeze_within(case.today, NO_TOP_UP_DAYS)
    if night is None:
        return None
    return (
        f"A freeze is forecast for the night to {spoken_day(night.date)}: no top-up now, "
        "water on paving turns to ice."
    )
