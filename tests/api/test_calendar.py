"""The calendar, read by a library that did not write it."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import vobject

from potrounds.services import people
from speaking import Speaker, Town, assert_problem


def events(client: Any, url: str) -> list[Any]:
    """The entries of a calendar, as an app that subscribes would read them."""
    answer = client.get(url.removeprefix("http://localhost"))
    assert answer.status_code == 200, answer.text
    assert answer.mimetype == "text/calendar"
    return list(vobject.readOne(answer.text).vevent_list)


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
