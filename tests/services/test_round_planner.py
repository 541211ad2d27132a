"""What holds for every plan, whatever the planters, the crew and the tanks."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from potrounds.domain.round_changes import changes
from potrounds.domain.rounds import (
    CrewMember,
    Plan,
    Position,
    Task,
    Told,
)
from potrounds.services.round_planner import Inputs, make_plan
from round_towns import SLOW, TODAY, a_need, crew_days, ground, told_by, towns


@SLOW
@given(towns())
def test_every_plan(inputs: Inputs) -> None:
    plan = make_plan(inputs)
    for day in plan.days:
        stops = [planter for one in day.rounds for planter in one.planters]
        assert len(stops) == len(set(stops))  # nobody twice, in two rounds or in one
        assert not {visit.need.planter for visit in day.left_out} & set(stops)
        for one in day.rounds:
            assert one.minutes <= one.member.minutes + 0.5
            left = one.member.tank_l
            for stop in one.stops:
                left = one.member.tank_l if stop.refill_at else left
                if left is not None and stop.loads == 1:
                    assert stop.visit.litres.mid <= left + 1e-6
                    left -= stop.visit.litres.mid
                elif left is not None:
                    left = 0.0
    assert_soon_enough(inputs, plan)


def assert_soon_enough(inputs: Inputs, plan: Plan) -> None:
    """Whatever runs dry before the next crew day is visited in time, or said to be left out."""
    visited: dict[str, list[date]] = {}
    for one in plan.rounds():
        for planter in one.planters:
            visited.setdefault(planter, []).append(one.day)
    left_out = {visit.need.planter for day in plan.days for visit in day.left_out}
    for need in inputs.needs:
        if need.planter in left_out or need.planter in plan.unplanned:
            continue
        filled: date | None = None
        for day in inputs.days:
            filled = day.day if day.day in visited.get(need.planter, []) else filled
            since = TODAY if filled is None else filled
            chances = need.dry_before if filled is None else need.dry_after_fill
            if filled != day.day:  # who was there that day could do no more
                assert chances[min((day.next_day - since).days, 39)] <= inputs.risk


@SLOW
@given(towns(), st.randoms(use_true_random=False))
def test_the_order_of_what_is_read_does_not_matter(inputs: Inputs, chance: random.Random) -> None:
    needs = list(inputs.needs)
    chance.shuffle(needs)
    assert make_plan(replace(inputs, needs=tuple(needs))) == make_plan(inputs)


def small_town(**more: object) -> Inputs:
    at = [Position(48.0 + step / 1000, 10.0) for step in range(4)]
    needs = tuple(a_need(number, 4 + number, 9, 10.0, at[number]) for number in range(4))
    members = (
        CrewMember("u-1", "Ana", (0, 3), 240),
        CrewMember("u-2", "Ben", (0, 3), 240),
    )
    return replace(
        Inputs(TODAY, needs, crew_days(members), ground(needs)),
        **more,  # type: ignore[arg-type]
    )


def test_told_and_planned_again_is_the_same_plan() -> None:
    first = make_plan(small_town())
    told = told_by(first)
    again = make_plan(small_town(told=told))
    assert [(one.key, one.planters) for one in again.rounds()] == [
        (one.key, one.planters) for one in first.rounds()
    ]
    assert changes(again, told, {}, {}) == ()


def test_what_was_told_stays_where_it_is_though_another_would_be_shorter() -> None:
    inputs = small_town()
    thursday = inputs.days[1].day
    told = (
        Told(thursday, "u-1", ("p-00", "p-02")),
        Told(thursday, "u-2", ("p-01", "p-03")),
    )
    plan = make_plan(replace(inputs, told=told))
    kept = {one.member.person: one.planters for one in plan.rounds() if one.day == thursday}
    assert kept == {"u-1": ("p-00", "p-02"), "u-2": ("p-01", "p-03")}
    assert changes(plan, told, {}, {}) == ()


def test_what_cannot_wait_is_moved_and_says_why() -> None:
    """Told for Thursday, it will now be dry on Wednesday: it is Monday's."""
    inputs = small_town()
    thursday = inputs.days[1].day
    told = (Told(thursday, "u-1", ("p-00", "p-01")),)
    hot = replace(inputs.needs[0], dry_before=tuple(float(day > 1) for day in range(40)))
    plan = make_plan(replace(inputs, told=told, needs=(hot, *inputs.needs[1:])))
    (moved,) = [
        one
        for one in changes(plan, told, {"p-00": "Quay 1"}, {"u-1": "Ana"})
        if one.what == "moved"
    ]
    assert moved.planter == "p-00"
    assert moved.sentence.startswith("Quay 1: Ana on Monday 10 August, no longer Ana on Thursday")
    assert "likely to be dry before Thursday 13 August" in moved.sentence


