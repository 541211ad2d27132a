"""Planning and telling rounds in a real town, and what its people do on them."""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from typing import Any

import pytest

from desk import Desk, Phone, record_id
from potrounds.services import assess, crew, people, rounds, town_settings
from potrounds.services.refusal import Refusal
from potrounds.store import derived
from potrounds.store import rounds as told_store

MONDAY = date(2026, 5, 4)  # where the desk's clock stands
WEEKDAYS = {"weekdays": [0, 3], "minutes": 120, "mode": "foot"}


@pytest.fixture
def vera(desk: Desk) -> Phone:
    return desk.join("Vera Lindqvist")


@pytest.fixture
def omar(desk: Desk) -> Phone:
    return desk.join("Omar Haddad")


@pytest.fixture
def both_go_out(desk: Desk, vera: Phone, omar: Phone) -> None:
    for phone in (vera, omar):
        crew.put_member(desk.ctx, phone.person, dict(WEEKDAYS), None)


def tell(desk: Desk) -> dict[str, Any]:
    plan = rounds.plan(desk.ctx)
    return rounds.tell(desk.ctx, plan["mark"])


def planned(plan: dict[str, Any]) -> dict[str, list[tuple[str, str]]]:
    """Day and person of each planned visit, by planter."""
    found: dict[str, list[tuple[str, str]]] = {}
    for day in plan["days"]:
        for one in day["rounds"]:
            for stop in one["stops"]:
                found.setdefault(stop["planter"], []).append((day["date"], one["person"]["id"]))
    return found


def stop_of(card: dict[str, Any], planter: str) -> dict[str, Any]:
    return next(stop for stop in card["stops"] if stop["planter"] == planter)


def round_card(key: str) -> dict[str, Any]:
    card = derived.get(key)
    assert card is not None
    assert card.content is not None
    return card.content


def said(cards: dict[str, Any]) -> dict[str, Any]:
    """Cards without the stamps of when they were made."""
    return {
        key: {name: value for name, value in (content or {}).items() if name not in derived.STAMPS}
        for key, content in cards.items()
    }


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


# --- on the round --------------------------------------------------------------------------------


def test_a_stop_is_done_by_its_check_in_and_others_see_it(
    desk: Desk, vera: Phone, omar: Phone, both_go_out: None
) -> None:
    tell(desk)
    (told,) = told_store.told(MONDAY, MONDAY)
    vera.push(vera.record(body={"level": 0.5}))
    stop = stop_of(round_card(told.key), desk.planter)
    assert (stop["state"], stop["by"]) == ("done", "Vera Lindqvist")
    pulled = [one for one in omar.pull()["items"] if one["what"] == "round"]
    assert told.key in {one["round"]["id"] for one in pulled}


def test_skip_hand_over_and_addition_each_leave_a_stop_in_one_round(
    desk: Desk, vera: Phone, omar: Phone, both_go_out: None
) -> None:
    third = desk.add_planter("Ferry landing 3", status="stored")
    tell(desk)
    (told,) = told_store.told(MONDAY, MONDAY)
    mine, other = (vera, omar) if told.person == vera.person else (omar, vera)
    theirs = f"round-2026-05-04-{other.person}"
    hand = {"round": told.key, "what": "handed", "to": other.person}
    skip = {"round": told.key, "what": "skipped", "reason": "blocked"}
    add = {"round": theirs, "what": "added"}
    results = mine.push(
        mine.record("stop", desk.planter, body=hand),
        mine.record("stop", desk.other_planter, body=skip),
    ) + other.push(other.record("stop", third, body=add))
    assert {one["outcome"] for one in results} == {"stored"}
    ours, card = round_card(told.key), round_card(theirs)
    assert [stop["planter"] for stop in ours["stops"]] == [desk.other_planter]
    assert (ours["stops"][0]["state"], ours["stops"][0]["reason"]) == ("skipped", "blocked")
    assert [one["planter"] for one in ours["handed_on"]] == [desk.planter]
    assert {stop["planter"] for stop in card["stops"]} == {desk.planter, third}
    assert stop_of(card, desk.planter)["litres_l"] is not None  # as it was told to the other
    assert stop_of(card, third)["added"]
    before = {card.key: card.content for card in derived.all_cards()}
    assess.rebuild(desk.ctx)
    after = {card.key: card.content for card in derived.all_cards()}
    assert said(after) == said(before)


