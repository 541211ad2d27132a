"""Rules one finds on the plants and on top of the mix."""

from __future__ import annotations

from datetime import date, timedelta
from statistics import median

from potrounds.domain.spoken import (
    PLANT_WORDS,
    spoken_count,
    spoken_day,
    spoken_level,
)
from potrounds.domain.visits import Visit
from potrounds.flags.looking import level_as_found, newest, sign_in_last_look, when_came
from potrounds.flags.registry import Case, Evidence, flag

# Scores of the plants, 1 dead or gone to 5 thriving: at or below these someone goes. Common
# practice, no source.
STRESSED = 3
FAILING = 2

# A planter is measured against its own past, not against its neighbours'. Common practice, no
# source.
OWN_PAST_DAYS = 60
OWN_PAST_VISITS = 2  # fewer are no past
FALL = 2.0  # score points below its own median

# From this mark up there is water enough. [share of the reservoir] Common practice, no source.
NEARLY_FULL = 0.75

# Until roots reach the mix that the wick keeps moist, water comes from above: 2 to 4 weeks.
# [days] Consumer guides agree; no university source found.
ROOTING_DAYS = 28
# The top of a new planting dries out within this many days. [days] Common practice, no source.
TOP_DRY_DAYS = 3

# Salts gather where nothing drains: flush after this long of feeding. [days] Common practice, no
# source.
FLUSH_DAYS = 56
FLUSH_FEEDS = 3


def _scored(case: Case) -> list[Visit]:
    """The visits of a sure time that judged the plants now in the planter, oldest first."""
    since = case.planter.planting.planted_on if case.planter.planting else date.min
    return [
        visit
        for visit in case.sure_visits
        if visit.check_in.plants is not None and visit.day >= since
    ]


def _has_plants(case: Case) -> bool:
    """Whether plants are to be cared for: in use, and not lifted for the winter."""
    lifted = case.state.winterization.step("lift-plants")
    return case.in_use and not (lifted is not None and lifted.state == "done")


@flag(
    name="Plants under stress",
    urgency="this-week",
    advice="Go and look: level, mix at a finger's depth, wick, pests. Water only where it is dry.",
)
def stressed_plants(case: Case) -> Evidence | None:
    """The plants were stressed, failing or dead at the last visit that judged them.

    Source: common practice, no source.
    """
    scored = _scored(case)
    if not _has_plants(case) or not scored:
        return None
    last = scored[-1]
    score = last.check_in.plants or 0
    if score > STRESSED:
        return None
    return Evidence(
        f"Plants at {score}, {PLANT_WORDS[score]}, {when_came(last)}.",
        records=(last.record,),
        numbers={"plants": score},
        urgency="today" if score <= FAILING else "this-week",
    )


@flag(
    name="Plants falling off",
    urgency="this-week",
    advice="Compare the photos, then look for what changed: heat, pests, wick, feed, salt.",
)
def falling_health(case: Case) -> Evidence | None:
    """The plants fell well below their own median of the last two months.

    Source: common practice, no source.
    """
    scored = _scored(case)
    if not _has_plants(case) or not scored:
        return None
    last, start = scored[-1], scored[-1].day - timedelta(days=OWN_PAST_DAYS)
    past = [visit.check_in.plants or 0 for visit in scored[:-1] if visit.day >= start]
    score = last.check_in.plants or 0
    if len(past) < OWN_PAST_VISITS or median(past) - score < FALL:
        return None
    usual = median(past)
    return Evidence(
        f"Plants at {score} {when_came(last)}, against a usual {usual:g} over the "
        f"{len(past)} visits before.",
        records=(last.record,),
        numbers={"plants": score, "usual": usual},
    )


