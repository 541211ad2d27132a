"""Plant rules, each shown firing and keeping quiet. Thresholds: common practice, no source."""

from __future__ import annotations

from datetime import date

from build import (
    TODAY,
    WINTER,
    a_check_in,
    a_planter,
    a_step,
    a_withdrawal,
    raises,
    stays_quiet,
)
from potrounds.domain.planter import Planting


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
    assert evidence.urgency == "today"
    assert evidence.records == (dry.id,)


def test_newly_planted_dry_top_raises_after_days_without_water_from_above() -> None:
    evidence = raises("newly_planted_dry_top", a_check_in(level=1), **planted(6))
    assert evidence.urgency is None
    assert evidence.numbers == {"age_days": 6, "days": 6}
    watered = a_check_in(overhead_l=3, days_ago=4)
    assert raises("newly_planted_dry_top", watered, **planted(9)).records == (watered.id,)


def test_newly_planted_dry_top_stays_quiet_once_watered_or_rooted() -> None:
    dry = a_check_in(signs=["dry-mix"], days_ago=1)
    stays_quiet("newly_planted_dry_top", dry, a_check_in(overhead_l=3), **planted(10))
    stays_quiet("newly_planted_dry_top", a_check_in(overhead_l=3, days_ago=3), **planted(10))
    stays_quiet("newly_planted_dry_top", **planted(3))
    stays_quiet("newly_planted_dry_top", dry, **planted(29))
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
