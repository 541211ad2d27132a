"""Which of a coordinator's edits belong to which season of a list, and when its steps fall due."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from potrounds.domain.checklists import SETTLED, ListProgress, StepProgress
from potrounds.domain.planter import (
    COLD_LEAD_DAYS,
    EARLY_START_UP_DAYS,
    TownCalendar,
    season_start,
    winter_start,
)
from potrounds.domain.spoken import spoken_celsius, spoken_day
from potrounds.domain.step_lists import SeasonList, standard

#: The second look comes at the latest so long after the pull. [days] Common practice, no source.
SECOND_LOOK_DAYS = 14
#: So much rain in a day shows whether an outlet runs. [mm] Common practice, no source.
HARD_RAIN_MM = 5.0
#: Feed and top-up stop so long before the freeze: two to three weeks. Common practice, no source.
STOP_WATER_DAYS = 18


@dataclass(frozen=True)
class SkyDay:
    """What the sky did on a day, as far as a drained planter minds."""

    date: date
    tmin_c: float
    tmax_c: float
    rain_mm: float | None


def list_begins(calendar: TownCalendar, list_name: str, season: int) -> date:
    """The first day on which a season's list is on the board."""
    if list_name == "start-up":
        return season_start(calendar, season) - timedelta(days=EARLY_START_UP_DAYS)
    return winter_start(calendar, season) - timedelta(days=COLD_LEAD_DAYS)


def list_ends(calendar: TownCalendar, list_name: str, season: int) -> date:
    """The day on which the list of the next season takes its place."""
    early = EARLY_START_UP_DAYS if list_name == "start-up" else 0
    return season_start(calendar, season + 1) - timedelta(days=early)


def season_list(calendar: TownCalendar, list_name: str, season: int) -> SeasonList:
    """A list through a season: as it stood when the season began, and the edits made within it."""
    own = sorted((one for one in calendar.editions if one.list == list_name), key=lambda e: e.at)
    first, end = list_begins(calendar, list_name, season), list_ends(calendar, list_name, season)
    earlier = [one for one in own if one.day < first]
    base = earlier[-1].steps if earlier else standard(list_name).base
    ever = (*(step for one in reversed(own) for step in one.steps), *standard(list_name).base)
    return SeasonList(base, tuple(one for one in own if first <= one.day < end), ever)


def with_due_days(
    progress: ListProgress, calendar: TownCalendar, site: str, today: date, sky: Iterable[SkyDay]
) -> ListProgress:
    """The list with the days on which open steps fall due, and why then."""
    due = _due_winter if progress.list == "winterization" else _due_spring
    steps = []
    for step in progress.steps:
        found = None
        if step.asked and step.state not in SETTLED:
            found = due(step, progress, calendar, site, today, tuple(sky))
        steps.append(replace(step, due=found[0], due_why=found[1]) if found else step)
    return replace(progress, steps=tuple(steps))


Due = tuple[date, str] | None


def _due_winter(
    step: StepProgress,
    progress: ListProgress,
    calendar: TownCalendar,
    site: str,
    today: date,
    sky: tuple[SkyDay, ...],
) -> Due:
    if step.code == "second-look":
        pull = progress.step("pull-plug")
        if pull is None or pull.at is None or pull.state == "not-needed":
            return None
        return second_look_due(calendar.local_day(pull.at), sky)
    if step.code not in ("stop-water", "pull-plug"):
        return None
    freeze = calendar.next_freeze(site, today)
    if freeze is None:
        return None
    ahead = STOP_WATER_DAYS if step.code == "stop-water" else 1
    return freeze.date - timedelta(days=ahead), f"Freeze {spoken_day(freeze.date)}, {freeze.source}"


def second_look_due(pulled: date, sky: Iterable[SkyDay]) -> tuple[date, str]:
    """The day from which the second look is due: after the first rain or thaw, else after 14 days.

    A thaw is a day above freezing on or after one that froze since the pull. Source: a second look
    "after the first hard rain or thaw" is trade practice; the figures are common practice, no
    source.
    """
    last, froze = pulled + timedelta(days=SECOND_LOOK_DAYS), False
    for day in sorted((one for one in sky if one.date > pulled), key=lambda one: one.date):
        if day.date >= last:
            break
        froze = froze or day.tmin_c <= 0
        if (day.rain_mm or 0) >= HARD_RAIN_MM:
            why = f"{day.rain_mm:.0f} mm of rain on {spoken_day(day.date)}"
            return day.date + timedelta(days=1), why
        if froze and day.tmax_c > 0:
            why = f"Thaw on {spoken_day(day.date)}, up to {spoken_celsius(day.tmax_c)}"
            return day.date + timedelta(days=1), why
    return last, f"{SECOND_LOOK_DAYS} days after the plug came out, or sooner after rain or thaw"


def _due_spring(
    step: StepProgress,
    progress: ListProgress,
    calendar: TownCalendar,
    site: str,
    today: date,
    sky: tuple[SkyDay, ...],
) -> Due:
    fill = progress.step("fill")
    if step.code != "no-drips" or fill is None or fill.at is None or fill.state != "done":
        return None
    day = calendar.local_day(fill.at)
    return day + timedelta(days=1), f"A day after the fill of {spoken_day(day)}"
