"""Held records over the web."""

from __future__ import annotations

from potrounds.api.schemas_register import HeldList
from speaking import Speaker, Town


def test_a_held_record_can_be_taken_for_a_planter(
    coordinator: Speaker, volunteer: Speaker, town: Town
) -> None:
    volunteer.push(volunteer.record("p-nobody00", body={"note": "by the bridge"}))
    answer = coordinator.get("/held")
    assert HeldList().validate(answer.json) == {}
    item = answer.json["held"][0]
    assert (item["reason"], item["by"]) == ("unknown-planter", "Vera")
    unnamed = coordinator.post(f"/held/{item['id']}", {"take": True})
    assert unnamed.status_code == 422
    asked = {"take": True, "planter": town.planter["id"]}
    taken = coordinator.post(f"/held/{item['id']}", asked)
    assert (taken.status_code, taken.json["taken"]) == (200, True)
    assert coordinator.get("/held").json == {"held": []}


def test_a_held_record_can_be_left_out(coordinator: Speaker, volunteer: Speaker) -> None:
    volunteer.push(volunteer.record("p-nobody00"))
    item = coordinator.get("/held").json["held"][0]
    left = coordinator.post(f"/held/{item['id']}", {"take": False})
    assert (left.status_code, left.json["taken"]) == (200, False)
    assert coordinator.get("/held").json == {"held": []}
    assert coordinator.post("/held/h-nothing0", {"take": False}).status_code == 404
    assert coordinator.post(f"/held/{item['id']}", {"take": "yes"}).status_code == 422
