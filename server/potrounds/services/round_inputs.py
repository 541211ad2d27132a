"""Reads everything a plan is made from: cards, forecasts, crew, taps, ways, and what was told."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from potrounds.domain.calendar import TownCalendar
from potrounds.domain.due import HORIZON_DAYS
from potrounds.domain.planter import Planter
from potrounds.domain.rounds import (
    CrewDay,
    CrewMember,
    Need,
    Position,
    Tap,
    Told,
    first_name,
    way_min,
    with_asked,
)
from potrounds.domain.service_minutes import CheckedIn, minutes_a_stop
from potrounds.domain.spoken import spoken_count
from potrounds.science.walking import walking_m
from potrounds.services import town
from potrounds.services.context import Context
from potrounds.services.round_day import course_of, people_names
from potrounds.services.round_needs import asked_onto, need_of, position_of
from potrounds.services.round_order import Ground
from potrounds.services.round_planner import Inputs
from potrounds.services.today import NO_WATER_BEFORE_FREEZE_DAYS
from potrounds.services.water_outlook import TownWater, town_water
from potrounds.services.water_season import read_season
from potrounds.store import derived, log_rounds, rounds

logger = logging.getLogger(__name__)

#: Whoever goes out where no crew is on record; nobody can be told such a round.
NOBODY = "crew"
#: Stops of so long ago still say how long a stop takes.
LEARN_DAYS = 400
NO_MINUTES_LIMIT = 24 * 60


def read_inputs(ctx: Context) -> Inputs:
    """Everything, as it stands now."""
    calendar = town.calendar()
    now = ctx.now()
    today = calendar.local_day(now)
    chosen = town.settings()
    planters = {
        one.id: one for one in town.planters(calendar, now).values() if one.status == "in-use"
    }
    taps = read_taps()
    ground = read_ground(planters, taps, chosen)
    notes: list[str] = []
    needs = _needs(planters, calendar, today, ground, notes)
    crew = read_crew(calendar, notes)
    told = tuple(
        Told(one.day, one.person, tuple(stop["planter"] for stop in one.plan["stops"]))
        for one in rounds.told(today)
    )
    asked = asked_onto(card.content for card in derived.planter_cards() if card.content)
    under_way, visited = _under_way(calendar, today, told)
    days = crew_days(crew, calendar, today + timedelta(days=under_way))
    if not taps and any(one.tank_l is not None for one in crew):
        notes.append(
            "No tap is on record: the rounds list the litres, not where to fill the tank. "
            "Add the taps."
        )
    return Inputs(
        today=today,
        needs=tuple(needs),
        days=days,
        ground=ground,
        risk=calendar.run_dry_risk,
        told=tuple(one for one in with_asked(told, asked) if not (under_way and one.day == today)),
        seen=_seen_since(calendar, told),
        notes=tuple(notes),
        visited=visited,
    )


# --- crew ----------------------------------------------------------------------------------------


def read_crew(calendar: TownCalendar, notes: list[str]) -> tuple[CrewMember, ...]:
    """Everybody who goes out; one nameless person on the town's days where nobody is named."""
    names = people_names()
    members = []
    for row in rounds.crew():
        if row.person not in names:
            continue
        days = tuple(row.weekdays) or calendar.crew_days
        if not days:
            notes.append(
                f"{first_name(names[row.person])} has no days: say on which days of the week "
                "this is. Planned without."
            )
            continue
        away = tuple(date.fromisoformat(one) for one in row.away)
        members.append(
            CrewMember(
                row.person,
                first_name(names[row.person]),
                days,
                row.minutes,
                row.mode,
                row.tank_l,
                row.start_tap,
                away,
            )
        )
    if members or not calendar.crew_days:
        return tuple(members)
    notes.append(
        "Nobody is named who goes out: the plan is for one nameless round a day, without a time "
        "limit. Name the crew before telling anybody."
    )
    return (CrewMember(NOBODY, "The crew", calendar.crew_days, NO_MINUTES_LIMIT),)


def crew_days(
    crew: tuple[CrewMember, ...], calendar: TownCalendar, start: date
) -> tuple[CrewDay, ...]:
    """The days of the next two weeks on which somebody goes out."""
    ahead = [start + timedelta(days=day) for day in range(2 * HORIZON_DAYS)]
    going = {day: tuple(one for one in crew if one.goes_out(day)) for day in ahead}
    dates = [day for day in ahead if going[day]]
    found = []
    for at, day in enumerate(dates):
        if (day - start).days >= HORIZON_DAYS:
            break
        after = dates[at + 1] if at + 1 < len(dates) else day + timedelta(days=7)
        frost = calendar.freeze_within(day, NO_WATER_BEFORE_FREEZE_DAYS) is not None
        found.append(CrewDay(day, going[day], after, frost))
    return tuple(found)


# --- ground --------------------------------------------------------------------------------------


def read_taps() -> tuple[Tap, ...]:
    """The taps as the domain sees them."""
    return tuple(
        Tap(
            row.id,
            row.name,
            row.site,
            None if row.lat is None or row.lon is None else Position(row.lat, row.lon),
            row.flow_l_min,
            row.vacuum_breaker,
            row.opens,
        )
        for row in rounds.taps()
    )


