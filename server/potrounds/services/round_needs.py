"""What each planter needs in the days ahead: water by its forecast, and everything else due."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from math import erf, log, sqrt
from typing import Any

from potrounds.domain.calendar import TownCalendar
from potrounds.domain.due import HORIZON_DAYS
from potrounds.domain.planter import Planter
from potrounds.domain.rounds import Litres, Need, Position, Task, asked_words, read_round_key
from potrounds.domain.water import Outlook, Water
from potrounds.services.list_days import steps_due
from potrounds.services.moments import read_moment

#: A planter whose roots are short is watered from above at least this often. Common practice.
ROOTING_EVERY_DAYS = 3
#: A feed or a flush may wait so long for a visit that is made anyway. Common practice, no source.
FEED_GRACE_DAYS, FLUSH_GRACE_DAYS = 4, 7
#: Chances are looked ahead so far: two weeks of planning and as long again to the next visit.
CHANCE_DAYS = 40
#: A band of four out of five is so many deviations of a normal distribution wide.
BAND_DEVIATIONS = 2.5631
#: However narrow the band of its use, nobody knows longer ahead better. Judgement.
LEAST_SPREAD = 0.15
#: Flags that bring somebody anyway, and to pour nothing. Others that say "no more water" speak of
#: today: the reservoir runs down, and a planter left out for them would be found dry.
POUR_NOTHING = ("full_but_wilting", "drain_not_pulled", "standing_water")
#: The plan says the same in its own words.
WATER_SAID = "runs_dry_before_crew_day"
#: The fall of the level is read off the forecast up to here; beyond it the bottom comes near.
READ_UP_TO = 0.9


def position_of(planter: Planter) -> Position | None:
    """Where a planter stands, where the register says so."""
    if planter.lat is None or planter.lon is None:
        return None
    return Position(planter.lat, planter.lon)


def need_of(
    planter: Planter,
    card: Mapping[str, Any],
    water: Water | None,
    calendar: TownCalendar,
    today: date,
    minutes: float,
) -> Need:
    """What the plan has to know of a planter."""
    outlook = water.outlook if water is not None and water.looks else None
    seen = _seen(card, calendar)
    values: dict[str, Any] = {
        "planter": planter.id,
        "name": planter.name,
        "site": planter.site,
        "site_name": card["site"]["name"],
        "reservoir_l": planter.reservoir_l,
        "position": position_of(planter),
        "every_days": calendar.visit_days,
        "tasks": tuple(tasks_of(planter, card, calendar, today, seen)),
        "minutes": minutes,
    }
    if wants_no_water(card):
        none = (Litres(0.0, 0.0, 0.0),)
        return Need(**values, dry_before=(0.0,), dry_after_fill=(0.0,), litres=none)
    if outlook is None:
        due = seen + timedelta(days=calendar.visit_days) if seen else today
        fall = planter.reservoir_l / (2 * calendar.visit_days)
        return Need(**values, due=max(due, today), litres_a_day=fall)
    fall = fall_l_day(outlook, planter.reservoir_l)
    return Need(
        **values,
        dry_before=tuple(outlook.chance_before(days) for days in range(CHANCE_DAYS)),
        dry_after_fill=dry_after_fill(planter.reservoir_l, fall, spread_of(outlook)),
        litres=tuple(Litres(one.litres_l, one.low_l, one.high_l) for one in outlook.top_up),
        litres_a_day=fall,
    )


def wants_no_water(card: Mapping[str, Any]) -> bool:
    """Whether nothing is to be poured: the plug is out, a flag says so, or the plants are to drink
    the reservoir down before winter."""
    if card["state"]["plug"]["state"] in ("out", "missing"):
        return True
    if any(flag["code"] in POUR_NOTHING and not flag["quiet"] for flag in card["flags"]):
        return True
    winter = card["lists"]["winterization"]
    return bool(winter["active"]) and any(
        step["code"] == "stop-water" and step["state"] == "done" for step in winter["steps"]
    )


def _seen(card: Mapping[str, Any], calendar: TownCalendar) -> date | None:
    last = card["state"]["last_visit"]
    at = read_moment(last["at"]) if last else None
    return calendar.local_day(at) if at else None


def fall_l_day(outlook: Outlook, reservoir_l: float) -> float:
    """Litres a day that the reservoir falls, rain allowed for, as the forecast has it."""
    tops = [one.litres_l for one in outlook.top_up]
    days = [day for day, litres in enumerate(tops) if litres < READ_UP_TO * reservoir_l]
    last = max(days, default=0)
    if last >= 3 and tops[last] > tops[0]:
        return (tops[last] - tops[0]) / last
    return max(outlook.use_l_day.mid or 0.0, 0.01)


def spread_of(outlook: Outlook) -> float:
    """Deviation of the logarithm of the use a day. [-]"""
    use = outlook.use_l_day
    if not use.low or not use.high or use.low <= 0:
        return 2 * LEAST_SPREAD
    return max(LEAST_SPREAD, log(use.high / use.low) / BAND_DEVIATIONS)


def dry_after_fill(reservoir_l: float, fall_l: float, spread: float) -> tuple[float, ...]:
    """Chance that a full reservoir is dry before so many days have passed.

    The use a day is taken as log-normal about the fall of the level.
    Source: common practice, no source.
    """
    lasts = reservoir_l / max(fall_l, 0.01)
    return tuple(
        0.0 if days == 0 else 0.5 * (1 + erf(log(days / lasts) / (spread * sqrt(2))))
        for days in range(CHANCE_DAYS)
    )


def tasks_of(
    planter: Planter,
    card: Mapping[str, Any],
    calendar: TownCalendar,
    today: date,
    seen: date | None,
) -> list[Task]:
    """Everything due beside water."""
    raised = {flag["code"]: flag for flag in card["flags"] if not flag["quiet"]}
    asked = list(_asked_for(card, today))
    codes = {task.code for task in asked}
    found = asked + [
        Task(code, f"{flag['name']}: {flag['sentence']}", today, today)
        for code, flag in raised.items()
        if flag["urgency"] == "today" and code != WATER_SAID and code not in codes
    ]
    if "salt_crust" in raised:
        last = today + timedelta(days=FLUSH_GRACE_DAYS)
        found.append(Task("flush", "Flush due: salt is building up.", today, last))
    found += _rooting(card, today)
    found += _feed(card, calendar, today, seen)
    return found + _lists(card, calendar, today)


def _asked_for(card: Mapping[str, Any], today: date) -> Iterator[Task]:
    """What a coordinator put on a round: due on its day, or on the next one while nobody came."""
    for flag, on_round in open_requests(card):
        key = read_round_key(on_round)
        day = max(today, key[0]) if key else today
        made = flag.get("decision")
        why = made.get("why") or f"{flag['name']}: {flag['sentence']}"
        yield Task(flag["code"], asked_words(why, made["by"]), day, day)


def open_requests(card: Mapping[str, Any]) -> Iterator[tuple[Mapping[str, Any], str]]:
    """The flags of a card that were put on a round, with the round if one was named.

    A visit since answers them: whoever came had seen why.
    """
    last = card["state"]["last_visit"]
    for flag in card["flags"]:
        made = flag.get("decision")
        if made is None or made["decision"] != "next-round" or flag["quiet"]:
            continue
        if last is None or last["at"] <= made["at"]:
            yield flag, made.get("round") or ""


def asked_onto(cards: Iterable[Mapping[str, Any]]) -> dict[str, set[str]]:
    """For each round's key the planters a coordinator put on it."""
    found: dict[str, set[str]] = {}
    for card in cards:
        for _, on_round in open_requests(card):
            if read_round_key(on_round) is not None:
                found.setdefault(on_round, set()).add(card["id"])
    return found


