"""Bad input, in words: each that was told amiss is questioned, and leads no forecast astray."""

from __future__ import annotations

import json
import math
from datetime import date, timedelta

import pytest

from desk import Desk
from potrounds.services import town_settings, weather
from potrounds.store import derived
from water_town import a_season, doubts, same_ids, town, water

__all__ = ["same_ids", "town"]


def test_no_latitude_no_figures_and_no_weather_only_a_guess_that_says_so(desk: Desk) -> None:
    vera = desk.join("Vera")
    vera.push(*a_season(vera))
    assert desk.card()["water"] is None
    town_settings.change_settings(desk.ctx, {"latitude": 48.2})
    said = water(desk)
    assert (said["weather"], said["sure"]) == ("none", "guess")
    assert "No weather is on record" in said["surer"]
    assert any("No weather is on record" in note for note in town_notes())


def town_notes() -> list[str]:
    card = derived.get(derived.TOWN)
    assert card is not None
    assert card.content is not None
    return list(card.content["weather_notes"])


def test_weather_of_the_other_half_of_the_world_is_said_on_the_towns_card(desk: Desk) -> None:
    town_settings.change_settings(desk.ctx, {"latitude": -48.2})
    lines = ["date,tmin_c,tmax_c"]
    for ago in range(200, 0, -1):
        day = date(2026, 5, 4) - timedelta(ago)
        wave = math.cos(2 * math.pi * (day.timetuple().tm_yday - 200) / 365.25)
        lines.append(f"{day},{5 + 8 * wave:.1f},{15 + 9 * wave:.1f}")
    weather.import_days(desk.ctx, "\n".join(lines).encode(), dry_run=False)
    assert any("other half of the world" in note for note in town_notes())
    vera = desk.join("Vera")
    vera.push(*a_season(vera))
    assert water(desk)["sure"] == "guess"
    assert "warm when it should be cold" in doubts(desk)


def test_one_impossible_reading_is_questioned_and_does_not_poison(town: Desk) -> None:
    """Filled yesterday, read empty today: it cannot be, and the forecast hardly moves."""
    vera = town.join("Vera")
    vera.push(*a_season(vera))
    full = {"level": 0.5, "litres_l": 8.0, "overflow": "ran-while-filling"}
    vera.push(vera.record(ago=timedelta(days=1), body=full))
    use = water(town)["use_l_day"]["mid"]
    vera.push(vera.record(body={"level": 0.0, "litres_l": 0.0}))
    said = water(town)
    assert "does not fit" in doubts(town)
    assert "another planter" in doubts(town)
    assert said["sure"] != "well"
    assert said["use_l_day"]["mid"] < 1.5 * use
    town.clock.tick(hours=1)
    vera.push(vera.record(body={"level": 1.0}))
    assert water(town)["level_l"]["mid"] > 12


def test_after_a_wrong_reading_and_a_right_one_the_forecast_is_as_without_the_wrong(
    town: Desk,
) -> None:
    """Both planters have the same story; only of one was it read wrong in between."""
    full = {"level": 0.5, "litres_l": 8.0, "overflow": "ran-while-filling", "plants": 5}
    for name, planter in (("Vera", town.planter), ("Kofi", town.other_planter)):
        phone = town.join(name)
        for days in (42, 35, 28, 21, 14, 12, 7):
            if days != 12:
                phone.push(phone.record(planter=planter, ago=timedelta(days=days), body=full))
            elif name == "Vera":
                empty = {"level": 0.0, "litres_l": 0.0}
                phone.push(phone.record(planter=planter, ago=timedelta(days=days), body=empty))
        phone.push(phone.record(planter=planter, body={"level": 0.5, "litres_l": 0.0}))
    led, clean = water(town), water(town, town.other_planter)
    assert led["level_l"]["mid"] == pytest.approx(clean["level_l"]["mid"], abs=1.0)
    assert led["use_l_day"]["mid"] == pytest.approx(clean["use_l_day"]["mid"], rel=0.2)
    days = [one["days_to_empty"]["mid"] for one in (led, clean)]
    assert days[0] == pytest.approx(days[1], rel=0.25)