@flag(
    name="Full, yet wilting",
    urgency="today",
    advice="Do not add water. Feel the mix at a finger's depth: dry means the wick does not draw, "
    "wet means roots are rotting. Lift one plant and look.",
)
def full_but_wilting(case: Case) -> Evidence | None:
    """The reservoir was found nearly full while the plants wilted.

    Source: common practice, no source.
    """
    look = newest(case, lambda visit: visit.looked_over and level_as_found(case, visit) is not None)
    if look is None or look is not newest(case, lambda visit: visit.looked_over):
        return None
    level = level_as_found(case, look) or 0
    if not _has_plants(case) or "wilting" not in look.check_in.signs or level < NEARLY_FULL:
        return None
    how = spoken_level(level) if look.check_in.level is not None else f"about {level:.0%} full"
    return Evidence(
        f"Reservoir {how} and plants wilting {when_came(look)}.",
        records=(look.record,),
        numbers={"level": level},
    )


@flag(
    name="Newly planted, top dry",
    urgency="this-week",
    advice="Water slowly from the top, whatever the reservoir holds: the roots do not reach the "
    "moist mix yet.",
)
def newly_planted_dry_top(case: Case) -> Evidence | None:
    """A new planting was found dry on top, or has gone days without water from above.

    Source: two to four weeks from above, consumer guides; the number of days is common practice,
    no source.
    """
    planting = case.planter.planting
    if planting is None or not _has_plants(case):
        return None
    age = case.days_since(planting.planted_on)
    if not 0 <= age <= ROOTING_DAYS:
        return None
    planted = f"planted {spoken_count(age, 'day')} ago"
    watered = newest(case, lambda visit: (visit.check_in.overhead_l or 0) > 0)
    dry = sign_in_last_look(case, "dry-mix")
    if dry and dry.day >= planting.planted_on and (watered is None or watered.at < dry.at):
        return Evidence(
            f"Mix dry on top {when_came(dry)}, {planted}, and no water from above since.",
            records=(dry.record,),
            numbers={"age_days": age},
            urgency="today",
        )
    last = max(planting.planted_on, watered.day) if watered else planting.planted_on
    days = case.days_since(last)
    if days <= TOP_DRY_DAYS:
        return None
    return Evidence(
        f"{planted.capitalize()}, and no water from above for {spoken_count(days, 'day')}.",
        records=(watered.record,) if watered and watered.day == last else (),
        numbers={"age_days": age, "days": days},
    )


@flag(
    name="Salt building up",
    urgency="this-week",
    advice="Flush with the drain plug out: pour one to two pot volumes of clean water slowly on "
    "top, let it run to waste, plug back in, refill. A light sprinkle makes it worse.",
    caution="Flushing wets the paving: lead it to the gully. Follow the fertilizer's label.",
)
def salt_crust(case: Case) -> Evidence | None:
    """Salt crust was seen and not flushed since, or feeding went on for weeks without a flush.

    Source: that a light sprinkle washes salt into the roots, University of Arkansas Greenhouse
    Management Online 9.6; the eight weeks are common practice, no source.
    """
    if not _has_plants(case):
        return None
    flush = newest(case, lambda visit: "flushed" in visit.check_in.done)
    crust = sign_in_last_look(case, "salt-crust")
    if crust and (flush is None or flush.at < crust.at):
        return Evidence(
            f"Salt crust {when_came(crust)}, and not flushed since.", records=(crust.record,)
        )
    since = case.planter.planting.planted_on if case.planter.planting else date.min
    since = max(since, flush.day) if flush else since
    feeds = [v for v in case.sure_visits if "fed" in v.check_in.done and v.day > since]
    if len(feeds) < FLUSH_FEEDS or case.days_since(feeds[0].day) < FLUSH_DAYS:
        return None
    return Evidence(
        f"Fed {len(feeds)} times since {spoken_day(feeds[0].day)}, and not flushed in that time.",
        records=tuple(visit.record for visit in feeds),
        numbers={"feeds": len(feeds), "days": case.days_since(feeds[0].day)},
        urgency="watch",
    )
