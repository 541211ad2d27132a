"""What people do on a round: stops done, skipped, handed on and added, and hours."""

from __future__ import annotations

from datetime import date

import pytest

from desk import Desk, Phone, record_id
from potrounds.services import assess, crew, people, register, rounds
from potrounds.services.refusal import Refusal
from potrounds.store import derived
from potrounds.store import rounds as told_store
from round_people import planned, round_card, said, stop_of, tell

MONDAY = date(2026, 5, 4)  # where the desk's clock stands


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
    tap = crew.add_tap(desk.ctx, {"name": "Ferry tap"})
    crew.calibrate_tap(desk.ctx, tap["id"], 10.0, 48.0)
    change = register.overview(desk.ctx)["changes"][0]
    assert (change["what"], change["after"]["flow_l_min"]) == ("tap", 12.5)  # 10 L in 48 s
    with pytest.raises(Refusal) as refused:
        crew.change_tap(desk.ctx, tap["id"], {"notes": "x"}, version=1)
    assert refused.value.status == 412
