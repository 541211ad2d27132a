"""The demo town, loaded as `potrounds demo` loads it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from flask import Flask

from potrounds.api.schemas_sync import PullAnswer
from potrounds.app import open_town
from potrounds.config import Settings
from potrounds.services import assess, demo_town, people
from potrounds.services.context import Context
from potrounds.store import database
from speaking import HandClock, Speaker


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Context]:
    """The demo town in a database of its own."""
    home = tmp_path_factory.mktemp("demo")
    settings = Settings(home=home, database=f"sqlite:///{home / 'town.sqlite'}")
    open_town(settings)
    with database.connection():
        empty = Context(settings, open_town(settings), hasher=people.quick_hasher())
        clock = demo_town.load(empty)
    yield Context(settings, clock, hasher=people.quick_hasher())
    database.shut()


@pytest.fixture
def pilar(demo: Context, built_app: Flask) -> Speaker:
    """The demo's coordinator, with the password the command prints."""
    built_app.extensions["potrounds-context"] = demo
    with database.connection():
        name, password = demo_town.new_password(demo)
    speaker = Speaker(built_app.test_client(), HandClock(demo.now()))
    assert speaker.sign_in(name, password).status_code == 200
    return speaker


def everything(speaker: Speaker) -> list[dict[str, Any]]:
    """All that this person may pull, page by page; each page has the promised shape."""
    items, since = [], None
    while True:
        answer = speaker.get("/sync/pull", query_string={"since": since} if since else {}).json
        assert PullAnswer().validate(answer) == {}
        items += answer["items"]
        since = answer["cursor"]
        if not answer["more"]:
            return items


def test_the_clock_stands_at_the_end_of_the_season(demo: Context) -> None:
    story = json.loads((demo_town.folder() / "town.json").read_text("utf-8"))
    late = demo.now() - demo_town.read_moment(story["clock"])
    assert timedelta(0) <= late < timedelta(hours=1)


def test_every_card_has_the_promised_shape(pilar: Speaker) -> None:
    items = everything(pilar)
    cards = [item["planter"] for item in items if item["what"] == "planter"]
    assert len(cards) == 24
    assert sum(len(card["flags"]) for card in cards) > 0
    assert all(card["visits"] for card in cards)


def test_what_had_to_be_held_is_held(pilar: Speaker) -> None:
    lines = (demo_town.folder() / "records.jsonl").read_text("utf-8").splitlines()
    expected = [line["text"] for line in map(json.loads, lines) if line["expect"] == "held"]
    assert [item["text"] for item in pilar.get("/held").json["held"]] == expected


def test_computing_anew_changes_nothing(demo: Context, pilar: Speaker) -> None:
    def cards() -> dict[str, Any]:
        stamps = ("seq", "assessed_at")
        return {
            item["planter"]["id"]: {
                key: value for key, value in item["planter"].items() if key not in stamps
            }
            for item in everything(pilar)
            if item["what"] == "planter"
        }

    before = cards()
    with database.connection():
        assess.rebuild(demo)
    assert cards() == before


def test_planters_that_hold_water_say_how_long_it_lasts(pilar: Speaker) -> None:
    items = everything(pilar)
    cards = [item["planter"] for item in items if item["what"] == "planter"]
    for card in cards:
        dry = card["state"]["plug"]["state"] in ("out", "missing")
        assert (card["water"] is None) == dry, card["name"]
        if card["water"]:
            assert card["water"]["as_of"] == "2026-10-20"
            assert card["water"]["weather"] == "forecast"
            assert "left" in card["water"]["sentence"]
    assert sum(card["water"] is not None for card in cards) >= 5
    assert {"well", "fairly", "guess"} == {c["water"]["sure"] for c in cards if c["water"]}
    (town,) = (item["town"] for item in items if item["what"] == "town")
    assert town["weather_notes"] == []
