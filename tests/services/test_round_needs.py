"""What is due at a planter, and how its water is carried into the days ahead."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import log
from statistics import NormalDist
from typing import Any

import pytest

from build import TODAY, a_calendar, a_check_in, a_forecast, a_look, a_planter, a_water
from potrounds.domain.feed_rules import FeedRules
from potrounds.domain.rounds import Need, Position
from potrounds.domain.water import TopUpDay
from potrounds.services.round_needs import (
    dry_after_fill,
    fall_l_day,
    need_of,
    position_of,
    tasks_of,
)

SEEN = TODAY - timedelta(days=2)


def a_card(**changes: Any) -> dict[str, Any]:
    """As much of a planter's card as a plan reads."""
    nothing = {"active": False, "state": "not-begun", "next": None, "steps": [], "list": ""}
    card = {
        "site": {"id": "s-ferry001", "name": "Ferry landing"},
        "flags": [],
        "lists": {"winterization": nothing, "start_up": nothing},
        "state": {"plug": {"state": "in"}, "last_visit": None, "last_fed": None},
        "establishment": None,
        "feeding": None,
    }
    return {**card, **changes}


def a_flag(code: str, urgency: str, quiet: bool = False) -> dict[str, Any]:
    return {
        "code": code,
        "name": "Plug missing",
        "sentence": "Seen without.",
        "urgency": urgency,
        "quiet": quiet,
    }


def tasks(seen: date | None = SEEN, **card: Any) -> dict[str, Any]:
    fed_each_fortnight = a_calendar(care=FeedRules(every_days=14))
    found = tasks_of(a_planter(), a_card(**card), fed_each_fortnight, TODAY, seen)
    return {one.code: one for one in found}


def roots(water_by: int, rooted_on: int) -> dict[str, Any]:
    """A card's word on a new planting, in days from today."""
    return {
        "planted_on": f"{TODAY - timedelta(days=20)}",
        "water_by": f"{TODAY + timedelta(days=water_by)}",
        "rooted_on": f"{TODAY + timedelta(days=rooted_on)}",
    }


def a_feed(due: int, hold: str | None = None) -> dict[str, Any]:
    return {"due": f"{TODAY + timedelta(days=due)}", "hold": hold}


def test_a_flag_of_today_is_due_today_and_others_are_not() -> None:
    flags = [
        a_flag("plug_missing", "today"),
        a_flag("tag_damaged", "this-week"),
        a_flag("path_blocked", "today", quiet=True),
    ]
    found = tasks(flags=flags)
    assert set(found) == {"plug_missing"}
    assert found["plug_missing"].latest == TODAY
    assert found["plug_missing"].why == "Plug missing: Seen without."


def test_salt_asks_for_a_flush_within_the_week() -> None:
    found = tasks(flags=[a_flag("salt_crust", "this-week")])
    assert found["flush"].latest == TODAY + timedelta(days=7)


def test_short_roots_are_watered_from_above_until_they_have_grown() -> None:
    """By tomorrow, then every three days, as long as roots are short."""
    new = roots(water_by=1, rooted_on=6)
    found = tasks_of(a_planter(), a_card(establishment=new), a_calendar(), TODAY, SEEN)
    spans = [((one.earliest - TODAY).days, (one.latest - TODAY).days) for one in found]
    assert {one.code for one in found} == {"newly-planted"}
    assert spans == [(0, 1), (2, 4), (5, 7)]
    assert not tasks(establishment=roots(water_by=-1, rooted_on=0))
    late = tasks(establishment=roots(water_by=-2, rooted_on=1))["newly-planted"]
    assert (late.earliest, late.latest) == (TODAY, TODAY)


def test_a_feed_is_due_on_its_day_unless_something_speaks_against_it() -> None:
    assert tasks(feeding=a_feed(8))["feed"].earliest == TODAY + timedelta(days=8)
    assert tasks(feeding=a_feed(-1), seen=None)["feed"].earliest == TODAY
    assert not tasks(feeding=a_feed(8, hold="winter is near"))
    assert not tasks(feeding=a_feed(15))


def test_who_was_there_and_did_not_feed_is_not_sent_again_at_once() -> None:
    feed = tasks(feeding=a_feed(-3), seen=SEEN)["feed"]
    assert feed.earliest == SEEN + timedelta(days=14)


def test_a_lists_next_step_is_due_before_the_freeze() -> None:
    step = {"code": "pull-plug", "title": "Pull the drain plug"}
    winter = {
        **{"active": True, "state": "begun", "next": "pull-plug", "steps": [step]},
        "list": "winterization",
    }
    card = a_card(lists={"winterization": winter, "start_up": a_card()["lists"]["start_up"]})
    calendar = a_calendar(nights=(a_forecast(-1.0, TODAY + timedelta(days=4), TODAY),))
    (found,) = tasks_of(a_planter(planting=None), card, calendar, TODAY, SEEN)
    assert found.code == "winterization.pull-plug"
    assert found.why == "Winterization: Pull the drain plug."
    assert found.latest == TODAY + timedelta(days=3)


