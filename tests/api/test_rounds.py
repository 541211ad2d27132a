"""Rounds over the web, and the calendar read by a library that did not write it."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
import vobject

from potrounds.services import people
from speaking import Speaker, Town, assert_problem

GOES_OUT = {"weekdays": [0, 3], "minutes": 90, "mode": "cart", "tank_l": 40}


@pytest.fixture
def vera(coordinator: Speaker, town: Town) -> str:
    """Vera, who goes out on Mondays and Thursdays with a cart."""
    everybody = coordinator.get("/register").json["people"]
    person: str = next(one["id"] for one in everybody if one["name"] == "Vera")
    assert coordinator.put(f"/rounds/crew/{person}", GOES_OUT).status_code == 200
    return person


@pytest.fixture
def told(coordinator: Speaker, vera: str) -> dict[str, Any]:
    """The rounds that were told."""
    plan = coordinator.post("/rounds/plan").json
    answer = coordinator.post("/rounds/tell", {"mark": plan["mark"]})
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json
    return found


def events(client: Any, url: str) -> list[Any]:
    """The entries of a calendar, as an app that subscribes would read them."""
    answer = client.get(url.removeprefix("http://localhost"))
    assert answer.status_code == 200, answer.text
    assert answer.mimetype == "text/calendar"
    return list(vobject.readOne(answer.text).vevent_list)


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


# --- the calendar --------------------------------------------------------------------------------


def test_the_calendar_is_read_by_another_library(
    coordinator: Speaker, passer_by: Speaker, told: dict[str, Any], vera: str
) -> None:
    nights = [{"date": "2026-05-06", "low_c": -1.5, "kind": "forecast"}]
    assert coordinator.put("/register/nights", {"nights": nights}).status_code == 200
    made = coordinator.post("/rounds/calendar-links", {"name": "Kitchen"}).json
    found = {one.uid.value: one for one in events(passer_by.client, made["url"])}
    assert len(found) == len({one.uid.value for one in found.values()})
    one = found[f"{told['rounds'][0]['id']}@potrounds"]
    assert one.dtstart.value == date(2026, 5, 4)
    assert one.dtend.value - one.dtstart.value == timedelta(days=1)
    assert one.summary.value.startswith("Round: Vera, 2")
    assert "Quay 1 (Quay)" in one.description.value
    freeze = found["freeze-2026-05-06@potrounds"]
    assert "−1.5" in freeze.summary.value
    assert any(uid.startswith("winterization-2026-09-15") for uid in found)


def test_the_calendar_has_the_days_that_rounds_are_planned_by(
    coordinator: Speaker, volunteer: Speaker, passer_by: Speaker, vera: str, town: Town
) -> None:
    """The plug is out a day before the freeze, and looked at again two weeks after at the latest:
    due days of the lists, DEVELOPERS.md section 8. Common practice, no source."""
    town.clock.tick(days=161)  # Monday 12 October
    assert volunteer.join(town.invite(name="Wim"), "Wim").status_code < 300
    body = {"list": "winterization", "season": 2026, "step": "pull-plug", "outcome": "done"}
    body |= {"second": "Kofi", "plug_place": "box 1"}
    volunteer.push(volunteer.record(town.planter["id"], "step", body))
    town.clock.tick(days=4)
    assert coordinator.sign_in("Corin").status_code == 200
    nights = [{"date": "2026-10-24", "low_c": -2.0, "kind": "forecast"}]
    assert coordinator.put("/register/nights", {"nights": nights}).status_code == 200
    pulled, other = town.planter["name"], town.other_planter["name"]
    visits = [
        (day["date"], stop["name"], " ".join(stop["why"]))
        for day in coordinator.post("/rounds/plan").json["days"]
        for one in day["rounds"]
        for stop in one["stops"]
    ]
    plug_out = [day for day, name, why in visits if name == other and "Pull the drain" in why]
    looked = [day for day, name, why in visits if name == pulled and "Second look" in why]
    assert plug_out[0] <= "2026-10-23"
    assert looked[0] == "2026-10-26"  # a Monday, on which the crew goes out
    made = coordinator.post("/rounds/calendar-links", {"name": "Kitchen"}).json
    lists = {
        one.dtstart.value: (one.summary.value, one.description.value.split("\n"))
        for one in events(passer_by.client, made["url"])
        if one.uid.value.startswith("winterization.")
    }
    summary, lines = lists[date(2026, 10, 23)]
    assert (summary, lines[-1]) == ("Winterization: Pull the drain plug, 1\u00a0planter", other)
    summary, lines = lists[date(2026, 10, 26)]
    assert (summary, lines[-1]) == (
        "Winterization: Second look after rain or thaw, 1\u00a0planter",
        pulled,
    )


def test_lines_are_folded_and_escaped_as_the_standard_says(
    coordinator: Speaker, passer_by: Speaker, told: dict[str, Any]
) -> None:
    """RFC 5545, 3.1: lines of at most 75 octets, ended by CR LF; 3.3.11: \\n for a new line."""
    made = coordinator.post("/rounds/calendar-links", {"name": "Kitchen"}).json
    text = passer_by.client.get(made["url"].removeprefix("http://localhost")).data
    lines = text.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-2:] == [b"END:VCALENDAR", b""]
    assert max(len(line) for line in lines) <= 75
    assert b"\n" not in text.replace(b"\r\n", b"")
    assert b"\\n" in text


def test_a_calendar_shows_first_names_only(
    coordinator: Speaker, passer_by: Speaker, vera: str, town: Town
) -> None:
    people.change_person(town.context, vera, {"name": "Vera Lindqvist"})
    plan = coordinator.post("/rounds/plan").json
    assert coordinator.post("/rounds/tell", {"mark": plan["mark"]}).status_code == 200
    made = coordinator.post("/rounds/calendar-links", {"name": "Kitchen", "person": vera}).json
    answer = passer_by.client.get(made["url"].removeprefix("http://localhost"))
    assert "Vera" in answer.text
    assert "Lindqvist" not in answer.text


def test_an_address_that_is_taken_back_is_as_unknown_as_any_other(
    coordinator: Speaker, passer_by: Speaker
) -> None:
    made = coordinator.post("/rounds/calendar-links", {"name": "Kitchen"}).json
    path = made["url"].removeprefix("http://localhost/api/v1")
    assert passer_by.get(path).status_code == 200
    assert coordinator.delete(f"/rounds/calendar-links/{made['id']}").status_code == 204
    gone = passer_by.get(path)
    never = passer_by.get("/calendar/nothing.ics")
    assert assert_problem(gone, 404, "no-such-calendar") == never.json
    (row,) = coordinator.get("/rounds/calendar-links").json["links"]
    assert row["revoked_at"] is not None
    assert made["url"].rsplit("/", 1)[1].removesuffix(".ics") not in str(row)
