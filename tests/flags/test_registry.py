"""Since when a flag is up, and what a coordinator's decision does to it."""

from __future__ import annotations

import time
from datetime import date, timedelta

import pytest

from build import (
    TODAY,
    WINTER,
    a_calendar,
    a_check_in,
    a_correction,
    a_decision,
    a_forecast,
    a_planter,
    the_cases,
    the_flags,
)
from potrounds.domain.planter import Planting
from potrounds.flags import raise_flags
from potrounds.flags.registry import REPLAY_DAYS

EMPTY = a_check_in(level=0, plants=4, days_ago=4, id="r-empty")
RECENT = {"planter": a_planter(planting=Planting(date(2026, 5, 12)))}


def day(ago: int) -> date:
    return TODAY - timedelta(days=ago)


def test_a_flag_is_up_since_the_day_its_unbroken_run_began() -> None:
    flag = the_flags(EMPTY)["running_dry"]
    assert (flag.since, flag.urgent_since) == (day(4), day(4))
    earlier = a_check_in(level=0, days_ago=20)
    filled = a_check_in(overflow="ran-while-filling", days_ago=18)
    assert the_flags(earlier, filled, EMPTY)["running_dry"].since == day(4)


def test_a_run_may_grow_more_urgent_on_its_way() -> None:
    quarter = a_check_in(level=0.25, days_ago=6)
    flag = the_flags(quarter, EMPTY)["running_dry"]
    assert (flag.since, flag.urgent_since) == (day(6), day(4))
    slower = the_flags(EMPTY, a_check_in(level=0.25, days_ago=2))["running_dry"]
    assert (slower.urgency, slower.urgent_since) == ("this-week", day(4))


def test_a_correction_moves_the_beginning_to_how_it_really_was() -> None:
    first = a_check_in(level=1, days_ago=6)
    correction = a_correction(first, level=0)
    assert the_flags(first, correction)["running_dry"].since == day(6)


def test_a_run_is_followed_back_no_further_than_a_season_needs() -> None:
    planter = a_planter(planting=Planting(date(2024, 5, 12)))
    flag = the_flags(planter=planter)["not_visited"]
    assert flag.since == day(REPLAY_DAYS)


def test_a_forecast_raises_its_flag_from_the_day_it_was_typed() -> None:
    night = a_forecast(-2, WINTER + timedelta(days=5), known_on=WINTER - timedelta(days=1))
    flags = the_flags(today=WINTER, calendar=a_calendar(nights=(night,)))
    assert flags["drain_not_pulled"].since == WINTER - timedelta(days=1)


def test_flags_come_most_urgent_first_then_by_where_one_looks() -> None:
    visit = a_check_in(level=0, plants=2, signs=["broken", "path-blocked"], days_ago=1)
    flags = raise_flags(the_cases(visit), TODAY)
    assert [(flag.urgency, flag.code) for flag in flags] == [
        ("today", "running_dry"),
        ("today", "stressed_plants"),
        ("today", "path_blocked"),
        ("this-week", "broken_part"),
    ]


def test_a_season_of_records_is_judged_in_good_time() -> None:
    visits = [a_check_in(level=0.25, plants=3, days_ago=number) for number in range(1, 121)]
    begin = time.perf_counter()
    the_flags(*visits, today=TODAY)
    assert time.perf_counter() - begin < 2.0


@pytest.mark.parametrize("decision", ["seen", "handed"])
def test_seen_and_handed_stand_beside_the_flag(decision: str) -> None:
    mark = a_decision("running_dry", decision, (EMPTY,), days_ago=1)
    flag = the_flags(EMPTY, mark)["running_dry"]
    assert flag.decision is not None
    assert flag.decision.record == mark.id
    assert not flag.quiet


def test_not_a_problem_hides_until_its_day() -> None:
    mark = a_decision("running_dry", "not-a-problem", (EMPTY,), until=day(-3), days_ago=1)
    assert the_flags(EMPTY, mark)["running_dry"].quiet
    assert the_flags(EMPTY, mark, today=day(-2))["running_dry"].quiet
    assert not the_flags(EMPTY, mark, today=day(-3))["running_dry"].quiet


@pytest.mark.parametrize("decision", ["not-a-problem", "settled"])
def test_new_evidence_ends_the_quiet(decision: str) -> None:
    until = {"until": day(-30)} if decision == "not-a-problem" else {}
    mark = a_decision("running_dry", decision, (EMPTY,), days_ago=1, **until)
    assert the_flags(EMPTY, mark)["running_dry"].quiet
    again = a_check_in(level=0, days_ago=0)
    flag = the_flags(EMPTY, mark, again)["running_dry"]
    assert not flag.quiet
    assert flag.decision is not None  # the same run: the decision stays readable


def test_settled_speaks_again_when_the_flag_has_grown_more_urgent() -> None:
    last = a_check_in(level=1, plants=4, days_ago=10)
    mark = a_decision("not_visited", "settled", (last,), days_ago=2)
    assert the_flags(last, mark)["not_visited"].quiet
    later = day(-5)  # 15 days: from this week to today
    flag = the_flags(last, mark, today=later)["not_visited"]
    assert (flag.urgency, flag.quiet) == ("today", False)


def test_a_decision_about_an_earlier_run_is_past() -> None:
    june = a_check_in(level=0, days_ago=60)
    mark = a_decision("running_dry", "handed", (june,), to="u-kofi", days_ago=59)
    filled = a_check_in(overflow="ran-while-filling", days_ago=58)
    flag = the_flags(june, mark, filled, EMPTY)["running_dry"]
    assert flag.decision is None


def test_the_last_decision_counts() -> None:
    first = a_decision("running_dry", "settled", (EMPTY,), days_ago=2)
    last = a_decision("running_dry", "seen", (EMPTY,), days_ago=1)
    flag = the_flags(last, EMPTY, first)["running_dry"]
    assert (flag.decision.record, flag.quiet) == (last.id, False)


def test_a_decision_on_another_flag_touches_nothing() -> None:
    mark = a_decision("salt_crust", "settled", (EMPTY,), days_ago=1)
    flag = the_flags(EMPTY, mark)["running_dry"]
    assert (flag.decision, flag.quiet) == (None, False)
