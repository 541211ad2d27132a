"""Reservoir rules, each shown firing and keeping quiet. Thresholds: common practice, no source."""

from __future__ import annotations

from datetime import date

from build import (
    WINTER,
    a_calendar,
    a_check_in,
    a_correction,
    a_forecast,
    a_planter,
    a_step,
    a_withdrawal,
    raises,
    stays_quiet,
)

NBSP = "\N{NO-BREAK SPACE}"


def test_running_dry_raises_when_found_empty() -> None:
    empty = a_check_in(level=0, days_ago=1)
    evidence = raises("running_dry", empty)
    assert evidence.sentence == (
        "Empty when Ines came on Sunday 9 August, and no water given since."
    )
    assert evidence.urgency == "today"
    assert evidence.records == (empty.id,)


def test_running_dry_raises_at_a_quarter_for_this_week() -> None:
    evidence = raises("running_dry", a_check_in(level=0.25, days_ago=3, by="Kofi"))
    assert evidence.urgency == "this-week"
    assert evidence.sentence.startswith("Down to a quarter when Kofi came on Friday 7 August")


def test_running_dry_raises_on_overhead_water_alone() -> None:
    raises("running_dry", a_check_in(level=0, overhead_l=3))


def test_running_dry_stays_quiet_once_water_was_given() -> None:
    stays_quiet("running_dry", a_check_in(level=0, litres_l=14))
    stays_quiet("running_dry", a_check_in(level=0, overflow="ran-while-filling"))
    stays_quiet("running_dry", a_check_in(level=0, days_ago=2), a_check_in(litres_l=9))
    stays_quiet("running_dry", a_check_in(level=0, days_ago=2), a_check_in(level=0.5))
    stays_quiet("running_dry", a_check_in(level=0.5))
    stays_quiet("running_dry")


def test_running_dry_stays_quiet_when_the_reading_is_withdrawn_or_put_right() -> None:
    empty = a_check_in(level=0, days_ago=1)
    stays_quiet("running_dry", empty, a_withdrawal(empty))
    stays_quiet("running_dry", empty, a_correction(empty, level=0.75))


def test_running_dry_stays_quiet_where_nobody_waters() -> None:
    empty = a_check_in(level=0, days_ago=1)
    for status in ("stored", "retired", "lost"):
        stays_quiet("running_dry", empty, planter=a_planter(status=status))
    dry = a_check_in(level=0, on=WINTER)
    stays_quiet("running_dry", dry, a_step("stop-water", on=WINTER, hour=8), today=WINTER)
    stays_quiet("running_dry", dry, a_step("pull-plug", on=WINTER, hour=11), today=WINTER)
    raises("running_dry", dry, today=WINTER)


def test_running_dry_warns_of_ice_when_a_freeze_is_two_days_off() -> None:
    dry = a_check_in(level=0, on=WINTER)
    near = a_calendar(nights=(a_forecast(-1, date(2026, 10, 22)),))
    assert "no top-up" in (raises("running_dry", dry, calendar=near, today=WINTER).caution or "")
    far = a_calendar(nights=(a_forecast(-1, date(2026, 10, 23)),))
    assert raises("running_dry", dry, calendar=far, today=WINTER).caution is None


def test_overflow_on_arrival_raises_once_to_watch_and_twice_for_this_week() -> None:
    wet = a_check_in(overflow="wet-on-arrival", days_ago=5)
    assert raises("overflow_on_arrival", wet).urgency == "watch"
    again = a_check_in(overflow="wet-on-arrival", days_ago=1)
    evidence = raises("overflow_on_arrival", wet, a_check_in(plants=4, days_ago=3), again)
    assert evidence.urgency == "this-week"
    assert evidence.records == (again.id, wet.id)


def test_overflow_on_arrival_stays_quiet_once_it_was_dry_or_the_level_fell() -> None:
    wet = a_check_in(overflow="wet-on-arrival", days_ago=5)
    stays_quiet("overflow_on_arrival", wet, a_check_in(overflow="dry"))
    stays_quiet("overflow_on_arrival", wet, a_check_in(overflow="ran-while-filling"))
    stays_quiet("overflow_on_arrival", wet, a_check_in(level=0.5))
    stays_quiet("overflow_on_arrival", wet, a_withdrawal(wet))
    raises("overflow_on_arrival", wet, a_check_in(level=1))


def a_small_fill(days_ago: int, litres_l: float = 4) -> object:
    return a_check_in(litres_l=litres_l, overflow="ran-while-filling", days_ago=days_ago)


def test_overfilled_each_visit_raises_when_little_was_taken_up_three_times_of_four() -> None:
    fills = [a_small_fill(9), a_check_in(litres_l=9, days_ago=7), a_small_fill(5), a_small_fill(1)]
    evidence = raises("overfilled_each_visit", *fills)
    assert evidence.sentence == (
        f"The overflow ran at 3 of the last 4 fills after no more than 4{NBSP}L; "
        f"the reservoir holds 16{NBSP}L."
    )
    assert len(evidence.records) == 3


