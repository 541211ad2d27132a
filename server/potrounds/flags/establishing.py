"""Whether a new planting's roots are down yet, and when its top wants water from above."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from potrounds.domain.visits import Visit
from potrounds.flags.looking import newest
from potrounds.flags.registry import Case
from potrounds.science import establishment as science


@dataclass(frozen=True)
class Establishing:
    """A planting that the reservoir does not reach yet."""

    planted_on: date
    rooted_on: date  # expected
    by_weather: bool
    last_water: date
    watered: Visit | None  # None: nothing from above on record since it was planted
    water_by: date

    def overdue_days(self, today: date) -> int:
        """Days since the top should have had water; 0 or less while there is time."""
        return (today - self.water_by).days


def rooted_on(case: Case) -> date | None:
    """The day on which roots are expected to reach the wicked mix; None without a planting."""
    planting = case.state.planting
    if planting is None:
        return None
    return planting.planted_on + timedelta(days=science.days_to_root(_warmth(case)))


def establishing(case: Case) -> Establishing | None:
    """The new planting in the planter, while its roots are still short; otherwise None.

    Planting ends with water from above: the first days count from it.
    """
    planting, rooted = case.state.planting, rooted_on(case)
    if planting is None or rooted is None or not has_plants(case):
        return None
    if not planting.planted_on <= case.today <= rooted:
        return None
    watered = newest(case, lambda visit: (visit.check_in.overhead_l or 0) > 0)
    if watered is not None and watered.day < planting.planted_on:
        watered = None
    last = watered.day if watered else planting.planted_on
    factor = science.exposure_factor(case.planter.sun, case.planter.wind)
    drawn = [_et0(case, last + timedelta(n)) for n in range(science.MOST_BETWEEN)]
    due = last + timedelta(days=science.days_until_check(drawn, factor))
    moist = newest(case, _found_moist)
    if moist is not None and moist.day >= planting.planted_on:
        due = max(due, moist.day + timedelta(days=1))
    known = any(one is not None for one in drawn)
    return Establishing(planting.planted_on, rooted, known, last, watered, due)


def has_plants(case: Case) -> bool:
    """Whether plants are to be cared for: in use, and not lifted for the winter."""
    lifted = case.state.winterization.step("lift-plants")
    return case.in_use and not (lifted is not None and lifted.state == "done")


def _found_moist(visit: Visit) -> bool:
    """A look that found the mix not dry buys a day, water or not."""
    return visit.looked_over and "dry-mix" not in visit.check_in.signs


def _warmth(case: Case) -> list[float | None]:
    planting = case.state.planting
    assert planting is not None
    days = (planting.planted_on + timedelta(n) for n in range(science.MOST_DAYS))
    known = (case.outside.get(day) for day in days)
    return [one.degree_days if one else None for one in known]


def _et0(case: Case, day: date) -> float | None:
    known = case.outside.get(day)
    return known.et0_mm if known else None
