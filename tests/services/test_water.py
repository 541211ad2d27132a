"""Water on the cards: it follows what is told, and is not led astray by what cannot be."""

from __future__ import annotations

import json
import math
import uuid
from datetime import date, timedelta
from typing import Any

import pytest

from desk import Desk
from potrounds.services import assess, town_settings, water_outlook
from water_town import a_season, same_ids, town, water

__all__ = ["same_ids", "town"]


def test_a_card_says_how_long_the_water_lasts_and_how_sure_that_is(town: Desk) -> None:
    vera = town.join("Vera")
    vera.push(*a_season(vera))
    said = water(town)
    days, level = said["days_to_empty"], said["level_l"]
    assert said["weather"] == "observed"
    assert 0 < level["low"] <= level["mid"] <= level["high"] <= 16
    # A fill a week took 8 L: from half full, and two weeks from the full mark.
    assert days["low"] < days["mid"]
    assert 3 < days["mid"] < 16
    assert len(said["top_up"]) == 15
    first, *_, last = said["top_up"]
    assert first["date"] == "2026-05-04"
    assert first["litres_l"] < last["litres_l"] <= 16
    assert {mark["kind"] for mark in said["marks"]} == {"reading", "full"}
    ahead = [day for day in said["series"] if day["ahead"]]
    assert len(ahead) == 14
    assert len(said["series"]) >= 45
    assert "left, enough for about" in said["sentence"]
    assert said["sure"] in ("well", "fairly")
    assert said["visit_by"] <= str(date(2026, 5, 4) + timedelta(days=math.ceil(days["mid"])))
    assert json.dumps(said)


def test_a_visit_that_says_nothing_of_water_has_given_none(town: Desk) -> None:
    vera = town.join("Vera")
    vera.push(*a_season(vera))
    before = water(town)["level_l"]
    vera.push(vera.record(ago=timedelta(hours=20), body={"plants": 5}))
    after = water(town)["level_l"]
    assert after["high"] == pytest.approx(before["high"], abs=1)


def test_a_late_record_falls_into_its_place(town: Desk) -> None:
    vera = town.join("Vera")
    texts = a_season(vera)
    vera.push(*texts[:2], *texts[3:])
    without = water(town)
    vera.push(texts[2])
    late = water(town)
    assert late != without
    water_outlook.forget()
    assess.rebuild(town.ctx)
    assert water(town) == late


def test_the_order_of_arrival_changes_nothing(town: Desk) -> None:
    vera, kofi = town.join("Vera"), town.join("Kofi")
    texts = a_season(vera)
    vera.push(*reversed(texts))
    kofi.push(*a_season(kofi, town.other_planter))
    assess.assess_all(town.ctx)
    first = [water(town), water(town, town.other_planter)]
    water_outlook.forget()
    for _ in range(2):
        assess.rebuild(town.ctx)
        assert [water(town), water(town, town.other_planter)] == first


def test_a_correction_takes_the_place_of_what_it_corrects(town: Desk) -> None:
    vera = town.join("Vera")
    texts = a_season(vera)
    vera.push(*texts)
    before = water(town)
    body = {"replaces": json.loads(texts[-1])["id"], "check_in": {"level": 0.0, "litres_l": 0.0}}
    vera.push(vera.record(kind="correction", body=body))
    after = water(town)
    assert after["level_l"]["mid"] < before["level_l"]["mid"] - 4


def test_a_plug_that_is_out_silences_the_forecast_until_it_is_filled(town: Desk) -> None:
    vera = town.join("Vera")
    vera.push(*a_season(vera))
    vera.push(vera.record(body={"plug": "out"}))
    assert town.card()["water"] is None
    vera.push(vera.record(body={"plug": "in", "overflow": "ran-while-filling"}))
    assert water(town)["level_l"]["mid"] > 14


def test_a_planter_measured_is_surer_than_one_guessed(town: Desk) -> None:
    vera = town.join("Vera")
    guessed = town.add_planter("Ferry landing 9", installed_on=date(2025, 4, 1))
    vera.push(*a_season(vera, guessed))
    assert "Measure the top" in water(town, guessed)["surer"]
    assert water(town, guessed)["sure"] != "well"


def test_dry_before_the_crew_comes_is_a_flag(town: Desk) -> None:
    """The crew goes out on Sundays; the planter was read at a quarter on Monday."""
    town_settings.change_settings(town.ctx, {"crew_days": [6]})
    vera = town.join("Vera")
    vera.push(*a_season(vera), vera.record(body={"level": 0.25, "litres_l": 0.0}))
    flags = {flag["code"]: flag for flag in town.card()["flags"]}
    assert "Sunday 10 May" in flags["runs_dry_before_crew_day"]["sentence"]
    town.clock.tick(hours=1)
    vera.push(vera.record(body={"overflow": "ran-while-filling"}))
    assert "runs_dry_before_crew_day" not in {flag["code"] for flag in town.card()["flags"]}


def test_where_the_balance_breaks_the_card_goes_without_it(
    town: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*args: Any) -> None:
        raise ArithmeticError(str(uuid.uuid4()))

    monkeypatch.setattr(assess, "town_water", broken)
    vera = town.join("Vera")
    vera.push(*a_season(vera))
    assert town.card()["water"] is None
    assert len(town.card()["visits"]) == 6
