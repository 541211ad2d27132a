"""Planning rounds, telling people, and looking at what was told."""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from potrounds.domain.round_changes import changes as what_changes
from potrounds.domain.rounds import Plan, Round
from potrounds.services import assess, changes, push_news, town
from potrounds.services.context import Context
from potrounds.services.moments import day_text
from potrounds.services.refusal import Refusal
from potrounds.services.round_cards import hours_of
from potrounds.services.round_day import people_names
from potrounds.services.round_inputs import NOBODY, read_inputs
from potrounds.services.round_planner import Inputs, make_plan
from potrounds.store import derived, register, rounds
from potrounds.store.database import write_transaction
from potrounds.store.rounds import ToldRound

#: People are told so far ahead unless more is asked for: beyond it forecasts change too much.
TELL_DAYS = 7
HOURS_SHOWN_DAYS = 31
MOST_PLANS = 4
_plans: OrderedDict[str, Plan] = OrderedDict()


def plan(ctx: Context) -> dict[str, Any]:
    """The plan as things stand now, beside what people were told."""
    assess.assess_new_day(ctx)
    assess.assess_stale(ctx)
    inputs = read_inputs(ctx)
    mark, made = _planned(inputs)
    return public_plan(inputs, mark, made)


def _planned(inputs: Inputs) -> tuple[str, Plan]:
    """The plan of these inputs, kept in memory under a hash of them all: never stale."""
    mark = mark_of(inputs)
    found = _plans.get(mark)
    if found is None:
        found = _plans[mark] = make_plan(inputs)
        while len(_plans) > MOST_PLANS:
            _plans.popitem(last=False)
    return mark, found


def mark_of(inputs: Inputs) -> str:
    """A short text that changes with anything a plan depends on."""
    ground = inputs.ground
    rest = (
        inputs.today,
        inputs.needs,
        inputs.days,
        inputs.risk,
        inputs.told,
        sorted(inputs.seen),
        inputs.notes,
        sorted(inputs.visited.items()),
        tuple(ground.places.items()),
        ground.taps,
        (ground.far_m, ground.flow_l_min, sorted(ground.placed)),
    )
    digest = hashlib.sha256(repr(rest).encode())
    digest.update(ground.metres.tobytes())
    return digest.hexdigest()[:24]


def tell(ctx: Context, mark: str, until: date | None = None) -> dict[str, Any]:
    """Tell people the plan that was looked at; what was told of those days is replaced.

    Raises: Refusal 409 where the plan has changed since it was looked at, or nobody is named.
    """
    inputs = read_inputs(ctx)
    now_mark, made = _planned(inputs)
    if now_mark != mark:
        raise Refusal(
            409,
            "plan-changed",
            "The plan has changed",
            "Something has changed since you looked: a check-in, the weather or the crew. Look "
            "at the plan again, then tell.",
        )
    last = _told_until(inputs, until)
    days = [one.day for one in made.days if one.day <= last]
    told_days = [one.day for one in inputs.told if one.day <= last]
    told = [_told(ctx, one) for one in made.rounds() if one.day <= last]
    if any(one.person == NOBODY for one in told):
        detail = "Say who goes out on which days, then tell them."
        raise Refusal(409, "nobody-named", "Nobody to tell", detail)
    with write_transaction():
        before = {one.key: one for one in rounds.told(inputs.today)}
        rounds.tell(told, {*days, *told_days})
        after = {one.key: one for one in rounds.told(inputs.today)}
        changes.note(ctx, "rounds", "rounds", "", _lines(before), _lines(after))
        derived.mark_stale({*before, *after})
        push_news.rounds_told(ctx, before, after)
    changes.follow_up(ctx)
    return told_rounds(ctx)


def _told_until(inputs: Inputs, until: date | None) -> date:
    """What was told further ahead is told anew as well, so that nothing told is out of date."""
    last = until or inputs.today + timedelta(days=TELL_DAYS)
    return max([last, *(one.day for one in inputs.told)])


def _told(ctx: Context, one: Round) -> ToldRound:
    return ToldRound(one.key, one.day, one.member.person, public_round(one), ctx.now(), ctx.person)


def _lines(told: dict[str, ToldRound]) -> dict[str, str]:
    """What the list of changes keeps of each round."""
    return {
        key: ", ".join(stop["planter"] for stop in one.plan["stops"]) for key, one in told.items()
    }