def test_a_near_one_is_taken_along_and_a_far_one_is_not() -> None:
    """Due on Thursday: next door to Monday's, with its cycle nearly used up; or far off."""
    monday = a_need(0, 2, 9, 10.0, Position(48.0, 10.0))
    beside = a_need(1, 6, 9, 10.0, Position(48.0001, 10.0))
    far_off = a_need(2, 6, 9, 10.0, Position(48.05, 10.0))
    needs = (monday, beside, far_off)
    members = (CrewMember("u-1", "Ana", (0, 3), 240),)
    plan = make_plan(Inputs(TODAY, needs, crew_days(members), ground(needs)))
    today = plan.days[0].rounds[0]
    assert set(today.planters) == {"p-00", "p-01"}
    assert {stop.visit.need.planter: stop.visit.must for stop in today.stops} == {
        "p-00": True,
        "p-01": False,
    }


def test_nobody_is_taken_along_where_others_bring_somebody_next_door_anyway() -> None:
    """Two neighbours due on Thursday: then it is a few steps from one to the other."""
    monday = a_need(0, 2, 9, 10.0, Position(48.0, 10.0))
    beside = a_need(1, 6, 9, 10.0, Position(48.0001, 10.0))
    neighbour = a_need(2, 6, 9, 10.0, Position(48.00015, 10.0))
    needs = (monday, beside, neighbour)
    members = (CrewMember("u-1", "Ana", (0, 3), 240),)
    plan = make_plan(Inputs(TODAY, needs, crew_days(members), ground(needs)))
    assert [set(one.planters) for one in plan.rounds()[:2]] == [{"p-00"}, {"p-01", "p-02"}]


def test_what_a_day_has_no_time_for_goes_to_the_day_before() -> None:
    """Eight planters due on Thursday, an hour a day: some of them are Monday's."""
    at = Position(48.0, 10.0)
    needs = tuple(replace(a_need(number, 5, 14, 10.0, at), minutes=12.0) for number in range(8))
    members = (CrewMember("u-1", "Ana", (0, 3), 60),)
    plan = make_plan(Inputs(TODAY, needs, crew_days(members), ground(needs)))
    visits = [planter for one in plan.rounds()[:2] for planter in one.planters]
    assert sorted(visits) == [need.planter for need in needs]
    assert all(day.left_out == () for day in plan.days)


def test_too_many_for_the_hands_there_are_is_said() -> None:
    at = Position(48.0, 10.0)
    needs = tuple(replace(a_need(number, 0, 14, 10.0, at), minutes=12.0) for number in range(9))
    members = (CrewMember("u-1", "Ana", (0, 3), 60),)
    plan = make_plan(Inputs(TODAY, needs, crew_days(members), ground(needs)))
    assert len(plan.days[0].rounds[0].stops) == 5
    assert len(plan.days[0].left_out) == 4
    assert any("no time or no water left for 4" in note for note in plan.notes)


def test_a_feed_waits_for_its_day_and_is_done_with_the_water() -> None:
    """Due from Wednesday for four days: Thursday's visit, which the water wants anyway, does."""
    need = a_need(0, 5, 9, 10.0, Position(48.0, 10.0))
    feed = Task("feed", "Feed due.", date(2026, 8, 12), date(2026, 8, 16))
    needs = (replace(need, tasks=(feed,)),)
    members = (CrewMember("u-1", "Ana", (0, 3), 240),)
    plan = make_plan(Inputs(TODAY, needs, crew_days(members), ground(needs)))
    assert plan.rounds()[0].day == date(2026, 8, 13)
    assert "Feed due." in plan.rounds()[0].stops[0].visit.why


def test_nobody_pours_before_a_freeze() -> None:
    inputs = small_town()
    frozen = tuple(replace(day, no_water=at == 0) for at, day in enumerate(inputs.days))
    hot = replace(inputs.needs[0], dry_before=tuple(float(day > 1) for day in range(40)))
    plan = make_plan(replace(inputs, days=frozen, needs=(hot,)))
    assert plan.rounds()[0].day == inputs.days[1].day


def test_a_way_too_long_to_walk_begins_a_new_leg() -> None:
    needs = (
        a_need(0, 0, 9, 10.0, Position(48.0, 10.0)),
        a_need(1, 0, 9, 10.0, Position(48.1, 10.0)),  # 11 km off
    )
    members = (CrewMember("u-1", "Ana", (0, 3), 240),)
    plan = make_plan(Inputs(TODAY, needs, crew_days(members), ground(needs)))
    (first, second) = plan.rounds()[0].stops
    assert (first.new_leg, second.new_leg) == (False, True)
    assert second.way_min == second.way_m / 250  # driven


def test_less_risk_costs_visits_and_saves_planters() -> None:
    needs = []
    for number in range(6):
        rising = tuple(min(1.0, (day / 12) ** 3) for day in range(40))
        need = a_need(number, 9, 9, 10.0, Position(48.0, 10.0))
        needs.append(replace(need, dry_before=rising, dry_after_fill=rising))
    members = (CrewMember("u-1", "Ana", (0, 3), 240),)
    plan = make_plan(Inputs(TODAY, tuple(needs), crew_days(members), ground(tuple(needs))))
    visits = [one.visits for one in plan.choices]
    dry = [one.dry for one in plan.choices]
    assert visits == sorted(visits, reverse=True)
    assert dry == sorted(dry)
    assert dry[0] < dry[-1]
