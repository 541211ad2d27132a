"""Which planters must be visited on which of the crew's days, and which may be.

A planter must be visited on a day when by the crew's next day it would more likely than accepted
be dry, or when something else falls due. The latest such day is the one that costs fewest visits;
whether it is worth going earlier, because one is near, is weighed stop by stop.

Source: renewal reward (a visit bought at a share of its cycle costs that share's inverse a day);
latest-possible service minimises visits where planters do not share costs. The rest is common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from types import MappingProxyType

from potrounds.domain.rounds import Choice, CrewDay, Litres, Need, Visit
from potrounds.domain.spoken import spoken_day

#: Beyond this nothing is worth planning; forecasts are hardly better than what is usual.
HORIZON_DAYS = 14
NO_WATER = Litres(0.0, 0.0, 0.0)


def _at(chances: Sequence[float], days: int) -> float:
    if days <= 0 or not chances:
        return 0.0
    return chances[min(days, len(chances) - 1)]


def chance_dry(need: Need, filled: date | None, today: date, before: date) -> float:
    """Chance that a planter is dry before a day; `filled`: the day of a visit already planned."""
    if not need.forecast:
        due = next_due(need, filled)
        return 1.0 if due is not None and due < before else 0.0
    if filled is None:
        return _at(need.dry_before, (before - today).days)
    return _at(need.dry_after_fill, (before - filled).days)


def next_due(need: Need, filled: date | None) -> date | None:
    """The day by which the town's interval asks for a visit, where its water is not known."""
    if filled is not None:
        return date.fromordinal(filled.toordinal() + need.every_days)
    return need.due


def litres_on(need: Need, filled: date | None, today: date, day: date) -> Litres:
    """Litres to the brim on the morning of a day."""
    if filled is not None or not need.litres:
        days = (day - (filled or today)).days
        mid = min(need.reservoir_l, need.litres_a_day * days)
        if not need.litres and filled is None:
            mid = need.reservoir_l
        return Litres(mid, 0.75 * mid, min(need.reservoir_l, 1.25 * mid))
    return need.litres[min((day - today).days, len(need.litres) - 1)]


def lasts_days(need: Need, risk: float) -> int:
    """Days a full reservoir may be left: the longest with no more than the accepted chance."""
    if not need.forecast:
        return need.every_days
    within = [days for days, chance in enumerate(need.dry_after_fill) if chance <= risk]
    return max(1, max(within, default=1))


