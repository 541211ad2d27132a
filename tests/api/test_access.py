"""Who may call what: every pair of route and role, generated from the routes that exist."""

from __future__ import annotations

from itertools import product

import pytest
from flask import Flask
from werkzeug.routing import Rule

from potrounds.api.access import ACCESS, ANYONE, COORDINATOR, MEMBER, SENDER
from speaking import Speaker, Town

ALLOWED = {
    ANYONE: {"passer_by", "ended", "volunteer", "coordinator"},
    SENDER: {"ended", "volunteer", "coordinator"},
    MEMBER: {"volunteer", "coordinator"},
    COORDINATOR: {"coordinator"},
}
ROLES = ("passer_by", "ended", "volunteer", "coordinator")
FILL = {"sha256": "a" * 64, "code": "x", "path": "x", "name": "x"}


def api_rules(app: Flask) -> list[Rule]:
    """Every route of the API."""
    return [rule for rule in app.url_map.iter_rules() if rule.rule.startswith("/api/")]


def test_every_route_is_in_the_table_and_nothing_else(app: Flask) -> None:
    assert {rule.endpoint for rule in api_rules(app)} == set(ACCESS)


@pytest.fixture
def ended(coordinator: Speaker, app: Flask, town: Town) -> Speaker:
    """Vera, whose membership has ended."""
    phones = coordinator.get("/register").json["phones"]
    phone = next(phone for phone in phones if phone["name"] == "Vera")
    assert coordinator.post(f"/register/phones/{phone['id']}/end").status_code == 200
    return town.speaker(app.test_client(), "Vera")


@pytest.mark.parametrize("role", ROLES)
def test_every_pair_of_route_and_role(
    role: str, app: Flask, request: pytest.FixtureRequest
) -> None:
    """Where a role may not pass, the answer is 401 or 403; where it may, it is neither."""
    speaker: Speaker = request.getfixturevalue(role)
    wrong = []
    for rule, method in product(api_rules(app), ("GET", "POST", "PUT", "PATCH", "DELETE")):
        if method not in rule.methods or rule.endpoint == "auth.sign_out":
            continue
        values = {name: FILL.get(name, "nobody") for name in rule.arguments}
        with app.test_request_context():
            path = app.url_map.bind("localhost").build(rule.endpoint, values, method=method)
        answer = speaker.ask(method, path.removeprefix("/api/v1"), json={})
        allowed = role in ALLOWED[ACCESS[rule.endpoint]]
        if (answer.status_code not in (401, 403)) != allowed:
            wrong.append((method, path, answer.status_code))
    assert wrong == []


def test_an_ended_phone_may_still_send_and_all_is_held(ended: Speaker, town: Town) -> None:
    result = ended.push(ended.record(town.planter["id"]))[0]
    assert result["outcome"] == "held"
    answer = ended.get("/sync/pull")
    assert (answer.status_code, answer.json["type"]) == (401, "/problems/membership-ended")


def test_a_burned_phone_may_do_nothing(
    coordinator: Speaker, volunteer: Speaker, town: Town
) -> None:
    phones = coordinator.get("/register").json["phones"]
    phone = next(phone for phone in phones if phone["name"] == "Vera")
    assert coordinator.post(f"/register/phones/{phone['id']}/burn").status_code == 200
    texts = volunteer.envelope(volunteer.record(town.planter["id"]))
    assert volunteer.post("/sync/push", texts).status_code == 401
    assert volunteer.get("/me").status_code == 401


def test_an_unlisted_route_would_be_for_coordinators_only(app: Flask, volunteer: Speaker) -> None:
    """The table is the only way to open a route: what it does not name stays shut."""
    listed = ACCESS.pop("auth.me")
    try:
        assert volunteer.get("/me").status_code == 403
    finally:
        ACCESS["auth.me"] = listed