def _rooting(card: Mapping[str, Any], today: date) -> list[Task]:
    """Watering from above until the roots have reached the mix that the wick keeps moist."""
    new = card["establishment"]
    if new is None:
        return []
    planted, ends = (date.fromisoformat(new[name]) for name in ("planted_on", "rooted_on"))
    by = max(today, date.fromisoformat(new["water_by"]))
    found, earliest = [], today
    why = f"Newly planted on {planted.day} {planted:%B}: water from above until rooted."
    while earliest < ends and (earliest - today).days < HORIZON_DAYS:
        found.append(Task("newly-planted", why, earliest, by))
        earliest = by + timedelta(days=1)
        by += timedelta(days=ROOTING_EVERY_DAYS)
    return found


def _feed(
    card: Mapping[str, Any], calendar: TownCalendar, today: date, seen: date | None
) -> list[Task]:
    """The next feed. Whoever was there when it was due and did not feed had it on their list:
    nobody is sent again for that alone before another such while has passed."""
    plan, every = card["feeding"], calendar.care.every_days
    if plan is None or plan["hold"] is not None or every is None:
        return []
    due = date.fromisoformat(plan["due"])
    if seen is not None and seen >= due:
        due = seen + timedelta(days=every)
    due = max(due, today)
    if (due - today).days >= HORIZON_DAYS:
        return []
    return [Task("feed", "Feed due. Follow the label.", due, due + timedelta(FEED_GRACE_DAYS))]


def _lists(card: Mapping[str, Any], calendar: TownCalendar, today: date) -> list[Task]:
    return [
        Task(one.code, f"{one.title}: {one.step}.", one.earliest, one.latest)
        for one in steps_due(card, calendar, today)
    ]
