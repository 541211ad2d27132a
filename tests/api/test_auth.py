"""Joining, signing in, signing out, and the cookie."""

from __future__ import annotations

import pytest
from flask import Flask
from flask.testing import FlaskClient

from speaking import PASSWORD, HandClock, Speaker, Town


def test_join_makes_a_person_and_a_cookie(app: Flask, town: Town, clock: HandClock) -> None:
    newcomer = Speaker(app.test_client(), clock)
    answer = newcomer.join(town.invite(), "Nora")
    assert answer.status_code == 201
    assert answer.json["person"]["name"] == "Nora"
    assert answer.json["person"]["role"] == "volunteer"
    assert newcomer.get("/me").json == answer.json


def test_the_cookie_is_for_this_host_only_and_no_script_reads_it(
    app: Flask, town: Town, clock: HandClock
) -> None:
    """RFC 6265bis: a __Host- cookie is Secure, has Path=/ and no Domain."""
    cookie = Speaker(app.test_client(), clock).join(town.invite(), "Nora").headers["Set-Cookie"]
    name, *rest = cookie.split("; ")
    words = {word.partition("=")[0] for word in rest}
    assert name.startswith("__Host-potrounds=")
    assert {"Secure", "HttpOnly", "SameSite=Lax", "Path=/"} <= set(rest)
    assert "Domain" not in words
    assert "Max-Age=7776000" in rest  # ninety days


def test_B65_an_invite_works_once(app: Flask, town: Town, clock: HandClock) -> None:
    secret = town.invite()
    assert Speaker(app.test_client(), clock).join(secret, "Nora").status_code == 201
    again = Speaker(app.test_client(), clock).join(secret, "Olaf")
    assert again.status_code == 410
    assert "new link" in again.json["detail"]


@pytest.mark.parametrize("cut", [1, 10, 42])
def test_B65_a_cut_invite(app: Flask, town: Town, clock: HandClock, cut: int) -> None:
    answer = Speaker(app.test_client(), clock).join(town.invite()[:-cut], "Nora")
    assert answer.status_code == 410


def test_B65_an_invite_lasts_72_hours(app: Flask, town: Town, clock: HandClock) -> None:
    secret, late = town.invite(), town.invite()
    clock.tick(hours=71, minutes=59)
    assert Speaker(app.test_client(), clock).join(secret, "Nora").status_code == 201
    clock.tick(minutes=1)
    assert Speaker(app.test_client(), clock).join(late, "Olaf").status_code == 410


def test_B66_opening_the_link_uses_nothing_up(
    client: FlaskClient, app: Flask, town: Town, clock: HandClock
) -> None:
    secret = town.invite()
    assert client.get("/join").status_code == 200
    assert client.get(f"/api/v1/join?secret={secret}").status_code == 405
    assert Speaker(app.test_client(), clock).join(secret, "Nora").status_code == 201


def test_sign_in_and_out(app: Flask, town: Town, clock: HandClock) -> None:
    corin = Speaker(app.test_client(), clock)
    assert corin.sign_in("Corin").status_code == 200
    assert corin.get("/register").status_code == 200
    assert corin.post("/sign-out").status_code == 204
    assert corin.get("/me").status_code == 401


def test_a_signed_out_token_opens_nothing(coordinator: Speaker, app: Flask, town: Town) -> None:
    thief = town.speaker(app.test_client(), "Corin")
    assert thief.get("/me").status_code == 200
    coordinator.post("/sign-out")
    assert thief.get("/me").status_code == 401


def test_unknown_name_and_wrong_password_look_alike(passer_by: Speaker, town: Town) -> None:
    wrong = passer_by.sign_in("Corin", "not the password at all")
    unknown = passer_by.sign_in("Nobody", "not the password at all")
    assert wrong.status_code == unknown.status_code == 401
    assert wrong.json == unknown.json


def test_too_many_tries_wait(passer_by: Speaker, clock: HandClock) -> None:
    for _ in range(5):
        assert passer_by.sign_in("Corin", "a wrong password").status_code == 401
    waiting = passer_by.sign_in("Corin")
    assert waiting.status_code == 429
    clock.tick(seconds=int(waiting.headers["Retry-After"]))
    assert passer_by.sign_in("Corin").status_code == 200


@pytest.mark.parametrize(
    ("password", "status"),
    [
        ("x" * 14, 422),
        ("x" * 15, 201),
        ("x" * 64, 201),
        ("x" * 129, 422),
        ("🌱" * 15, 201),
        (" " + "x" * 14, 201),
    ],
)
def test_B67_lengths_of_a_password(coordinator: Speaker, password: str, status: int) -> None:
    asked = {"name": "Dora", "role": "coordinator", "password": password}
    answer = coordinator.post("/register/people", asked)
    assert answer.status_code == status, answer.text
    if status == 201:
        assert coordinator.sign_in("Dora", password).status_code == 200
        assert coordinator.sign_in("Dora", password.strip() + "y").status_code == 401


def test_B67_a_long_password_is_refused_before_hashing(passer_by: Speaker) -> None:
    assert passer_by.sign_in("Corin", "x" * 1_000_000).status_code == 413
    assert passer_by.sign_in("Corin", "x" * 4096).status_code == 413
    assert passer_by.sign_in("Corin", "x" * 129).status_code == 422


def test_a_coordinator_idles_out_after_an_hour(coordinator: Speaker, clock: HandClock) -> None:
    clock.tick(minutes=59)
    assert coordinator.get("/me").status_code == 200
    clock.tick(minutes=59)
    assert coordinator.get("/me").status_code == 200
    clock.tick(minutes=61)
    assert coordinator.get("/me").status_code == 401


def test_a_coordinator_is_asked_again_after_a_day(coordinator: Speaker, clock: HandClock) -> None:
    for _ in range(47):
        clock.tick(minutes=30)
        assert coordinator.get("/me").status_code == 200
    clock.tick(minutes=30)
    assert coordinator.get("/me").status_code == 401


def test_a_volunteer_stays_for_ninety_days_from_the_last_use(
    volunteer: Speaker, clock: HandClock
) -> None:
    clock.tick(days=89)
    answer = volunteer.get("/sync/pull")
    assert "Max-Age=7776000" in answer.headers["Set-Cookie"]
    clock.tick(days=89)
    assert volunteer.get("/me").status_code == 200
    clock.tick(days=91)
    assert volunteer.get("/me").status_code == 401


def test_no_secret_reaches_the_log(
    app: Flask, town: Town, clock: HandClock, caplog: pytest.LogCaptureFixture
) -> None:
    """T25: neither invite, token, password, cursor, tag code nor name stands in any line."""
    caplog.set_level("INFO")
    caplog.set_level("DEBUG", "potrounds")
    newcomer = Speaker(app.test_client(), clock)
    secret = town.invite()
    newcomer.join(secret, "Nora")
    newcomer.sign_in("Corin", PASSWORD)
    cursor = newcomer.get("/sync/pull").json["cursor"]
    newcomer.get(f"/sync/pull?since={cursor}")
    newcomer.get(f"/public/tags/{town.planter['code']}")
    token = newcomer.client.get_cookie("__Host-potrounds").value
    log = "\n".join(record.getMessage() for record in caplog.records)
    assert "/api/v1/public/tags/<string:code>" in log
    for hidden in (secret, PASSWORD, cursor, token, town.planter["code"], "Nora"):
        assert hidden not in log
