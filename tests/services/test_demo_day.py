"""The demo town opened on an earlier day: nothing in it is from later."""

from __future__ import annotations

import json
from datetime import date

import pytest

from potrounds.config import Settings
from potrounds.services import demo_day, demo_town, people, rounds
from potrounds.services.context import Context
from potrounds.services.moments import read_moment
from potrounds.services.refusal import Refusal
from potrounds.store import database, log, register, weather
from speaking import HandClock

SUMMER = date(2026, 7, 22)  # a Wednesday, on which the crew goes out


@pytest.fixture(scope="module")
def summer(tmp_path_factory: pytest.TempPathFactory) -> Context:
    """The town on the morning of that day, read only."""
    home = tmp_path_factory.mktemp("summer")
    settings = Settings(home=home, database=f"sqlite:///{home / 'town.sqlite'}")
    database.open_database(settings.database)
    with database.connection():
        empty = Context(settings, HandClock(), hasher=people.quick_hasher())
        clock = demo_town.load(empty, on=SUMMER)
    stands = HandClock(clock.now())
    return Context(settings, stands, hasher=people.quick_hasher())


def test_nothing_is_from_later(summer: Context) -> None:
    now = summer.now()
    assert now.date() == SUMMER
    with database.connection():
        received = [one.received_at for key in log.planters_named() for one in log.of_planter(key)]
        assert len(received) > 300
        assert max(received) <= now
        nights = [night.date for night in register.nights()]
        assert all(night <= SUMMER for night in nights)
        assert max(row.date for row in weather.observed()) < SUMMER
        planted = [one.planted_on for some in register.plantings().values() for one in some]
        assert max(planted) <= SUMMER


def test_the_crews_round_of_that_day_brings_water(summer: Context) -> None:
    with database.connection():
        cards = [one for one in rounds.told_rounds(summer)["rounds"] if one["day"] == str(SUMMER)]
    assert {card["person"]["name"] for card in cards} == {"Ines", "Joss"}
    with_cart = next(card for card in cards if card["tank_l"])
    assert with_cart["litres_l"] > with_cart["tank_l"], "the tank is filled on the way"
    assert with_cart["refills"] >= 1
    assert all(stop["litres_l"] > 0 for stop in with_cart["stops"])


def test_a_tag_that_was_lost_later_is_still_on() -> None:
    """The tag of one planter broke off on 6 July."""
    story = json.loads((demo_town.folder() / "town.json").read_text("utf-8"))
    (lost,) = [one for one in story["planters"] if one["old_codes"]]
    old = lost["old_codes"][0]["code"]

    def worn(day: date) -> tuple[str, int]:
        planters = demo_day.as_of(story, day)["planters"]
        one = next(some for some in planters if some["id"] == lost["id"])
        return one["code"], len(one["old_codes"])

    assert worn(date(2026, 7, 5)) == (old, 0)
    assert worn(date(2026, 7, 7)) == (lost["code"], 1)


def test_the_last_day_is_the_town_as_it_is() -> None:
    story = json.loads((demo_town.folder() / "town.json").read_text("utf-8"))
    end = read_moment(story["clock"])
    assert end is not None
    assert demo_day.as_of(story, end.date()) == story
    for day in (date(2026, 4, 2), date(2027, 1, 1)):
        with pytest.raises(Refusal) as refused:
            demo_day.as_of(story, day)
        assert "Tuesday 20 October 2026" in refused.value.detail
