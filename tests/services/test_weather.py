"""The town's weather: typed, brought as a table, fetched; gaps filled and marked; oddities said."""

from __future__ import annotations

import json
import math
from datetime import date, timedelta
from typing import Any

import pytest

from desk import Desk
from potrounds.services import register, town_settings, weather, weather_record
from potrounds.services.refusal import Refusal
from potrounds.store import weather as store
from potrounds.weather import Fault, Trouble, WeatherDay, WebForecast

TODAY = date(2026, 5, 4)  # the desk's clock


@pytest.fixture
def placed(desk: Desk) -> Desk:
    """A town that knows where it lies."""
    town_settings.change_settings(desk.ctx, {"latitude": 48.2})
    return desk


def a_day(ago: int, **more: Any) -> dict[str, Any]:
    return {"date": TODAY - timedelta(ago), "tmin_c": 8.0, "tmax_c": 20.0, **more}


def a_table(days: int, warmest: int = 200, last: date = TODAY) -> bytes:
    """Days up to the last one, with the warmest day of the year given."""
    lines = ["date,tmin_c,tmax_c,rain_mm,wind_ms"]
    for ago in range(days, 0, -1):
        day = last - timedelta(ago)
        wave = math.cos(2 * math.pi * (day.timetuple().tm_yday - warmest) / 365.25)
        lines.append(f"{day},{5 + 8 * wave:.1f},{15 + 9 * wave:.1f},1.0,2.0")
    return "\n".join(lines).encode()


def shown(desk: Desk, first: int, last: int = 0) -> list[dict[str, Any]]:
    days = weather.view(desk.ctx, TODAY - timedelta(first), TODAY - timedelta(last))["days"]
    return list(days)


def test_typed_days_are_kept_and_written_down(placed: Desk) -> None:
    weather.put_days(placed.ctx, [a_day(2, rain_mm=4.5), a_day(1, wind_ms=1.5)])
    days = shown(placed, 5)
    assert [(day["date"], day["rain_mm"], day["source"]) for day in days] == [
        ("2026-05-02", 4.5, "typed"),
        ("2026-05-03", None, "typed"),
    ]
    change = register.overview(placed.ctx)["changes"][0]
    assert (change["what"], change["after"]["days"]) == ("weather", 2)


def test_one_impossible_day_and_nothing_is_kept(placed: Desk) -> None:
    with pytest.raises(Refusal) as caught:
        weather.put_days(placed.ctx, [a_day(2), a_day(1, tmin_c=25.0), a_day(-1)])
    assert caught.value.errors == [
        ("/days/1/tmin_c", "The low, 25 °C, is above the high, 20 °C."),
        ("/days/2/date", "2026-05-05 has not been yet. A forecast is not weather that was."),
    ]
    assert store.observed() == []


def test_gaps_are_filled_from_neighbours_or_the_usual_and_marked(placed: Desk) -> None:
    warm = {"tmin_c": 12.0, "tmax_c": 26.0}
    weather.put_days(placed.ctx, [a_day(30), a_day(28, **warm), a_day(1)])
    days = shown(placed, 30, 1)
    assert len(days) == 30
    assert [day["source"] for day in days[:4]] == ["typed", "filled", "typed", "filled"]
    assert (days[1]["tmin_c"], days[1]["tmax_c"]) == (10.0, 23.0)  # half way between the two
    assert {day["source"] for day in days[4:-1]} == {"filled"}
    assert len(store.observed()) == 3  # what is filled in is never kept


def test_a_dry_run_keeps_nothing_and_a_fault_keeps_nothing(placed: Desk) -> None:
    table = a_table(20)
    assert weather.import_days(placed.ctx, table, dry_run=True)["created"] == 20
    assert store.observed() == []
    bad = table.replace(b"2026-04-20,", b"20.04.2026,")
    report = weather.import_days(placed.ctx, bad, dry_run=False)
    assert (report["created"], len(report["errors"])) == (0, 1)
    assert report["errors"][0]["column"] == "date"
    assert store.observed() == []
    assert weather.import_days(placed.ctx, table, dry_run=False)["created"] == 20
    assert len(store.observed()) == 20


def answers(days: list[WeatherDay]) -> Any:
    return lambda self, today: days


def forecast(first: int, last: int, high: float = 19.0) -> list[WeatherDay]:
    return [WeatherDay(TODAY + timedelta(n), 7.0, high, 0.0) for n in range(first, last)]


