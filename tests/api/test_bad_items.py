"""Hostile and broken records in a batch, each named by its number in the list of bad inputs."""

from __future__ import annotations

import json
from typing import Any

import pytest

from speaking import Speaker, Town

ID = "0197a1b2-0000-7000-8000-000000000001"

# Each: what is put into the record (top level, or "body"), and the pointer that must be named.
ITEMS: list[tuple[str, dict[str, Any], str, str]] = [
    ("B5 lone surrogate", {"body": {"note": "\ud800"}}, "unstorable-text", "/body/note"),
    ("B6 NUL", {"body": {"note": "a\x00b"}}, "unstorable-text", "/body/note"),
    ("B14 null id", {"id": None}, "fields", "/id"),
    ("B15 no uuid", {"id": "12"}, "fields", "/id"),
    ("B15 upper case", {"id": ID.upper()}, "fields", "/id"),
    ("B15 braces", {"id": "{" + ID + "}"}, "fields", "/id"),
    ("B15 list", {"id": [ID]}, "fields", "/id"),
    ("B18 true", {"body": {"litres_l": True}}, "fields", "/body/litres_l"),
    ("B18 true, whole", {"body": {"plants": True}}, "fields", "/body/plants"),
    ("B18 true, n", {"n": True}, "fields", "/n"),
    ("B19 quoted", {"body": {"litres_l": "3"}}, "fields", "/body/litres_l"),
    ("B20 with unit", {"body": {"litres_l": "3 litres"}}, "fields", "/body/litres_l"),
    ("B21 2.9", {"body": {"plants": 2.9}}, "fields", "/body/plants"),
    ("B22 level -1", {"body": {"level": -1}}, "fields", "/body/level"),
    ("B22 level 101", {"body": {"level": 101}}, "fields", "/body/level"),
    ("B22 level 1e9", {"body": {"level": 1e9}}, "fields", "/body/level"),
    ("B22 litres 501", {"body": {"litres_l": 501}}, "fields", "/body/litres_l"),
    ("B23 enum", {"body": {"overflow": "purple"}}, "fields", "/body/overflow"),
    ("B23 sign", {"body": {"signs": ["purple"]}}, "fields", "/body/signs/0"),
    ("B27 2,001", {"body": {"note": "x" * 2001}}, "fields", "/body/note"),
    ("B27 100 kB", {"body": {"note": "x" * 100_000}}, "fields", "/body/note"),
    ("B38 twice", {"body": {"signs": ["pests", "pests"]}}, "fields", "/body/signs"),
    ("B38 many", {"body": {"photos": ["a" * 64] * 51}}, "fields", "/body/photos"),
    ("B62 hash", {"body": {"photos": ["A" * 64]}}, "fields", "/body/photos/0"),
]


@pytest.mark.parametrize(
    ("wrong", "slug", "pointer"), [case[1:] for case in ITEMS], ids=[case[0] for case in ITEMS]
)
def test_item(
    volunteer: Speaker, town: Town, wrong: dict[str, Any], slug: str, pointer: str
) -> None:
    """One bad item is rejected with its pointer; the good one beside it is stored (R11)."""
    text = volunteer.record(town.planter["id"])
    bad = json.dumps({**json.loads(text), **wrong})
    good = volunteer.record(town.planter["id"])
    rejected, stored = volunteer.push(bad, good)
    assert rejected["outcome"] == "rejected"
    assert rejected["problem"]["type"] == f"/problems/{slug}"
    assert pointer in [entry["pointer"] for entry in rejected["problem"]["errors"]]
    assert stored["outcome"] == "stored"


RAW_ITEMS: list[tuple[str, str, str]] = [
    ("B2 cut", '"note":"x', "not-json"),
    ("B7 duplicate key", '"level":1,"level":0}}', "duplicate-key"),
    ("B8 NaN", '"litres_l":NaN}}', "not-json"),
    ("B9 1e400", '"litres_l":1e400}}', "number-too-big"),
    ("B10 2^63", '"litres_l":9223372036854775808}}', "number-too-big"),
    ("B11 5,000 digits", '"litres_l":' + "9" * 5000 + "}}", "number-too-big"),
    ("B12 deep", '"x":' + "[" * 60 + "]" * 60 + "}}", "too-deep"),
]


