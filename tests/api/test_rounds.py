"""Rounds over the web."""

from __future__ import annotations

from typing import Any

import pytest

from round_people import GOES_OUT
from speaking import Speaker, Town, assert_problem

# --- taps, crew and ways -------------------------------------------------------------------------


def test_a_tap_is_added_measured_with_a_bucket_and_on_every_phone(
    coordinator: Speaker, volunteer: Speaker, town: Town
) -> None:
    body = {"name": "Quay tap", "site": town.site, "lat": 48.1, "lon": 11.5, "opens": "Key box"}
    tap = coordinator.post("/rounds/taps", body).json
    assert "may have no vacuum breaker" in tap["caution"]
    measured = volunteer.post(
        f"/rounds/taps/{tap['id']}/calibration", {"litres_l": 10, "seconds": 50}
    )
    assert measured.json["flow_l_min"] == 12  # ten litres in fifty seconds
    items = volunteer.get("/sync/pull").json["items"]
    (card,) = [one["town"] for one in items if one["what"] == "town"]
    assert [one["name"] for one in card["taps"]] == ["Quay tap"]
    stale = {"If-Match": '"1"'}
    answer = coordinator.patch(f"/rounds/taps/{tap['id']}", {"opens": "x"}, headers=stale)
    assert_problem(answer, 412, "stale-version")
    assert coordinator.delete(f"/rounds/taps/{tap['id']}").status_code == 204
    assert coordinator.get("/rounds/crew").json["taps"] == []


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"name": "Tap", "lat": 48.0}, "/lat"),
        ({"name": "Tap", "site": "s-nowhere"}, "/site"),
        ({"name": "Tap", "lat": 91, "lon": 0}, "/lat"),
        ({"name": "Tap", "vacuum_breaker": "perhaps"}, "/vacuum_breaker"),
    ],
)
def test_a_tap_that_cannot_be(coordinator: Speaker, body: dict[str, Any], pointer: str) -> None:
    answer = coordinator.post("/rounds/taps", body)
    assert answer.status_code == 422
    assert answer.json["errors"][0]["pointer"] == pointer


def test_who_goes_out_must_be_somebody(coordinator: Speaker) -> None:
    assert_problem(coordinator.put("/rounds/crew/u-nobody", GOES_OUT), 404, "no-such-person")


def test_a_start_must_be_a_tap(coordinator: Speaker, vera: str) -> None:
    answer = coordinator.put(f"/rounds/crew/{vera}", {**GOES_OUT, "start_tap": "w-nowhere"})
    assert answer.json["errors"][0]["pointer"] == "/start_tap"


def test_ways_are_put_right_pair_by_pair(coordinator: Speaker, town: Town) -> None:
    pair = {"one": town.other_planter["id"], "other": town.planter["id"]}
    answer = coordinator.put("/rounds/ways", {"ways": [{**pair, "metres": 85}]})
    assert [one["metres"] for one in answer.json["ways"]] == [85]
    answer = coordinator.put("/rounds/ways", {"ways": [{**pair, "metres": None}]})
    assert answer.json["ways"] == []
    wrong = {"one": "p-nowhere", "other": town.planter["id"], "metres": 5}
    answer = coordinator.put("/rounds/ways", {"ways": [wrong]})
    assert answer.json["errors"][0]["pointer"] == "/ways/0/one"


def test_the_table_of_ways_says_how_each_is_known(coordinator: Speaker, town: Town) -> None:
    """A thousandth of a degree of latitude is 111.2 m on a sphere of 6,371 km; half as far again
    by the setting. Source: the haversine formula, as in tests/science/test_walking.py."""
    one, other = town.planter, town.other_planter
    tap = coordinator.post("/rounds/taps", {"name": "Tap", "lat": 48.001, "lon": 11.0}).json["id"]
    assert coordinator.patch("/register/settings", {"walking_factor": 1.5}).status_code == 200
    assert_problem(coordinator.get("/rounds/ways/p-nowhere"), 404, "no-such-planter-or-tap")

    def table(place: str) -> dict[str, tuple[float, str]]:
        rows = coordinator.get(f"/rounds/ways/{place}").json["ways"]
        assert [row["metres"] for row in rows] == sorted(row["metres"] for row in rows)
        return {row["other"]["name"]: (row["metres"], row["how"]) for row in rows}

    assert {how for _, how in table(tap).values()} == {"guessed"}
    body, version = {"lat": 48.0, "lon": 11.0}, {"If-Match": f'"{one["version"]}"'}
    path = f"/register/planters/{one['id']}"
    assert coordinator.patch(path, body, headers=version).status_code == 200
    assert table(tap)[one["name"]] == (pytest.approx(1.5 * 111.2, abs=1), "reckoned")
    way = {"one": tap, "other": other["id"], "metres": 640}
    assert coordinator.put("/rounds/ways", {"ways": [way]}).status_code == 200
    assert table(tap)[other["name"]] == (640, "paced")
    assert table(other["id"])["Tap"] == (640, "paced")