def test_of_two_planters_mixed_up_each_names_the_other(town: Desk) -> None:
    vera, kofi, other = town.join("Vera"), town.join("Kofi"), town.other_planter
    full = {"level": 0.5, "litres_l": 8.0, "overflow": "ran-while-filling", "plants": 5}
    low = {"level": 0.25, "litres_l": 0.0}
    vera.push(*a_season(vera), vera.record(ago=timedelta(days=1), body=full))
    kofi.push(*a_season(kofi, other), kofi.record(planter=other, ago=timedelta(days=1), body=low))
    vera.push(vera.record(body={"level": 0.0, "litres_l": 0.0}))
    kofi.push(kofi.record(planter=other, body={"level": 1.0, "litres_l": 0.0}))
    assert "(empty) and at Ferry landing 2 (full) each fit the other planter" in doubts(town)
    assert "(full) and at Ferry landing 1 (empty) each fit the other planter" in doubts(town, other)
    assert "does not fit" not in doubts(town)  # said once, not twice


def test_two_planters_that_are_both_read_wrong_are_not_called_mixed_up(town: Desk) -> None:
    """Both were full yesterday and are read empty today: neither reading fits the other either."""
    full = {"level": 0.5, "litres_l": 8.0, "overflow": "ran-while-filling", "plants": 5}
    both = {town.planter: town.join("Vera"), town.other_planter: town.join("Kofi")}
    for planter, phone in both.items():
        phone.push(*a_season(phone, planter))
        phone.push(phone.record(planter=planter, ago=timedelta(days=1), body=full))
        phone.push(phone.record(planter=planter, body={"level": 0.0, "litres_l": 0.0}))
    for planter in both:
        assert "does not fit" in doubts(town, planter)
        assert "each fit the other" not in doubts(town, planter)


def test_gallons_typed_as_litres_are_noticed(town: Desk) -> None:
    """8 L are 2.1 US gallons; the town's planters tell that 2.1 L cannot fill half a reservoir."""
    vera, kofi = town.join("Vera"), town.join("Kofi")
    kofi.push(*a_season(kofi, town.other_planter))
    gallons = {"level": 0.5, "litres_l": 2.1, "overflow": "ran-while-filling"}
    ago = [timedelta(days=7 * n) for n in range(6, 0, -1)]
    vera.push(*(vera.record(ago=one, body=gallons) for one in ago))
    assert "were they gallons?" in doubts(town)
    assert water(town)["sure"] != "well"
    assert "gallons" not in doubts(town, town.other_planter)


def test_litres_beyond_any_planter_are_questioned(town: Desk) -> None:
    vera = town.join("Vera")
    vera.push(*a_season(vera, litres_l=80.0))
    assert "more than this planter can take" in doubts(town)
    assert "gallons" not in doubts(town)
    assert water(town)["level_l"]["high"] <= 16


def test_litres_typed_where_gallons_are_asked_are_noticed(town: Desk) -> None:
    """9 typed on a phone set to US gallons is told as 34.1 L. 1 US gallon is 3.785411784 L."""
    vera = town.join("Vera")
    vera.push(*a_season(vera, litres_l=round(9 * 3.785411784, 2)))
    assert "Were these litres, typed as gallons?" in doubts(town)


def test_a_phone_whose_clock_is_wrong_by_a_year_moves_nothing(town: Desk) -> None:
    vera, kofi = town.join("Vera"), town.join("Kofi", clock_error=timedelta(days=-365))
    vera.push(*a_season(vera))
    before = water(town)
    # Its clock is wrong by as much at both ends, so the time of the record is still known.
    kofi.push(kofi.record(body={"note": "all is well"}))
    assert water(town)["level_l"] == before["level_l"]
    # This one lost its clock between writing and sending: it claims last year's May.
    lost = json.loads(kofi.record(body={"level": 0.0, "litres_l": 0.0}))
    lost["wall"] = (town.clock.now() - timedelta(days=730)).isoformat()
    kofi.push(json.dumps(lost))
    after = water(town)
    assert after["level_l"] == before["level_l"]
    assert "clock was wrong" in " ".join(after["doubts"])
