"""From a day's visits and crew to rounds: what the solver is asked, and what it answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import ceil

import numpy as np

from potrounds.domain.rounds import (
    PACE_M_MIN,
    CrewDay,
    CrewMember,
    DayPlan,
    Round,
    Stop,
    Tap,
    Visit,
    way_min,
)
from potrounds.science.walking import Metres
from potrounds.services.round_solver import AskedPerson, AskedStop, Way, order_stops

#: A stop that must be made is worth any way inside a town; the drier, the more. [m]
MUST_M = 1_000_000
TOLD_M = 500_000
#: Where neither tap nor town says how fast water runs. Common practice, no source.
FLOW_L_MIN = 12.0


@dataclass(frozen=True)
class Ground:
    """Where everything lies: metres between planters and taps, [place, place]."""

    places: Mapping[str, int]
    metres: Metres
    taps: tuple[Tap, ...] = ()
    far_m: float = 1500.0
    flow_l_min: float | None = None
    placed: frozenset[str] = field(default_factory=frozenset)  # planters with a position

    def between(self, one: str, other: str) -> float:
        """Metres from one place to another."""
        return float(self.metres[self.places[one], self.places[other]])

    def minutes(self, mode: str) -> Metres:
        """Minutes between all places."""
        pace = np.where(self.metres >= self.far_m, PACE_M_MIN["vehicle"], PACE_M_MIN[mode])
        return np.asarray(self.metres / pace)

    def refill_min(self, member: CrewMember) -> float:
        """Minutes to fill a tank at a usual tap of the town."""
        if member.tank_l is None:
            return 0.0
        flows = [tap.flow_l_min for tap in self.taps if tap.flow_l_min]
        flow = sum(flows) / len(flows) if flows else self.flow_l_min or FLOW_L_MIN
        return member.tank_l / flow

    def nearest_tap(self, planters: Sequence[str]) -> str | None:
        """The tap with the shortest ways to these planters together."""
        if not self.taps or not planters:
            return None
        return min(
            self.taps, key=lambda tap: (sum(self.between(tap.id, one) for one in planters), tap.id)
        ).id


@dataclass(frozen=True)
class Wish:
    """A visit, how many metres it is worth, and whose it has to be."""

    visit: Visit
    worth_m: float
    whose: str | None = None


def must(visit: Visit, whose: str | None = None, told: bool = False) -> Wish:
    """A visit that has to be made."""
    return Wish(visit, MUST_M * (1 + visit.chance) + (TOLD_M if told else 0), whose)


def day_rounds(
    day: CrewDay, wishes: Sequence[Wish], ground: Ground, turns: int | None = None
) -> DayPlan:
    """The rounds of a day; a stop that has to be made and is in none is left out."""
    members = [_with_tank(one, ground) for one in day.members]
    planters = [wish.visit.need.planter for wish in wishes]
    starts = [_start(one, planters, ground) for one in members]
    largest = _largest_tank(members)
    stops = [_asked(wish, members, ground, largest) for wish in wishes]
    crew = [
        AskedPerson(
            member.minutes,
            member.mode,
            ground.minutes(member.mode),
            member.tank_l,
            None if start is None else ground.places[start],
            member.start_tap is not None and start == member.start_tap,
            ground.refill_min(member),
        )
        for member, start in zip(members, starts, strict=True)
    ]
    taps = [ground.places[tap.id] for tap in ground.taps]
    ways = order_stops(stops, crew, taps, ground.metres, turns) if crew else ()
    rounds: list[Round] = []
    served: set[str] = set()
    for member, start, way in zip(members, starts, ways, strict=True):
        steps = _sorted_where_unplaced(way, wishes, ground)
        if any(what == "stop" for what, _ in steps):
            made = make_round(day, member, start, steps, [w.visit for w in wishes], ground)
            rounds.append(made)
            served.update(made.planters)
    left = [w.visit for w in wishes if w.visit.must and w.visit.need.planter not in served]
    return DayPlan(day.day, tuple(rounds), tuple(left))


def told_rounds(
    day: CrewDay, wishes: Sequence[Wish], orders: Mapping[str, Sequence[str]], ground: Ground
) -> DayPlan | None:
    """The rounds as they were told, of what is still wished for; None where one takes too long.

    `orders`: planters by person, in the order that was told. Whoever was not told is left out.
    """
    visits = {wish.visit.need.planter: wish.visit for wish in wishes}
    rounds: list[Round] = []
    served: set[str] = set()
    for member in (_with_tank(one, ground) for one in day.members):
        mine = [key for key in orders.get(member.person, ()) if key in visits and key not in served]
        if not mine:
            continue
        made = in_order(day, member, _start(member, list(visits), ground), mine, visits, ground)
        if made is None:
            return None
        rounds.append(made)
        served.update(mine)
    left = [one for key, one in visits.items() if one.must and key not in served]
    return DayPlan(day.day, tuple(rounds), tuple(left))


def in_order(
    day: CrewDay,
    member: CrewMember,
    start: str | None,
    order: Sequence[str],
    visits: Mapping[str, Visit],
    ground: Ground,
) -> Round | None:
    """A person's round in an order that was told; None where it takes longer than they have."""
    steps = [("stop", at) for at in range(len(order))]
    made = make_round(day, member, start, steps, [visits[key] for key in order], ground)
    return made if made.minutes <= member.minutes else None