# --- what is missing is said, and the rest is planned ------------------------------------------


def test_a_town_with_nothing_set_gets_a_sentence_for_each(
    coordinator: Speaker, vera: str, town: Town
) -> None:
    """No positions, no taps, a tank smaller than a planter's need, a planter reached by nobody,
    somebody without days; at last nobody with a day."""

    def plan() -> tuple[str, dict[str, Any]]:
        answer = coordinator.post("/rounds/plan")
        assert answer.status_code == 200, answer.text
        return " ".join(answer.json["notes"]), answer.json

    def planned(found: dict[str, Any]) -> set[str]:
        rounds = [one for day in found["days"] for one in day["rounds"]]
        return {stop["planter"] for one in rounds for stop in one["stops"]}

    both = {town.planter["id"], town.other_planter["id"]}
    said, found = plan()
    assert "No planter has a position" in said
    assert "No tap is on record" in said
    assert planned(found) == both

    tap = coordinator.post("/rounds/taps", {"name": "Quay tap", "site": town.site}).json["id"]
    body = {**GOES_OUT, "tank_l": 6, "start_tap": tap}
    assert coordinator.put(f"/rounds/crew/{vera}", body).status_code == 200
    said, found = plan()
    assert "The largest tank holds 6 L, less than Quay 1, Quay 2 can want" in said
    assert planned(found) == both

    far = {"one": tap, "other": town.other_planter["id"], "metres": 90_000}
    assert coordinator.put("/rounds/ways", {"ways": [far]}).status_code == 200
    said, found = plan()
    assert "Quay 2 is reached by nobody" in said
    assert planned(found) == {town.planter["id"]}

    assert coordinator.put(f"/rounds/crew/{vera}", {**body, "weekdays": []}).status_code == 200
    said, found = plan()
    assert "Vera has no days" in said
    assert "No days are set on which anybody goes out" in said
    assert found["days"] == []
    assert coordinator.get("/rounds/crew").status_code == 200  # all else goes on


# --- plan, tell, walk ----------------------------------------------------------------------------


def test_a_round_goes_from_plan_to_phone_and_back(
    told: dict[str, Any], volunteer: Speaker, vera: str, town: Town
) -> None:
    first = told["rounds"][0]
    assert (first["day"], first["person"]["id"], first["state"]) == ("2026-05-04", vera, "planned")
    stop = first["stops"][0]
    assert stop["litres_l"] > 0
    assert stop["why"]
    texts = [
        volunteer.record("town", "round", {"round": first["id"], "what": "started"}),
        volunteer.record(stop["planter"], body={"level": 0.5, "round": first["id"]}),
        volunteer.record(
            first["stops"][1]["planter"],
            "stop",
            {"round": first["id"], "what": "skipped", "reason": "hazard", "note": "Glass"},
        ),
    ]
    assert [one["outcome"] for one in volunteer.push(*texts)] == ["stored"] * 3
    items = volunteer.get("/sync/pull").json["items"]
    cards = {one["round"]["id"]: one["round"] for one in items if one["what"] == "round"}
    now = cards[first["id"]]
    assert now["state"] == "under-way"
    assert [one["state"] for one in now["stops"]] == ["done", "skipped"]
    assert now["stops"][1]["reason"] == "hazard"
    assert now["hours"]["under_way"]


@pytest.mark.parametrize(
    ("kind", "body", "pointer"),
    [
        ("round", {"round": "round-2026-05-04-u-1", "what": "hours"}, "/body/minutes"),
        ("round", {"round": "tomorrow", "what": "started"}, "/body/round"),
        ("stop", {"round": "round-2026-05-04-u-1", "what": "skipped"}, "/body/reason"),
        ("stop", {"round": "round-2026-05-04-u-1", "what": "handed"}, "/body/to"),
        ("stop", {"round": "round-2026-05-04-u-1", "what": "gone"}, "/body/what"),
    ],
)
def test_a_mark_that_says_too_little(
    volunteer: Speaker, town: Town, kind: str, body: dict[str, Any], pointer: str
) -> None:
    where = "town" if kind == "round" else town.planter["id"]
    (result,) = volunteer.push(volunteer.record(where, kind, body))
    assert result["outcome"] == "rejected"
    assert result["problem"]["errors"][0]["pointer"] == pointer


def test_a_plan_nobody_looked_at_is_not_told(coordinator: Speaker, vera: str) -> None:
    assert_problem(coordinator.post("/rounds/tell", {"mark": "x"}), 409, "plan-changed")


def test_planning_again_says_what_it_changes(
    coordinator: Speaker, told: dict[str, Any], vera: str
) -> None:
    assert coordinator.post("/rounds/plan").json["changes"] == []
    away = {**GOES_OUT, "away": ["2026-05-04"]}
    assert coordinator.put(f"/rounds/crew/{vera}", away).status_code == 200
    changes = coordinator.post("/rounds/plan").json["changes"]
    assert {one["what"] for one in changes} == {"moved"}
    assert all("no longer Vera on Monday 4 May" in one["sentence"] for one in changes)
