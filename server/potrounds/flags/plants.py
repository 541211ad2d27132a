"""Rules one finds on the plants and on top of the mix."""

from __future__ import annotations

from datetime import date, timedelta
from statistics import median

from potrounds.domain.spoken import (
    PLANT_WORDS,
    spoken_count,
    spoken_day,
    spoken_level,
    spoken_litres,
)
from potrounds.domain.visits import Visit
from potrounds.flags.establishing import establishing, has_plants
from potrounds.flags.feeding import FLUSH_ADVICE, FLUSH_CAUTION
from potrounds.flags.looking import level_as_found, newest, sign_in_last_look, when_came
from potrounds.flags.registry import Case, Evidence, flag
from potrounds.flags.salt_book import FLUSH_DAYS, FLUSH_FEEDS, last_flush, salt_book
from potrounds.science.salts import FLUSH_RISE

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

# So late, water from above does not wait for the next round. [days] Common practice, no source.
MOST_LATE_DAYS = 3


def _scored(case: Case) -> list[Visit]:
    """The visits of a sure time that judged the plants now in the planter, oldest first."""
    since = case.state.planting.planted_on if case.state.planting else date.min
    return [
        visit
        for visit in case.sure_visits
        if visit.check_in.plants is not None and visit.day >= since
    ]


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
    if not has_plants(case) or not scored:
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
    if not has_plants(case) or not scored:
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
    if not has_plants(case) or "wilting" not in look.check_in.signs or level < NEARLY_FULL:
        return None
    how = spoken_level(level) if look.check_in.level is not None else f"about {level:.0%} full"
    return Evidence(
        f"Reservoir {how} and plants wilting {when_came(look)}.",
        records=(look.record,),
        numbers={"level": level},
    )


FROM_ABOVE = (
    "Water slowly from the top, whatever the reservoir holds: the roots do not reach the moist mix "
    "yet."
)


@flag(name="Newly planted, top dry", urgency="today", advice=FROM_ABOVE)
def newly_planted_dry_top(case: Case) -> Evidence | None:
    """A new planting whose roots are not down was found dry on top, and not watered since.

    Source: two to four weeks from above, consumer guides; how warmth shortens them is judgement.
    """
    new, dry = establishing(case), sign_in_last_look(case, "dry-mix")
    if new is None or dry is None or dry.day < new.planted_on:
        return None
    if new.watered is not None and new.watered.at >= dry.at:
        return None
    age = case.days_since(new.planted_on)
    return Evidence(
        f"Mix dry on top {when_came(dry)}, planted {spoken_count(age, 'day')} ago, and no water "
        "from above since.",
        records=(dry.record,),
        numbers={"age_days": age},
    )


@flag(name="Water from above overdue", urgency="this-week", advice=FROM_ABOVE)
def overhead_check_overdue(case: Case) -> Evidence | None:
    """A new planting whose roots are not down has gone longer without water than its top lasts.

    Source: two to four weeks from above, consumer guides; one to three days between, by reference
    evapotranspiration (FAO-56) where the weather is known, are judgement.
    """
    new = establishing(case)
    if new is None or new.overdue_days(case.today) <= 0 or newly_planted_dry_top(case):
        return None  # what was seen says more than what was reckoned
    if sign_in_last_look(case, "soggy-mix"):
        return None
    age, days = case.days_since(new.planted_on), case.days_since(new.last_water)
    late = new.overdue_days(case.today)
    return Evidence(
        f"Planted {spoken_count(age, 'day')} ago, and no water from above for "
        f"{spoken_count(days, 'day')}; its top lasted until {spoken_day(new.water_by)}.",
        records=(new.watered.record,) if new.watered else (),
        numbers={"age_days": age, "days": days, "late_days": late},
        urgency="today" if late > MOST_LATE_DAYS else "this-week",
    )


@flag(name="Salt building up", urgency="this-week", advice=FLUSH_ADVICE, caution=FLUSH_CAUTION)
def salt_crust(case: Case) -> Evidence | None:
    """Salt crust was seen and not flushed since, or feed and tap water have brought enough salt.

    Source: that a light sprinkle washes salt into the roots, University of Arkansas Greenhouse
    Management Online 9.6; the eight weeks and the rise of 2 mS/cm are judgement.
    """
    if not has_plants(case):
        return None
    flush = last_flush(case)
    crust = sign_in_last_look(case, "salt-crust")
    if crust and (flush is None or flush.at < crust.at):
        return Evidence(
            f"Salt crust {when_came(crust)}, and not flushed since.", records=(crust.record,)
        )
    book = salt_book(case)
    if book.rise_ms is not None and book.rise_ms > FLUSH_RISE:
        return Evidence(
            f"At least {spoken_litres(book.litres_l)} poured since {spoken_day(book.since)} would "
            f"have raised the mix by {book.rise_ms:.1f} mS/cm, had the plants taken nothing.",
            records=tuple(visit.record for visit in book.feeds),
            numbers={"rise_ms": round(book.rise_ms, 2), "litres_l": book.litres_l},
            urgency="watch",
        )
    fed = book.feeds
    if len(fed) < FLUSH_FEEDS or case.days_since(fed[0].day) < FLUSH_DAYS:
        return None
    return Evidence(
        f"Fed {len(fed)} times since {spoken_day(fed[0].day)}, and not flushed in that time.",
        records=tuple(visit.record for visit in fed),
        numbers={"feeds": len(fed), "days": case.days_since(fed[0].day)},
        urgency="watch",
    )
