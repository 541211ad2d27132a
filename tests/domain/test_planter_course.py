"""A planter's course, by hand: marks of water and plants, weeks, and how a flag ended."""

from __future__ import annotations

from datetime import date, timedelta

from build import a_check_in, a_correction, a_decision, a_step
from potrounds.domain import planter_course as course
from potrounds.domain.report import FlagRun
from potrounds.domain.season_lists import SkyDay
from potrounds.domain.visits import standing

MONDAY = date(2026, 6, 1)  # a Monday: ISO 8601 week 23 of 2026
CAPACITY = 16.0


def on(day: int) -> date:
    return MONDAY + timedelta(days=day)


def marks(*records):
    stands = standing(records)
    return course.water_marks(stands.visits, stands.steps, CAPACITY)


def test_a_reading_and_a_fill_say_how_far_it_was_filled() -> None:
    """By hand: a quarter of 16 L is 4 L; with 9 L more 13 L; never beyond the overflow."""
    told = marks(
        a_check_in(level=0.25, litres_l=9.0, on=on(0)),
        a_check_in(level=0.75, litres_l=9.0, on=on(1)),
        a_check_in(level=0.5, overflow="ran-while-filling", on=on(2)),
        a_check_in(litres_l=5.0, on=on(3)),
        a_check_in(level=0.5, on=on(4)),
    )
    assert [(one.read_l, one.given_l, one.filled_to_l) for one in told] == [
        (4.0, 9.0, 13.0),
        (12.0, 9.0, 16.0),
        (8.0, None, 16.0),
        (None, 5.0, None),  # how far it went nobody knows
        (8.0, None, None),
    ]
    assert [one.overflow for one in told][2] == "ran-while-filling"


def test_what_says_nothing_of_water_is_no_mark() -> None:
    assert marks(a_check_in(plants=4, on=on(0)), a_check_in(overflow="dry", on=on(1))) == ()
    (wet,) = marks(a_check_in(overflow="wet-on-arrival", on=on(2)))
    assert (wet.read_l, wet.overflow) == (None, "wet-on-arrival")


def test_steps_of_lists_count_and_a_correction_stands_in_place() -> None:
    first = a_check_in(level=0.0, on=on(5))
    told = marks(
        a_step("fill", list="start-up", season=2026, on=on(0)),
        a_step("read-level", level=0.75, on=on(1)),
        a_step("pull-plug", on=on(2)),
        a_step("stop-water", on=on(3)),
    )
    assert [(one.read_l, one.filled_to_l, one.drained) for one in told] == [
        (None, 16.0, False),
        (12.0, None, False),
        (None, None, True),
    ]
    put_right = a_correction(first, level=0.5)
    (mark,) = marks(first, put_right)
    assert (mark.record, mark.read_l, mark.day) == (put_right.id, 8.0, on(5))


def test_plants_are_told_with_their_signs() -> None:
    stands = standing(
        [
            a_check_in(plants=3, signs=["wilting", "pests"], on=on(0)),
            a_check_in(signs=["salt-crust"], on=on(1)),
            a_check_in(level=0.5, on=on(2)),
        ]
    )
    told = course.plants_marks(stands.visits)
    assert [(one.score, one.signs) for one in told] == [
        (3, ("pests", "wilting")),
        (None, ("salt-crust",)),
    ]


def test_a_week_runs_from_monday_to_sunday_within_the_season() -> None:
    """Weeks of ISO 8601; the season begins on a Wednesday and ends on a Tuesday."""
    stands = standing(
        [
            a_check_in(level=0.5, litres_l=7.25, on=on(2)),
            a_check_in(level=0.25, litres_how="to-overflow", overhead_l=2.0, on=on(6)),
            a_check_in(litres_l=1.0, plants=2, signs=["wilting"], on=on(7)),
            a_check_in(plants=4, on=on(8)),
        ]
    )
    sky = [SkyDay(on(2), 10.0, 24.0, 3.5), SkyDay(on(3), 11.0, 31.5, None)]
    first, second = course.weeks(on(2), on(8), stands.visits, sky, CAPACITY)
    assert (first.first, first.last, second.first, second.last) == (on(2), on(6), on(7), on(8))
    assert (first.visits, first.lowest_l, first.given_tenths) == (2, 4.0, 73)  # 7.25 L, half up
    assert (first.overhead_tenths, first.unmeasured, first.overflows) == (20, 1, 1)
    assert (first.rain_mm, first.rain_days, first.tmax_c) == (3.5, 1, 31.5)
    assert (second.given_tenths, second.worst_plants, second.signs) == (10, 2, ("wilting",))
    assert (second.rain_mm, second.tmax_c) == (None, None)


def test_a_week_of_which_nothing_is_known_is_left_out() -> None:
    stands = standing([a_check_in(level=0.5, on=on(1)), a_check_in(level=0.5, on=on(22))])
    told = course.weeks(on(0), on(27), stands.visits, [], CAPACITY)
    assert [week.first for week in told] == [on(0), on(21)]


RUN = FlagRun("running_dry", "today", on(3), on(8), ("r1",))


def test_an_ending_names_who_decided_while_it_was_up_and_what_cleared_it() -> None:
    decided = [
        a_decision("running_dry", "settled", on=on(1)),  # about an earlier run
        a_decision("running_dry", "seen", on=on(4)),
        a_decision("soggy_mix", "settled", on=on(5)),
        a_decision("running_dry", "settled", on=on(6)),
        a_decision("running_dry", "seen", on=on(9)),
    ]
    recorded = [(on(7), "r7"), (on(8), "r8"), (on(8), "r8b"), (on(9), "r9")]
    told = course.ending(RUN, standing(decided).decisions, recorded)
    assert [mark.record for mark in told.decisions] == [decided[1].id, decided[3].id]
    assert told.settled is not None
    assert told.settled.record == decided[3].id
    assert told.settled_days == 3
    assert told.cleared_by == ("r8", "r8b")


def test_a_run_that_is_still_up_was_cleared_by_nothing() -> None:
    told = course.ending(FlagRun("x", "watch", on(3), None), [], [(on(3), "r3")])
    assert (told.cleared_by, told.settled, told.settled_days) == ((), None, None)
