"""Freeze dates and siting over the web: who may what, shapes, and bad input with its words."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from flask.testing import FlaskClient

from speaking import Speaker, Town, assert_problem

FACTS: dict[str, Any] = {
    "path_cm": 240,
    "from_kerb_cm": 20,
    "width_cm": 60,
    "length_cm": 60,
    "rim_cm": 55,
    "things": [{"what": "corner", "distance_cm": 300}],
}


def lows(first: int = 1990, seasons: int = 25) -> str:
    """Whole seasons in degF: 31 from mid-October to 10 April."""
    lines = ["DATE,TMIN"]
    day = date(first, 8, 1)
    while day < date(first + seasons, 8, 1):
        warm = (4, 10) < (day.month, day.day) < (10, 5 + day.year % 20)
        lines.append(f"{day},{50 if warm else 27}")
        day += timedelta(days=1)
    return "\n".join(lines)


def send_lows(speaker: Speaker, table: str, **query: str) -> Any:
    return speaker.ask(
        "POST",
        "/weather/lows/import",
        data=table.encode(),
        content_type="text/csv",
        query_string=query,
    )


def town_card(speaker: Speaker) -> dict[str, Any]:
    items = speaker.get("/sync/pull").json["items"]
    return next(item["town"] for item in items if item["what"] == "town")


def check(speaker: Speaker, town: Town, version: int | None = 1, **more: Any) -> Any:
    headers = {} if version is None else {"If-Match": f'"{version}"'}
    path = f"/register/planters/{town.planter['id']}/siting"
    return speaker.post(path, {**FACTS, **more}, headers=headers)


def test_a_record_is_tried_then_kept_and_a_volunteer_reads_the_dates(
    coordinator: Speaker, town: Town, client: FlaskClient
) -> None:
    tried = send_lows(coordinator, lows(), unit="f", dry_run="1")
    assert (tried.status_code, tried.json["created"]) == (200, 9131)
    assert town_card(coordinator)["freeze_odds"] is None
    assert send_lows(coordinator, lows(), unit="f").status_code == 201
    odds = town_card(town.speaker(client, "Vera"))["freeze_odds"]
    assert odds["years"] == 25
    assert sorted(odds["fall"][0]) == sorted(
        ["f", "years", "share", "counted", *(f"p{n}0" for n in range(1, 10))]
    )
    assert all(odds[end][1]["p10"] for end in ("fall", "spring"))


def test_a_record_is_taken_away(coordinator: Speaker) -> None:
    send_lows(coordinator, lows(), unit="f")
    assert coordinator.delete("/weather/lows").status_code == 204
    assert town_card(coordinator)["freeze_record"] is None
    assert_problem(coordinator.delete("/weather/lows"), 404, "no-lows")


def test_a_volunteer_may_change_neither(volunteer: Speaker, town: Town) -> None:
    assert_problem(send_lows(volunteer, lows(), unit="f"), 403, "coordinator-only")
    assert_problem(volunteer.delete("/weather/lows"), 403, "coordinator-only")
    assert_problem(check(volunteer, town), 403, "coordinator-only")


def test_faults_come_by_line_and_column(coordinator: Speaker) -> None:
    answer = send_lows(coordinator, "date,tmin_f\n2001-10-25,cold\n")
    assert answer.status_code == 422
    assert answer.json["errors"] == [
        {"row": 2, "column": "tmin_f", "detail": "cold is no number. Write it like 28 or -2.2."}
    ]
    assert_problem(send_lows(coordinator, lows(), unit="kelvin"), 400, "fields")
    assert_problem(coordinator.post("/weather/lows/import"), 415, "wrong-type")


def test_a_check_is_kept_and_seen_in_the_register(coordinator: Speaker, town: Town) -> None:
    made = check(coordinator, town)
    assert made.status_code == 201, made.text
    assert made.json["version"] == 2
    seen = coordinator.get("/register").json
    planter = next(one for one in seen["planters"] if one["id"] == town.planter["id"])
    assert planter["siting"]["plan"]["clear_cm"] == 160
    assert planter["siting"]["facts"]["things"][0]["what"] == "corner"
    assert {one["code"] for one in planter["siting"]["findings"]} >= {"clear_path", "sight"}


def test_a_check_needs_the_version_that_was_seen(coordinator: Speaker, town: Town) -> None:
    assert_problem(check(coordinator, town, version=None), 428, "version-needed")
    assert_problem(check(coordinator, town, version=7), 412, "stale-version")


@pytest.mark.parametrize(
    ("more", "slug", "pointer"),
    [
        ({"slope_percent": -3}, "siting", "/slope_percent"),
        ({"path_cm": 60}, "siting", "/path_cm"),
        ({"path_cm": "240"}, "fields", "/path_cm"),
        ({"rim_cm": 0}, "fields", "/rim_cm"),
        ({"things": [{"what": "tree", "distance_cm": 3}]}, "fields", "/things/0/what"),
        ({"width_cm": 24, "length_cm": 24, "rim_cm": 20}, "siting-question", "/width_cm"),
        ({"height_cm": 3}, "fields", "/height_cm"),
    ],
)
def test_bad_facts_are_named(
    coordinator: Speaker, town: Town, more: dict[str, Any], slug: str, pointer: str
) -> None:
    problem = assert_problem(check(coordinator, town, **more), 422, slug)
    assert pointer in {error["pointer"] for error in problem["errors"]}


@pytest.mark.parametrize(
    ("change", "pointer"),
    [({"lat": 91, "lon": 0}, "/lat"), ({"lat": 0, "lon": -181}, "/lon"), ({"lat": 46.5}, "/lon")],
)
def test_bad_positions_are_named(
    coordinator: Speaker, town: Town, change: dict[str, Any], pointer: str
) -> None:
    path = f"/register/planters/{town.planter['id']}"
    answer = coordinator.patch(path, change, headers={"If-Match": '"1"'})
    assert answer.status_code == 422
    assert answer.json["errors"][0]["pointer"] == pointer
