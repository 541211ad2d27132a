"""A flag handed to the next round makes its planter a stop that must be made, with the reason.

Common practice, no source.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from desk import Desk, Phone, record_id
from potrounds.services import assess, rounds
from potrounds.store import derived
from potrounds.store import rounds as told_store
from round_people import planned, round_card, said, stop_of, tell

MONDAY, THURSDAY = date(2026, 5, 4), date(2026, 5, 7)
WHY = "Tag damaged: when Vera came on Monday 4 May."
REASON = f"{WHY} Put on the round by Pilar."


@pytest.fixture
def pilar(desk: Desk) -> Phone:
    return desk.join("Pilar Santos", "coordinator")


@pytest.fixture
def third(desk: Desk, vera: Phone, both_go_out: None) -> str:
    """A planter freshly filled, so that no plan needs it for days, with a damaged tag."""
    planter = desk.add_planter("Ferry landing 3")
    body = {"overflow": "ran-while-filling", "signs": ["tag-damaged"], "plants": 4}
    vera.push(vera.record(planter=planter, body=body, ago=timedelta(hours=1)))
    assert "tag_damaged" in [flag["code"] for flag in desk.card(planter)["flags"]]
    return planter


def put(pilar: Phone, planter: str, decision: str = "next-round", **more: Any) -> str:
    body = {"flag": "tag_damaged", "decision": decision, "why": WHY, **more}
    text = pilar.record("decision", planter, body=body)
    (result,) = pilar.push(text)
    assert result["outcome"] == "stored", result
    return text


def stop_in_plan(desk: Desk, planter: str, day: date) -> dict[str, Any] | None:
    plan = rounds.plan(desk.ctx)
    found = next(one for one in plan["days"] if one["date"] == day.isoformat())
    stops = [stop for one in found["rounds"] for stop in one["stops"]]
    return next((stop for stop in stops if stop["planter"] == planter), None)


def test_without_a_told_round_it_is_on_the_crews_next_day(
    desk: Desk, pilar: Phone, third: str
) -> None:
    assert stop_in_plan(desk, third, MONDAY) is None
    text = put(pilar, third)
    stop = stop_in_plan(desk, third, MONDAY)
    assert stop is not None
    assert stop["must"]
    assert REASON in stop["why"]
    tell(desk)
    (told,) = [one for one in told_store.told(MONDAY, MONDAY) if third in str(one.plan)]
    assert REASON in stop_of(round_card(told.key), third)["why"]
    assert pilar.push(text)[0]["outcome"] == "duplicate"


def test_onto_a_told_round_it_is_there_at_once_for_whoever_walks_it(
    desk: Desk, pilar: Phone, vera: Phone, third: str
) -> None:
    tell(desk)
    told = told_store.told(THURSDAY, THURSDAY) or told_store.told(MONDAY, MONDAY)
    key = told[0].key
    assert third not in [stop["planter"] for stop in round_card(key)["stops"]]
    text = put(pilar, third, round=key)
    stop = stop_of(round_card(key), third)
    assert (stop["must"], stop["why"], stop["state"]) == (True, [REASON], "to-do")
    assert stop["handed_by"] == "Pilar Santos"
    pulled = {one["round"]["id"] for one in vera.pull()["items"] if one["what"] == "round"}
    assert key in pulled
    day = told[0].day.isoformat()
    assert (day, told[0].person) in planned(rounds.plan(desk.ctx))[third]
    assert rounds.plan(desk.ctx)["changes"] == []
    before = {card.key: card.content for card in derived.all_cards()}
    assess.rebuild(desk.ctx)
    assert said({card.key: card.content for card in derived.all_cards()}) == said(before)

    back = pilar.record("withdrawal", third, body={"replaces": record_id(text)})
    assert pilar.push(back)[0]["outcome"] == "stored"
    assert third not in [stop["planter"] for stop in round_card(key)["stops"]]
    flag = next(f for f in desk.card(third)["flags"] if f["code"] == "tag_damaged")
    assert flag["decision"] is None


def test_a_stop_that_was_a_may_becomes_a_must_and_keeps_its_litres(
    desk: Desk, pilar: Phone, third: str
) -> None:
    tell(desk)
    (told,) = told_store.told(MONDAY, MONDAY)
    before = stop_of(round_card(told.key), desk.planter)
    body = {"flag": "not_visited", "decision": "next-round", "round": told.key, "why": "Why."}
    pilar.push(pilar.record("decision", desk.planter, body=body))
    after = stop_of(round_card(told.key), desk.planter)
    assert after["must"]
    assert after["why"] == [*before["why"], "Why. Put on the round by Pilar."]
    assert after["litres_l"] == before["litres_l"]
    assert not after["added"]


def test_decided_anew_it_leaves_the_round_again(desk: Desk, pilar: Phone, third: str) -> None:
    tell(desk)
    (told,) = told_store.told(MONDAY, MONDAY)
    put(pilar, third, round=told.key)
    assert stop_of(round_card(told.key), third)["must"]
    desk.clock.tick(minutes=5)
    put(pilar, third, "seen")
    assert third not in [stop["planter"] for stop in round_card(told.key)["stops"]]
    assert stop_in_plan(desk, third, MONDAY) is None


def test_a_visit_answers_it_and_a_round_that_passed_without_one_does_not(
    desk: Desk, pilar: Phone, vera: Phone, third: str
) -> None:
    tell(desk)
    (told,) = told_store.told(MONDAY, MONDAY)
    put(pilar, third, round=told.key)
    desk.clock.tick(days=1)
    stop = stop_in_plan(desk, third, THURSDAY)
    assert stop is not None
    assert REASON in stop["why"], "nobody came on Monday, so the next day asks again"
    vera.push(vera.record(planter=third, body={"level": 1.0, "signs": ["tag-damaged"]}))
    stop = stop_in_plan(desk, third, THURSDAY)
    assert stop is None or REASON not in stop["why"]
    flag = next(f for f in desk.card(third)["flags"] if f["code"] == "tag_damaged")
    assert flag["decision"]["outdated"], "somebody was there since: decide anew"


def test_a_skipped_stop_put_on_again_is_to_do_and_a_done_one_stays_done(
    desk: Desk, pilar: Phone, vera: Phone, omar: Phone, third: str
) -> None:
    tell(desk)
    (told,) = told_store.told(MONDAY, MONDAY)
    mine = vera if told.person == vera.person else omar
    put(pilar, third, round=told.key)
    desk.clock.tick(minutes=1)
    skip = {"round": told.key, "what": "skipped", "reason": "no-time"}
    mine.push(mine.record("stop", third, body=skip))
    assert stop_of(round_card(told.key), third)["state"] == "skipped"
    desk.clock.tick(minutes=1)
    put(pilar, third, round=told.key)
    assert stop_of(round_card(told.key), third)["state"] == "to-do"
    desk.clock.tick(minutes=1)
    mine.push(mine.record(planter=third, body={"level": 1.0, "round": told.key}))
    stop = stop_of(round_card(told.key), third)
    assert stop["state"] == "done"
    assert stop["must"], "why it was asked for stays readable"
