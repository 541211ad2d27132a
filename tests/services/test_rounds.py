"""Planning and telling rounds in a real town."""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from typing import Any

import pytest

from desk import Desk, Phone
from potrounds.services import crew, rounds, town_settings
from potrounds.services.refusal import Refusal
from potrounds.store import rounds as told_store
from round_people import WEEKDAYS, planned, tell

MONDAY = date(2026, 5, 4)  # where the desk's clock stands


# --- planning with what is missing ---------------------------------------------------------------


def test_a_crew_without_days_is_said_and_the_rest_is_planned(
    desk: Desk, vera: Phone, omar: Phone
) -> None:
    crew.put_member(desk.ctx, vera.person, {**WEEKDAYS, "weekdays": []}, None)
    crew.put_member(desk.ctx, omar.person, dict(WEEKDAYS), None)
    plan = rounds.plan(desk.ctx)
    assert any(note.startswith("Vera has no days") for note in plan["notes"])
    assert planned(plan).keys() == {desk.planter, desk.other_planter}


def test_no_days_at_all_is_one_clear_sentence(desk: Desk, vera: Phone) -> None:
    plan = rounds.plan(desk.ctx)
    assert plan["days"] == []
    assert any("Set the crew's days" in note for note in plan["notes"])


def test_a_nameless_crew_is_planned_for_and_cannot_be_told(desk: Desk) -> None:
    town_settings.change_settings(desk.ctx, {"crew_days": [0, 3]})
    plan = rounds.plan(desk.ctx)
    assert planned(plan)
    assert any("Nobody is named" in note for note in plan["notes"])
    with pytest.raises(Refusal) as refused:
        rounds.tell(desk.ctx, plan["mark"])
    assert refused.value.slug == "nobody-named"


def test_without_positions_stops_stand_by_site_and_name(desk: Desk, both_go_out: None) -> None:
    desk.add_planter("Ferry landing 0")
    plan = rounds.plan(desk.ctx)
    assert any("order of site and name" in note for note in plan["notes"])
    for day in plan["days"]:
        for one in day["rounds"]:
            names = [stop["name"] for stop in one["stops"]]
            assert names == sorted(names)


def test_without_a_forecast_the_towns_interval_decides(desk: Desk, both_go_out: None) -> None:
    plan = rounds.plan(desk.ctx)
    assert any("No forecast" in note for note in plan["notes"])
    days = [date.fromisoformat(day) for day, _ in planned(plan)[desk.planter]]
    gaps = [(later - sooner).days for sooner, later in pairwise(days)]
    assert days[0] == MONDAY
    assert all(gap <= 7 for gap in gaps)  # visit_days of a new town


def test_no_taps_are_said_where_somebody_has_a_tank(desk: Desk, vera: Phone) -> None:
    body = {**WEEKDAYS, "mode": "cart", "tank_l": 40.0}
    crew.put_member(desk.ctx, vera.person, body, None)
    plan = rounds.plan(desk.ctx)
    assert any(note.startswith("No tap is on record") for note in plan["notes"])
    assert planned(plan)


def test_a_tank_smaller_than_one_planters_need_takes_several_loads(desk: Desk, vera: Phone) -> None:
    tap = crew.add_tap(desk.ctx, {"name": "Ferry tap", "site": desk.site, "flow_l_min": 10.0})
    body = {**WEEKDAYS, "mode": "cart", "tank_l": 6.0, "start_tap": tap["id"]}
    crew.put_member(desk.ctx, vera.person, body, None)
    plan = rounds.plan(desk.ctx)
    assert any("several loads" in note for note in plan["notes"])
    stops = [s for day in plan["days"] for one in day["rounds"] for s in one["stops"]]
    assert {stop["loads"] for stop in stops if stop["litres_l"] == 16.0} == {3}  # 16 L by sixes


def test_a_planter_reached_by_nobody_is_named(desk: Desk, vera: Phone) -> None:
    tap = crew.add_tap(desk.ctx, {"name": "Ferry tap", "site": desk.site})
    crew.put_member(desk.ctx, vera.person, {**WEEKDAYS, "start_tap": tap["id"]}, None)
    crew.put_ways(desk.ctx, [{"one": tap["id"], "other": desk.other_planter, "metres": 90_000.0}])
    plan = rounds.plan(desk.ctx)
    assert any("Ferry landing 2 is reached by nobody" in note for note in plan["notes"])
    assert planned(plan).keys() == {desk.planter}


