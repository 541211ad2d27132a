"""fold: from records in any order to the state of a planter."""

from __future__ import annotations

from datetime import UTC, date, datetime

from build import (
    SPRING,
    WINTER,
    a_calendar,
    a_check_in,
    a_correction,
    a_planter,
    a_step,
    a_withdrawal,
)
from potrounds.domain.fold import PlanterState, fold
from potrounds.domain.records import Record

EVENING = datetime(2026, 8, 10, 20, tzinfo=UTC)


def the_state(*records: Record, up_to: datetime | None = EVENING) -> PlanterState:
    return fold(a_planter(), records, a_calendar(), up_to)


def winter_state(*records: Record) -> PlanterState:
    return the_state(*records, up_to=datetime(2026, 12, 1, tzinfo=UTC))


def test_a_planter_nobody_came_to_has_an_empty_state() -> None:
    state = the_state()
    assert (state.level, state.plants, state.last_visit, state.last_fed) == (None,) * 4
    assert state.plug.state == "unknown"
    assert not state.drained
    assert state.winterization.state == state.start_up.state == "not-begun"
    assert the_state(up_to=None).visits == ()


def test_the_level_is_the_last_one_read() -> None:
    state = the_state(
        a_check_in(level=0.75, days_ago=5),
        a_check_in(level=0.25, days_ago=2, by="Kofi", read_by="dipstick"),
        a_check_in(plants=4, days_ago=1),
    )
    assert state.level is not None
    assert (state.level.value, state.level.by, state.level.read_by) == (0.25, "Kofi", "dipstick")
    assert state.last_visit is not None
    assert state.last_visit.by == "Ines"


def test_a_fill_that_ran_the_overflow_is_full_from_then() -> None:
    ran = a_check_in(level=0.25, litres_l=12, overflow="ran-while-filling", days_ago=2)
    state = the_state(ran)
    assert state.level is not None
    assert (state.level.value, state.level.from_overflow) == (1.0, True)
    assert state.last_full is not None
    assert state.last_full.record == ran.id
    assert the_state(ran, a_check_in(level=0.5, days_ago=1)).level.value == 0.5
    typed = the_state(a_check_in(level=0.25, litres_l=6, litres_how="typed"))
    assert typed.level.value == 0.25
    assert typed.last_full is None


def test_R12_an_uncertain_time_never_decides_the_latest() -> None:
    sure = a_check_in(level=0.25, plants=2, plug="in", days_ago=3)
    unsure = a_check_in(level=1, plants=5, plug="out", days_ago=1, time_uncertain=True)
    state = the_state(sure, unsure)
    assert (state.level.value, state.plants.score, state.plug.state) == (0.25, 2, "in")
    assert state.last_visit.record == sure.id
    assert [visit.record for visit in state.visits] == [sure.id, unsure.id]


def test_what_was_seen_later_is_left_out_but_how_it_really_was_counts() -> None:
    first = a_check_in(level=1, days_ago=6)
    later = a_check_in(level=0, days_ago=1)
    correction = a_correction(first, level=0.5, days_ago=-2)
    then = datetime(2026, 8, 5, tzinfo=UTC)
    assert the_state(first, later, correction, up_to=then).level.value == 0.5
    assert the_state(first, later, a_withdrawal(first), up_to=then).level is None


def test_feeds_and_plants_are_remembered() -> None:
    fed = a_check_in(done=["fed"], feed={"what": "tomato feed"}, days_ago=9, plants=4)
    state = the_state(fed, a_check_in(level=1, days_ago=2))
    assert (state.last_fed.what, state.last_fed.record) == ("tomato feed", fed.id)
    assert (state.plants.score, state.plants.day) == (4, date(2026, 8, 1))


def test_the_plug_is_followed_through_the_winter_and_its_place_with_it() -> None:
    seen_in = a_check_in(plug="in", on=date(2026, 9, 1))
    pull = a_step("pull-plug", on=WINTER, by="Maud", second="Kofi")
    bag = a_step("bag-plug", on=WINTER, hour=11, plug_place="Bag M2, library shed")
    state = winter_state(bag, pull, seen_in)
    assert (state.plug.state, state.plug.place) == ("out", "Bag M2, library shed")
    assert state.drained
    assert state.last_winter_season == 2026
    looked = a_check_in(plug="out", on=date(2026, 11, 3))
    assert winter_state(seen_in, pull, bag, looked).plug.place == "Bag M2, library shed"
    assert winter_state(seen_in, pull, bag, looked).plug.day == date(2026, 11, 3)


def test_the_place_is_kept_when_the_bag_is_recorded_before_the_pull() -> None:
    bag = a_step("bag-plug", on=WINTER, hour=9, plug_place="Bag M2")
    pull = a_step("pull-plug", on=WINTER, hour=10)
    assert winter_state(pull, bag).plug.place == "Bag M2"


def test_a_plug_seen_out_in_winter_is_a_drained_planter_and_in_summer_is_not() -> None:
    assert winter_state(a_check_in(plug="out", on=WINTER)).drained
    assert not the_state(a_check_in(plug="out", days_ago=1)).drained
    assert not winter_state(a_check_in(plug="missing", on=WINTER)).drained


def test_start_up_puts_the_plug_back_and_fills() -> None:
    pull = a_step("pull-plug", season=2025, on=date(2025, 10, 20), plug_place="Bag M2")
    plug_in = a_step("plug-in", list="start-up", on=SPRING)
    fill = a_step("fill", list="start-up", on=SPRING, hour=11)
    before = the_state(pull, up_to=datetime(2026, 4, 1, tzinfo=UTC))
    assert before.drained
    after = the_state(pull, plug_in, fill, up_to=datetime(2026, 4, 21, tzinfo=UTC))
    assert not after.drained
    assert (after.plug.state, after.plug.place) == ("in", None)
    assert (after.level.value, after.last_full.record) == (1.0, fill.id)


def test_a_plug_seen_in_again_undoes_the_drain() -> None:
    pull = a_step("pull-plug", on=WINTER, second="Kofi", by="Maud")
    again = a_check_in(plug="in", on=date(2026, 10, 24))
    state = winter_state(pull, again)
    assert not state.drained
    assert state.winterization.step("pull-plug").state == "todo"
    assert state.winterization.state == "not-begun"


def test_what_was_read_before_the_plug_came_out_is_no_longer_the_level() -> None:
    read = a_step("read-level", on=WINTER, level=0.5)
    pull = a_step("pull-plug", on=WINTER, hour=11)
    assert winter_state(read).level.value == 0.5
    assert winter_state(read, pull).level is None
    full_all_the_same = a_check_in(plug="out", level=1, on=date(2026, 11, 3))
    assert winter_state(read, pull, full_all_the_same).level.value == 1
