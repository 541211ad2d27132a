"""Planting day over the web: shapes and bad inputs; sense is tested at the services."""

from __future__ import annotations

from typing import Any

import pytest

from speaking import Speaker, Town, assert_problem

SIZE: dict[str, Any] = {
    **{"name": "Medium", "shape": "round", "top_a_cm": 60, "bottom_a_cm": 45, "depth_cm": 50},
    **{"gap_cm": 0, "reservoir_l": 16},
}


def test_from_measures_to_the_plan(coordinator: Speaker, town: Town) -> None:
    size = coordinator.post("/plan/sizes", SIZE)
    assert (size.status_code, size.json["mix_l"]) == (201, 108.97)
    plants = [{"role": "centre", "name": "sage", "count": 1}]
    body = {"name": "Blue", "plants": plants, "planters": [town.planter["id"]]}
    scheme = coordinator.post("/plan/schemes", body)
    assert scheme.status_code == 201
    seen = coordinator.get("/plan").json
    materials = {key: value for key, value in seen["materials"].items() if key != "version"}
    materials["bag"] = {"amount": 50, "unit": "dry-quart", "moist_kg": None, "price": 10}
    kept = coordinator.put("/plan/materials", materials, headers={"If-Match": '"0"'})
    assert (kept.status_code, kept.json["version"]) == (200, 1)
    plan = coordinator.get("/plan/planting").json
    assert plan["totals"]["planters"] == 2
    assert plan["bag"]["litres_l"] == 55.06
    one = coordinator.get(f"/plan/planting?scope={town.planter['id']}").json
    assert [stop["planters"][0]["name"] for stop in one["stops"]] == ["Quay 1"]
    own = f"/plan/sizes/{size.json['id']}"
    again = coordinator.put(own, SIZE, headers={"If-Match": '"7"'})
    assert_problem(again, 412, "stale-version")
    assert_problem(coordinator.put(own, SIZE), 428, "version-needed")
    assert coordinator.delete(own).status_code == 204
    assert coordinator.delete(f"/plan/schemes/{scheme.json['id']}").status_code == 204
    left = coordinator.get("/plan").json
    assert (left["sizes"], left["schemes"]) == ([], [])


def test_a_question_comes_with_the_measure_it_is_about(coordinator: Speaker) -> None:
    inches = SIZE | {"top_a_cm": 23.6, "bottom_a_cm": 17.7, "depth_cm": 19.7}
    problem = assert_problem(coordinator.post("/plan/sizes", inches), 422, "size-questioned")
    assert problem["errors"][0]["pointer"] == "/depth_cm"
    assert "Were inches typed as centimetres?" in problem["errors"][0]["detail"]
    assert coordinator.get("/plan").json["sizes"] == []
    sure = inches | {"measured_again": True}
    assert coordinator.post("/plan/sizes", sure).status_code == 201


@pytest.mark.parametrize(
    ("wrong", "pointer"),
    [
        ({"depth_cm": 0}, "/depth_cm"),
        ({"depth_cm": -45}, "/depth_cm"),
        ({"top_a_cm": "60"}, "/top_a_cm"),
        ({"bottom_a_cm": None}, "/bottom_a_cm"),
        ({"shape": "oval"}, "/shape"),
        ({"reservoir_l": 0}, "/reservoir_l"),
        ({"colour": "red"}, "/colour"),
        ({"name": "  "}, "/name"),
    ],
)
def test_what_is_no_size(coordinator: Speaker, wrong: dict[str, Any], pointer: str) -> None:
    problem = assert_problem(coordinator.post("/plan/sizes", SIZE | wrong), 422, "fields")
    assert pointer in {entry["pointer"] for entry in problem["errors"]}


def test_assets_and_swapping(coordinator: Speaker, town: Town) -> None:
    own = f"/plan/planters/{town.planter['id']}"
    body = {"warranty": "Two years", "warranty_until": "2026-05-20", "condition": "sound"}
    kept = coordinator.put(f"{own}/asset", body, headers={"If-Match": '"0"'})
    assert (kept.status_code, kept.json["condition"]) == (200, "sound")
    due = coordinator.get("/plan").json["due"]
    assert due == [{"planter": town.planter["id"], "what": "warranty", "on": "2026-05-20",
                    "days": 16}]  # fmt: skip
    same = coordinator.post(f"{own}/swap", {"other": town.other_planter["id"]})
    assert_problem(same, 422, "swap")


def test_no_plan_for_nowhere(coordinator: Speaker) -> None:
    answer = coordinator.get("/plan/planting?scope=s-nowhere0")
    assert_problem(answer, 404, "no-such-site-or-planter")
