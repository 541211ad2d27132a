"""The salt book of a planter: what was poured in since the mix was last washed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from potrounds.domain.visits import Visit
from potrounds.flags.looking import newest
from potrounds.flags.registry import Case
from potrounds.science import salts
from potrounds.science.salts import EcWord

# Mix for a litre of reservoir where the register does not say. Judgement, from the proportions of
# planters on sale for squares and streets.
MIX_FOR_RESERVOIR = 4.2

# Feeds this far back without a flush. [days] Judgement: eight weeks.
FLUSH_DAYS, FLUSH_FEEDS = 56, 3


@dataclass(frozen=True)
class SaltBook:
    """Water and salt that went in since a day. `rise_ms` is None where the tap's EC is not set."""

    since: date
    flushed: bool  # whether that day is a flush
    litres_l: float
    unmeasured: int  # fills of which nobody knows the litres
    feeds: tuple[Visit, ...]
    held_l: float
    estimated: bool  # the mix was guessed from the reservoir
    rise_ms: float | None


def last_flush(case: Case) -> Visit | None:
    """The last visit that washed the mix."""
    return newest(case, lambda visit: "flushed" in visit.check_in.done)


def salt_book(case: Case) -> SaltBook:
    """What was poured since the last flush, the planting, or the start of the season."""
    flush, planting = last_flush(case), case.state.planting
    month, day = case.calendar.spring_from
    since = date(case.calendar.season_year(case.today), month, min(day, 28))
    for step in case.steps:
        if (step.step.list, step.step.step, step.step.outcome) == ("start-up", "flush", "done"):
            since = max(since, step.day)
    if planting is not None and planting.planted_on <= case.today:
        since = max(since, planting.planted_on)
    flushed = flush is not None and flush.day >= since
    visits = [
        visit
        for visit in case.sure_visits
        if (visit.at > flush.at if flushed and flush is not None else visit.day >= since)
    ]
    held = _mix_l(case) * salts.HELD_SHARE
    poured = [_litres(visit) for visit in visits]
    feeds = tuple(visit for visit in visits if "fed" in visit.check_in.done)
    return SaltBook(
        since=flush.day if flushed and flush is not None else since,
        flushed=flushed,
        litres_l=sum(poured),
        unmeasured=sum(v.ran_over and v.check_in.litres_l is None for v in visits),
        feeds=feeds,
        held_l=held,
        estimated=case.planter.mix_l is None,
        rise_ms=_rise(case, visits, held),
    )


def salt_case(case: Case) -> float | None:
    """How far the mix has risen, where it is beyond what calls for a flush. [mS/cm]"""
    rise = salt_book(case).rise_ms
    return rise if rise is not None and rise > salts.FLUSH_RISE else None


def last_reading(case: Case) -> tuple[Visit, EcWord] | None:
    """The last reading of the mix since it was washed, and its word."""
    look = newest(case, lambda visit: visit.check_in.ec_ms_cm is not None)
    flush = last_flush(case)
    if look is None or (flush is not None and flush.at >= look.at):
        return None
    method, value = look.check_in.ec_method, look.check_in.ec_ms_cm
    if method not in salts.GUIDE or value is None or not 0 <= value <= salts.MOST_EC:
        return None
    return look, salts.ec_word(method, value)


def _mix_l(case: Case) -> float:
    return case.planter.mix_l or max(1.0, case.planter.reservoir_l * MIX_FOR_RESERVOIR)


def _litres(visit: Visit) -> float:
    return (visit.check_in.litres_l or 0.0) + (visit.check_in.overhead_l or 0.0)


def _rise(case: Case, visits: list[Visit], held_l: float) -> float | None:
    tap = case.calendar.care.tap_ec_ms
    if tap is None:
        return None
    parts = [(_litres(visit), tap) for visit in visits]
    parts += [(_fed_litres(case, v), _feed_ec(case, v)) for v in visits if "fed" in v.check_in.done]
    return salts.salt_rise(parts, held_l)


def _fed_litres(case: Case, visit: Visit) -> float:
    """Litres the feed was in: as recorded, or the town's can, or all that was poured."""
    said = visit.check_in.feed_l or case.calendar.care.can_l
    return said if said is not None else _litres(visit)


def _feed_ec(case: Case, visit: Visit) -> float:
    """EC that the feed adds to its water: by its own rate, or the town's. [mS/cm]"""
    care, rate = case.calendar.care, visit.check_in.feed_ppm_n
    if care.feed_ec_ms is not None and care.ppm_n:
        return care.feed_ec_ms * (rate or care.ppm_n) / care.ppm_n
    return (rate or care.ppm_n or 0.0) * salts.FEED_EC_PER_PPM
