"""People, invites and phones over the web."""

from __future__ import annotations

from flask import Flask

from speaking import HandClock, Speaker, Town


def test_an_invite_is_shown_once(coordinator: Speaker, app: Flask, clock: HandClock) -> None:
    asked = {"role": "volunteer", "name": "Nora"}
    made = coordinator.post("/register/invites", asked)
    assert made.status_code == 201
    url, qr = made.json["url"], made.json["qr"]
    assert url.startswith("http://localhost/join#")
    assert {len(row) for row in qr} == {len(qr)}
    assert set("".join(qr)) == {"0", "1"}
    invites = coordinator.get("/register").json["invites"]
    listed = next(one for one in invites if one["id"] == made.json["id"])
    assert listed["state"] == "open"
    assert url.partition("#")[2] not in str(listed)
    assert Speaker(app.test_client(), clock).join(url.partition("#")[2]).status_code in (201, 422)


def test_a_revoked_invite_is_gone(coordinator: Speaker, passer_by: Speaker) -> None:
    made = coordinator.post("/register/invites", {"role": "volunteer", "name": "Nora"}).json
    assert coordinator.delete(f"/register/invites/{made['id']}").status_code == 204
    assert passer_by.join(made["url"].partition("#")[2], "Nora").status_code == 410
    assert coordinator.delete("/register/invites/i-nothing0").status_code == 404


def test_a_name_is_taken_once(coordinator: Speaker) -> None:
    assert (
        coordinator.post("/register/people", {"name": "Tara", "role": "volunteer"}).status_code
        == 201
    )
    again = coordinator.post("/register/people", {"name": "tara", "role": "volunteer"})
    assert (again.status_code, again.json["type"]) == (422, "/problems/name-taken")


def test_ending_a_person_ends_their_phones(
    coordinator: Speaker, volunteer: Speaker, town: Town
) -> None:
    people = coordinator.get("/register").json["people"]
    vera = next(one["id"] for one in people if one["name"] == "Vera")
    assert coordinator.patch(f"/register/people/{vera}", {"state": "ended"}).status_code == 200
    assert volunteer.get("/me").status_code == 401
    last = coordinator.patch(f"/register/people/{town.coordinator}", {"state": "ended"})
    assert (last.status_code, last.json["type"]) == (409, "/problems/last-coordinator")


def test_who_is_not_there(coordinator: Speaker) -> None:
    assert coordinator.patch("/register/people/u-nobody00", {"name": "x"}).status_code == 404
    assert coordinator.post("/register/phones/ph-nobody0/end").status_code == 404