def _with_tank(member: CrewMember, ground: Ground) -> CrewMember:
    """Without a tap on record a tank cannot be planned with; litres are told all the same."""
    return member if ground.taps else replace(member, tank_l=None, start_tap=None)


def _start(member: CrewMember, planters: Sequence[str], ground: Ground) -> str | None:
    if member.start_tap in ground.places:
        return member.start_tap
    return ground.nearest_tap(planters) if member.tank_l is not None else None


def _largest_tank(members: Sequence[CrewMember]) -> float | None:
    """The largest tank; None where somebody has none to run out of."""
    tanks = [one.tank_l for one in members]
    return None if None in tanks or not tanks else max(one for one in tanks if one is not None)


def loads_for(litres_l: float, tank_l: float | None) -> int:
    """Tank loads that a planter takes."""
    return 1 if tank_l is None or litres_l <= tank_l else ceil(litres_l / tank_l - 1e-9)


def _asked(
    wish: Wish, members: Sequence[CrewMember], ground: Ground, tank_l: float | None
) -> AskedStop:
    need, litres = wish.visit.need, wish.visit.litres.mid
    loads = loads_for(litres, tank_l)
    minutes = need.minutes + extra_min(need.planter, loads, members, ground)
    whose = [at for at, one in enumerate(members) if one.person == wish.whose]
    return AskedStop(
        ground.places[need.planter],
        litres if loads == 1 or tank_l is None else tank_l,
        minutes,
        wish.worth_m,
        frozenset(whose) if whose else None,
    )


def extra_min(planter: str, loads: int, members: Sequence[CrewMember], ground: Ground) -> float:
    """Minutes for the loads after the first: to the nearest tap, fill, and back."""
    if loads == 1 or not members:
        return 0.0
    tap = ground.nearest_tap([planter])
    metres = ground.between(planter, tap) if tap else 0.0
    slowest = max(
        2 * way_min(one.mode, metres, ground.far_m) + ground.refill_min(one) for one in members
    )
    return (loads - 1) * slowest


def _sorted_where_unplaced(
    way: Way, wishes: Sequence[Wish], ground: Ground
) -> tuple[tuple[str, int], ...]:
    """Stops without a position have no order of their own: by site and name."""
    steps = list(way.steps)
    needs = [wish.visit.need for wish in wishes]
    unplaced = [
        at
        for at, (what, idx) in enumerate(steps)
        if what == "stop" and needs[idx].planter not in ground.placed
    ]
    if len(unplaced) == len([one for one in steps if one[0] == "stop"]):
        ordered = sorted(
            (steps[at] for at in unplaced),
            key=lambda step: (needs[step[1]].site_name, needs[step[1]].name),
        )
        for at, step in zip(unplaced, ordered, strict=True):
            steps[at] = step
    return tuple(steps)


def make_round(
    day: CrewDay,
    member: CrewMember,
    start: str | None,
    steps: Sequence[tuple[str, int]],
    visits: Sequence[Visit],
    ground: Ground,
) -> Round:
    """A round from its steps, with its ways, and what is left in the tank after each stop."""
    at, refill, left = start, None, member.tank_l
    stops: list[Stop] = []
    for what, place in steps:
        here = ground.taps[place].id if what == "tap" else visits[place].need.planter
        if what == "tap":
            refill = here
            continue
        visit = visits[place]
        litres, tank = visit.litres.mid, member.tank_l
        loads = loads_for(litres, tank)
        # The order may have been made with other litres: nobody is sent on with too little.
        if left is not None and refill is None and _short(litres, loads, left, tank):
            refill = ground.nearest_tap([one for one in (at, here) if one is not None])
        if refill is not None:
            left = tank
        steps_here = [one for one in (at, refill, here) if one is not None]
        ways = [ground.between(*pair) for pair in pairwise(steps_here)]
        minutes = sum(way_min(member.mode, way, ground.far_m) for way in ways)
        extra = extra_min(here, loads, [member], ground) - (loads - 1) * ground.refill_min(member)
        if left is not None and tank is not None:
            left = left - litres if loads == 1 else 0.0
        stops.append(
            Stop(
                visit,
                sum(ways),
                minutes + max(0.0, extra),
                max(ways, default=0.0) >= ground.far_m,
                refill,
                loads,
                None if left is None else round(left, 1),
            )
        )
        at, refill = here, None
    back = start is not None and start == member.start_tap and at is not None and at != start
    back_m = ground.between(at, start) if back and at and start else 0.0
    return Round(
        day.day,
        member,
        tuple(stops),
        start,
        back_m,
        way_min(member.mode, back_m, ground.far_m),
        ground.refill_min(member),
    )


def _short(litres_l: float, loads: int, left_l: float, tank_l: float | None) -> bool:
    """Whether the tank holds too little for the next stop."""
    wanted = litres_l if loads == 1 or tank_l is None else tank_l
    return wanted > left_l + 0.05
