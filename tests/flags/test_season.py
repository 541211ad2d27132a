"""Rules of the year, each shown firing and keeping quiet. Days: common practice, no source.

Water freezes at 0 degC, 32 degF: a freeze by the US National Weather Service.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from build import (
    SPRING,
    TODAY,
    WINTER,
    a_calendar,
    a_check_in,
    a_forecast,
    a_low,
    a_planter,
    a_step,
    a_withdrawal,
    raises,
    stays_quiet,
)
from potrounds.domain.planter import Planting
from potrounds.domain.records import Record

PHOTO = ["a" * 64]
PLUG_IN = a_check_in(plug="in", on=date(2026, 10, 18), by="Kofi")


def days(number: int) -> date:
    return WINTER + timedelta(days=number)


def in_winter(*nights: object, freeze_on: date | None = None, **more: object) -> dict[str, object]:
    """The calendar on 20 October with those nights."""
    return {"calendar": a_calendar(freeze_on, tuple(nights)), "today": WINTER, **more}


def test_drain_not_pulled_raises_on_a_recorded_low() -> None:
    evidence = raises("drain_not_pulled", PLUG_IN, **in_winter(a_low(0.0, days(-1))))
    assert evidence.urgency == "today"
    assert evidence.sentence == (
        "0\N{NO-BREAK SPACE}°C recorded in the night to Monday 19 October; "
        "plug seen in by Kofi on Sunday 18 October."
    )
    assert evidence.records == (PLUG_IN.id,)


@pytest.mark.parametrize(
    ("ahead", "urgency"),
    [(0, "today"), (2, "today"), (3, "this-week"), (5, "this-week"), (7, "this-week")],
)
def test_drain_not_pulled_raises_on_a_forecast_freeze(ahead: int, urgency: str) -> None:
    around = in_winter(a_forecast(-2, days(ahead)))
    assert raises("drain_not_pulled", PLUG_IN, **around).urgency == urgency


def test_drain_not_pulled_raises_near_the_sites_own_date() -> None:
    evidence = raises("drain_not_pulled", PLUG_IN, **in_winter(freeze_on=days(14)))
    assert evidence.urgency == "this-week"
    assert "is expected about Tuesday 3 November" in evidence.sentence
    past = raises("drain_not_pulled", PLUG_IN, **in_winter(freeze_on=days(-10)))
    assert "was expected about" in past.sentence


def test_drain_not_pulled_raises_from_the_ten_percent_date_where_there_is_no_forecast() -> None:
    """The 10 % date of the first 32 degF; the days are common practice, no source."""
    due = a_calendar(odds_on=date(1999, 10, 20))
    evidence = raises("drain_not_pulled", PLUG_IN, calendar=due, today=WINTER)
    assert evidence.urgency == "this-week"
    assert evidence.sentence.startswith("In 1 year of 10 it has frozen here by Tuesday 20 October;")
    late = a_calendar(odds_on=date(1999, 10, 21))
    stays_quiet("drain_not_pulled", PLUG_IN, calendar=late, today=WINTER)
    near = a_calendar(freeze_on=days(10), odds_on=date(1999, 10, 21))
    ground = raises("drain_not_pulled", PLUG_IN, calendar=near, today=WINTER)
    assert "is expected about" in ground.sentence  # the site's own date speaks before the odds do
    known = a_calendar(nights=(a_forecast(-2, days(5)),), odds_on=date(1999, 10, 1))
    assert "forecast" in raises("drain_not_pulled", PLUG_IN, calendar=known, today=WINTER).sentence


def test_drain_not_pulled_raises_when_nobody_knows_and_when_a_forecast_passed_unrecorded() -> None:
    evidence = raises("drain_not_pulled", **in_winter(a_forecast(-2, days(4))))
    assert "no record that the plug is out" in evidence.sentence
    assert evidence.numbers == {"low_c": -2}
    passed = raises("drain_not_pulled", PLUG_IN, **in_winter(a_forecast(-2, days(-1))))
    assert passed.urgency == "today"
    assert "was forecast" in passed.sentence


def test_drain_not_pulled_warns_of_ice_and_of_the_weight() -> None:
    around = in_winter(a_forecast(-2, days(4)))
    caution = raises("drain_not_pulled", PLUG_IN, **around).caution or ""
    assert "ice" in caution
    assert "About 140 kg" in caution
    light = in_winter(a_forecast(-2, days(4)), planter=a_planter(weight_moist_kg=15.0))
    assert raises("drain_not_pulled", PLUG_IN, **light).caution is None  # the rule's own stands


def test_drain_not_pulled_raises_again_when_the_pull_is_withdrawn_or_the_plug_put_back() -> None:
    around = in_winter(a_forecast(-2, days(4)))
    pull = a_step("pull-plug", on=WINTER, hour=9)
    raises("drain_not_pulled", PLUG_IN, pull, a_withdrawal(pull, on=WINTER), **around)
    back = a_check_in(plug="in", on=WINTER, hour=12)
    assert raises("drain_not_pulled", pull, back, **around).records == (back.id,)


def test_drain_not_pulled_stays_quiet_without_a_freeze_or_with_the_plug_out() -> None:
    stays_quiet("drain_not_pulled", PLUG_IN, **in_winter())
    stays_quiet("drain_not_pulled", PLUG_IN, **in_winter(a_forecast(-2, days(8))))
    stays_quiet("drain_not_pulled", PLUG_IN, **in_winter(a_forecast(0.5, days(1))))
    stays_quiet("drain_not_pulled", PLUG_IN, **in_winter(a_low(0.5, days(-1))))
    stays_quiet("drain_not_pulled", PLUG_IN, **in_winter(freeze_on=days(15)))
    around = in_winter(a_forecast(-2, days(4)))
    for out in (
        a_step("pull-plug", on=WINTER),
        a_step("pull-plug", on=WINTER, time_uncertain=True),
        a_step("pull-plug", on=WINTER, outcome="not-needed"),
        a_check_in(plug="out", on=WINTER),
        a_check_in(plug="missing", on=WINTER),
    ):
        stays_quiet("drain_not_pulled", PLUG_IN, out, **around)
    for status in ("retired", "lost", "stored"):
        stays_quiet("drain_not_pulled", **around, planter=a_planter(status=status))


def test_drain_not_pulled_stays_quiet_outside_the_cold_half_and_after_an_early_start_up() -> None:
    spring = a_calendar(nights=(a_forecast(-2, SPRING),))
    stays_quiet("drain_not_pulled", PLUG_IN, calendar=spring, today=SPRING)
    march = date(2027, 3, 5)
    fit = a_step("plug-in", list="start-up", season=2027, on=date(2027, 3, 1))
    frosts = a_calendar(nights=(a_low(-9, date(2027, 1, 14)),))
    stays_quiet("drain_not_pulled", fit, calendar=frosts, today=march)
    late = a_calendar(nights=(a_low(-9, date(2027, 1, 14)), a_low(-1, date(2027, 3, 4))))
    raises("drain_not_pulled", fit, calendar=late, today=march)


def test_drain_not_pulled_raises_for_a_stored_planter_with_its_plug_in() -> None:
    stored = a_planter(status="stored")
    raises("drain_not_pulled", PLUG_IN, **in_winter(a_low(-1, days(0)), planter=stored))


def drained(**pull: object) -> list[Record]:
    """Pulled on 20 October with a photo, the plug bagged."""
    return [
        a_step("pull-plug", **({"on": WINTER, "photos": PHOTO} | pull)),
        a_step("bag-plug", on=WINTER, hour=11, plug_place="Bag M2"),
    ]


LOOK = a_step("second-look", on=days(9), standing_water=False)


def test_drained_unproven_raises_until_the_second_look() -> None:
    evidence = raises("drained_unproven", *drained(), today=days(3))
    assert evidence.sentence == (
        "Plug out for 3\N{NO-BREAK SPACE}days; missing: second look still to come."
    )
    assert evidence.urgency == "watch"
    assert raises("drained_unproven", *drained(), today=days(15)).urgency == "this-week"


def test_drained_unproven_raises_for_this_week_without_photo_or_second() -> None:
    evidence = raises("drained_unproven", *drained(photos=[]), LOOK, today=days(10))
    assert evidence.urgency == "this-week"
    assert "a photo or a second person at the plug" in evidence.sentence


def test_drained_unproven_raises_when_only_a_check_in_says_the_plug_is_out() -> None:
    out = a_check_in(plug="out", on=WINTER, by="Kofi")
    evidence = raises("drained_unproven", out, today=days(1))
    assert evidence.records == (out.id,)
    assert "by Kofi on Tuesday 20 October" in evidence.sentence


def test_drained_unproven_raises_when_the_pull_was_not_needed_but_nobody_looked() -> None:
    spared = a_step("pull-plug", on=WINTER, outcome="not-needed")
    evidence = raises("drained_unproven", spared, today=days(1))
    assert evidence.sentence.startswith("Plug pull set down as not needed; missing: where the")


def test_drained_unproven_stays_quiet_when_proven_or_not_drained() -> None:
    stays_quiet("drained_unproven", *drained(), LOOK, today=days(10))
    stays_quiet("drained_unproven", a_step("stop-water", on=WINTER), today=WINTER)
    stays_quiet("drained_unproven", a_check_in(plug="out"), today=date(2026, 6, 1))
    stays_quiet("drained_unproven", *drained(), planter=a_planter(status="lost"), today=days(3))
    stays_quiet("drained_unproven", *drained(), today=date(2027, 4, 1))
    stays_quiet("drained_unproven")


def test_standing_water_raises_when_a_look_or_a_reading_found_it() -> None:
    wet = a_step("second-look", on=days(9), standing_water=True, by="Kofi")
    evidence = raises("standing_water", *drained(), wet, today=days(9))
    assert evidence.sentence == (
        "Drained, but standing water when Kofi came on Thursday 29 October."
    )
    assert evidence.records == (wet.id,)
    read = a_check_in(level=0.25, on=days(5))
    assert "the reservoir read a quarter" in (
        raises("standing_water", *drained(), read, today=days(6)).sentence
    )


def test_standing_water_raises_for_today_when_it_freezes() -> None:
    wet = a_step("second-look", on=days(9), standing_water=True)
    mild = a_calendar(nights=(a_forecast(-2, days(20)),))
    frost = a_calendar(nights=(a_forecast(-2, days(12)),))
    around = {"today": days(10)}
    assert raises("standing_water", wet, *drained(), calendar=mild, **around).urgency != "today"
    assert raises("standing_water", wet, *drained(), calendar=frost, **around).urgency == "today"


def test_standing_water_stays_quiet_once_a_later_look_found_none() -> None:
    wet = a_step("second-look", on=days(9), standing_water=True)
    dry = a_step("second-look", on=days(11), standing_water=False)
    stays_quiet("standing_water", *drained(), dry, wet, today=days(12))
    stays_quiet("standing_water", *drained(), wet, a_withdrawal(wet, on=days(10)), today=days(12))
    empty = a_check_in(level=0, on=days(11))
    stays_quiet("standing_water", *drained(), wet, empty, today=days(12))
    before = a_check_in(level=0.5, on=WINTER, hour=8)
    stays_quiet("standing_water", before, *drained(), today=days(1))
    stays_quiet("standing_water", a_check_in(level=0.5))
    stays_quiet("standing_water", *drained(), wet, planter=a_planter(status="lost"), today=days(9))


def test_plug_missing_raises_in_season() -> None:
    missing = a_check_in(plug="missing", days_ago=1)
    evidence = raises("plug_missing", missing)
    assert evidence.sentence == "Drain plug missing when Ines came on Sunday 9 August."
    assert evidence.urgency == "today"
    out = a_check_in(plug="out", days_ago=1)
    assert raises("plug_missing", out).urgency == "this-week"


def test_plug_missing_stays_quiet_in_winter_and_once_it_is_in() -> None:
    missing = a_check_in(plug="missing", days_ago=1)
    stays_quiet("plug_missing", missing, a_check_in(plug="in"))
    stays_quiet("plug_missing", missing, a_step("plug-in", list="start-up"))
    stays_quiet("plug_missing", missing, planter=a_planter(status="stored"))
    stays_quiet("plug_missing", a_check_in(plug="missing", on=WINTER), today=WINTER)
    stays_quiet("plug_missing", a_check_in(plug="not-looked"))
    last_winter = a_step("pull-plug", season=2025, on=date(2025, 10, 20))
    stays_quiet("plug_missing", last_winter, today=SPRING)


def start_up(*codes: str, on: date = date(2026, 4, 10)) -> list[Record]:
    return [
        a_step(code, list="start-up", on=on, hour=7 + number) for number, code in enumerate(codes)
    ]


def test_start_up_unfinished_raises_when_it_rests() -> None:
    steps = start_up("inspect", "flush", "moisten", "plug-in", "fill")
    evidence = raises("start_up_unfinished", *steps, today=SPRING)
    assert evidence.sentence == (
        "Start-up stands at 5 of 8 steps since Friday 10 April; next: look for drips after a day."
    )
    assert evidence.records == (steps[-1].id,)


def test_start_up_unfinished_raises_when_a_drained_planter_is_planted() -> None:
    pull = a_step("pull-plug", season=2025, on=date(2025, 10, 20))
    planter = a_planter(planting=Planting(date(2026, 4, 12)))
    evidence = raises("start_up_unfinished", pull, planter=planter, today=SPRING)
    assert "though planted on Sunday 12 April" in evidence.sentence
    bare = a_planter(planting=None)
    raises("start_up_unfinished", pull, planter=bare, today=SPRING)  # 36 days into the season


def test_start_up_unfinished_stays_quiet_while_it_goes_on_and_when_done() -> None:
    steps = start_up("inspect", "flush", "moisten", "plug-in", "fill")
    stays_quiet("start_up_unfinished", *steps, today=date(2026, 4, 13))
    rest = start_up("no-drips", "plant", on=date(2026, 4, 11))
    stays_quiet("start_up_unfinished", *steps, *rest, today=SPRING)  # rooting takes its weeks
    raises("start_up_unfinished", *steps, *rest, today=date(2026, 5, 20))
    done = start_up("water-from-above", on=date(2026, 5, 8))
    stays_quiet("start_up_unfinished", *steps, *rest, *done, today=date(2026, 5, 20))
    stays_quiet("start_up_unfinished", *steps, planter=a_planter(status="stored"), today=SPRING)


def test_start_up_unfinished_stays_quiet_where_no_winter_is_on_record() -> None:
    stays_quiet("start_up_unfinished", today=SPRING)
    pull = a_step("pull-plug", season=2025, on=date(2025, 10, 20))
    bare = a_planter(planting=None)
    stays_quiet("start_up_unfinished", pull, planter=bare, today=date(2026, 4, 1))
    stays_quiet("start_up_unfinished", *drained(), today=days(3))


def test_not_visited_raises_after_the_towns_interval() -> None:
    last = a_check_in(level=1, days_ago=9)
    evidence = raises("not_visited", last)
    assert evidence.sentence == (
        "Not visited for 9\N{NO-BREAK SPACE}days; the town looks every 7\N{NO-BREAK SPACE}days."
    )
    assert evidence.urgency == "this-week"
    assert raises("not_visited", a_check_in(days_ago=15)).urgency == "today"
    assert "since Tuesday 12 May" in raises("not_visited").sentence
    raises("not_visited", a_check_in(days_ago=1, time_uncertain=True))


def test_not_visited_stays_quiet_within_it_and_for_planters_at_rest() -> None:
    stays_quiet("not_visited", a_check_in(days_ago=7))
    stays_quiet("not_visited", a_check_in(days_ago=30), a_step("flush", days_ago=2))
    stays_quiet("not_visited", a_check_in(days_ago=9), calendar=a_calendar(visit_days=10))
    stays_quiet("not_visited", planter=a_planter(status="stored"))
    stays_quiet("not_visited", *drained(), today=days(60))
    stays_quiet("not_visited", a_check_in(plug="out", on=WINTER), today=days(60))
    new = a_planter(planting=None, installed=TODAY - timedelta(days=5))
    stays_quiet("not_visited", planter=new)
