"""What a card says of establishment, feed and salts: figures out of the flags' own helpers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from potrounds.domain.spoken import spoken_count, spoken_day, spoken_litres
from potrounds.domain.visits import Visit
from potrounds.flags.establishing import Establishing, establishing, has_plants
from potrounds.flags.feeding import METHODS
from potrounds.flags.feeds import FeedPlan, feed_plan
from potrounds.flags.registry import Case
from potrounds.flags.salt_book import SaltBook, last_reading, salt_book
from potrounds.science import salts
from potrounds.science.salts import EcWord
from potrounds.services.moments import day_text, stamp

EC_WORDS = {
    "very-low": "very low",
    "low": "low",
    "normal": "normal",
    "high": "high",
    "very-high": "very high",
    "extreme": "extreme",
}
EC_ADVICE = {
    "very-low": "Hungry: feed by the label.",
    "low": "Enough for small plants, little for big ones.",
    "normal": "Right for most plants.",
    "high": "Enough salt: leave out a feed.",
    "very-high": "Too much salt: flush.",
    "extreme": "Roots burn at this: flush today.",
}
#: Flushing in the order of the work.
FLUSH_STEPS = (
    "Take the drain plug out and keep it in your pocket. Lead the water to the gully, where local "
    "code allows: wet paving is slippery.",
    "Pour {low} to {high} of clean water slowly over the whole top. A light sprinkle is worse than "
    "none: it washes the salt of the top down to the roots and leaves it there.",
    "Let it run to waste until nothing more comes.",
    "Put the plug back with its washer.",
    "Fill the reservoir with clean water, without feed.",
)


@dataclass(frozen=True)
class Care:
    """What is known today of a planter's establishment, feed and salts."""

    today: date
    plants: bool
    new: Establishing | None
    feed: FeedPlan | None
    book: SaltBook
    reading: tuple[Visit, EcWord] | None


def care_of(case: Case) -> Care:
    """Everything a card says of it."""
    return Care(
        case.today,
        has_plants(case),
        establishing(case),
        feed_plan(case),
        salt_book(case),
        last_reading(case),
    )


def from_above(new: Establishing, today: date) -> str:
    """What to do at a new planting, and by when."""
    late = new.overdue_days(today)
    by = "today" if late >= 0 else f"by {spoken_day(new.water_by)}"
    return f"Water from above {by}: the roots are not down yet."


def blocks(care: Care) -> dict[str, Any]:
    """The card's `establishment`, `feeding` and `salts`."""
    return {
        "establishment": _establishment(care),
        "feeding": _feeding(care),
        "salts": _salts(care) if care.plants else None,
    }


def _establishment(care: Care) -> dict[str, Any] | None:
    new = care.new
    if new is None:
        return None
    by = "today" if new.overdue_days(care.today) >= 0 else f"by {spoken_day(new.water_by)}"
    how = "by the warmth and wind on record" if new.by_weather else "by the calendar"
    last = "since it was planted" if new.watered is None else f"on {spoken_day(new.last_water)}"
    from_above = f"none on record {last}" if new.watered is None else last
    return {
        "planted_on": day_text(new.planted_on),
        "day": (care.today - new.planted_on).days,
        "rooted_on": day_text(new.rooted_on),
        "water_by": day_text(new.water_by),
        "overdue_days": max(0, new.overdue_days(care.today)),
        "by_weather": new.by_weather,
        "sentence": f"Roots not down yet: the reservoir does not count yet. Water from above {by}.",
        "why": f"Last water from above: {from_above}. Roots are expected to reach the moist mix "
        f"about {spoken_day(new.rooted_on)}, {how}. Feel the top at a finger's depth.",
    }


def _feeding(care: Care) -> dict[str, Any] | None:
    plan = care.feed
    if plan is None:
        return None
    days = (plan.due - care.today).days
    if plan.hold is not None:
        sentence = f"Not to be fed now: {plan.hold}."
    elif days <= 0:
        sentence = "Feed is due. Into a moist mix only; the label decides."
    else:
        sentence = f"Next feed on {spoken_day(plan.due)}, {spoken_count(days, 'day')} on."
    return {
        "due": day_text(plan.due),
        "hold": plan.hold,
        "sentence": sentence,
    }


def _salts(care: Care) -> dict[str, Any]:
    book = care.book
    mix_l = book.held_l / salts.HELD_SHARE
    low, high = (mix_l * share for share in salts.FLUSH_VOLUMES)
    amounts = {"low": spoken_litres(round(low)), "high": spoken_litres(round(high))}
    return {
        "since": day_text(book.since),
        "flushed": book.flushed,
        "litres_l": round(book.litres_l, 1),
        "unmeasured": book.unmeasured,
        "feeds": len(book.feeds),
        "held_l": round(book.held_l, 1),
        "estimated": book.estimated,
        "rise_ms": None if book.rise_ms is None else round(book.rise_ms, 2),
        "sentence": _salt_sentence(book),
        "flush_steps": [step.format(**amounts) for step in FLUSH_STEPS],
        "reading": _reading(care.reading),
    }


def _salt_sentence(book: SaltBook) -> str:
    what = "flushed" if book.flushed else "the count began"
    fed = "not fed" if not book.feeds else f"fed {spoken_count(len(book.feeds), 'time')}"
    said = f"Since it was {what}" if book.flushed else f"Since {what}"
    said += f" on {spoken_day(book.since)}: {spoken_litres(book.litres_l)} poured, {fed}."
    if book.unmeasured:
        said += f" {spoken_count(book.unmeasured, 'fill')} without litres left out."
    if book.rise_ms is not None:
        said += (
            f" Salt enough for {book.rise_ms:.1f} mS/cm in the mix, had the plants taken nothing; "
            f"flush beyond {salts.FLUSH_RISE:g}."
        )
        if book.estimated:
            said += " The mix is guessed from the reservoir."
    return said


def _reading(found: tuple[Visit, EcWord] | None) -> dict[str, Any] | None:
    if found is None:
        return None
    visit, said = found
    value = visit.check_in.ec_ms_cm or 0.0
    method = visit.check_in.ec_method or ""
    sentence = f"{value:g} mS/cm by {METHODS[method]}: {EC_WORDS[said.word]}."
    if said.between:
        sentence += " It lies between two words of the table; the upper is taken."
    return {
        "method": method,
        "ms_cm": value,
        "word": said.word,
        "sentence": f"{sentence} {EC_ADVICE[said.word]}",
        "at": stamp(visit.at),
        "by": visit.by,
        "record": visit.record,
    }
