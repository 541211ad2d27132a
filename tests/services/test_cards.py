"""The card a phone keeps: exactly the agreed shape, and what it says."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from desk import Desk, a_photo, record_id
from potrounds.api.schemas_cards import PlanterCard, Town
from potrounds.api.schemas_sync import PullAnswer, PushAnswer
from potrounds.services import people, public, register, town_settings
from potrounds.store import derived


def keys_of(shape: Any, value: Any, path: str = "") -> list[str]:
    """Where a value has other keys than its schema names."""
    from marshmallow import fields

    wrong = []
    if set(value) != set(shape.fields):
        wrong.append(f"{path}: {sorted(set(value) ^ set(shape.fields))}")
    for name, field in shape.fields.items():
        inner, inside = value.get(name), f"{path}/{name}"
        if isinstance(field, fields.Nested) and isinstance(inner, dict):
            wrong += keys_of(field.schema, inner, inside)
        nested = getattr(field, "inner", None)
        if isinstance(nested, fields.Nested) and isinstance(inner, list):
            for one in inner:
                wrong += keys_of(nested.schema, one, inside)
    return wrong


def a_full_life(desk: Desk) -> None:
    """Something of everything, so that no part of the card is empty."""
    vera, corin = desk.join("Vera"), desk.join("Corin", "coordinator")
    first = vera.record(body={"level": 0.25, "read_by": "float", "plants": 4})
    vera.push(first)
    desk.clock.tick(days=1)
    body = {
        "level": 0.0,
        "litres_l": 12,
        "litres_how": "to-overflow",
        "overflow": "ran-while-filling",
        "plants": 2,
        "signs": ["wilting", "path-blocked"],
        "done": ["fed"],
        "feed": {"what": "liquid feed", "strength": "half"},
        "plug": "in",
        "photos": ["ab" * 32],
        "note": "dry",
    }
    vera.push(vera.record(body=body))
    step = {"list": "start-up", "season": 2026, "step": "inspect", "note": "fine"}
    vera.push(vera.record("step", body=step))
    code = register.one_planter(desk.planter)["code"]
    public.report(desk.ctx, code, {"what": "wilting", "text": "Looks sad"})
    flags = [flag["code"] for flag in desk.card()["flags"]]
    assert "stressed_plants" in flags
    decision = {"flag": "stressed_plants", "decision": "handed", "to": vera.person, "note": "pls"}
    corin.push(corin.record("decision", body=decision))


def test_the_card_has_the_agreed_keys_and_loads_into_its_schema(desk: Desk) -> None:
    a_full_life(desk)
    card = desk.card()
    assert keys_of(PlanterCard(), card) == []
    assert PlanterCard().dump(card) == card
    assert card["flags"]
    assert card["visits"]
    assert {visit["kind"] for visit in card["visits"]} == {"check-in", "step", "report"}


def test_the_towns_card_has_the_agreed_keys(desk: Desk) -> None:
    corin = desk.join("Corin", "coordinator")
    town_settings.put_nights(
        corin.ctx, [{"date": date(2026, 5, 6), "low_c": 1.5, "kind": "forecast"}]
    )
    card = derived.get("town").content
    assert keys_of(Town(), card) == []
    assert card["today"] == "2026-05-04"
    assert card["people"] == [{"id": corin.person, "name": "Corin", "role": "coordinator"}]
    assert card["season"] == {
        "year": 2026,
        "winter_from": "2026-09-15",
        "spring_from": "2026-03-15",
        "closed": [],
    }
    assert card["freeze"] == {
        "date": "2026-11-02",
        "source": "site date",
        "nights": [{"date": "2026-05-06", "low_c": 1.5, "kind": "forecast"}],
    }


def test_answers_have_the_agreed_keys(desk: Desk) -> None:
    vera = desk.join("Vera")
    vera.push(vera.record(), vera.record(planter="p-nowhere0"))
    page = vera.pull()
    assert set(page) == set(PullAnswer().fields)
    for item in page["items"]:
        if item["what"] == "record":
            own = PullAnswer().fields["items"].inner.schema.fields["record"].schema
            assert set(item["record"]) == set(own.fields)
    from desk import read_item
    from potrounds.services import sync

    envelope = {"batch": "b", "device": vera.device, "sent_at": None, "items": [vera.record()]}
    assert set(sync.push(vera.ctx, envelope, read_item)) == set(PushAnswer().fields)


def test_the_card_says_what_was_seen_and_decided(desk: Desk) -> None:
    a_full_life(desk)
    card = desk.card()
    assert card["state"]["level"]["value"] == 1.0, "filled until the overflow ran"
    assert card["state"]["plug"]["state"] == "in"
    assert card["state"]["last_fed"]["what"] == "liquid feed"
    assert card["planting"]["plants"] == ["petunia"]
    report = next(visit for visit in card["visits"] if visit["kind"] == "report")
    assert (report["by"], report["person"]) == ("Passer-by", None)
    assert report["report"] == {"what": "wilting", "text": "Looks sad"}
    step = next(visit for visit in card["visits"] if visit["kind"] == "step")
    assert step["step"]["title"] == "Look at shell, wick and port"
    stressed = next(flag for flag in card["flags"] if flag["code"] == "stressed_plants")
    assert stressed["decision"]["to"] == "Vera"
    assert stressed["decision"]["decision"] == "handed"
    assert stressed["urgency"] == "today"


def test_top_up_litres_stand_on_the_card_for_each_mark(desk: Desk) -> None:
    """16 L at a quarter: 12 L to the overflow; a mark may be half a step off either way."""
    marks = {mark["level"]: mark for mark in desk.card()["top_up"]}
    assert list(marks) == [0.0, 0.25, 0.5, 0.75, 1.0]
    assert marks[0.25]["litres_l"] == 12.0
    assert marks[0.25]["low_l"] < 12.0 < marks[0.25]["high_l"]


def test_evidence_that_is_no_longer_among_the_last_visits_comes_along(desk: Desk) -> None:
    vera = desk.join("Vera")
    blocked = vera.record(body={"signs": ["path-blocked"]})
    vera.push(blocked)
    for _ in range(9):
        desk.clock.tick(hours=3)
        vera.push(vera.record(body={"level": 0.75}))
    card = desk.card()
    assert len(card["visits"]) == 8
    assert record_id(blocked) not in {visit["record"] for visit in card["visits"]}
    rests_on = {record for flag in card["flags"] for record in flag["records"]}
    there = {visit["record"] for visit in (*card["visits"], *card["evidence"])}
    assert record_id(blocked) in rests_on
    assert rests_on <= there


def test_the_card_tells_which_photos_are_on_their_way(desk: Desk) -> None:
    vera, data = desk.join("Vera"), a_photo()
    sha = vera.named_photo(data)
    assert desk.card()["visits"][0]["photo_state"] == {sha: "on-its-way"}
    vera.put_photo(data)
    assert desk.card()["visits"][0]["photo_state"] == {sha: "here"}


def test_a_new_name_of_a_person_reaches_the_cards(desk: Desk) -> None:
    vera = desk.join("Vera")
    vera.push(vera.record())
    people.change_person(desk.ctx, vera.person, {"name": "Verena"})
    assert desk.card()["visits"][0]["by"] == "Verena"


@pytest.mark.parametrize(
    ("body", "code"),
    [
        ({"level": 0.25}, "top-up"),
        ({"level": 1.0, "plug": "in"}, "feed"),
        ({"signs": ["tag-damaged"]}, "tag_damaged"),
    ],
)
def test_today_says_what_to_do(desk: Desk, body: dict[str, Any], code: str) -> None:
    vera = desk.join("Vera")
    vera.push(vera.record(body=body))
    lines = desk.card()["today"]
    assert code in [line["code"] for line in lines]
    assert all(line["text"].endswith(".") for line in lines)
    assert len(lines) <= 6


def test_today_asks_for_no_water_before_a_freeze(desk: Desk) -> None:
    vera = desk.join("Vera")
    vera.push(vera.record(body={"level": 0.25}))
    tomorrow = (desk.clock.now() + timedelta(days=1)).date()
    town_settings.put_nights(desk.ctx, [{"date": tomorrow, "low_c": -2.0, "kind": "forecast"}])
    codes = [line["code"] for line in desk.card()["today"]]
    assert "top-up" not in codes


def test_a_retired_planter_asks_for_nothing(desk: Desk) -> None:
    planter = register.one_planter(desk.planter)
    register.change_planter(desk.ctx, desk.planter, {"status": "retired"}, planter["version"])
    assert desk.card()["today"] == []
    assert desk.card()["status"] == "retired"
