"""A phone turns pushes on and off for itself, over the web."""

from __future__ import annotations

import pytest
from flask import Flask

from potrounds.services import push_key, town_settings
from potrounds.store import database, push
from push_service import Browser, PushService
from speaking import Speaker, Town, assert_problem


@pytest.fixture
def subscription() -> dict[str, str]:
    browser = Browser(PushService("https://push.example.net"), "vera")
    return dict(zip(("endpoint", "p256dh", "auth"), browser.subscription, strict=True))


@pytest.fixture
def pushes_on(town: Town) -> None:
    with database.connection():
        push_key.make(town.context, anew=False)
        town_settings.change_settings(town.context, {"push_on": True})


def test_off_in_the_town_is_a_409_in_words(
    volunteer: Speaker, coordinator: Speaker, subscription: dict[str, str]
) -> None:
    assert_problem(volunteer.put("/push", subscription), 409, "push-off")
    problem = coordinator.patch("/register/settings", {"push_on": True})
    said = assert_problem(problem, 409, "no-push-key")
    assert said["errors"][0]["pointer"] == "/push_on"


@pytest.mark.usefixtures("pushes_on")
def test_on_and_off_again(volunteer: Speaker, subscription: dict[str, str]) -> None:
    assert volunteer.get("/me").json["push"] is False
    assert volunteer.put("/push", subscription).status_code == 204
    assert volunteer.get("/me").json["push"] is True
    assert volunteer.put("/push", subscription).status_code == 204
    assert volunteer.delete("/push").status_code == 204
    assert volunteer.delete("/push").status_code == 204
    assert volunteer.get("/me").json["push"] is False


@pytest.mark.usefixtures("pushes_on")
def test_the_key_comes_with_the_towns_card(volunteer: Speaker, town: Town) -> None:
    items = volunteer.get("/sync/pull").json["items"]
    card = next(item["town"] for item in items if item["what"] == "town")
    with database.connection():
        assert card["push_key"] is not None
        assert len(card["push_key"]) == 87  # 65 bytes in base64url
    assert "PRIVATE" not in str(items)


@pytest.mark.usefixtures("pushes_on")
def test_bad_addresses(volunteer: Speaker, subscription: dict[str, str]) -> None:
    for endpoint in ("http://push.example.net/x", "https://127.0.0.1/x", "https://[::1]/", "x"):
        answer = volunteer.put("/push", {**subscription, "endpoint": endpoint})
        problem = assert_problem(answer, 422, "push-address")
        assert problem["errors"][0]["pointer"] == "/endpoint"
    answer = volunteer.put("/push", {**subscription, "auth": "AAAA"})
    assert_problem(answer, 422, "push-address")
    assert volunteer.put("/push", {**subscription, "endpoint": 7}).status_code == 422
    assert volunteer.put("/push", {**subscription, "endpoint": "x" * 5000}).status_code == 413


def test_nobody_else_may(passer_by: Speaker, subscription: dict[str, str]) -> None:
    assert_problem(passer_by.put("/push", subscription), 401, "sign-in-needed")
    assert_problem(passer_by.delete("/push"), 401, "sign-in-needed")


@pytest.mark.usefixtures("pushes_on")
def test_signing_out_ends_it_and_no_answer_names_the_address(
    app: Flask, town: Town, volunteer: Speaker, subscription: dict[str, str]
) -> None:
    volunteer.put("/push", subscription)
    corin = town.speaker(app.test_client(), "Corin")
    assert "push.example.net" not in corin.get("/register").text
    assert "push.example.net" not in str(corin.get("/archive.zip").data)
    assert volunteer.post("/sign-out").status_code == 204
    with database.connection():
        assert push.addresses(town.clock.now().replace(year=2000)) == []


@pytest.mark.parametrize("wrong", ["25:00", "7:00", "07:60", "07:00 ", 7])
def test_quiet_hours_are_times(coordinator: Speaker, wrong: object) -> None:
    answer = coordinator.patch("/register/settings", {"push_quiet_from": wrong})
    assert answer.status_code == 422
    assert coordinator.patch("/register/settings", {"push_quiet_from": None}).status_code == 200