class Due:
    """When each planter is due, as visits are planned day after day."""

    def __init__(self, days: Sequence[CrewDay], today: date, risk: float) -> None:
        self.days, self.today, self.risk = days, today, risk
        self.filled: dict[str, date] = {}
        self.visited: dict[str, date] = {}

    def latest(self, need: Need, start: int) -> int | None:
        """The latest day (its place among the crew's days) that is still soon enough."""
        found = [self._water(need, start), *self._tasks(need, start)]
        return min((place for place in found if place is not None), default=None)

    def _water(self, need: Need, start: int) -> int | None:
        filled, pours = self.filled.get(need.planter), None
        for place in range(start, len(self.days)):
            day = self.days[place]
            if not day.no_water:
                pours = place
            if chance_dry(need, filled, self.today, day.next_day) > self.risk:
                return pours if pours is not None else self._next_pouring(place)
        return None

    def next_fill(self, need: Need, place: int) -> int | None:
        """The latest day for water after a visit on that day, as far as days are planned."""
        filled = self.days[place].day
        for at in range(place + 1, len(self.days)):
            if chance_dry(need, filled, self.today, self.days[at].next_day) > self.risk:
                return at
        return None

    def _next_pouring(self, place: int) -> int | None:
        ahead = range(place, len(self.days))
        return next((at for at in ahead if not self.days[at].no_water), None)

    def _tasks(self, need: Need, start: int) -> list[int | None]:
        return [
            self._last_within(task.earliest, task.latest, start)
            for task in need.tasks
            if self.visited.get(need.planter, date.min) < task.earliest
        ]

    def _last_within(self, earliest: date, latest: date, start: int) -> int | None:
        """The last of the days in a span; the first after it where none lies in it."""
        ahead = [at for at in range(start, len(self.days)) if self.days[at].day >= earliest]
        if not ahead:
            return None
        inside = [at for at in ahead if self.days[at].day <= latest]
        return inside[-1] if inside else ahead[0]

    def visit(self, need: Need, place: int, must: bool) -> Visit:
        """What a visit on that day is for."""
        day = self.days[place]
        filled = self.filled.get(need.planter)
        chance = chance_dry(need, filled, self.today, day.next_day)
        litres = NO_WATER if day.no_water else litres_on(need, filled, self.today, day.day)
        return Visit(need, litres, self._why(need, place, chance, must), must, chance)

    def _why(self, need: Need, place: int, chance: float, must: bool) -> tuple[str, ...]:
        day = self.days[place]
        seen = self.visited.get(need.planter, date.min)
        due = [
            task.why
            for task in need.tasks
            if seen < task.earliest <= day.day or (must and task.earliest <= day.day <= task.latest)
        ]
        if chance > self.risk and not day.no_water:
            due.insert(0, self._water_words(need, chance, day.next_day))
        if not due and must:
            latest = self.latest(need, place)
            if latest is not None and latest > place:
                due.append(f"Due on {spoken_day(self.days[latest].day)}; that day is full.")
        return tuple(dict.fromkeys(due)) or ("Near the others: worth topping up now.",)

    def _water_words(self, need: Need, chance: float, next_day: date) -> str:
        if not need.forecast:
            return f"No forecast: a visit every {need.every_days} days is due."
        return f"{chance:.0%} likely to be dry before {spoken_day(next_day)}, the crew's next day."

    def note_visit(self, need: Need, place: int) -> None:
        """The planter is visited on that day; filled as well, unless nobody pours."""
        day = self.days[place]
        self.visited[need.planter] = day.day
        if not day.no_water:
            self.filled[need.planter] = day.day

    def share_used(self, need: Need, place: int, latest: int) -> float:
        """How much of its cycle a planter has used by that day, 0 just filled to 1 just in time."""
        spare = (self.days[latest].day - self.days[place].day).days
        return min(1.0, max(0.0, 1.0 - spare / lasts_days(need, self.risk)))


def pulled_forward(
    due: Mapping[str, int],
    minutes: Mapping[str, float],
    room: Sequence[float],
    start: int,
    told: Mapping[str, int] = MappingProxyType({}),
) -> dict[str, int]:
    """The same days, but what a day has no room for is moved to an earlier one that has.

    `room`: minutes the crew has on each day. `told`: the days people were told and can still come:
    those visits fitted together when they were told, so only others make way. What fits nowhere
    keeps its day: the order of urgency then decides who waits.
    """
    at = {planter: place for planter, place in due.items() if place >= start}
    for place in range(len(room) - 1, start, -1):
        here = sorted(planter for planter, when in at.items() if when == place)
        load = sum(minutes[planter] for planter in here)
        free = [planter for planter in here if told.get(planter) != place]
        for planter in sorted(free, key=lambda one: (-minutes[one], one)):
            if load <= room[place]:
                break
            at[planter] = place - 1
            load -= minutes[planter]
    return at


def choices(
    needs: Sequence[Need], days: Sequence[CrewDay], today: date, risks: Sequence[float]
) -> tuple[Choice, ...]:
    """Visits against planters found dry, for several chances accepted."""
    return tuple(_choice(needs, days, today, risk) for risk in risks)


def _choice(needs: Sequence[Need], days: Sequence[CrewDay], today: date, risk: float) -> Choice:
    due, visits, dry = Due(days, today, risk), 0, 0.0
    for need in needs:
        start, filled = 0, None
        while (place := due.latest(need, start)) is not None:
            dry += chance_dry(need, filled, today, days[place].day)
            due.note_visit(need, place)
            filled = due.filled.get(need.planter)
            visits, start = visits + 1, place + 1
        if days:
            dry += chance_dry(need, filled, today, days[-1].next_day)
    return Choice(risk, visits, round(dry, 2))
