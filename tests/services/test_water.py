"""Water on the cards: it follows what is told, and is not led astray by what cannot be."""

from __future__ import annotations

import itertools
import json
import math
import time
import uuid
from datetime import date, timedelta
from typing import Any

import pytest

from desk import Desk, Phone
from potrounds.services import assess, register, town_settings, water_outlook, weather
from potrounds.store import derived

SEASON = 48  # days from the season's first weather to the desk's day, 4 May 2026


@pytest.fixture(autouse=True)
def same_ids(monkeypatch: pytest.MonkeyPatch) -> None:
    """A planter's guesses are drawn by its id: the same ids give the same figures in every run."""
    numbers = itertools.count(1)
    monkeypatch.setattr(register, "short_id", lambda prefix: f"{prefix}-{next(numbers):08d}")


@pytest.fixture
def town(desk: Desk) -> Desk:
    """A town with latitude and weather since 17 March, its planters measured."""
    town_settings.change_settings(desk.ctx, {"latitude": 48.2})
    for planter in (desk.planter, desk.other_planter):
        version = register.one_planter(planter)["version"]
        sizes = {"mix_l": 66.0, "top_area_m2": 0.21}
        register.change_planter(desk.ctx, planter, sizes, version)
    weather.import_days(desk.ctx, a_table(), dry_run=False)
    return desk


def a_table(days: int = SEASON, warmer: float = 0.0) -> bytes:
    lines = ["date,tmin_c,tmax_c,rain_mm,wind_ms"]
    for ago in range(days, 0, -1):
        day = date(2026, 5, 4) - timedelta(ago)
        wave = math.sin(ago)
        low, high = 8 + wave + warmer, 21 + 2 * wave + warmer
        lines.append(f"{day},{low:.1f},{high:.1f},0.0,2.0")
    return "\n".join(lines).encode()


def a_season(phone: Phone, planter: str = "", **last: Any) -> list[str]:
    """A check-in a week: read, filled until the overflow ran, litres written down."""
    bodies = [
        {"level": 0.5, "litres_l": 8.0, "overflow": "ran-while-filling", "plants": 5}
        for _ in range(6)
    ]
    bodies[-1] |= last
    return [
        phone.record(planter=planter, ago=timedelta(days=7 * (6 - number)), body=body)
        for number, body in enumerate(bodies)
    ]


def doubts(desk: Desk, planter: str = "") -> str:
    return " ".join(water(desk, planter)["doubts"])


def water(desk: Desk, planter: str = "") -> dict[str, Any]:
    found = desk.card(planter)["water"]
    assert found is not None
    return dict(found)


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


def test_a_push_is_quick(town: Desk) -> None:
    vera = town.join("Vera")
    vera.push(*a_season(vera))
    record = vera.record(body={"level": 0.5})
    begun = time.perf_counter()
    vera.push(record)
    assert time.perf_counter() - begun < 1.0  # about 0.05 s where nothing else runs


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
