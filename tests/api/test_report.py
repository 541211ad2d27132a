"""The report, and who gets the mail, over the web."""

from __future__ import annotations

import csv
import io

import pytest

from speaking import Speaker, Town


def test_the_report_and_what_is_behind_it(coordinator: Speaker, town: Town) -> None:
    planter = town.planter["id"]
    body = {"litres_l": 7.25, "litres_how": "hose-timer"}
    [kept] = coordinator.push(coordinator.record(planter, body=body))
    told = coordinator.get("/report/season").json
    assert told["town"]["water"]["hose-timer"] == 7.3  # half up, once
    assert told["believed"] is None  # no latitude: the balance does not run
    found = coordinator.get("/report/season/records?of=water-hose-timer").json
    assert [row["record"] for row in found["records"]] == [kept["id"]]
    other = town.other_planter["id"]
    path = f"/report/season/records?of=visits&planter={other}"
    assert coordinator.get(path).json["count"] == 0
    rows = list(csv.DictReader(io.StringIO(coordinator.get("/report/season.csv").text)))
    assert [row["what"] for row in rows] == ["planter", "planter", "site", "town"]
    assert rows[-1]["water_hose_timer_l"] == "7.3"


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/report/season?year=2027", 404),
        ("/report/season?year=20x6", 400),
        ("/report/season/records?of=nothing", 400),
        ("/report/season/records", 400),
    ],
)
def test_what_cannot_be_reported(coordinator: Speaker, path: str, status: int) -> None:
    assert coordinator.get(path).status_code == status


@pytest.mark.parametrize("path", ["/report/season", "/report/season.csv"])
def test_the_report_is_for_coordinators(volunteer: Speaker, passer_by: Speaker, path: str) -> None:
    assert volunteer.get(path).status_code == 403
    assert passer_by.get(path).status_code == 401


@pytest.mark.parametrize(
    "wrong",
    ["corin", "corin@town", "a@b.example\r\nBcc: x@y.example", "<a@b.example>", "a b@c.example"],
)
def test_no_other_line_gets_into_a_mail(coordinator: Speaker, wrong: str) -> None:
    answer = coordinator.patch("/register/settings", {"digest_to": [wrong]})
    assert answer.status_code == 422
    assert answer.json["errors"][0]["pointer"] == "/digest_to/0"


def test_who_gets_the_mail_is_kept_with_who_and_when(coordinator: Speaker) -> None:
    to = ["corin@town.example"]
    assert coordinator.patch("/register/settings", {"digest_to": to}).json["digest_to"] == to
    change = coordinator.get("/register").json["changes"][0]
    assert (change["by"], change["after"]["digest_to"]) == ("Corin", to)
