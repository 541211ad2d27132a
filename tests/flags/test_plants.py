"""Plant rules, each shown firing and keeping quiet. Thresholds: common practice, no source."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from build import (
    TODAY,
    WINTER,
    a_case,
    a_check_in,
    a_planter,
    a_record,
    a_step,
    a_withdrawal,
    raises,
    stays_quiet,
)
from potrounds.domain.outside import DayOutside
from potrounds.domain.planter import Planting
from potrounds.domain.records import Record
from potrounds.flags import RULES, Case
from potrounds.flags.establishing import establishing


def planted(days_ago: int) -> dict[str, object]:
    """A planter planted so many days ago."""
    day = date.fromordinal(TODAY.toordinal() - days_ago)
    return {"planter": a_planter(planting=Planting(day, ("begonia",)))}


def test_stressed_plants_raises_by_the_score() -> None:
    stressed = a_check_in(plants=3, days_ago=1, by="Kofi")
    evidence = raises("stressed_plants", stressed)
    assert evidence.sentence == "Plants at 3, stressed, when Kofi came on Sunday 9 August."
    assert evidence.urgency == "this-week"
    assert raises("stressed_plants", a_check_in(plants=2)).urgency == "today"
    assert raises("stressed_plants", a_check_in(plants=1)).urgency == "today"


def test_stressed_plants_stays_quiet_for_good_plants_and_where_there_are_none() -> None:
    stays_quiet("stressed_plants", a_check_in(plants=4))
    bad = a_check_in(plants=2, days_ago=3)
    stays_quiet("stressed_plants", bad, a_check_in(plants=4))
    stays_quiet("stressed_plants", bad, a_withdrawal(bad))
    stays_quiet("stressed_plants", bad, **planted(1))
    stays_quiet("stressed_plants", bad, planter=a_planter(status="stored"))
    dead = a_check_in(plants=1, on=WINTER)
    stays_quiet("stressed_plants", dead, a_step("lift-plants", on=WINTER), today=WINTER)
    stays_quiet("stressed_plants")


def test_falling_health_raises_against_the_planters_own_past() -> None:
    past = [a_check_in(plants=5, days_ago=day) for day in (40, 20, 10)]
    evidence = raises("falling_health", *past, a_check_in(plants=3))
    assert evidence.numbers == {"plants": 3, "usual": 5}
    assert "against a usual 5 over the 3 visits before" in evidence.sentence


def test_falling_health_stays_quiet_without_a_fall_or_a_past() -> None:
    past = [a_check_in(plants=5, days_ago=day) for day in (40, 20, 10)]
    stays_quiet("falling_health", *past, a_check_in(plants=4))
    stays_quiet("falling_health", a_check_in(plants=5, days_ago=9), a_check_in(plants=3))
    old = [a_check_in(plants=5, days_ago=day) for day in (75, 65)]
    stays_quiet("falling_health", *old, a_check_in(plants=3))
    stays_quiet("falling_health", *past, a_check_in(plants=3), **planted(5))
    stays_quiet("falling_health")


def test_full_but_wilting_raises_when_water_stands_and_plants_hang() -> None:
    look = a_check_in(level=0.75, signs=["wilting"], days_ago=1)
    evidence = raises("full_but_wilting", look)
    assert evidence.sentence == (
        "Reservoir three quarters and plants wilting when Ines came on Sunday 9 August."
    )
    # without a gauge, the fill tells: 2 L of 16 L until the overflow ran leaves 14 L as found
    fill = a_check_in(litres_l=2, overflow="ran-while-filling", signs=["wilting"])
    assert raises("full_but_wilting", fill).numbers == {"level": 0.875}


def test_full_but_wilting_stays_quiet_when_thirst_explains_it() -> None:
    stays_quiet("full_but_wilting", a_check_in(level=0.5, signs=["wilting"]))
    stays_quiet("full_but_wilting", a_check_in(level=1, plants=4))
    stays_quiet("full_but_wilting", a_check_in(signs=["wilting"]))
    thirsty = a_check_in(litres_l=12, overflow="ran-while-filling", signs=["wilting"])
    stays_quiet("full_but_wilting", thirsty)
    wilting = a_check_in(level=1, signs=["wilting"], days_ago=3)
    stays_quiet("full_but_wilting", wilting, a_check_in(plants=4))
    stays_quiet("full_but_wilting", wilting, a_withdrawal(wilting))


def test_newly_planted_dry_top_raises_when_the_top_is_dry() -> None:
    dry = a_check_in(signs=["dry-mix"], level=1, days_ago=1)
    evidence = raises("newly_planted_dry_top", dry, **planted(10))
    assert RULES["newly_planted_dry_top"].urgency == "today"
    assert evidence.records == (dry.id,)


def test_overhead_check_overdue_raises_after_days_without_water_from_above() -> None:
    evidence = raises("overhead_check_overdue", **planted(6))
    assert evidence.urgency == "today", "four days late"
    assert evidence.numbers == {"age_days": 6, "days": 6, "late_days": 4}
    assert "its top lasted until Thursday 6 August" in evidence.sentence
    watered = a_check_in(overhead_l=3, days_ago=4)
    evidence = raises("overhead_check_overdue", watered, **planted(9))
    assert evidence.records == (watered.id,)
    assert (evidence.urgency, evidence.numbers["late_days"]) == ("this-week", 2)


def test_overhead_check_overdue_goes_by_the_weather_where_it_is_known() -> None:
    def the_case(et0_mm: float, *records: Record, days_ago: int = 2) -> Case:
        days = {TODAY - timedelta(n): DayOutside(8.0, et0_mm) for n in range(30)}
        return replace(a_case(*records, **planted(days_ago)), outside=days)

    judge = RULES["overhead_check_overdue"].judge
    # by hand, 12.5 mm in the top: a hot day takes 7 mm, a cool one 3 mm
    assert judge(the_case(7.0)) is not None, "one day, and two have passed"
    assert judge(the_case(3.0)) is None, "three days"
    windy = replace(the_case(6.0), planter=a_planter(wind="windy"))
    assert judge(the_case(6.0)) is None, "6 mm in still air: two days"
    assert judge(windy) is not None, "in wind one"
    known = establishing(the_case(7.0))
    assert known is not None
    assert known.by_weather
    # 8 degree days a day: 168 in three weeks
    assert known.rooted_on == known.planted_on + timedelta(21)


def test_overhead_check_overdue_stays_quiet_while_there_is_time_and_once_roots_are_down() -> None:
    stays_quiet("overhead_check_overdue", **planted(2))
    stays_quiet("overhead_check_overdue", a_check_in(overhead_l=3, days_ago=2), **planted(10))
    stays_quiet("overhead_check_overdue", **planted(22))
    stays_quiet("overhead_check_overdue", **planted(-5))
    stays_quiet("overhead_check_overdue", planter=a_planter(planting=None))
    moist = a_check_in(plants=4, days_ago=1)
    stays_quiet("overhead_check_overdue", moist, **planted(6))
    soggy = a_check_in(signs=["soggy-mix"], days_ago=4)
    stays_quiet("overhead_check_overdue", soggy, **planted(9))
    dry = a_check_in(signs=["dry-mix"], days_ago=1)
    stays_quiet("overhead_check_overdue", dry, **planted(9))
    raises("newly_planted_dry_top", dry, **planted(9))


def test_a_planting_from_the_field_needs_water_from_above() -> None:
    planted_here = a_record("planting", {"plants": [{"name": "ivy"}]}, days_ago=5)
    raises("overhead_check_overdue", planted_here)
    stays_quiet("overhead_check_overdue", planted_here, a_withdrawal(planted_here))


def test_newly_planted_dry_top_stays_quiet_once_watered_or_rooted() -> None:
    dry = a_check_in(signs=["dry-mix"], days_ago=1)
    stays_quiet("newly_planted_dry_top", dry, a_check_in(overhead_l=3), **planted(10))
    stays_quiet("newly_planted_dry_top", a_check_in(overhead_l=3, days_ago=3), **planted(10))
    stays_quiet("newly_planted_dry_top", **planted(3))
    stays_quiet("newly_planted_dry_top", dry, **planted(22))
    stays_quiet("newly_planted_dry_top", dry, planter=a_planter(planting=None))
    same_visit = a_check_in(signs=["dry-mix"], overhead_l=3)
    stays_quiet("newly_planted_dry_top", same_visit, **planted(10))
    stays_quiet("newly_planted_dry_top", **planted(-5))  # planted next week


def test_salt_crust_raises_when_seen_and_after_weeks_of_feeding() -> None:
    crust = a_check_in(signs=["salt-crust"], days_ago=2)
    assert "not flushed since" in raises("salt_crust", crust).sentence
    feeds = [a_check_in(done=["fed"], days_ago=day) for day in (56, 30, 3)]
    evidence = raises("salt_crust", *feeds)
    assert evidence.urgency == "watch"
    assert evidence.numbers == {"feeds": 3, "days": 56}


def test_salt_crust_stays_quiet_once_flushed() -> None:
    crust = a_check_in(signs=["salt-crust"], days_ago=2)
    stays_quiet("salt_crust", crust, a_check_in(done=["flushed"]))
    stays_quiet("salt_crust", a_check_in(signs=["salt-crust"], done=["flushed"]))
    stays_quiet("salt_crust", crust, a_withdrawal(crust))
    feeds = [a_check_in(done=["fed"], days_ago=day) for day in (56, 30, 3)]
    stays_quiet("salt_crust", *feeds, a_check_in(done=["flushed"], days_ago=20))
    stays_quiet("salt_crust", *[a_check_in(done=["fed"], days_ago=day) for day in (55, 30, 3)])
    stays_quiet("salt_crust", *[a_check_in(done=["fed"], days_ago=day) for day in (56, 3)])
