"""Lists and seasons over the web: the table for a spreadsheet, and who may do what.

CSV as in RFC 4180, read back by Python's csv module; cells that a spreadsheet would compute are
opened as text (OWASP, CSV injection: a cell that begins with = + - @ tab or carriage return).
"""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest

from speaking import Speaker, Town, assert_problem


def table(who: Speaker, path: str = "/lists/winterization.csv") -> list[dict[str, str]]:
    answer = who.get(path)
    assert answer.status_code == 200, answer.text
    assert answer.mimetype == "text/csv"
    assert "attachment" in answer.headers["Content-Disposition"]
    return list(csv.DictReader(io.StringIO(answer.text)))


def step(who: Speaker, planter: str, code: str, **body: Any) -> None:
    body = {"list": "winterization", "season": 2026, "step": code, **body}
    (result,) = who.push(who.record(planter, "step", body))
    assert result["outcome"] == "stored", result


def test_the_table_says_every_step_its_proof_and_what_is_missing(
    volunteer: Speaker, town: Town
) -> None:
    step(volunteer, town.planter["id"], "pull-plug", second="Kofi", note="ran for a minute")
    first, second = table(volunteer)
    assert (first["planter"], first["site"], first["season"]) == ("Quay 1", "Quay", "2026")
    assert (first["state"], first["steps_done"], first["steps"]) == ("unproven", "2", "9")
    assert first["missing"] == "Where the plug is now; Second look still to come"
    assert first["Pull the drain plug: state"] == "done"
    assert first["Pull the drain plug: by"] == "Vera"
    assert first["Pull the drain plug: when"] == "2026-05-04 08:00"
    assert first["Pull the drain plug: proof"] == "with Kofi"
    assert first["Pull the drain plug: note"] == "ran for a minute"
    assert first["plug"] == "out"
    assert (second["planter"], second["state"]) == ("Quay 2", "not-begun")
    assert second["Pull the drain plug: state"] == "todo"


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r"])
def test_no_cell_is_a_formula(
    volunteer: Speaker, coordinator: Speaker, town: Town, sign: str
) -> None:
    evil = f"{sign}HYPERLINK(1)"
    step(volunteer, town.planter["id"], "bag-plug", plug_place=evil, note=evil, second=evil)
    version = coordinator.get("/register/lists").json["lists"][0]
    steps = [
        {key: one[key] for key in ("code", "title", "why", "proof", "applies_to", "which")}
        for one in version["steps"]
    ]
    named = {"title": f"{sign}SUM(1+1)", "proof": "none"}
    put = coordinator.put(
        "/register/lists/winterization", {"steps": [*steps, named]}, headers={"If-Match": '"0"'}
    )
    assert put.status_code == 200, put.text
    rows = list(csv.reader(io.StringIO(volunteer.get("/lists/winterization.csv").text)))
    assert any("HYPERLINK" in cell for row in rows for cell in row), "it is there, as text"
    for row in rows:
        for cell in row:
            assert not cell.startswith(("=", "+", "-", "@", "\t", "\r")), cell


def test_only_what_is_open(volunteer: Speaker, town: Town) -> None:
    step(volunteer, town.planter["id"], "pull-plug", second="Kofi", plug_place="box 1")
    town.clock.tick(days=1)
    step(volunteer, town.planter["id"], "second-look", standing_water=False)
    assert [row["state"] for row in table(volunteer)] == ["proven", "not-begun"]
    left = table(volunteer, "/lists/winterization.csv?open=1")
    assert [row["planter"] for row in left] == ["Quay 2"]
    assert len(table(volunteer, "/lists/start-up.csv?open=0")) == 2
    assert_problem(volunteer.get("/lists/hibernation.csv"), 404, "no-such-list")
    assert_problem(volunteer.get("/lists/start-up.csv?open=yes"), 400, "fields")


def test_a_retired_and_an_unknown_step_keep_their_columns(
    volunteer: Speaker, coordinator: Speaker, town: Town
) -> None:
    step(volunteer, town.planter["id"], "flush")
    step(volunteer, town.planter["id"], "wrap-in-fleece")
    town.clock.tick(minutes=1)
    steps = coordinator.get("/register/lists").json["lists"][0]["steps"]
    keys = ("code", "title", "why", "proof", "applies_to", "which")
    rest = [{key: one[key] for key in keys} for one in steps if one["code"] != "flush"]
    put = coordinator.put(
        "/register/lists/winterization", {"steps": rest}, headers={"If-Match": "0"}
    )
    assert put.status_code == 200, put.text
    first, second = table(volunteer)
    assert first["Flush outlet and overflow: state"] == "done"
    assert first["Flush outlet and overflow: note"].startswith("Not on this season's list")
    assert first["wrap-in-fleece: state"] == "done"
    assert second["wrap-in-fleece: state"] == ""


def test_an_empty_title_is_named_by_its_place(coordinator: Speaker) -> None:
    steps = coordinator.get("/register/lists").json["lists"][0]["steps"]
    keys = ("code", "title", "why", "proof", "applies_to", "which")
    bodies = [{key: one[key] for key in keys} for one in steps]
    answer = coordinator.put(
        "/register/lists/winterization",
        {"steps": [*bodies, {"title": ""}]},
        headers={"If-Match": "0"},
    )
    problem = assert_problem(answer, 422, "list")
    assert problem["errors"] == [{"pointer": "/steps/9/title", "detail": "Give the step a name."}]
    assert_problem(
        coordinator.put("/register/lists/winterization", {"steps": bodies}), 428, "version-needed"
    )


def test_a_season_closes_and_opens_over_the_web(coordinator: Speaker) -> None:
    season = coordinator.get("/seasons").json["open"][0]
    assert (season["year"], len(season["unproven"])) == (2026, 2)
    closed = coordinator.post("/seasons/2026/close", {"open_seen": season["open_count"]})
    assert closed.status_code == 200, closed.text
    assert closed.json["totals"]["not_begun"] == 2
    assert coordinator.get("/seasons/2026").json == closed.json
    assert_problem(coordinator.post("/seasons/2026/close", {"open_seen": 0}), 409, "closed")
    assert_problem(coordinator.post("/seasons/2026/reopen", {"reason": " "}), 422, "reason")
    again = coordinator.post("/seasons/2026/reopen", {"reason": "one was forgotten"})
    assert again.json["reason"] == "one was forgotten"
    assert_problem(coordinator.get("/seasons/2019"), 404, "no-such-season")
