"""Establishment, feed and salts on the cards, and the feed calculator."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import Any

import pytest

from desk import Desk
from potrounds.api.schemas_cards import PlanterCard
from potrounds.services import feed_doses, plan_register, register, town_settings, weather
from potrounds.services.refusal import Refusal
from potrounds.store import derived

TODAY = date(2026, 5, 4)
PLANTS = {"plants": [{"name": "begonia", "count": 6}, {"name": "ivy"}], "scheme": "Shade"}


def codes(card: dict[str, Any]) -> set[str]:
    return {flag["code"] for flag in card["flags"]}


def town_card() -> dict[str, Any]:
    card = derived.get("town")
    assert card is not None
    assert card.content is not None
    return card.content


# --- plantings and establishment ----------------------------------------------------------------


def test_a_planting_from_the_field_changes_what_the_card_says_grows_here(desk: Desk) -> None:
    vera = desk.join("Vera")
    assert desk.card()["planting"]["by"] is None
    text = vera.record("planting", body={**PLANTS, "retopped": True, "note": "fine roots"})
    (result,) = vera.push(text)
    assert result["outcome"] == "stored"
    card = desk.card()
    assert PlanterCard().dump(card) == card
    assert card["planting"] == {
        "planted_on": "2026-05-04",
        "plants": ["begonia", "ivy"],
        "counts": [6, None],
        "scheme": "Shade",
        "by": "Vera",
        "record": json.loads(text)["id"],
    }
    (seen,) = card["visits"]
    assert (seen["kind"], seen["note"]) == ("planting", "fine roots")
    assert seen["planting"]["retopped"] is True
    assert register.one_planter(desk.planter)["planting"]["plants"] == ["petunia"], "untouched"


def test_a_planting_is_taken_back_by_its_author_and_never_corrected_into_a_visit(
    desk: Desk,
) -> None:
    vera = desk.join("Vera")
    planted = vera.record("planting", body=PLANTS)
    vera.push(planted)
    wrong = vera.record(
        "correction", body={"replaces": json.loads(planted)["id"], "check_in": {"plants": 4}}
    )
    (held,) = vera.push(wrong)
    assert held["outcome"] == "held"
    vera.push(vera.record("withdrawal", body={"replaces": json.loads(planted)["id"]}))
    assert desk.card()["planting"]["plants"] == ["petunia"]


def test_a_new_planting_says_that_the_reservoir_does_not_count_yet(desk: Desk) -> None:
    assert desk.card()["establishment"] is None, "planted 45 days ago"
    vera = desk.join("Vera")
    vera.push(vera.record("planting", body=PLANTS))
    said = desk.card()["establishment"]
    assert said["sentence"] == (
        "Roots not down yet: the reservoir does not count yet. Water from above by Wednesday 6 May."
    )
    assert (said["water_by"], said["rooted_on"]) == ("2026-05-06", "2026-05-25")
    assert (said["by_weather"], said["overdue_days"]) == (False, 0)
    line = next(one for one in desk.card()["today"] if one["code"] == "water-from-above")
    assert line["text"] == "Water from above by Wednesday 6 May: the roots are not down yet."
    desk.clock.tick(days=3)
    vera.push(vera.record(body={"level": 1.0}))
    card = desk.card()
    assert card["establishment"]["overdue_days"] == 1
    assert "overhead_check_overdue" in codes(card)
    assert not [one for one in card["today"] if one["code"] == "water-from-above"], "said once"
    vera.push(vera.record(body={"overhead_l": 4.0}))
    assert "overhead_check_overdue" not in codes(desk.card())
    assert desk.card()["establishment"]["water_by"] == "2026-05-09"


def test_warmth_and_wind_on_record_decide_where_the_latitude_is_set(desk: Desk) -> None:
    vera = desk.join("Vera")
    vera.push(vera.record("planting", body=PLANTS, ago=timedelta(days=12)))
    by_calendar = desk.card()["establishment"]
    assert (by_calendar["by_weather"], by_calendar["rooted_on"]) == (False, "2026-05-13")
    lines = ["date,tmin_c,tmax_c,rain_mm,wind_ms"]
    lines += [f"{TODAY - timedelta(ago)},16,30,0,4" for ago in range(20, 0, -1)]
    weather.import_days(desk.ctx, "\n".join(lines).encode(), dry_run=False)
    assert desk.card()["establishment"] == by_calendar, "without a latitude nothing is said"
    town_settings.change_settings(desk.ctx, {"latitude": 48.2})
    warm = desk.card()["establishment"]
    # by hand: 13 degree days above 10 a day for the 12 days known, then 8 a day: 156 + 16 in 14
    assert (warm["by_weather"], warm["rooted_on"]) == (True, "2026-05-06")
    assert warm["overdue_days"] >= 10


def test_the_scheme_chosen_for_planting_day_is_offered_until_it_is_planted(desk: Desk) -> None:
    assert desk.card()["planned"] is None
    plants = [
        {"role": "filler", "name": "begonia", "count": 6},
        {"role": "trailer", "name": "ivy", "spacing_cm": 20},
    ]
    body = {"name": "Shade", "plants": plants, "planters": [desk.planter]}
    scheme = plan_register.put_scheme(desk.ctx, None, body, None)
    assert desk.card()["planned"] == {
        "plants": ["begonia", "ivy"],
        "counts": [6, None],
        "scheme": "Shade",
    }
    vera = desk.join("Vera")
    planted = vera.record("planting", body=PLANTS)
    vera.push(planted)
    assert desk.card()["planned"] is None
    vera.push(vera.record("withdrawal", body={"replaces": json.loads(planted)["id"]}))
    assert desk.card()["planned"] is not None
    plan_register.drop_scheme(desk.ctx, scheme["id"])
    assert desk.card()["planned"] is None
    later = {"planted_on": "2026-05-20", "plants": ["pansy"], "scheme": "Spring"}
    register.add_planting(desk.ctx, desk.planter, later)
    assert desk.card()["planned"]["plants"] == ["pansy"]


# --- feed ---------------------------------------------------------------------------------------


def test_nobody_is_asked_to_feed_until_the_town_says_how_often(desk: Desk) -> None:
    assert desk.card()["feeding"] is None
    assert "feed_due" not in codes(desk.card())
    town_settings.change_settings(desk.ctx, {"feed_days": 14})
    card = desk.card()
    assert "feed_due" in codes(card)
    assert card["feeding"]["sentence"].startswith("Feed is due")
    vera = desk.join("Vera")
    vera.push(vera.record(body={"done": ["fed"], "feed": {"what": "liquid", "ppm_n": 100}}))
    card = desk.card()
    assert "feed_due" not in codes(card)
    assert card["feeding"]["due"] == "2026-05-18"
    assert card["feeding"]["sentence"] == "Next feed on Monday 18 May, 14\xa0days on."
    assert card["state"]["last_fed"]["ppm_n"] == 100
    assert card["state"]["last_fed"]["by"] == "Vera"


def test_two_phones_that_fed_without_knowing_of_each_other_raise_a_flag(desk: Desk) -> None:
    town_settings.change_settings(desk.ctx, {"feed_days": 14})
    vera, omar = desk.join("Vera"), desk.join("Omar")
    late = omar.record(body={"done": ["fed"]}, ago=timedelta(hours=30))
    vera.push(vera.record(body={"done": ["fed"]}))
    assert "fed_twice" not in codes(desk.card())
    omar.push(late)
    raised = next(one for one in desk.card()["flags"] if one["code"] == "fed_twice")
    assert "Vera" in raised["sentence"]
    assert "Omar" in raised["sentence"]


def test_the_towns_card_carries_ready_made_doses(desk: Desk) -> None:
    assert town_card()["feeding"]["doses"] == []
    town_settings.change_settings(
        desk.ctx,
        {"feed_days": 14, "feed_percent_n": 20, "feed_ppm_n": 100, "feed_can_l": 12.0},
    )
    said = town_card()["feeding"]
    assert (said["every_days"], said["least_days"]) == (14, 12)
    doses = {dose["can_l"]: dose for dose in said["doses"]}
    # 200 ppm N from 20-10-20 is 1.000 g/L exactly, so 100 ppm is 0.5 g/L: 5 g in 10 L
    assert doses[10.0]["grams"] == 5.0
    assert doses[12.0]["grams"] == 6.0
    # by hand: 9.4635 g in 5 US gal is 0.334 oz
    five_gallons = next(dose for can, dose in doses.items() if abs(can - 18.927) < 0.001)
    assert (five_gallons["grams"], five_gallons["ounces"]) == (9.5, 0.33)


# --- salts --------------------------------------------------------------------------------------


def test_the_salt_book_and_a_reading_stand_on_the_card_in_words(desk: Desk) -> None:
    version = register.one_planter(desk.planter)["version"]
    register.change_planter(desk.ctx, desk.planter, {"mix_l": 60.0}, version)
    vera = desk.join("Vera")
    vera.push(vera.record(body={"litres_l": 10.0}, ago=timedelta(days=2)))
    said = desk.card()["salts"]
    assert (said["rise_ms"], said["litres_l"], said["held_l"]) == (None, 10.0, 33.0)
    assert not said["estimated"]
    town_settings.change_settings(desk.ctx, {"tap_ec_ms": 0.66})
    assert desk.card()["salts"]["rise_ms"] == 0.2  # by hand: 10 x 0.66 / 33
    low_and_high = "60\xa0L to 120\xa0L"
    assert any(low_and_high in step for step in said["flush_steps"]), "one to two volumes of mix"
    assert said["flush_steps"][0].startswith("Take the drain plug out")
    reading = {"ec": {"method": "pour-through", "ms_cm": 6.55}}
    vera.push(vera.record(body=reading))
    read = desk.card()["salts"]["reading"]
    assert (read["word"], read["by"]) == ("very-high", "Vera")
    assert "between two words of the table; the upper is taken" in read["sentence"]
    assert "salts_high" in codes(desk.card())
    desk.clock.tick(hours=1)
    vera.push(vera.record(body={"done": ["flushed"]}))
    card = desk.card()
    assert card["salts"]["reading"] is None
    assert (card["salts"]["flushed"], card["salts"]["litres_l"]) == (True, 0.0)
    assert "salts_high" not in codes(card)


# --- the calculator -----------------------------------------------------------------------------


def test_rate_to_dose_and_dose_to_rate() -> None:
    # University of Massachusetts: 200 ppm N of a product of 20 % is 13.5 oz for 100 gal (1.5 %)
    made = feed_doses.calculate({"percent_n": 20, "ppm_n": 200, "can_l": 10, "injector": 100})
    assert made["grams_l"] == 1.0
    assert made["ounces_100_gal"] == pytest.approx(13.5, rel=0.015)
    assert made["can"] == {"can_l": 10, "grams": 10.0, "ounces": 0.35}
    assert made["stock_grams_l"] == 100.0
    assert made["notes"][0] == feed_doses.LABEL_FIRST
    back = {"percent_n": 20, "can_l": 10}
    for amount, unit in ((1.0, "g_l"), (10.0, "g_can"), (13.3526, "oz_100_gal")):
        got = feed_doses.calculate({**back, "dose": {"amount": amount, "unit": unit}})
        assert got["ppm_n"] == pytest.approx(200, abs=0.1), unit


def test_a_reservoir_gets_less_and_the_notes_say_so() -> None:
    # University of Arkansas, Greenhouse Management Online 9.6: 30 to 50 % less from below
    half = feed_doses.calculate({"percent_n": 20, "ppm_n": 200, "cut_percent": 50})
    assert (half["ppm_n"], half["grams_l"]) == (100, 0.5)
    assert any("Cut by 50 %" in note for note in half["notes"])
    strong = feed_doses.calculate({"percent_n": 20, "ppm_n": 200})
    assert any("75 to 125 ppm N is usual from below" in note for note in strong["notes"])


def test_a_fluid_ounce_is_no_ounce() -> None:
    asked = {"percent_n": 4, "can_l": 10, "dose": {"amount": 1, "unit": "fl_oz_can"}}
    with pytest.raises(Refusal) as refused:
        feed_doses.calculate(asked)
    assert refused.value.errors[0][0] == "/density_kg_l"
    made = feed_doses.calculate({**asked, "density_kg_l": 1.2})
    # by hand: 29.5735 mL x 1.2 g/mL x 4 % in 10 L is 142 mg/L
    assert made["ppm_n"] == pytest.approx(142.0, abs=0.05)
    assert made["can_fluid_ounces"] == 1.0


@pytest.mark.parametrize(
    ("asked", "pointer"),
    [
        ({"percent_n": 20}, "/ppm_n"),
        ({"percent_n": 20, "ppm_n": 100, "dose": {"amount": 1, "unit": "g_l"}}, "/ppm_n"),
        ({"percent_n": 20, "ppm_n": 5000}, "/ppm_n"),
        # 100 g of a product of 20 % in a litre: ounces typed as grams, or a can for a litre
        ({"percent_n": 20, "dose": {"amount": 100, "unit": "g_l"}}, "/dose"),
    ],
)
def test_what_makes_no_feed_is_refused_in_words(asked: dict[str, Any], pointer: str) -> None:
    with pytest.raises(Refusal) as refused:
        feed_doses.calculate(asked)
    assert refused.value.errors[0][0] == pointer
    assert refused.value.detail.endswith(".")


def test_stock_too_strong_to_dissolve_is_said() -> None:
    made = feed_doses.calculate({"percent_n": 5, "ppm_n": 200, "injector": 200})
    assert made["stock_grams_l"] == 800.0
    assert any("may not dissolve" in note for note in made["notes"])