def test_a_forecast_is_kept_as_issued_and_people_stand_before_a_service(
    placed: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    town_settings.change_settings(placed.ctx, {"weather_url": "https://weather.example/daily"})
    weather.put_days(placed.ctx, [a_day(1)])
    monkeypatch.setattr(WebForecast, "days", answers(forecast(-2, 4)))
    weather.fetch(placed.ctx)
    assert [(row.date, row.tmax_c, row.source) for row in store.observed()] == [
        (TODAY - timedelta(2), 19.0, "web"),
        (TODAY - timedelta(1), 20.0, "typed"),
    ]
    placed.clock.tick(days=1)
    monkeypatch.setattr(WebForecast, "days", answers(forecast(0, 6, high=24.0)))
    weather.fetch(placed.ctx)
    told = {(row.issued_on, row.date): row.tmax_c for row in store.forecasts()}
    tomorrow = TODAY + timedelta(1)
    assert (told[TODAY, tomorrow], told[tomorrow, tomorrow]) == (19.0, 24.0)
    ahead = weather.view(placed.ctx, tomorrow, TODAY + timedelta(7))["days"]
    assert {day["tmax_c"] for day in ahead} == {24.0}


def test_a_bad_answer_changes_nothing_and_says_why(
    placed: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(Refusal) as off:
        weather.fetch(placed.ctx)
    assert (off.value.status, off.value.slug) == (409, "no-weather-url")
    town_settings.change_settings(placed.ctx, {"weather_url": "https://weather.example/daily"})

    def broken(self: WebForecast, today: date) -> list[WeatherDay]:
        raise Trouble([Fault("The forecast is stale. Nothing was changed.")])

    monkeypatch.setattr(WebForecast, "days", broken)
    before = placed.card()
    with pytest.raises(Refusal) as caught:
        weather.fetch(placed.ctx)
    assert (caught.value.status, caught.value.detail) == (
        *(502, "The forecast is stale. Nothing was changed."),
    )
    assert (store.observed(), store.forecasts(), placed.card()) == ([], [], before)


@pytest.mark.parametrize("url", ["http://weather.example", "weather.example", "file:///x"])
def test_a_forecast_address_is_https(placed: Desk, url: str) -> None:
    with pytest.raises(Refusal, match="https://"):
        town_settings.change_settings(placed.ctx, {"weather_url": url})


def notes() -> str:
    return " ".join(weather_record.notes(TODAY))


def test_what_is_missing_or_odd_is_said_in_words(desk: Desk) -> None:
    assert "latitude is not set" in notes()
    town_settings.change_settings(desk.ctx, {"latitude": 48.2})
    assert "No weather is on record" in notes()
    weather.import_days(desk.ctx, a_table(200), dry_run=False)
    assert notes() == ""
    town_settings.change_settings(desk.ctx, {"latitude": -48.2})
    assert "fits the other half of the world" in notes()
    assert "48.2° south" in notes()


def test_a_table_of_the_other_half_of_the_world_is_noticed(placed: Desk) -> None:
    weather.import_days(placed.ctx, a_table(200, warmest=17), dry_run=False)
    assert "fits the other half of the world" in notes()


def test_weather_that_ended_long_ago_is_said(placed: Desk) -> None:
    table = a_table(60, last=TODAY - timedelta(20))
    weather.import_days(placed.ctx, table, dry_run=False)
    assert "21 days ago" in notes()


def test_what_is_usual_comes_from_the_days_there_are(placed: Desk) -> None:
    weather.import_days(placed.ctx, a_table(400), dry_run=False)
    months = weather.view(placed.ctx, None, None)["normals"]
    assert months is not None
    # The table's own course: 15 degC and half a swing of 9 about its warmest day, 19 July.
    assert months[6]["tmax_c"] == pytest.approx(15 + 9 * 0.99, abs=0.3)
    assert months[0]["tmax_c"] == pytest.approx(15 - 9 * 0.99, abs=0.3)
    given = [{**month, "tmax_c": month["tmax_c"] + 3} for month in months]
    weather.put_normals(placed.ctx, given)
    assert weather.view(placed.ctx, None, None)["normals"] == given
    weather.put_normals(placed.ctx, None)
    assert weather.view(placed.ctx, None, None)["normals"] == months


def test_without_any_year_the_usual_follows_the_latitude(placed: Desk) -> None:
    months = weather_record.usual_year([], 48.2)
    assert months[6].tmax_c > months[0].tmax_c + 15
    south = weather_record.usual_year([], -48.2)
    assert south[0].tmax_c == pytest.approx(months[6].tmax_c, abs=0.5)


def test_days_the_wrong_way_round_are_refused(placed: Desk) -> None:
    with pytest.raises(Refusal, match="earlier to a later"):
        weather.view(placed.ctx, TODAY, TODAY - timedelta(1))


def test_a_town_without_latitude_still_keeps_its_weather(desk: Desk) -> None:
    weather.put_days(desk.ctx, [a_day(1)])
    seen = weather.view(desk.ctx, None, None)
    assert (len(seen["days"]), seen["normals"]) == (1, None)
    assert json.dumps(seen)
    assert desk.card()["water"] is None