def test_a_step_with_a_due_day_on_its_card_is_due_then_and_never_in_the_past() -> None:
    """The due days of the lists, DEVELOPERS.md section 8. Common practice, no source."""
    for days, latest in ((5, 5), (12, 12), (-3, 0)):
        due = TODAY + timedelta(days=days)
        step = {"code": "second-look", "title": "Second look", "due": due.isoformat()}
        winter = {
            **{"active": True, "state": "begun", "next": "second-look", "steps": [step]},
            "list": "winterization",
        }
        card = a_card(lists={"winterization": winter, "start_up": a_card()["lists"]["start_up"]})
        (found,) = tasks_of(a_planter(planting=None), card, a_calendar(), TODAY, SEEN)
        # Nobody looks again before the rain or thaw that is to be looked after.
        assert found.earliest == found.latest == TODAY + timedelta(days=latest)


def test_every_open_step_with_a_day_counts_and_start_up_ends_with_winter() -> None:
    def steps(name: str, *codes: str, **more: Any) -> dict[str, Any]:
        days = {"pull-plug": 9, "no-drips": 1}
        return {
            **{"active": True, "state": "begun", "next": codes[0], "list": name},
            "steps": [
                {"code": one, "title": one, "due": f"{TODAY + timedelta(days=days[one])}"}
                if one in days
                else {"code": one, "title": one}
                for one in codes
            ],
            **more,
        }

    winter = steps("winterization", "stop-water", "pull-plug")
    spring = steps("start-up", "no-drips")
    lists = {"winterization": winter, "start_up": spring}
    found = tasks(lists=lists)
    assert found.keys() == {"winterization.stop-water", "winterization.pull-plug"}
    assert found["winterization.pull-plug"].latest == TODAY + timedelta(days=9)
    summer = {**lists, "winterization": {**winter, "active": False}}
    assert tasks(lists=summer).keys() == {"start-up.no-drips"}


# --- water ---------------------------------------------------------------------------------------


def need(water: Any, **card: Any) -> Need:
    return need_of(a_planter(planting=None), a_card(**card), water, a_calendar(), TODAY, 5.0)


def test_a_forecast_is_carried_as_chances() -> None:
    look = a_look(a_check_in(level=0.5), 0.5)
    found = need(a_water(look, days=6.0))
    assert found.forecast
    assert found.dry_before[5] == 0.0  # lasts six days
    assert found.dry_before[7] == 1.0
    assert found.litres[0].mid == 7.0


def test_without_a_check_in_a_forecast_is_not_believed() -> None:
    found = need(a_water(days=6.0))
    assert not found.forecast
    assert found.due == TODAY


def test_a_reservoir_with_its_plug_out_never_runs_dry() -> None:
    state = {"plug": {"state": "out"}, "last_visit": None, "last_fed": None}
    found = need(None, state=state)
    assert set(found.dry_before) == {0.0}


def test_plants_that_drink_down_before_winter_get_no_water() -> None:
    step = {"code": "stop-water", "title": "Stop feed and top-up", "state": "done"}
    winter = {**a_card()["lists"]["winterization"], "active": True, "steps": [step]}
    lists = {"winterization": winter, "start_up": a_card()["lists"]["start_up"]}
    found = need(None, lists=lists)
    assert (found.litres[0].mid, set(found.dry_before)) == (0.0, {0.0})


def test_full_yet_wilting_is_gone_to_and_nothing_is_poured() -> None:
    found = need(None, flags=[a_flag("full_but_wilting", "today")])
    assert found.litres[0].mid == 0.0
    assert [task.code for task in found.tasks] == ["full_but_wilting"]
    assert need(None, flags=[a_flag("overflow_on_arrival", "watch")]).due == TODAY


def test_the_fall_of_the_level_is_read_off_the_forecast() -> None:
    outlook = a_water(days=6.0).outlook
    assert outlook is not None
    tops = tuple(
        TopUpDay(TODAY + timedelta(day), min(16.0, 2.0 + 1.5 * day), 0.0, 0.0) for day in range(15)
    )
    assert fall_l_day(replace(outlook, top_up=tops), 16.0) == pytest.approx(1.5)
    assert fall_l_day(outlook, 16.0) == 1.2  # the same every day: the use a day instead


def test_after_a_fill_the_use_is_log_normal() -> None:
    """Against Python's own normal distribution: 16 L at 2 L a day, spread 0.25."""
    found = dry_after_fill(16.0, 2.0, 0.25)
    exact = NormalDist(log(8.0), 0.25)
    assert found[0] == 0.0
    for days in (4, 8, 12):
        assert found[days] == pytest.approx(exact.cdf(log(days)), abs=1e-9)


def test_a_position_is_read_where_the_register_has_one() -> None:
    assert position_of(a_planter(lat=48.1, lon=11.5)) == Position(48.1, 11.5)
    assert position_of(a_planter()) is None
    assert position_of(a_planter(lat=48.1)) is None