@pytest.mark.parametrize(
    ("tail", "slug"), [case[1:] for case in RAW_ITEMS], ids=[case[0] for case in RAW_ITEMS]
)
def test_item_text(volunteer: Speaker, town: Town, tail: str, slug: str) -> None:
    """A text that is no JSON is still answered under its id, so the phone knows which one."""
    text = volunteer.record(town.planter["id"], body={})
    head = text.removesuffix("}}")
    assert head != text
    result = volunteer.push(head + tail)[0]
    assert (result["outcome"], result["id"]) == ("rejected", json.loads(text)["id"])
    assert result["problem"]["type"] == f"/problems/{slug}"


@pytest.mark.parametrize("text", ["[]", '"x"', "null", "3", "", "\ufeff{}"])
def test_B13_item_that_is_no_object(volunteer: Speaker, text: str) -> None:
    result = volunteer.push(text)[0]
    assert (result["outcome"], result["id"]) == ("rejected", None)


@pytest.mark.parametrize(
    ("field", "allowed"),
    [("level", "0.25"), ("overflow", "ran-while-filling"), ("litres_l", "500"), ("plants", "5")],
)
def test_B22_B23_limits_and_allowed_values_are_named(
    volunteer: Speaker, town: Town, field: str, allowed: str
) -> None:
    wrong = -1 if field != "overflow" else "purple"
    result = volunteer.push(volunteer.record(town.planter["id"], body={field: wrong}))[0]
    assert allowed in result["problem"]["errors"][0]["detail"]


WALLS = {
    "B26 30 February": "2026-02-30T10:00:00+02:00",
    "B26 25:00": "2026-05-04T25:00:00Z",
    "B26 year 9999999": "9999999-01-01T00:00:00Z",
    "B26 no zone": "2026-05-04T08:00:00",
    "B26 no text": 17,
    "B26 null": None,
}


@pytest.mark.parametrize("wall", WALLS.values(), ids=WALLS.keys())
def test_a_bad_date_is_stored_with_a_note(volunteer: Speaker, town: Town, wall: Any) -> None:
    result = volunteer.push(volunteer.record(town.planter["id"], wall=wall))[0]
    assert result["outcome"] == "stored", result
    assert "uncertain" in result["note"]
    own = [item["record"] for item in pulled(volunteer) if item["what"] == "record"]
    assert [record["time_uncertain"] for record in own] == [True]


def pulled(speaker: Speaker) -> list[dict[str, Any]]:
    """Everything this person may see."""
    answer = speaker.get("/sync/pull")
    assert answer.status_code == 200, answer.text
    items: list[dict[str, Any]] = answer.json["items"]
    return items


NOTES = {
    "B28 only blanks": " \u200b\u202e ",
    "B29 script": "<script>alert(1)</script>{{7*7}}'; DROP TABLE log; --",
    "B30 formula": "=HYPERLINK(1)",
    "B31 newline": "a\r\nSet-Cookie: x=1",
    "B32 emoji": "🌱 שלום e\u0301 𝔞",
}


@pytest.mark.parametrize("note", NOTES.values(), ids=NOTES.keys())
def test_any_text_is_stored_byte_for_byte(volunteer: Speaker, town: Town, note: str) -> None:
    text = volunteer.record(town.planter["id"], body={"note": note})
    assert volunteer.push(text)[0]["outcome"] == "stored"
    own = [item["record"] for item in pulled(volunteer) if item["what"] == "record"]
    assert own[0]["text"] == text


def test_B24_B25_unknown_keys_are_kept_and_ignored(volunteer: Speaker, town: Town) -> None:
    more = {"is_admin": True, "author": town.coordinator, "seq": 1, "received_at": "1970-01-01"}
    text = volunteer.record(town.planter["id"], **more)
    result = volunteer.push(text)[0]
    assert result["outcome"] == "stored"
    cards = [item["planter"] for item in pulled(volunteer) if item["what"] == "planter"]
    visits = [visit for card in cards for visit in card["visits"]]
    assert [visit["by"] for visit in visits] == ["Vera"]
