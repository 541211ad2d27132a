"""Rules of feed and salts: fed in time, not twice, and washed out before it burns."""

from __future__ import annotations

from datetime import timedelta

from potrounds.domain.spoken import spoken_count, spoken_day
from potrounds.flags.establishing import has_plants
from potrounds.flags.feeds import feed_plan, feeds
from potrounds.flags.looking import when_came
from potrounds.flags.registry import Case, Evidence, flag
from potrounds.flags.salt_book import last_flush, last_reading

FLUSH_ADVICE = (
    "Flush with the drain plug out: pour one to two volumes of the mix of clean water slowly on "
    "top, let it run to waste, plug back in, refill. A light sprinkle makes it worse."
)
FLUSH_CAUTION = (
    "Flushing wets the paving: lead it to the gully, where local code allows. Follow the "
    "fertilizer's label."
)
WORDS = {"very-high": "very high", "extreme": "extreme"}
METHODS = {"1:2": "1:2", "saturated": "saturated mix", "pour-through": "pour-through"}


@flag(
    name="Feed due",
    urgency="watch",
    advice="Feed at the town's rate into a moist mix. The label decides.",
    caution="Never feed a dry mix or hanging plants: water first, feed another day.",
)
def feed_due(case: Case) -> Evidence | None:
    """The town's feeding interval has passed, and nothing speaks against feeding.

    Source: common practice, no source; the interval is the town's own setting.
    """
    plan = feed_plan(case)
    if plan is None or not plan.is_due(case.today):
        return None
    late = case.days_since(plan.due)
    if plan.last is None:
        return Evidence("Not fed since it was planted.", numbers={"late_days": late})
    days = case.days_since(plan.last.day)
    return Evidence(
        f"Last fed {spoken_count(days, 'day')} ago, {when_came(plan.last)}; the town feeds every "
        f"{spoken_count(case.calendar.care.every_days or 0, 'day')}.",
        records=(plan.last.record,),
        numbers={"days": days, "late_days": late},
    )


@flag(
    name="Fed twice",
    urgency="watch",
    advice="Leave out the next feed. Where leaf edges turn brown, flush with the drain plug out.",
    caution="Too much feed burns roots. Follow the label.",
)
def fed_twice(case: Case) -> Evidence | None:
    """Two feeds on record lie closer together than the town feeds, and nothing was flushed since.

    Source: common practice, no source; the interval is the town's own setting.
    """
    given, least = feeds(case), case.calendar.care.least_days
    if not has_plants(case) or len(given) < 2:
        return None
    first, second = given[-2:]
    apart, flush = (second.day - first.day).days, last_flush(case)
    if apart >= least or case.days_since(second.day) >= least:
        return None
    if flush is not None and flush.at > second.at:
        return None
    gap = "on the same day" if apart == 0 else f"{spoken_count(apart, 'day')} apart"
    again = second.day + timedelta(days=case.calendar.care.every_days or least)
    return Evidence(
        f"Fed twice {gap}: {when_came(first)}, and {when_came(second)}.",
        records=(first.record, second.record),
        numbers={"apart_days": apart},
        advice=f"No feed before {spoken_day(again)}. Where leaf edges turn brown, flush with the "
        "drain plug out.",
    )


@flag(
    name="Salt reading high",
    urgency="this-week",
    advice=FLUSH_ADVICE,
    caution=FLUSH_CAUTION,
)
def salts_high(case: Case) -> Evidence | None:
    """The last reading of the mix was very high or extreme, and nothing was flushed since.

    Source: University of Massachusetts, greenhouse EC guide.
    """
    found = last_reading(case)
    if found is None or not has_plants(case) or found[1].word not in WORDS:
        return None
    visit, said = found
    check_in = visit.check_in
    return Evidence(
        f"{check_in.ec_ms_cm:g} mS/cm by {METHODS[check_in.ec_method or '']}, "
        f"{WORDS[said.word]}, {when_came(visit)}.",
        records=(visit.record,),
        numbers={"ms_cm": check_in.ec_ms_cm or 0.0},
        urgency="today" if said.word == "extreme" else "this-week",
    )
