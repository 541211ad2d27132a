"""What is pushed to whom: new flags of today, a freeze, rounds told anew, stops handed over."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import Any

import pytest

from desk import Desk
from potrounds.services import (
    assess,
    freeze_warning,
    push_news,
    rounds,
    town_settings,
    weather,
)
from potrounds.services import (
    crew as crew_service,
)
from potrounds.store import push as rows
from potrounds.store.database import write_transaction
from potrounds.weather import WeatherDay
from push_people import Crew, crew
from push_service import Browser

__all__ = ["crew"]

WEEKDAYS = {"weekdays": list(range(7)), "minutes": 240, "mode": "foot"}


def titles(browser: Browser) -> list[str]:
    return [one["title"] for one in browser.shown()]


# --- flags ---------------------------------------------------------------------------------------


def test_a_new_flag_of_today_goes_to_coordinators_once(crew: Crew) -> None:
    _, corin = crew.join("Corin", "coordinator")
    vera, hers = crew.join("Vera")
    crew.path_blocked(vera)
    crew.send()
    assert hers.shown() == []
    [told] = corin.shown()
    assert told["title"] == "Ferry landing 1: Path blocked"
    assert told["path"] == f"/p/{crew.desk.planter}"
    assert told["body"]
    assert "Vera" not in json.dumps(told)
    for _ in range(2):
        assess.assess_all(crew.desk.ctx)
        assess.rebuild(crew.desk.ctx)
        crew.desk.clock.tick(hours=1)
        crew.path_blocked(vera)
    crew.send()
    assert len(corin.shown()) == 1


def test_a_flag_that_went_down_and_comes_again_is_news_again(crew: Crew) -> None:
    _, corin = crew.join("Corin", "coordinator")
    vera, _ = crew.join("Vera")
    crew.path_blocked(vera)
    crew.send()
    crew.path_free(vera)
    crew.desk.clock.tick(hours=1)
    crew.path_blocked(vera)
    crew.send()
    assert len(corin.shown()) == 2


def test_a_flag_that_is_down_before_the_town_wakes_is_not_told(crew: Crew) -> None:
    _, corin = crew.join("Corin", "coordinator")
    vera, _ = crew.join("Vera")
    crew.path_blocked(vera)
    assert rows.waiting_count() == 1
    crew.path_free(vera)
    assert rows.waiting_count() == 0
    crew.send()
    assert corin.shown() == []


def test_what_is_up_when_pushes_are_turned_on_is_no_news(crew: Crew) -> None:
    _, corin = crew.join("Corin", "coordinator")
    vera, _ = crew.join("Vera")
    town_settings.change_settings(crew.desk.ctx, {"push_on": False})
    crew.path_blocked(vera)
    town_settings.change_settings(crew.desk.ctx, {"push_on": True})
    assess.assess_all(crew.desk.ctx)
    crew.send()
    assert corin.shown() == []


def test_many_new_flags_are_told_as_one_that_opens_the_review(crew: Crew) -> None:
    _, corin = crew.join("Corin", "coordinator")
    vera, _ = crew.join("Vera")
    planters = [crew.desk.add_planter(f"Quay {number}") for number in range(5)]
    for planter in planters:
        crew.path_blocked(vera, planter)
    crew.send()
    [told] = corin.shown()
    assert told["title"] == "5 new flags for today"
    assert told["path"] == "/review"
    assert rows.waiting_count() == 0


def test_a_push_that_cannot_be_queued_costs_no_record(
    crew: Crew, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    crew.join("Corin", "coordinator")
    vera, _ = crew.join("Vera")
    monkeypatch.setattr(push_news.queueing, "queue", lambda *_: 1 / 0)
    text = vera.record(body={"plants": 4, "signs": ["path-blocked"]})
    assert vera.push(text)[0]["outcome"] == "stored"
    assert "could not be put into the queue" in caplog.text


# --- a freeze ------------------------------------------------------------------------------------


def freeze_in(desk: Desk, days: int, low_c: float | None = -2.0) -> None:
    night = desk.clock.now().date() + timedelta(days=days)
    nights = [{"date": night.isoformat(), "kind": "forecast", "low_c": low_c}]
    town_settings.put_nights(desk.ctx, nights)


def tell_rounds(crew: Crew, *people: str) -> dict[str, Any]:
    for person in people:
        crew_service.put_member(crew.desk.ctx, person, dict(WEEKDAYS), None)
    plan = rounds.plan(crew.desk.ctx)
    return rounds.tell(crew.desk.ctx, plan["mark"])


def test_a_freeze_goes_to_coordinators_and_to_those_whose_planters_have_plugs_in(
    crew: Crew,
) -> None:
    _, corin = crew.join("Corin", "coordinator")
    vera, hers = crew.join("Vera Lindqvist")
    _, his = crew.join("Omar Haddad")
    told = tell_rounds(crew, vera.person)
    assert told["rounds"], "the plan gives Vera something to walk"
    with write_transaction():
        rows.forget_notes()
    freeze_in(crew.desk, 2)
    crew.send()
    [all_of_them] = corin.shown()
    assert all_of_them["path"] == "/winter"
    assert "Ferry landing 1, Ferry landing 2" in all_of_them["body"]
    assert "−2" in all_of_them["title"]
    assert len(hers.shown()) == 1
    assert his.shown() == []


def test_one_freeze_is_told_once_however_the_forecast_moves(crew: Crew) -> None:
    _, corin = crew.join("Corin", "coordinator")
    freeze_in(crew.desk, 2)
    freeze_in(crew.desk, 3)
    freeze_in(crew.desk, 2, -4.0)
    crew.send()
    for _ in range(3):
        crew.desk.clock.tick(days=1)
        freeze_in(crew.desk, 2)  # the cold goes on, night after night
        assess.assess_all(crew.desk.ctx)
        freeze_warning.warn(crew.desk.ctx)
    crew.send()
    assert len(corin.shown()) == 1
    crew.desk.clock.tick(days=20)
    freeze_in(crew.desk, 1)
    crew.send()
    assert len(corin.shown()) == 2


def test_a_freeze_that_comes_sooner_than_told_is_told_again(crew: Crew) -> None:
    _, corin = crew.join("Corin", "coordinator")
    freeze_in(crew.desk, 3)
    crew.send()
    freeze_in(crew.desk, 1)
    crew.send()
    freeze_in(crew.desk, 1, None)
    freeze_in(crew.desk, 1)
    crew.send()
    assert len(corin.shown()) == 2


def test_the_horizon_is_the_towns_own(crew: Crew) -> None:
    _, corin = crew.join("Corin", "coordinator")
    freeze_in(crew.desk, 5)
    crew.send()
    assert corin.shown() == []
    town_settings.change_settings(crew.desk.ctx, {"freeze_nights": 5})
    freeze_warning.warn(crew.desk.ctx)
    crew.send()
    assert len(corin.shown()) == 1


def test_a_mild_night_between_does_not_make_two_freezes(crew: Crew) -> None:
    day = crew.desk.clock.now().date()

    class Source:
        def days(self, today: date) -> list[WeatherDay]:
            lows = [3.0, -1.0, 2.0, -1.5, 4.0, 4.0, 4.0, -2.0]
            return [WeatherDay(day + timedelta(n), low, 9.0) for n, low in enumerate(lows)]

    weather.keep(crew.desk.ctx, Source(), "web")
    spell = freeze_warning.coming_freeze(day)
    assert spell is not None
    assert (spell.first, spell.last) == (day + timedelta(1), day + timedelta(3))
    assert not spell.is_news((spell.first, spell.last))
    assert freeze_warning.Spell(day + timedelta(7), day + timedelta(7), -2.0).is_news(
        (spell.first, spell.last)
    )


def test_with_all_plugs_out_nobody_is_told_until_one_goes_in(crew: Crew) -> None:
    vera, _ = crew.join("Vera")
    _, corin = crew.join("Corin", "coordinator")
    for planter in (crew.desk.planter, crew.desk.other_planter):
        vera.push(vera.record(planter=planter, body={"plug": "out"}))
    freeze_in(crew.desk, 2)
    crew.send()
    assert corin.shown() == []
    crew.desk.clock.tick(hours=1)
    vera.push(vera.record(body={"plug": "in"}))
    freeze_warning.warn(crew.desk.ctx)
    crew.send()
    [told] = corin.shown()
    assert told["path"] == f"/p/{crew.desk.planter}/winter"
    assert "Ferry landing 2" not in told["body"]


# --- rounds --------------------------------------------------------------------------------------


def test_a_round_told_and_told_anew_reaches_who_walks_it(crew: Crew) -> None:
    vera, hers = crew.join("Vera Lindqvist")
    _, his = crew.join("Omar Haddad")
    tell_rounds(crew, vera.person)
    first = rows.waiting_count()
    assert first > 0
    crew.send()
    assert all(title.startswith("You have a round on ") for title in titles(hers))
    assert his.shown() == []
    tell_rounds(crew)
    assert rows.waiting_count() == 0, "the same rounds again are no news"
    crew.desk.add_planter("Ferry landing 3")
    tell_rounds(crew)
    crew.desk.clock.tick(minutes=1)
    crew.send()
    changed = [one for one in hers.shown() if "has changed" in one["title"]]
    assert changed
    assert all(one["path"] == "/round" for one in changed)
    assert "Ferry landing 3" in " ".join(one["body"] for one in hers.shown())


def test_who_tells_is_not_told(crew: Crew) -> None:
    vera, hers = crew.join("Vera Lindqvist")
    crew_service.put_member(crew.desk.ctx, vera.person, dict(WEEKDAYS), None)
    plan = rounds.plan(crew.desk.ctx)
    rounds.tell(vera.ctx, plan["mark"])
    crew.send()
    assert hers.shown() == []


def test_a_stop_handed_over_reaches_who_has_it_now(crew: Crew) -> None:
    vera, hers = crew.join("Vera Lindqvist")
    omar, his = crew.join("Omar Haddad")
    day = crew.desk.clock.now().date()
    key = f"round-{day.isoformat()}-{vera.person}"
    text = vera.record("stop", body={"round": key, "what": "handed", "to": omar.person})
    assert vera.push(text, text)[0]["outcome"] == "stored"
    crew.send()
    [told] = his.shown()
    assert told["title"] == "Ferry landing 1 is yours now"
    assert told["path"] == f"/p/{crew.desk.planter}"
    assert "Vera" not in json.dumps(told)
    assert hers.shown() == []
    vera.push(text)
    crew.send()
    assert len(his.shown()) == 1, "sent again, it is a duplicate and no news"


def test_a_stop_of_a_day_gone_by_is_no_news(crew: Crew) -> None:
    vera, _ = crew.join("Vera Lindqvist")
    omar, his = crew.join("Omar Haddad")
    day = crew.desk.clock.now().date() - timedelta(days=1)
    key = f"round-{day.isoformat()}-{vera.person}"
    vera.push(vera.record("stop", body={"round": key, "what": "handed", "to": omar.person}))
    crew.send()
    assert his.shown() == []
