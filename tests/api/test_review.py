"""The review over the web: what only the server knows, and one's last look."""

from __future__ import annotations

from typing import Any

import pytest

from potrounds.api.schemas_review import ReviewDesk
from speaking import Speaker, Town, assert_problem

SEEN = {"planter": "p-1", "flag": "running_dry", "name": "Running dry"}


def desk(coordinator: Speaker) -> dict[str, Any]:
    answer = coordinator.get("/review")
    assert answer.status_code == 200, answer.text
    assert ReviewDesk().validate(answer.json) == {}
    found: dict[str, Any] = answer.json
    return found


def say_hello(speaker: Speaker, **said: Any) -> None:
    answer = speaker.post("/sync/hello", said)
    assert answer.status_code == 200, answer.text


def leave_a_gap(volunteer: Speaker, town: Town) -> None:
    volunteer.push(volunteer.record(town.planter["id"]))
    volunteer.n += 1  # frozen on the phone, and never sent
    volunteer.push(volunteer.record(town.planter["id"]))


def test_a_quiet_town_has_nothing_beside_its_flags(coordinator: Speaker) -> None:
    assert desk(coordinator) == {"held": [], "phones": [], "looked": None}


def test_a_held_record_is_a_case_of_the_review(coordinator: Speaker, volunteer: Speaker) -> None:
    volunteer.push(volunteer.record("p-nobody00"))
    assert desk(coordinator)["held"] == coordinator.get("/held").json["held"]
    assert len(desk(coordinator)["held"]) == 1


def test_a_gap_in_a_counter_is_a_case_until_it_comes_or_is_settled(
    coordinator: Speaker, volunteer: Speaker, town: Town
) -> None:
    leave_a_gap(volunteer, town)
    assert desk(coordinator)["phones"] == [], "it may still be on its way"
    town.clock.tick(minutes=50)
    coordinator.get("/me")
    town.clock.tick(minutes=15)
    (phone,) = desk(coordinator)["phones"]
    assert (phone["who"], phone["records"]) == ("Vera", 1)
    assert phone["numbers"] == [{"first": 2, "last": 2}]
    assert "Record 2 of this phone never arrived" in phone["sentence"]
    assert "Vera" in phone["advice"]
    path = f"/review/phones/{phone['device']}/settle"
    other = [{"first": 2, "last": 3}]
    assert_problem(coordinator.post(path, {"numbers": other}), 412, "stale-version")
    settled = coordinator.post(path, {"numbers": phone["numbers"]})
    assert (settled.status_code, settled.json["settled"]) == (200, 1)
    assert desk(coordinator)["phones"] == []
    change = coordinator.get("/register").json["changes"][0]
    assert (change["what"], change["name"], change["by"]) == ("phone", "Vera", "Corin")
    nobody = coordinator.post("/review/phones/x/settle", {"numbers": []})
    assert_problem(nobody, 404, "no-such-phone")


def test_a_late_record_closes_the_gap_by_itself(
    coordinator: Speaker, volunteer: Speaker, town: Town
) -> None:
    leave_a_gap(volunteer, town)
    town.clock.tick(minutes=50)
    coordinator.get("/me")
    town.clock.tick(minutes=15)
    assert len(desk(coordinator)["phones"]) == 1
    volunteer.n = 1
    volunteer.push(volunteer.record(town.planter["id"]))
    assert desk(coordinator)["phones"] == []


def test_a_refused_record_that_was_put_right_leaves_no_gap(
    coordinator: Speaker, volunteer: Speaker, town: Town
) -> None:
    leave_a_gap(volunteer, town)
    say_hello(volunteer, n_max=3, unsent=0, mended=[2])
    say_hello(volunteer, n_max=3, unsent=0, mended=[2])
    town.clock.tick(minutes=50)
    coordinator.get("/me")
    town.clock.tick(minutes=15)
    assert desk(coordinator)["phones"] == []


def test_work_a_phone_says_it_still_holds_is_asked_after_when_it_is_old(
    coordinator: Speaker, volunteer: Speaker, town: Town
) -> None:
    volunteer.push(volunteer.record(town.planter["id"]))
    say_hello(volunteer, n_max=3, unsent=2, photos=1, oldest_s=60)
    assert desk(coordinator)["phones"] == []
    say_hello(volunteer, n_max=4, unsent=3, photos=1, oldest_s=2 * 24 * 3600)
    (phone,) = desk(coordinator)["phones"]
    assert (phone["records"], phone["photos"]) == (3, 1)
    assert phone["since"] == "2026-05-02T08:00:00.000Z"
    assert phone["numbers"] == [{"first": 2, "last": 4}]
    volunteer.push(*(volunteer.record(town.planter["id"]) for _ in range(3)))
    say_hello(volunteer, n_max=4, unsent=0, photos=0)
    assert desk(coordinator)["phones"] == []


def test_a_phone_that_left_with_work_on_it_is_asked_after_and_a_burned_one_is_not(
    coordinator: Speaker, volunteer: Speaker
) -> None:
    say_hello(volunteer, n_max=1, unsent=1, oldest_s=2 * 24 * 3600)
    phone = next(p for p in coordinator.get("/register").json["phones"] if p["name"] == "Vera")
    coordinator.post(f"/register/phones/{phone['id']}/end")
    (asked,) = desk(coordinator)["phones"]
    assert asked["state"] == "ended"
    assert "until Wednesday 3 June" in asked["advice"]
    coordinator.post(f"/register/phones/{phone['id']}/burn")
    assert desk(coordinator)["phones"] == []


@pytest.mark.parametrize(
    "said", [{}, {"unsent": -1}, {"unsent": "2"}, {"unsent": 1, "oldest_s": -5}, {"unsent": 10**9}]
)
def test_a_hello_that_says_nothing_sensible(volunteer: Speaker, said: dict[str, Any]) -> None:
    assert_problem(volunteer.post("/sync/hello", said), 400, "bad-batch")


def test_a_last_look_belongs_to_the_person_on_whichever_phone(
    coordinator: Speaker, town: Town
) -> None:
    seen = [{**SEEN, "urgency": "watch", "quiet": False}]
    kept = coordinator.put("/review/looked", {"seen": seen})
    assert (kept.status_code, kept.json["seen"]) == (200, seen)
    assert kept.json["at"] == "2026-05-04T08:00:00.000Z"
    town.clock.tick(minutes=5)
    other = Speaker(coordinator.client.application.test_client(), town.clock)
    assert other.sign_in("Corin").status_code == 200
    assert desk(other)["looked"] == {"at": "2026-05-04T08:00:00.000Z", "seen": seen}
    other.put("/review/looked", {"seen": []})
    assert desk(coordinator)["looked"] == {"at": "2026-05-04T08:05:00.000Z", "seen": []}


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"seen": [SEEN]},
        {"seen": [{**SEEN, "urgency": "soon", "quiet": False}]},
        {"seen": [{**SEEN, "urgency": "watch", "quiet": 1}]},
        {"seen": [{**SEEN, "urgency": "watch", "quiet": False, "who": "x"}]},
    ],
)
def test_a_look_that_cannot_be_kept_says_why(coordinator: Speaker, body: dict[str, Any]) -> None:
    problem = assert_problem(coordinator.put("/review/looked", body), 422, "fields")
    assert problem["errors"]