def test_minutes_a_stop_are_those_of_past_visits(desk: Desk, vera: Phone, omar: Phone) -> None:
    """A check-in every twelve minutes, eighty metres between: at 80 m/min eleven are left for the
    stop. Five minutes are reckoned with before anybody has been there."""
    crew.put_member(desk.ctx, vera.person, dict(WEEKDAYS), None)
    crew.put_ways(desk.ctx, [{"one": desk.planter, "other": desk.other_planter, "metres": 80.0}])
    assert minutes_of(rounds.plan(desk.ctx)) == {5.0}
    for _ in range(12):
        for planter in (desk.planter, desk.other_planter):
            vera.push(vera.record(planter=planter, body={"level": 0.5}))
            desk.clock.tick(minutes=12)
    desk.clock.tick(days=7)
    assert minutes_of(rounds.plan(desk.ctx)) == {11.0}


def minutes_of(plan: dict[str, Any]) -> set[float]:
    stops = [s for day in plan["days"] for one in day["rounds"] for s in one["stops"]]
    assert stops
    return {stop["minutes"] for stop in stops}


# --- telling and planning again ------------------------------------------------------------------


def test_what_was_told_stays_while_nothing_forces_a_change(desk: Desk, both_go_out: None) -> None:
    tell(desk)
    before = {one.key: one.plan["stops"] for one in told_store.told(MONDAY)}
    assert before
    again = rounds.plan(desk.ctx)
    assert again["changes"] == []
    rounds.tell(desk.ctx, again["mark"])
    after = {one.key: [s["planter"] for s in one.plan["stops"]] for one in told_store.told(MONDAY)}
    assert after == {key: [s["planter"] for s in stops] for key, stops in before.items()}


def test_a_person_who_cannot_come_is_replaced_and_it_is_said(
    desk: Desk, vera: Phone, omar: Phone, both_go_out: None
) -> None:
    tell(desk)
    (mine,) = {one.person for one in told_store.told(MONDAY, MONDAY)}
    first_name = "Vera" if mine == vera.person else "Omar"
    crew.put_member(desk.ctx, mine, {**WEEKDAYS, "away": ["2026-05-04"]}, None)
    changes = rounds.plan(desk.ctx)["changes"]
    assert {one["what"] for one in changes} == {"moved"}
    assert all(f"no longer {first_name} on Monday 4 May" in one["sentence"] for one in changes)


def test_an_added_planter_is_said(desk: Desk, both_go_out: None) -> None:
    tell(desk)
    desk.add_planter("Ferry landing 3")
    changes = rounds.plan(desk.ctx)["changes"]
    assert [one["what"] for one in changes][:1] == ["added"]
    assert changes[0]["sentence"].startswith("Ferry landing 3: added for ")


def test_a_stop_visited_since_is_dropped_with_its_reason(
    desk: Desk, vera: Phone, both_go_out: None
) -> None:
    desk.clock.tick(days=1)  # Tuesday: the next round is Thursday's
    tell(desk)
    desk.clock.tick(hours=2)
    body = {"level": 0.5, "overflow": "ran-while-filling"}
    vera.push(vera.record(planter=desk.other_planter, body=body))
    changes = rounds.plan(desk.ctx)["changes"]
    sentences = [one["sentence"] for one in changes if one["planter"] == desk.other_planter]
    assert len(sentences) == 1
    assert "visited since" in sentences[0]


def test_a_plan_that_has_changed_since_it_was_looked_at_is_not_told(
    desk: Desk, vera: Phone, both_go_out: None
) -> None:
    plan = rounds.plan(desk.ctx)
    vera.push(vera.record(body={"level": 0.25}))
    with pytest.raises(Refusal) as refused:
        rounds.tell(desk.ctx, plan["mark"])
    assert (refused.value.status, refused.value.slug) == (409, "plan-changed")
