"""What a passer-by sees and says (T1, T2, T4, R28)."""

from __future__ import annotations

from flask import Flask

from potrounds.api.limiter import network
from potrounds.domain import tag_code
from speaking import HandClock, Speaker, Town


def test_T1_the_page_of_a_tag_names_no_person_and_no_hour(
    passer_by: Speaker, volunteer: Speaker, town: Town
) -> None:
    body = {"level": 1, "note": "met Nora here", "photos": ["a" * 64]}
    volunteer.push(volunteer.record(town.planter["id"], body=body))
    answer = passer_by.get(f"/public/tags/{town.planter['code']}")
    assert answer.json == {
        "state": "current",
        "planter_name": "Quay 1",
        "site_name": "Quay",
        "town": "Osier Bend",
        "last_care_day": "2026-05-04",
        "plants": [],
    }


def test_a_code_may_be_typed_as_people_type(passer_by: Speaker, town: Town) -> None:
    shown = tag_code.display(town.planter["code"]).lower()
    assert passer_by.get(f"/public/tags/{shown}").status_code == 200


def test_T4_guessing_is_slowed_down(passer_by: Speaker) -> None:
    answers = [passer_by.get("/public/tags/ZZZZZZZZZZZ").status_code for _ in range(61)]
    assert answers == [404] * 60 + [429]


def test_T4_one_subscriber_has_one_limit() -> None:
    """RFC 6177 and common practice: an IPv6 subscriber holds at least a /64."""
    assert network("2001:db8:1:2:3:4:5:6") == network("2001:db8:1:2::1")
    assert network("2001:db8:1:2::1") != network("2001:db8:1:3::1")
    assert network("::ffff:192.0.2.1") == network("192.0.2.1") != network("192.0.2.2")
    assert network("no address") == "no address"


def test_R28_reports_are_limited_by_the_hour(
    passer_by: Speaker, town: Town, clock: HandClock
) -> None:
    path = f"/public/tags/{town.planter['code']}/reports"
    answers = [passer_by.post(path, {"what": "dry"}) for _ in range(6)]
    assert [answer.status_code for answer in answers] == [201] * 5 + [429]
    assert int(answers[-1].headers["Retry-After"]) > 0
    clock.tick(hours=1, seconds=1)
    assert passer_by.post(path, {"what": "dry"}).status_code == 201


def test_a_report_reaches_the_volunteers(
    passer_by: Speaker, volunteer: Speaker, town: Town
) -> None:
    """What a passer-by typed is text, and stays text."""
    asked = {"what": "leaking", "text": "<b>water</b> on the path"}
    path = f"/public/tags/{town.planter['code']}/reports"
    assert passer_by.post(path, asked).json == {"received": True}
    items = volunteer.get("/sync/pull").json["items"]
    card = next(
        item["planter"] for item in items if item.get("planter", {}).get("name") == "Quay 1"
    )
    visit = card["visits"][0]
    assert (visit["kind"], visit["by"], visit["person"]) == ("report", "Passer-by", None)
    assert visit["report"] == asked
    assert "public_report_waiting" in [flag["code"] for flag in card["flags"]]


def test_B68_a_report_with_a_link_waits_for_a_person(
    passer_by: Speaker, coordinator: Speaker, town: Town
) -> None:
    path = f"/public/tags/{town.planter['code']}/reports"
    asked = {"what": "other", "text": "cheap at https://spam.example"}
    assert passer_by.post(path, asked).status_code == 201
    held = coordinator.get("/held").json["held"]
    assert [(item["reason"], item["by"]) for item in held] == [("public-report", None)]


def test_reports_want_a_known_word(passer_by: Speaker, town: Town) -> None:
    path = f"/public/tags/{town.planter['code']}/reports"
    assert passer_by.post(path, {"what": "ugly"}).status_code == 422
    assert passer_by.post(path, {"what": "dry", "photo": "x"}).status_code == 422
    assert passer_by.post("/public/tags/ZZZZZZZZZZZ/reports", {"what": "dry"}).status_code == 404


def test_T17_no_route_lists_planters_to_a_passer_by(passer_by: Speaker, app: Flask) -> None:
    for rule in app.url_map.iter_rules():
        if "GET" in rule.methods and rule.rule.startswith("/api/") and not rule.arguments:
            answer = passer_by.get(rule.rule.removeprefix("/api/v1"))
            assert answer.status_code in (401, 200)
            assert "Quay" not in answer.text
