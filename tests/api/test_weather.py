"""Weather over the web: who may what, and every bad input with its words."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from flask.testing import FlaskClient

from potrounds.weather import WeatherDay, WebForecast
from speaking import Speaker, Town, assert_problem

TODAY = date(2026, 5, 4)
ROW = {"date": "2026-05-03", "tmin_c": 8.0, "tmax_c": 20.0, "rain_mm": 1.5, "wind_ms": None}
TABLE = "date,tmin_c,tmax_c,rain_mm\n2026-05-02,8,20,\n2026-05-03,9,21,3.5\n"


@pytest.fixture
def corin(town: Town, client: FlaskClient) -> Speaker:
    """The coordinator, in a town that knows where it lies."""
    speaker = town.speaker(client, "Corin")
    assert speaker.patch("/register/settings", {"latitude": 48.2}).status_code == 200
    return speaker


def send_table(speaker: Speaker, table: str, **query: str) -> Any:
    return speaker.ask(
        "POST", "/weather/import", data=table.encode(), content_type="text/csv", query_string=query
    )


def test_typed_days_are_seen_again(corin: Speaker) -> None:
    kept = corin.put("/weather/days", {"days": [ROW]})
    assert kept.status_code == 200, kept.text
    seen = corin.get("/weather", query_string={"from": "2026-05-01", "to": "2026-05-04"}).json
    expected = {**ROW, "kind": "observed", "issued_on": None, "source": "typed"}
    assert seen["days"] == [expected]
    assert len(seen["normals"]) == 12
    assert seen["notes"] == []


def test_a_volunteer_may_look_and_not_type(town: Town, client: FlaskClient) -> None:
    vera = town.speaker(client, "Vera")
    assert vera.get("/weather").status_code == 200
    assert_problem(vera.put("/weather/days", {"days": [ROW]}), 403, "coordinator-only")
    assert_problem(vera.post("/weather/fetch"), 403, "coordinator-only")
    assert_problem(send_table(vera, TABLE), 403, "coordinator-only")
    assert_problem(vera.put("/weather/normals", {"normals": None}), 403, "coordinator-only")


@pytest.mark.parametrize(
    ("change", "pointer", "words"),
    [
        ({"tmin_c": 25.0}, "/days/0/tmin_c", "above the high"),
        ({"tmax_c": 75.0}, "/days/0/tmax_c", "from -60 to 57"),
        ({"tmax_c": "20"}, "/days/0/tmax_c", "without quotes"),
        ({"rain_mm": -1.0}, "/days/0/rain_mm", "from 0 to 500"),
        ({"wind_ms": 90.0}, "/days/0/wind_ms", "from 0 to 50"),
        ({"date": "2026-05-05"}, "/days/0/date", "not been yet"),
        ({"date": "2027-05-03"}, "/days/0/date", "not been yet"),
        ({"date": "03.05.2026"}, "/days/0/date", "YYYY-MM-DD"),
        ({"snow_cm": 4}, "/days/0/snow_cm", "not known"),
    ],
)
def test_impossible_weather_is_refused_where_it_stands(
    corin: Speaker, change: dict[str, Any], pointer: str, words: str
) -> None:
    answer = corin.put("/weather/days", {"days": [{**ROW, **change}]})
    assert answer.status_code == 422
    (error,) = answer.json["errors"]
    assert error["pointer"] == pointer
    assert words in error["detail"]
    assert corin.get("/weather").json["days"] == []


def test_a_table_is_looked_at_first_then_imported(corin: Speaker) -> None:
    looked = send_table(corin, TABLE, dry_run="1")
    assert (looked.status_code, looked.json["created"]) == (200, 2)
    assert corin.get("/weather").json["days"] == []
    assert send_table(corin, TABLE).status_code == 201
    assert [day["source"] for day in corin.get("/weather").json["days"]] == ["csv", "csv"]


def test_a_bad_row_is_named_and_nothing_is_imported(corin: Speaker) -> None:
    answer = send_table(corin, TABLE.replace(",21,", ",210,"))
    assert answer.status_code == 422
    assert (answer.json["created"], answer.json["rows"]) == (0, 2)
    (error,) = answer.json["errors"]
    assert (error["row"], error["column"]) == (3, "tmax_c")
    assert "Fahrenheit" in error["detail"]
    assert corin.get("/weather").json["days"] == []
    assert corin.post("/weather/import", TABLE).status_code == 415


def test_fetching_is_off_until_an_address_is_set(
    corin: Speaker, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert_problem(corin.post("/weather/fetch"), 409, "no-weather-url")
    bad = corin.patch("/register/settings", {"weather_url": "http://weather.example"})
    assert_problem(bad, 422, "weather-url")
    good = corin.patch("/register/settings", {"weather_url": "https://weather.example/daily"})
    assert good.json["weather_url"] == "https://weather.example/daily"
    ahead = [WeatherDay(TODAY + timedelta(n), 7.0, 19.0, 0.0) for n in range(3)]
    monkeypatch.setattr(WebForecast, "days", lambda self, today: ahead)
    fetched = corin.post("/weather/fetch")
    assert fetched.status_code == 200, fetched.text
    assert {day["issued_on"] for day in fetched.json["days"]} == {"2026-05-04"}
    monkeypatch.undo()
    monkeypatch.setattr("potrounds.weather.web_forecast.WebForecast._ask", lambda self: b"<html>")
    assert_problem(corin.post("/weather/fetch"), 502, "weather-source")
    assert len(corin.get("/weather").json["days"]) == 3


def test_normals_are_twelve_and_make_sense(corin: Speaker) -> None:
    month = {"tmin_c": 5.0, "tmax_c": 15.0, "wet_day_share": 0.3}
    month |= {"rain_per_wet_day_mm": 5.0, "wind_ms": 2.0}
    assert corin.put("/weather/normals", {"normals": [month] * 11}).status_code == 422
    wrong = [*[month] * 11, {**month, "tmin_c": 16.0}]
    answer = corin.put("/weather/normals", {"normals": wrong})
    assert answer.json["errors"][0]["pointer"] == "/normals/11/tmin_c"
    assert corin.put("/weather/normals", {"normals": [month] * 12}).json["normals"] == [month] * 12
    assert corin.put("/weather/normals", {"normals": None}).status_code == 200


@pytest.mark.parametrize("query", [{"from": "soon"}, {"until": "2026-05-01"}])
def test_a_wrong_query_is_the_askers(corin: Speaker, query: dict[str, str]) -> None:
    assert corin.get("/weather", query_string=query).status_code == 400


def test_the_settings_of_water(corin: Speaker) -> None:
    asked = {"latitude": -35.1, "elevation_m": 120, "run_dry_risk": 0.2, "crew_days": [4, 1, 4]}
    said = corin.patch("/register/settings", asked).json
    assert {name: said[name] for name in asked} == {**asked, "crew_days": [1, 4]}
    for wrong in ({"latitude": 91}, {"run_dry_risk": 0}, {"crew_days": [7]}, {"elevation_m": "x"}):
        assert corin.patch("/register/settings", wrong).status_code == 422


def test_what_the_register_knows_for_the_balance(corin: Speaker, town: Town) -> None:
    made = corin.get("/register").json["planters"][0]
    assert (made["mix_l"], made["sun"], made["rain_reaches"]) == (None, "full", None)
    asked = {"mix_l": 60.0, "top_area_m2": 0.2, "sun": "shade", "wind": "windy"}
    asked |= {"rain_reaches": False, "canopy_m2": 0.4}
    headers = {"If-Match": str(made["version"])}
    said = corin.patch(f"/register/planters/{made['id']}", asked, headers=headers).json
    assert {name: said[name] for name in asked} == asked
    headers = {"If-Match": str(said["version"])}
    wrong = {"mix_l": 0.0, "sun": "sunny"}
    answer = corin.patch(f"/register/planters/{made['id']}", wrong, headers=headers)
    assert {error["pointer"] for error in answer.json["errors"]} == {"/mix_l", "/sun"}
