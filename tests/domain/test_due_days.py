"""When steps fall due: the second look by weather, the pull by frost, the look for drips by fill.

A second look "after the first hard rain or thaw" and a leak look after 24 hours are trade practice
(season-end notes of makers, extension columns); the figures are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from build import SITE, WINTER, a_calendar, a_forecast, a_low, a_step
from potrounds.domain.checklists import ListProgress, progress
from potrounds.domain.planter import TownCalendar
from potrounds.domain.records import Record
from potrounds.domain.season_lists import SkyDay, second_look_due, with_due_days
from potrounds.domain.visits import standing


def a_day(after: int, low: float = 4, high: float = 12, rain: float | None = 0) -> SkyDay:
    return SkyDay(WINTER + timedelta(days=after), low, high, rain)


@pytest.mark.parametrize(
    ("sky", "days", "why"),
    [
        ([], 14, "14 days after the plug came out"),
        ([a_day(n) for n in range(1, 30)], 14, "14 days after the plug came out"),
        ([a_day(0, rain=30)], 14, "14 days"),
        ([a_day(2, rain=4.9), a_day(3, rain=5.0)], 4, "5 mm of rain on Friday 23 October"),
        ([a_day(2, rain=None), a_day(4, -3, -1), a_day(6, -2, 3)], 7, "Thaw on Monday 26 October"),
        ([a_day(4, -3, -1), a_day(5, -6, 0)], 14, "14 days"),
        ([a_day(3, 1, 3)], 14, "14 days"),
        ([a_day(2, -1, 6)], 3, "Thaw on Thursday 22 October, up to 6\u00a0°C"),
        ([a_day(20, rain=40)], 14, "14 days"),
    ],
    ids=[
        "no weather known",
        "a dry month",
        "rain of the pull's own day",
        "rain",
        "thaw after frost days",
        "frost that stays",
        "cold without frost",
        "frost in the night only",
        "rain after it was due anyway",
    ],
)
def test_the_second_look_is_due_after_rain_or_thaw(sky: list[SkyDay], days: int, why: str) -> None:
    due, said = second_look_due(WINTER, sky)
    assert due == WINTER + timedelta(days=days)
    assert said.startswith(why)
    assert second_look_due(WINTER, reversed(sky)) == (due, said)


def winter(*records: Record) -> ListProgress:
    return progress(standing(records).steps, "winterization", 2026)


def due_of(
    code: str, list_progress: ListProgress, calendar: TownCalendar, *sky: SkyDay
) -> tuple[date | None, str | None]:
    step = with_due_days(list_progress, calendar, SITE, WINTER, sky).step(code)
    return step.due, step.due_why


def test_the_look_is_due_only_while_it_is_open() -> None:
    pulled = a_step("pull-plug", on=WINTER, second="Kofi")
    assert due_of("second-look", winter(), a_calendar()) == (None, None)
    assert due_of("second-look", winter(pulled), a_calendar(), a_day(2, rain=9))[0] == date(
        2026, 10, 23
    )
    looked = a_step("second-look", on=WINTER + timedelta(days=5), standing_water=False)
    assert due_of("second-look", winter(pulled, looked), a_calendar()) == (None, None)
    away = a_step("pull-plug", on=WINTER, outcome="not-needed")
    assert due_of("second-look", winter(away), a_calendar()) == (None, None)


def test_the_pull_is_due_the_day_before_the_freeze_and_feed_stops_18_days_ahead() -> None:
    """Feed and top-up stop two to three weeks ahead (season-end notes of makers)."""
    typed = a_calendar(freeze_on=date(2026, 11, 2))
    assert due_of("pull-plug", winter(), typed)[0] == date(2026, 11, 1)
    assert due_of("stop-water", winter(), typed)[0] == date(2026, 10, 15)
    forecast = replace(typed, nights=(a_forecast(-2, date(2026, 10, 25)),))
    due, why = due_of("pull-plug", winter(), forecast)
    assert (due, why) == (date(2026, 10, 24), "Freeze Sunday 25 October, typed forecast")
    recorded = replace(typed, nights=(a_low(-1, date(2026, 10, 18)),))
    assert due_of("pull-plug", winter(), recorded)[0] == date(2026, 10, 17)


def test_a_freeze_that_never_comes_makes_nothing_due() -> None:
    assert due_of("pull-plug", winter(), a_calendar()) == (None, None)
    mild = a_calendar(nights=tuple(a_forecast(5, WINTER + timedelta(days=n)) for n in range(9)))
    assert due_of("pull-plug", winter(), mild) == (None, None)


def test_the_look_for_drips_is_due_a_day_after_the_fill() -> None:
    filled = a_step("fill", list="start-up", on=date(2026, 4, 20))
    spring = progress(standing([filled]).steps, "start-up", 2026)
    assert due_of("no-drips", spring, a_calendar()) == (
        date(2026, 4, 21),
        "A day after the fill of Monday 20 April",
    )
    assert due_of("no-drips", progress((), "start-up", 2026), a_calendar()) == (None, None)
    retired = replace(spring.step("no-drips"), asked=False)
    shown = replace(spring, steps=(retired,))
    assert due_of("no-drips", shown, a_calendar()) == (None, None)