def read_ground(
    planters: Mapping[str, Planter], taps: tuple[Tap, ...], chosen: Mapping[str, Any]
) -> Ground:
    """Metres between all planters and taps; a planter without a position lies at its site."""
    ids = [*sorted(planters), *(tap.id for tap in taps)]
    sites = [planters[one].site if one in planters else None for one in ids]
    sites[len(planters) :] = [tap.site for tap in taps]
    where = [position_of(planters[one]) if one in planters else None for one in ids]
    where[len(planters) :] = [tap.position for tap in taps]
    middle = _middles(where, sites)
    known = [at or middle.get(site or "") for at, site in zip(where, sites, strict=True)]
    places = {one: at for at, one in enumerate(ids)}
    paced = {
        (places[one], places[other]): metres
        for (one, other), metres in rounds.paced_ways().items()
        if one in places and other in places
    }
    metres = walking_m(
        [at.lat if at else None for at in known],
        [at.lon if at else None for at in known],
        sites,
        float(chosen["walking_factor"]),
        paced,
    )
    placed = {one for one, at in zip(ids, known, strict=True) if at is not None}
    placed |= {ids[at] for pair in paced for at in pair}
    return Ground(
        places, metres, taps, float(chosen["far_m"]), chosen["tap_flow_l_min"], frozenset(placed)
    )


def _middles(where: list[Position | None], sites: list[str | None]) -> dict[str, Position]:
    """The middle of each site with a position."""
    found: dict[str, list[Position]] = {}
    for at, site in zip(where, sites, strict=True):
        if at is not None and site:
            found.setdefault(site, []).append(at)
    return {
        site: Position(sum(p.lat for p in some) / len(some), sum(p.lon for p in some) / len(some))
        for site, some in found.items()
    }


# --- planters ------------------------------------------------------------------------------------


def _needs(
    planters: Mapping[str, Planter],
    calendar: TownCalendar,
    today: date,
    ground: Ground,
    notes: list[str],
) -> list[Need]:
    usual, own = learnt_minutes(today, ground)
    water = _water(calendar, today, list(planters))
    cards = {card.key: card.content for card in derived.planter_cards()}
    needs = []
    for planter_id, planter in sorted(planters.items()):
        card = cards.get(planter_id)
        if card is None:
            continue
        at = water.at(planter_id)(today) if water is not None else None
        minutes = own.get(planter_id, usual)
        needs.append(need_of(planter, card, at, calendar, today, minutes))
    _say_what_is_missing(needs, planters, ground, notes)
    return needs


def _say_what_is_missing(
    needs: list[Need], planters: Mapping[str, Planter], ground: Ground, notes: list[str]
) -> None:
    lost = [one for one in needs if one.planter not in ground.placed]
    middle = [
        one
        for one in needs
        if position_of(planters[one.planter]) is None and one.planter in ground.placed
    ]
    if lost and len(lost) == len(needs):
        notes.append("No planter has a position: the stops stand in order of site and name.")
    elif lost:
        names = ", ".join(one.name for one in lost[:6])
        notes.append(
            f"{spoken_count(len(lost), 'planter')} without a position, and none at their site: "
            f"{names}. Ways to them are guessed."
        )
    if middle:
        notes.append(
            f"{spoken_count(len(middle), 'planter')} without a position: taken to stand in the "
            "middle of the site."
        )
    blind = [one for one in needs if not one.forecast]
    if blind and len(blind) == len(needs):
        notes.append(
            "No forecast of the water: each planter is visited as often as the town's setting "
            "says. Set the latitude and bring weather for a plan by need."
        )
    elif blind:
        notes.append(
            f"{spoken_count(len(blind), 'planter')} without a forecast, never checked in or not "
            "reckoned: visited as often as the town's setting says."
        )


def _water(calendar: TownCalendar, today: date, planters: list[str]) -> TownWater | None:
    try:
        water = town_water(read_season(calendar, today))
    except Exception:
        logger.exception("the water balance failed; the plan goes by the town's interval")
        return None
    if water is not None:
        water.prepare(planters)
    return water


def learnt_minutes(today: date, ground: Ground) -> tuple[float, Mapping[str, float]]:
    """Minutes at a stop, from the check-ins of the last year."""
    since = today - timedelta(days=LEARN_DAYS)
    seen = [CheckedIn(*row) for row in log_rounds.check_in_times(since)]

    def way(one: str, other: str) -> float:
        if one not in ground.places or other not in ground.places:
            return 0.0
        return way_min("foot", ground.between(one, other), ground.far_m)

    return minutes_a_stop(seen, way)


# --- what was told -------------------------------------------------------------------------------


def _under_way(
    calendar: TownCalendar, today: date, told: tuple[Told, ...]
) -> tuple[bool, dict[str, date]]:
    """Whether today's rounds have begun: they then stay as they are, and count as walked."""
    if not any(one.day == today for one in told):
        return False, {}
    now = course_of(today, calendar)
    begun = bool(now.hours) or any(one.state == "done" for one in now.stops)
    if not begun:
        return False, {}
    return True, {one.planter: today for one in now.stops if one.state == "to-do"}


def _seen_since(calendar: TownCalendar, told: tuple[Told, ...]) -> frozenset[tuple[date, str]]:
    """Stops whose planter was visited after they were told, or on their very day."""
    when = {(one.day, one.person): one.told_at for one in rounds.told(date.min)}
    last = log_rounds.last_check_ins()
    return frozenset(
        (one.day, planter)
        for one in told
        for planter in one.planters
        if planter in last and last[planter] > when[(one.day, one.person)]
    )
