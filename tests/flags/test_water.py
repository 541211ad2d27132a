"""Rules that rest on the water balance."""

from __future__ import annotations

import pytest

from build import TODAY, a_calendar, a_check_in, a_look, a_planter, a_water, raises, stays_quiet
from potrounds.domain.records import Record

FILL = a_check_in(overflow="ran-while-filling", litres_l=8, days_ago=2, id="r-fill")
LOOK = a_check_in(level=0.25, days_ago=0, id="r-look")
FULL_TODAY = a_check_in(overflow="ran-while-filling", litres_l=8, days_ago=0, id="r-full")
#: A crew on Fridays; TODAY is a Monday.
FRIDAYS = a_calendar(crew_days=(4,))


def test_a_leak_that_is_found_is_said_with_the_look_that_told() -> None:
    looks = (a_look(FILL, 0.5), a_look(LOOK, 0.85))
    found = raises("losing_water", FILL, LOOK, water=a_water(*looks, leak=0.96))
    assert found.urgency is None
    assert "2\N{NO-BREAK SPACE}days after it was full" in found.sentence
    assert "96%" in found.sentence
    assert found.records == ("r-fill", "r-look")
    stays_quiet("losing_water", FILL, LOOK, water=a_water(*looks, leak=0.2))


def test_a_suspected_leak_asks_for_a_look_after_a_fill_and_waits_for_it() -> None:
    suspected = a_water(a_look(FULL_TODAY, 0.5), leak=0.5)
    found = raises("losing_water", FULL_TODAY, water=suspected)
    assert found.urgency == "watch"
    assert found.advice is not None
    assert "one or two days later" in found.advice
    assert "the next look tells" in found.sentence
    looked = a_water(a_look(FILL, 0.5), a_look(LOOK, 0.8), leak=0.5)
    assert "not yet sure" in raises("losing_water", FILL, LOOK, water=looked).sentence


def test_no_leak_is_suspected_where_nobody_came_or_the_planter_is_stored() -> None:
    stays_quiet("losing_water", water=a_water(leak=0.95))
    stored = a_planter(status="stored")
    stays_quiet("losing_water", FILL, planter=stored, water=a_water(a_look(FILL, 0.5), leak=0.95))
    stays_quiet("losing_water", FILL)


def test_a_wick_that_does_not_draw() -> None:
    read = a_check_in(level=1, days_ago=1)
    found = raises("wick_not_drawing", read, water=a_water(a_look(read, 0.6), wick=0.93))
    assert "93%" in found.sentence
    assert "Read full" in found.sentence
    stays_quiet("wick_not_drawing", read, water=a_water(a_look(read, 0.6), wick=0.2))
    doubtful = a_water(a_look(read, 0.6), wick=0.5)
    assert raises("wick_not_drawing", read, water=doubtful).urgency == "watch"


def test_an_overflow_that_is_blocked() -> None:
    poured = a_check_in(litres_l=18, overflow="dry", days_ago=1)
    looks = a_look(poured, 0.7, room_l=5.0)
    found = raises("overflow_blocked", poured, water=a_water(looks, blocked=0.95))
    assert "18\N{NO-BREAK SPACE}L went in" in found.sentence
    assert "5\N{NO-BREAK SPACE}L" in found.sentence
    stays_quiet("overflow_blocked", poured, water=a_water(looks, blocked=0.4))


def same_marks(level: float, litres: float, overflow: str = "not-looked") -> list[Record]:
    return [
        a_check_in(level=level, litres_l=litres, overflow=overflow, days_ago=days)
        for days in (20, 15, 10, 5)
    ]


def test_a_gauge_that_reads_the_same_whatever_went_in() -> None:
    stuck = same_marks(0.75, 11, "ran-while-filling")
    found = raises("gauge_stuck", *stuck, water=a_water(*(a_look(one, 0.3) for one in stuck)))
    assert "three quarters 4 times in a row" in found.sentence
    honest = same_marks(0.75, 4, "ran-while-filling")
    stays_quiet("gauge_stuck", *honest, water=a_water(*(a_look(one, 0.72) for one in honest)))
    moving = [*stuck[:3], a_check_in(level=0.25, days_ago=1)]
    stays_quiet("gauge_stuck", *moving, water=a_water(*(a_look(one, 0.3) for one in moving)))


@pytest.mark.parametrize(("days", "urgency"), [(3.0, "this-week"), (0.4, "today")])
def test_dry_before_the_crew_comes(days: float, urgency: str) -> None:
    water = a_water(a_look(LOOK, 0.3), days=days)
    found = raises("runs_dry_before_crew_day", LOOK, calendar=FRIDAYS, water=water)
    assert found.urgency == urgency
    assert "Friday 14 August" in found.sentence


def test_water_that_lasts_until_the_crew_comes_is_no_flag() -> None:
    lasting = a_water(a_look(LOOK, 0.9), days=6.0)
    stays_quiet("runs_dry_before_crew_day", LOOK, calendar=FRIDAYS, water=lasting)
    short = a_water(a_look(LOOK, 0.3), days=3.0)
    stays_quiet("runs_dry_before_crew_day", LOOK, water=short)  # no crew days are set
    stays_quiet("runs_dry_before_crew_day", LOOK, calendar=FRIDAYS, water=a_water(a_look(LOOK, 1)))


@pytest.mark.parametrize(("ratio", "words"), [(2.3, "2.3 times"), (0.4, "40% of")])
def test_use_far_from_its_peers(ratio: float, words: str) -> None:
    water = a_water(a_look(LOOK, 0.3), peers=ratio, peers_sure=True)
    assert words in raises("use_far_from_peers", LOOK, water=water).sentence


def test_use_near_its_peers_or_unsure_is_no_flag() -> None:
    near = a_water(a_look(LOOK, 0.3), peers=1.3, peers_sure=True)
    stays_quiet("use_far_from_peers", LOOK, water=near)
    stays_quiet("use_far_from_peers", LOOK, water=a_water(a_look(LOOK, 0.3), peers=2.3))
    stays_quiet("use_far_from_peers", LOOK, water=a_water(a_look(LOOK, 0.3)))


def test_litres_poured_over_the_brim_again_and_again() -> None:
    fills = [a_check_in(litres_l=12, days_ago=days) for days in (12, 8, 4, 1)]
    looks = [a_look(one, 0.75, room_l=4.0) for one in fills]
    found = raises("overfilling_litres", *fills, water=a_water(*looks, overfill=5.0))
    assert "4\N{NO-BREAK SPACE}fills since Wednesday 29 July" in found.sentence
    assert "32\N{NO-BREAK SPACE}L over the brim" in found.sentence
    stays_quiet("overfilling_litres", *fills, water=a_water(*looks, overfill=3.0))
    old = [a_check_in(litres_l=12, days_ago=days) for days in (100, 95, 90, 85)]
    past = a_water(*(a_look(one, 0.75, room_l=4.0) for one in old), overfill=5.0)
    stays_quiet("overfilling_litres", *old, water=past)


def test_the_day_of_these_tests_is_a_monday() -> None:
    assert TODAY.weekday() == 0
