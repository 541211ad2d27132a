"""The plan of the days ahead: day after day, what must be visited, what may be, and by whom.

Nothing here reads the database or a clock: the same inputs give the same plan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from potrounds.domain.due import Due, choices
from potrounds.domain.due import pulled_forward as pull_forward
from potrounds.domain.rounds import CrewDay, CrewMember, DayPlan, Need, Plan, Told, way_min
from potrounds.domain.spoken import spoken_count, spoken_day
from potrounds.services.round_order import (
    Ground,
    Wish,
    day_rounds,
    in_order,
    loads_for,
    must,
    told_rounds,
)
from potrounds.services.round_solver import turns_for

#: Chances of running dry that the trade-off is shown for.
RISKS = (0.02, 0.05, 0.1, 0.2, 0.35)
#: Ways are shared between neighbours: what a stop costs beside its work, in ways to the nearest.
WAYS_A_STOP = 1.5
#: A stop that may be made is looked at only so near to one that must be. [m]
NEAR_M = 600.0
#: Of its cycle a planter must have used so much before it is worth topping up. Judgement.
LEAST_SHARE = 0.6
#: The crew's next days, which are ordered with the greatest care.
NEAR_DAYS = 3
NAMES_SAID = 6


@dataclass(frozen=True)
class Inputs:
    """Everything a plan is made from."""

    today: date
    needs: tuple[Need, ...]
    days: tuple[CrewDay, ...]
    ground: Ground
    risk: float = 0.1
    told: tuple[Told, ...] = ()
    seen: frozenset[tuple[date, str]] = frozenset()  # told stops visited since they were told
    notes: tuple[str, ...] = ()
    visited: Mapping[str, date] = field(default_factory=dict)  # planters on a round under way
    turns: int | None = None


def make_plan(inputs: Inputs) -> Plan:
    """Rounds for the crew's days, with everything that has to be said of them."""
    return _Planner(inputs).plan()


