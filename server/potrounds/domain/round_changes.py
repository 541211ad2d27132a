"""What a new plan changes of what people were told, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from potrounds.domain.rounds import Plan, Told
from potrounds.domain.spoken import spoken_day


@dataclass(frozen=True)
class Change:
    """One stop that is not where people were told."""

    what: str  # added, moved, dropped
    planter: str
    sentence: str


@dataclass(frozen=True)
class _Place:
    day: date
    person: str
    name: str
    why: str

    def __str__(self) -> str:
        return f"{self.name} on {spoken_day(self.day)}"


def changes(
    plan: Plan,
    told: Sequence[Told],
    names: Mapping[str, str],
    people: Mapping[str, str],
    seen: frozenset[tuple[date, str]] = frozenset(),
) -> tuple[Change, ...]:
    """What the plan puts elsewhere of the stops told for today or later, and what it adds.

    Of each planter the first stop told counts; later ones of the fortnight are an outlook.

    Parameters: names, people : names by id; seen : stops made since they were told
    """
    planned = _planned(plan)
    ahead = [one for one in told if one.day >= plan.today]
    told_days = {one.day for one in ahead}
    first: dict[str, Told] = {}
    for one in sorted(ahead, key=lambda some: (some.day, some.person)):
        for planter in one.planters:
            first.setdefault(planter, one)
    found = []
    for planter, one in first.items():
        was = _Place(one.day, one.person, people.get(one.person, "somebody"), "")
        now = planned.get(planter, [])
        if any(place.day == was.day and place.person == was.person for place in now):
            continue
        name = names.get(planter, planter)
        found.append(_gone(planter, name, was, now, plan, (one.day, planter) in seen))
    for planter, places in planned.items():
        for place in places:
            if place.day in told_days and planter not in first:
                sentence = f"{names.get(planter, planter)}: added for {place}. {place.why}"
                found.append(Change("added", planter, sentence))
    order = {"moved": 0, "added": 1, "dropped": 2}
    return tuple(sorted(found, key=lambda one: (order[one.what], one.sentence)))


def _gone(
    planter: str, name: str, was: _Place, now: Sequence[_Place], plan: Plan, seen: bool
) -> Change:
    if now and not (seen and now[0].day > was.day):
        return Change("moved", planter, f"{name}: {now[0]}, no longer {was}. {now[0].why}")
    if seen:
        why = "It has been visited since and can wait."
    else:
        why = plan.unplanned.get(planter, "It is not in use, or there is no room for it.")
    return Change("dropped", planter, f"{name}: no longer {was}. {why}")


def _planned(plan: Plan) -> dict[str, list[_Place]]:
    found: dict[str, list[_Place]] = {}
    for one in plan.rounds():
        for stop in one.stops:
            place = _Place(one.day, one.member.person, one.member.name, stop.visit.why[0])
            found.setdefault(stop.visit.need.planter, []).append(place)
    return found
