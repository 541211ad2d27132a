"""Feed, salts and plantings over the web: shapes, roles, and what cannot be."""

from __future__ import annotations

import json
from typing import Any

import pytest

from potrounds.api.schemas_care import FeedAnswer
from speaking import Speaker, Town


def test_the_calculator_answers_a_coordinator_and_keeps_nothing(
    coordinator: Speaker, volunteer: Speaker
) -> None:
    asked = {"percent_n": 20, "ppm_n": 200, "cut_percent": 50, "can_l": 10, "injector": 200}
    answer = coordinator.post("/care/feed", asked)
    assert answer.status_code == 200
    assert FeedAnswer().validate(answer.json) == {}
    assert answer.json["can"]["grams"] == 5.0
    assert volunteer.post("/care/feed", asked).status_code == 403


@pytest.mark.parametrize(
    ("wrong", "pointer"),
    [
        ({"percent_n": 0}, "/percent_n"),
        ({"percent_n": 101}, "/percent_n"),
        ({"percent_n": None}, "/percent_n"),
        ({"ppm_n": 0}, "/ppm_n"),
        ({"ppm_n": "200"}, "/ppm_n"),
        ({"can_l": 0}, "/can_l"),
        ({"can_l": 1e6}, "/can_l"),
        ({"injector": 0}, "/injector"),
        ({"cut_percent": 100}, "/cut_percent"),
        ({"ppm_n": None, "dose": {"amount": 0, "unit": "g_l"}}, "/dose/amount"),
        ({"ppm_n": None, "dose": {"amount": 1, "unit": "cups"}}, "/dose/unit"),
        ({"ppm_n": None, "dose": {"amount": 1, "unit": "fl_oz_can"}}, "/density_kg_l"),
    ],
)
def test_figures_that_cannot_be_are_named(
    coordinator: Speaker, wrong: dict[str, Any], pointer: str
) -> None:
    answer = coordinator.post("/care/feed", {"percent_n": 20, "ppm_n": 200, **wrong})
    assert answer.status_code in (400, 422)
    assert answer.content_type == "application/problem+json"
    assert pointer in [entry["pointer"] for entry in answer.json["errors"]]


@pytest.mark.parametrize(
    ("wrong", "pointer"),
    [
        ({"feed_days": 0}, "/feed_days"),
        ({"feed_percent_n": 0}, "/feed_percent_n"),
        ({"feed_percent_n": 120}, "/feed_percent_n"),
        ({"feed_ppm_n": 0}, "/feed_ppm_n"),
        ({"feed_can_l": 5000}, "/feed_can_l"),
        ({"tap_ec_ms": 500}, "/tap_ec_ms"),
    ],
)
def test_settings_that_cannot_be_are_named(
    coordinator: Speaker, wrong: dict[str, Any], pointer: str
) -> None:
    answer = coordinator.patch("/register/settings", wrong)
    assert answer.status_code in (400, 422)
    (entry,) = answer.json["errors"]
    assert entry["pointer"] == pointer
    if pointer == "/tap_ec_ms":
        assert entry["detail"] == (
            "500 mS/cm cannot be. A meter that shows 500 uS/cm means 0.5 mS/cm."
        )


def test_settings_of_feed_are_kept_and_written_down(coordinator: Speaker) -> None:
    asked = {"feed_days": 14, "feed_what": "20-10-20", "tap_ec_ms": 0.5}
    assert coordinator.patch("/register/settings", asked).json["feed_days"] == 14
    change = coordinator.get("/register").json["changes"][0]
    assert (change["what"], change["after"]["tap_ec_ms"]) == ("settings", 0.5)


BAD_BODIES: list[tuple[str, dict[str, Any], str]] = [
    ("check-in", {"ec": {"method": "1:2", "ms_cm": 1300}}, "/body/ec/ms_cm"),
    ("check-in", {"ec": {"method": "1:2", "ms_cm": -1}}, "/body/ec/ms_cm"),
    ("check-in", {"ec": {"method": "1:5", "ms_cm": 1.3}}, "/body/ec/method"),
    ("check-in", {"ec": {"ms_cm": 1.3}}, "/body/ec/method"),
    ("check-in", {"done": ["fed"], "feed": {"ppm_n": 0}}, "/body/feed/ppm_n"),
    ("check-in", {"done": ["fed"], "feed": {"ppm_n": 20000}}, "/body/feed/ppm_n"),
    ("check-in", {"done": ["fed"], "feed": {"litres_l": 501}}, "/body/feed/litres_l"),
    ("planting", {"plants": [{"name": " "}]}, "/body/plants/0/name"),
    ("planting", {"plants": [{"name": "ivy", "count": 0}]}, "/body/plants/0/count"),
    ("planting", {"plants": [{"name": "ivy", "count": 2.5}]}, "/body/plants/0/count"),
    ("planting", {"plants": [{"name": "ivy"}] * 41}, "/body/plants"),
    ("planting", {"plants": "ivy"}, "/body/plants"),
    ("planting", {"retopped": "yes"}, "/body/retopped"),
]


@pytest.mark.parametrize(("kind", "body", "pointer"), BAD_BODIES)
def test_a_record_that_cannot_be_is_refused_with_its_field(
    volunteer: Speaker, town: Town, kind: str, body: dict[str, Any], pointer: str
) -> None:
    text = json.loads(volunteer.record(town.planter["id"]))
    (answer,) = volunteer.push(json.dumps({**text, "kind": kind, "body": body}))
    assert answer["outcome"] == "rejected"
    assert pointer in [entry["pointer"] for entry in answer["problem"]["errors"]]


def test_microsiemens_typed_as_millisiemens_are_answered_with_what_was_meant(
    volunteer: Speaker, town: Town
) -> None:
    text = json.loads(volunteer.record(town.planter["id"]))
    body = {"ec": {"method": "1:2", "ms_cm": 1300}}
    (answer,) = volunteer.push(json.dumps({**text, "body": body}))
    (entry,) = answer["problem"]["errors"]
    assert "1300 uS/cm means 1.3 mS/cm" in entry["detail"]


def test_a_planting_travels_there_and_back(volunteer: Speaker, town: Town) -> None:
    text = json.loads(volunteer.record(town.planter["id"]))
    body = {"plants": [{"name": "ivy", "count": 3}], "scheme": "Shade", "later": "unknown key"}
    sent = json.dumps({**text, "kind": "planting", "body": body})
    (answer,) = volunteer.push(sent)
    assert answer["outcome"] == "stored"
    pulled = volunteer.get("/sync/pull").json["items"]
    cards = [item["planter"] for item in pulled if item["what"] == "planter"]
    card = next(one for one in cards if one["id"] == town.planter["id"])
    assert card["planting"]["plants"] == ["ivy"]
    assert card["establishment"]["day"] == 0
    own = next(item["record"] for item in pulled if item["what"] == "record")
    assert (own["kind"], own["text"]) == ("planting", sent)