def told_rounds(ctx: Context) -> dict[str, Any]:
    """The cards of all rounds from today on, as phones have them."""
    today = town.calendar().local_day(ctx.now())
    cards = [
        card.content
        for card in derived.all_cards()
        if card.key.startswith(derived.ROUND) and card.content is not None
    ]
    return {"rounds": [card for card in cards if card["day"] >= today.isoformat()]}


def hours(ctx: Context, first: date | None, last: date | None) -> dict[str, Any]:
    """Hours by round and in all: everybody's for a coordinator, else one's own."""
    calendar = town.calendar()
    today = calendar.local_day(ctx.now())
    last = last or today
    first = first or last - timedelta(days=HOURS_SHOWN_DAYS)
    whose = None if ctx.caller is not None and ctx.caller.coordinates else ctx.person
    rows = hours_of(calendar, first, last, whose)
    total: dict[str, int] = {}
    for row in rows:
        total[row["person"]["id"]] = total.get(row["person"]["id"], 0) + row["minutes"]
    names = people_names()
    return {
        "rounds": rows,
        "people": [
            {"person": {"id": one, "name": names.get(one, "")}, "minutes": minutes}
            for one, minutes in sorted(total.items())
        ],
        "rule": "Hours are rounded to the quarter, half up, once for each person and round.",
    }


# --- as JSON -------------------------------------------------------------------------------------


def public_plan(inputs: Inputs, mark: str, made: Plan) -> dict[str, Any]:
    """The plan with its trade-off and what it changes."""
    names = {row.id: row.name for row in register.planters()}
    return {
        "mark": mark,
        "today": day_text(made.today),
        "run_dry_risk": inputs.risk,
        "notes": list(made.notes),
        "choices": [
            {
                "risk": one.risk,
                "visits": one.visits,
                "dry": one.dry,
                "chosen": one.risk == inputs.risk,
            }
            for one in made.choices
        ],
        "days": [
            {
                "date": day_text(day.day),
                "rounds": [_public(one) for one in day.rounds],
                "left_out": [
                    {
                        "planter": visit.need.planter,
                        "name": visit.need.name,
                        "why": list(visit.why),
                    }
                    for visit in day.left_out
                ],
            }
            for day in made.days
        ],
        "changes": [
            {"what": one.what, "planter": one.planter, "sentence": one.sentence}
            for one in what_changes(made, inputs.told, names, _first_names(), inputs.seen)
        ],
    }


def _first_names() -> dict[str, str]:
    return {one: name.split()[0] for one, name in people_names().items()}


def _public(one: Round) -> dict[str, Any]:
    who = None if one.member.person == NOBODY else one.member.person
    return {
        "id": one.key,
        "person": {"id": who or NOBODY, "name": one.member.name},
        **public_round(one),
    }


def public_round(one: Round) -> dict[str, Any]:
    """A round as it is shown, and kept when it is told."""
    member = one.member
    driven = sum(stop.way_m for stop in one.stops if stop.new_leg)
    return {
        "mode": member.mode,
        "tank_l": member.tank_l,
        "most_minutes": member.minutes,
        "start_tap": one.start_tap,
        "takes_min": round(one.minutes),
        "litres_l": round(one.litres_l, 1),
        "walk_m": round(one.way_m - driven),
        "drive_m": round(driven),
        "back_m": round(one.back_m),
        "refills": one.refills,
        "stops": _public_stops(one),
    }


def _public_stops(one: Round) -> Sequence[dict[str, Any]]:
    return [
        {
            "planter": stop.visit.need.planter,
            "name": stop.visit.need.name,
            "site": {"id": stop.visit.need.site, "name": stop.visit.need.site_name},
            "litres_l": round(stop.visit.litres.mid, 1),
            "low_l": round(stop.visit.litres.low, 1),
            "high_l": round(stop.visit.litres.high, 1),
            "minutes": round(stop.visit.need.minutes, 1),
            "way_m": round(stop.way_m),
            "new_leg": stop.new_leg,
            "refill_at": stop.refill_at,
            "loads": stop.loads,
            "tank_left_l": stop.tank_left_l,
            "must": stop.visit.must,
            "chance": round(stop.visit.chance, 2),
            "why": list(stop.visit.why),
        }
        for stop in one.stops
    ]
