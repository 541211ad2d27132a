"""A planter's whole history over the web: who may read it, its pages, and what is asked wrongly."""

from __future__ import annotations

import pytest

from speaking import Speaker, Town, assert_problem

PARTS = ("history", "visits", "flags")


def test_a_history_its_visits_and_its_flags(coordinator: Speaker, town: Town) -> None:
    planter = town.planter["id"]
    for n in range(3):
        town.clock.tick(minutes=50)
        body = {"level": 0.25 * n, "litres_l": 4.0, "plants": 3}
        coordinator.push(coordinator.record(planter, body=body))
    told = coordinator.get(f"/planters/{planter}/history").json
    assert (told["name"], told["year"], told["records"]) == ("Quay 1", 2026, 3)
    assert [mark["filled_to_l"] for mark in told["season"]["marks"]] == [4.0, 8.0, 12.0]
    assert told["tags"][0]["code"] == town.planter["code"]
    assert told["use"] is None  # no latitude: nothing is believed
    page = coordinator.get(f"/planters/{planter}/visits?most=2").json
    assert [visit["level"] for visit in page["visits"]] == [0.5, 0.25]
    rest = coordinator.get(f"/planters/{planter}/visits?most=2&before={page['before']}").json
    assert [visit["level"] for visit in rest["visits"]] == [0.0]
    assert rest["before"] is None
    runs = coordinator.get(f"/planters/{planter}/flags").json["runs"]
    assert "stressed_plants" in {run["code"] for run in runs}


@pytest.mark.parametrize("part", PARTS)
def test_the_whole_history_is_for_coordinators(
    volunteer: Speaker, passer_by: Speaker, town: Town, part: str
) -> None:
    path = f"/planters/{town.planter['id']}/{part}"
    assert volunteer.get(path).status_code == 403
    assert passer_by.get(path).status_code == 401


@pytest.mark.parametrize("part", PARTS)
def test_no_such_planter(coordinator: Speaker, part: str) -> None:
    assert_problem(coordinator.get(f"/planters/p-nowhere0/{part}"), 404, "no-such-planter")


@pytest.mark.parametrize(
    ("more", "status"),
    [
        ("history?year=2027", 404),
        ("history?year=20x6", 400),
        ("flags?year=2027", 404),
        ("visits?year=2027", 404),
        ("visits?most=0", 400),
        ("visits?most=101", 400),
        ("visits?before=yesterday", 400),
        ("visits?after=2026-05-04T08:00:00Z", 400),
    ],
)
def test_what_cannot_be_asked(coordinator: Speaker, town: Town, more: str, status: int) -> None:
    answer = coordinator.get(f"/planters/{town.planter['id']}/{more}")
    assert answer.status_code == status, answer.text


def test_a_moment_of_another_zone_goes_on_at_the_same_place(
    coordinator: Speaker, town: Town
) -> None:
    """10:30 two hours east is 8:30 in Greenwich, after the first visit and before the second."""
    planter = town.planter["id"]
    coordinator.push(coordinator.record(planter, body={"level": 1.0}))
    town.clock.tick(minutes=50)
    coordinator.push(coordinator.record(planter, body={"level": 0.5}))
    path = f"/planters/{planter}/visits?before=2026-05-04T10:30:00%2B02:00"
    assert [visit["level"] for visit in coordinator.get(path).json["visits"]] == [1.0]
