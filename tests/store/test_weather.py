"""Weather rows, and the step that brings an earlier database up to them."""

from __future__ import annotations

import sqlite3
from datetime import date
from pathlib import Path

from desk import Desk, open_desk
from potrounds.store import database, register, weather
from potrounds.store.weather import WeatherRow

MAY_4, MAY_5 = date(2026, 5, 4), date(2026, 5, 5)


def a_row(day: date, issued_on: date | None = None, **more: object) -> WeatherRow:
    kind = "forecast" if issued_on else "observed"
    values = {"tmin_c": 9.0, "tmax_c": 20.0, "rain_mm": None, "wind_ms": None, "source": "csv"}
    return WeatherRow(date=day, kind=kind, issued_on=issued_on, **(values | more))


def test_a_day_observed_again_replaces_the_one_there_was(desk: Desk) -> None:
    with database.write_transaction():
        weather.put([a_row(MAY_4), a_row(MAY_5)])
        weather.put([a_row(MAY_4, tmax_c=23.0, source="typed")])
    assert [(row.date, row.tmax_c, row.source) for row in weather.observed()] == [
        (MAY_4, 23.0, "typed"),
        (MAY_5, 20.0, "csv"),
    ]
    assert weather.observed(since=MAY_5) == [a_row(MAY_5)]


def test_forecasts_stay_as_they_were_issued(desk: Desk) -> None:
    with database.write_transaction():
        weather.put([a_row(MAY_5, issued_on=MAY_4)])
        weather.put([a_row(MAY_5, issued_on=MAY_5, tmax_c=25.0)])
        weather.put([a_row(MAY_5, issued_on=MAY_5, tmax_c=26.0)])
    assert [(row.issued_on, row.tmax_c) for row in weather.forecasts()] == [
        (MAY_4, 20.0),
        (MAY_5, 26.0),
    ]
    assert weather.observed() == []


def test_a_database_of_the_first_release_gets_weather_and_columns(tmp_path: Path) -> None:
    desk = open_desk(tmp_path)
    database.shut()
    # The tables as the first release left them: without weather and the columns for water.
    with sqlite3.connect(tmp_path / "town.sqlite") as raw:
        raw.execute("drop table weather")
        for column in ("mix_l", "top_area_m2", "canopy_m2", "sun", "wind", "rain_reaches"):
            raw.execute(f"alter table planter drop column {column}")
        raw.execute("delete from schema_steps where name = 'water_of_planters'")
    raw.close()
    database.open_database(desk.ctx.settings.database)
    try:
        planter = register.planter(desk.planter)
        assert (planter.sun, planter.wind, planter.mix_l) == ("full", "open", None)
        assert planter.name == "Ferry landing 1"
        assert weather.observed() == []
    finally:
        database.shut()