def test_overfilled_each_visit_stays_quiet_when_water_was_needed() -> None:
    stays_quiet("overfilled_each_visit", a_small_fill(9), a_small_fill(5))
    # 5 L of 16 L is more than a quarter
    stays_quiet("overfilled_each_visit", *[a_small_fill(day, 5) for day in (9, 7, 5, 1)])
    # the last four are looked at: two of them took what they needed
    needed = [a_check_in(litres_l=12, overflow="ran-while-filling", days_ago=d) for d in (2, 1)]
    stays_quiet("overfilled_each_visit", *[a_small_fill(d) for d in (9, 7, 5)], *needed)
    unmeasured = [a_check_in(overflow="ran-while-filling", days_ago=d) for d in (7, 5, 3, 1)]
    stays_quiet("overfilled_each_visit", *unmeasured)


def test_soggy_mix_raises_for_soggy_or_sour_mix() -> None:
    both = a_check_in(signs=["soggy-mix", "bad-smell"], days_ago=1, by="Kofi")
    evidence = raises("soggy_mix", both)
    assert evidence.sentence == "Soggy mix with a bad smell when Kofi came on Sunday 9 August."
    assert evidence.urgency == "this-week"
    assert raises("soggy_mix", a_check_in(signs=["bad-smell"])).urgency == "watch"


def test_soggy_mix_stays_quiet_once_a_look_found_it_gone() -> None:
    soggy = a_check_in(signs=["soggy-mix"], days_ago=3)
    stays_quiet("soggy_mix", soggy, a_check_in(plants=4))
    stays_quiet("soggy_mix", a_check_in(signs=["dry-mix"]))
    raises("soggy_mix", soggy, a_check_in(litres_l=2))  # a fill is no look


def test_litres_beyond_capacity_raises_when_more_went_in_than_there_was_room() -> None:
    # half of 16 L leaves 8 L of room, 10 L at most; 12 L is more by a fifth
    evidence = raises("litres_beyond_capacity", a_check_in(level=0.5, litres_l=12, days_ago=1))
    assert evidence.numbers == {"litres_l": 12, "room_l": 10}
    assert f"12{NBSP}L given when Ines came on Sunday 9 August" in evidence.sentence
    assert f"room for 10{NBSP}L at most" in evidence.sentence
    raises("litres_beyond_capacity", a_check_in(litres_l=19))  # over 16 L x 1.15 = 18.4 L
    ran = a_check_in(level=0.5, litres_l=19, overflow="ran-while-filling")
    assert "holds 16" in raises("litres_beyond_capacity", ran).sentence


def test_litres_beyond_capacity_stays_quiet_within_what_can_be_measured() -> None:
    stays_quiet("litres_beyond_capacity", a_check_in(level=0.5, litres_l=11))
    stays_quiet("litres_beyond_capacity", a_check_in(litres_l=18))
    # where the overflow ran, what was too much ran out of it
    ran = a_check_in(level=0.5, litres_l=12, overflow="ran-while-filling")
    stays_quiet("litres_beyond_capacity", ran)
    wrong = a_check_in(level=0.5, litres_l=40, days_ago=4)
    stays_quiet("litres_beyond_capacity", wrong, a_check_in(level=0.5, litres_l=8))
    stays_quiet("litres_beyond_capacity", wrong, a_correction(wrong, level=0.5, litres_l=4))
    stays_quiet("litres_beyond_capacity")


def test_impossible_reading_raises_when_the_level_rose_by_itself() -> None:
    low, high = a_check_in(level=0.25, days_ago=5), a_check_in(level=1, days_ago=1, by="Kofi")
    evidence = raises("impossible_reading", low, high)
    assert evidence.records == (low.id, high.id)
    assert evidence.sentence.startswith(
        "Rose from a quarter on Wednesday 5 August to full when Kofi came on Sunday 9 August"
    )


def test_impossible_reading_raises_when_full_with_the_plug_out() -> None:
    assert "with the drain plug out" in (
        raises("impossible_reading", a_check_in(level=1, plug="out")).sentence
    )
    raises("impossible_reading", a_check_in(level=0.5, plug="missing"))


def test_impossible_reading_stays_quiet_when_it_can_be() -> None:
    low, high = a_check_in(level=0.25, days_ago=5), a_check_in(level=1, days_ago=1)
    for between in (
        a_check_in(litres_l=8, days_ago=3),
        a_check_in(overhead_l=6, days_ago=3),
        a_check_in(done=["flushed"], days_ago=3),
        a_check_in(overflow="ran-while-filling", days_ago=3),
    ):
        stays_quiet("impossible_reading", low, between, high)
    stays_quiet("impossible_reading", a_check_in(level=0.25, litres_l=12, days_ago=5), high)
    # each mark is known to half a step: one step up may be no change at all
    stays_quiet("impossible_reading", a_check_in(level=0.75, days_ago=5), high)
    stays_quiet("impossible_reading", low, high, a_check_in(level=0.75, hour=18))
    stays_quiet("impossible_reading", a_check_in(level=0.25, plug="out"))
    stays_quiet("impossible_reading", high)
    fill = a_step("fill", list="start-up", days_ago=3)
    stays_quiet("impossible_reading", low, fill, high)