@dataclass
class _Planner:
    inputs: Inputs
    days: list[DayPlan] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    unplanned: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        given = self.inputs
        self.due = Due(given.days, given.today, given.risk)
        self.due.filled.update(given.visited)
        self.due.visited.update(given.visited)
        self.place = {day.day: at for at, day in enumerate(given.days)}
        self.room = [float(sum(one.minutes for one in day.members)) for day in given.days]
        self.needs = {need.planter: need for need in sorted(given.needs, key=lambda n: n.planter)}

    def plan(self) -> Plan:
        given = self.inputs
        self._leave_out_of_reach()
        if given.days:
            self.told = self._told_places()
            self.minutes = {key: self._minutes(need) for key, need in self.needs.items()}
            for place in range(len(given.days)):
                self._plan_day(place)
        else:
            self.notes.append(
                "No days are set on which anybody goes out. Set the crew's days; until then "
                "visit each planter by the day on its card."
            )
        asked = tuple(self.needs.values())
        told = choices(asked, given.days, given.today, sorted({*RISKS, given.risk}))
        notes = (*given.notes, *self.notes)
        return Plan(given.today, tuple(self.days), notes, told, self.unplanned)

    def _told_places(self) -> dict[str, tuple[int, str]]:
        """For each planter the first day it was told for that still stands, and whose it is."""
        found: dict[str, tuple[int, str]] = {}
        for one in sorted(self.inputs.told, key=lambda told: (told.day, told.person)):
            place = self.place.get(one.day)
            for planter in one.planters:
                if place is not None and planter in self.needs and planter not in found:
                    found[planter] = (place, one.person)
        return found

    def _standing(self) -> dict[str, int]:
        """The days that were told, of those whose person still goes out on them."""
        people = [{one.person for one in day.members} for day in self.inputs.days]
        return {key: place for key, (place, person) in self.told.items() if person in people[place]}

    def _minutes(self, need: Need) -> float:
        """Work and a share of the ways."""
        ground = self.inputs.ground
        at = ground.places[need.planter]
        others = [ground.places[key] for key in self.needs if key != need.planter]
        near = float(ground.metres[at, others].min()) if others else 0.0
        mode = self.inputs.days[0].members[0].mode if self.inputs.days[0].members else "foot"
        return need.minutes + WAYS_A_STOP * way_min(mode, near, ground.far_m)

    def _plan_day(self, place: int) -> None:
        day = self.inputs.days[place]
        due = self._due(place)
        at = pull_forward(due, self.minutes, self.room, place, self._standing())
        musts = {key for key, when in at.items() if when <= place}
        wishes = [self._must(key, place) for key in sorted(musts)]
        wishes += self._mays(place, due, musts)
        turns = self.inputs.turns or turns_for(len(wishes), place < NEAR_DAYS)
        made = self._as_told(day_rounds(day, wishes, self.inputs.ground, turns), place)
        made = self._with_all_told(made, wishes, place)
        self.days.append(made)
        for one in made.rounds:
            for key in one.planters:
                self.due.note_visit(self.needs[key], place)
                self.told.pop(key, None)
        if made.left_out:
            self._say_left_out(made, place)

    def _due(self, place: int) -> dict[str, int]:
        """The latest day of each planter that has one; what was told for a day stays on it."""
        due: dict[str, int] = {}
        for key, need in self.needs.items():
            latest = self.due.latest(need, place)
            told = self.told.get(key)
            if told is not None:
                visited = (self.inputs.days[told[0]].day, key) in self.inputs.seen
                if told[0] < place or (visited and (latest is None or latest > told[0])):
                    del self.told[key]
                elif latest is None or told[0] <= latest:
                    latest = told[0]
            if latest is not None:
                due[key] = latest
        return due

    def _must(self, key: str, place: int) -> Wish:
        visit = self.due.visit(self.needs[key], place, must=True)
        told = self.told.get(key)
        if told is None or told[0] != place:
            return must(visit)
        there = {one.person for one in self.inputs.days[place].members}
        if visit.why == ("Near the others: worth topping up now.",):
            visit = replace(visit, why=("As told.",))
        return must(visit, told[1] if told[1] in there else None, told=True)

    def _mays(self, place: int, due: Mapping[str, int], musts: set[str]) -> list[Wish]:
        """Planters due later that may be worth a detour today.

        A visit today serves a share of the cycle only; it is worth what the later one would cost,
        its way included, times that share, less the work of today's.
        """
        ground, wishes = self.inputs.ground, []
        if self.inputs.days[place].no_water or not musts:
            return []
        today = [ground.places[key] for key in sorted(musts)]
        ahead = self._ahead(due, place)
        for key, latest in sorted(due.items()):
            if key in musts or key in self.told or latest >= len(self.inputs.days):
                continue
            at, need = ground.places[key], self.needs[key]
            if float(ground.metres[at, today].min()) > NEAR_M:
                continue
            share = self.due.share_used(need, place, latest)
            if share < LEAST_SHARE:
                continue
            then = [one for one in ahead[latest] if one != at]
            # Between two who are visited anyway one more costs about the way to the nearer.
            later_m = min(float(ground.metres[at, then].min(initial=NEAR_M)), NEAR_M)
            work_m = need.minutes * self._pace(place)
            worth = (work_m + later_m) * share - work_m
            if worth > 0:
                wishes.append(Wish(self.due.visit(need, place, must=False), worth))
        return wishes

    def _ahead(self, due: Mapping[str, int], start: int) -> list[list[int]]:
        """For each day where planters will be visited that day, second visits and later ones too:
        who is there anyway makes a later way short."""
        found: list[list[int]] = [[] for _ in self.inputs.days]
        for key, first in due.items():
            place: int | None = max(first, start)
            while place is not None:
                found[place].append(self.inputs.ground.places[key])
                place = self.due.next_fill(self.needs[key], place)
        return found

    def _pace(self, place: int) -> float:
        members = self.inputs.days[place].members
        return 1.0 / way_min(members[0].mode, 1.0, np.inf) if members else 80.0

    def _with_all_told(self, made: DayPlan, wishes: Sequence[Wish], place: int) -> DayPlan:
        """What was told, word for word, where the search found no room for all of it this time."""
        told = {key for key, at in self._standing().items() if at == place}
        if not any(visit.need.planter in told for visit in made.left_out):
            return made
        orders = {one.person: one.planters for one in self.inputs.told if one.day == made.day}
        kept = told_rounds(self.inputs.days[place], wishes, orders, self.inputs.ground)
        return kept if kept and len(kept.left_out) <= len(made.left_out) else made

    def _as_told(self, made: DayPlan, place: int) -> DayPlan:
        """A round with the very stops that were told keeps the order that was told."""
        orders = {one.person: one.planters for one in self.inputs.told if one.day == made.day}
        rounds = []
        for one in made.rounds:
            order = orders.get(one.member.person, ())
            if set(order) == set(one.planters) and order != one.planters:
                visits = {stop.visit.need.planter: stop.visit for stop in one.stops}
                day, ground = self.inputs.days[place], self.inputs.ground
                one = in_order(day, one.member, one.start_tap, order, visits, ground) or one
            rounds.append(one)
        return DayPlan(made.day, tuple(rounds), made.left_out)

    # --- what has to be said -------------------------------------------------------------------

    def _leave_out_of_reach(self) -> None:
        """Planters that nobody has the time to reach, there and at work, on any day."""
        ground = self.inputs.ground
        crew = {one for day in self.inputs.days for one in day.members}
        for key, need in list(self.needs.items()):
            if not crew:
                break
            if not any(need.minutes <= one.minutes and self._reaches(key, one) for one in crew):
                self.unplanned[key] = (
                    f"{need.name} is reached by nobody: {need.minutes:.0f} minutes of work, and "
                    "the way from where they begin, are more than anybody's time. Give somebody "
                    "more minutes, or another start."
                )
                del self.needs[key]
        self.notes += self.unplanned.values()
        self._say_small_tanks(ground)

    def _reaches(self, key: str, member: CrewMember) -> bool:
        ground, start = self.inputs.ground, member.start_tap
        if start is None or start not in ground.places:
            return True
        there = way_min(member.mode, ground.between(start, key), ground.far_m)
        return 2 * there + self.needs[key].minutes <= member.minutes

    def _say_small_tanks(self, ground: Ground) -> None:
        tanks = [one.tank_l for day in self.inputs.days for one in day.members]
        if not ground.taps or not tanks or None in tanks:
            return
        largest = max(one for one in tanks if one is not None)
        big = [need for need in self.needs.values() if loads_for(need.reservoir_l, largest) > 1]
        if big:
            names = _names(sorted(need.name for need in big))
            self.notes.append(
                f"The largest tank holds {largest:.0f} L, less than {names} can want: such a stop "
                "takes several loads, the way to the nearest tap counted each time."
            )

    def _say_left_out(self, made: DayPlan, place: int) -> None:
        names = _names([visit.need.name for visit in made.left_out])
        count = spoken_count(len(made.left_out), "planter")
        later = "They wait for the next crew day."
        if place == len(self.inputs.days) - 1:
            later = "No later day is planned yet."
        self.notes.append(
            f"{spoken_day(made.day)}: no time or no water left for {count} that should be "
            f"visited: {names}. {later}"
        )


def _names(names: Sequence[str]) -> str:
    said = ", ".join(names[:NAMES_SAID])
    more = len(names) - NAMES_SAID
    return f"{said} and {more} more" if more > 0 else said