def test_taking_a_skip_back_makes_the_stop_open_again(
    desk: Desk, vera: Phone, omar: Phone, both_go_out: None
) -> None:
    tell(desk)
    (told,) = told_store.told(MONDAY, MONDAY)
    mine = vera if told.person == vera.person else omar
    body = {"round": told.key, "what": "skipped", "reason": "no-time"}
    skip = mine.record("stop", desk.planter, body=body)
    mine.push(skip)
    assert stop_of(round_card(told.key), desk.planter)["state"] == "skipped"
    mine.push(mine.record("withdrawal", desk.planter, body={"replaces": record_id(skip)}))
    assert stop_of(round_card(told.key), desk.planter)["state"] == "to-do"


def test_todays_round_once_begun_is_left_as_it_is(
    desk: Desk, vera: Phone, omar: Phone, both_go_out: None
) -> None:
    tell(desk)
    (told,) = told_store.told(MONDAY, MONDAY)
    mine = vera if told.person == vera.person else omar
    mine.push(mine.record("round", "town", body={"round": told.key, "what": "started"}))
    desk.add_planter("Ferry landing 3")
    plan = rounds.plan(desk.ctx)
    assert plan["days"][0]["date"] == "2026-05-07"
    rounds.tell(desk.ctx, plan["mark"])
    assert [one.key for one in told_store.told(MONDAY, MONDAY)] == [told.key]


# --- hours ---------------------------------------------------------------------------------------


def test_start_and_end_give_hours_and_a_hand_puts_them_right(desk: Desk, vera: Phone) -> None:
    key = f"round-2026-05-04-{vera.person}"
    vera.push(vera.record("round", "town", body={"round": key, "what": "started"}))
    assert round_card(key)["state"] == "under-way"
    desk.clock.tick(minutes=52, seconds=30)
    vera.push(vera.record("round", "town", body={"round": key, "what": "ended"}))
    (row,) = rounds.hours(vera.ctx, None, None)["rounds"]
    assert (row["minutes"], row["exact_min"]) == (60, 52.5)  # half a quarter counts up
    corin = desk.join("Corin", "coordinator")
    right = {"round": key, "what": "hours", "minutes": 82}
    (result,) = corin.push(corin.record("round", "town", body=right))
    assert result["outcome"] == "stored"
    (row,) = rounds.hours(corin.ctx, None, None)["rounds"]
    assert (row["minutes"], row["by_hand"]) == (75, True)


def test_nobody_starts_the_round_of_another(desk: Desk, vera: Phone, omar: Phone) -> None:
    key = f"round-2026-05-04-{vera.person}"
    (result,) = omar.push(omar.record("round", "town", body={"round": key, "what": "started"}))
    assert result["outcome"] == "rejected"
    assert result["problem"]["type"] == "/problems/not-your-round"
    (result,) = vera.push(vera.record("round", body={"round": key, "what": "started"}))
    assert result["problem"]["type"] == "/problems/no-planters-record"


def test_a_volunteer_sees_own_hours_only(desk: Desk, vera: Phone, omar: Phone) -> None:
    for phone in (vera, omar):
        key = f"round-2026-05-04-{phone.person}"
        phone.push(phone.record("round", "town", body={"round": key, "what": "started"}))
    seen = rounds.hours(vera.ctx, None, None)["rounds"]
    assert {row["person"]["id"] for row in seen} == {vera.person}
    assert "begun and not ended" in seen[0]["sentence"]


def test_a_round_that_ended_long_ago_leaves_the_phones(desk: Desk, vera: Phone) -> None:
    key = f"round-2026-05-04-{vera.person}"
    vera.push(vera.record("round", "town", body={"round": key, "what": "started"}))
    desk.clock.tick(days=15)
    gone = [one for one in vera.pull()["items"] if one["what"] == "gone"]
    assert [one["id"] for one in gone] == [key]


def test_somebody_who_has_left_is_not_sent_out(
    desk: Desk, vera: Phone, omar: Phone, both_go_out: None
) -> None:
    people.change_person(desk.ctx, vera.person, {"state": "ended"})
    visits = planned(rounds.plan(desk.ctx))
    assert {person for some in visits.values() for _, person in some} == {omar.person}


def test_taps_and_crew_are_written_down_as_changes(desk: Desk) -> None:
    from potrounds.services import register

    tap = crew.add_tap(desk.ctx, {"name": "Ferry tap"})
    crew.calibrate_tap(desk.ctx, tap["id"], 10.0, 48.0)
    change = register.overview(desk.ctx)["changes"][0]
    assert (change["what"], change["after"]["flow_l_min"]) == ("tap", 12.5)  # 10 L in 48 s
    with pytest.raises(Refusal) as refused:
        crew.change_tap(desk.ctx, tap["id"], {"notes": "x"}, version=1)
    assert refused.value.status == 412
