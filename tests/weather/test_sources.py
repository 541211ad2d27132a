"""The contract of every weather source: the same days, or a clear word and nothing."""

from __future__ import annotations

import json
import threading
import time
from contextlib import suppress
from datetime import date
from http.server import BaseHTTPRequestHandler
from typing import Any

import pytest

from forecast_service import said, says, served
from potrounds.weather import SOURCES, CsvFile, Trouble, Typed, WeatherDay, WebForecast

TODAY = date(2026, 5, 6)
DAYS = [
    WeatherDay(date(2026, 5, 4), 8.1, 19.4, 0.0, 1.5),
    WeatherDay(date(2026, 5, 5), 9.0, 17.2, 6.4, None),
    WeatherDay(date(2026, 5, 6), 7.5, 21.0, None, 2.25),
]
TABLE = (
    "date,tmin_c,tmax_c,rain_mm,wind_ms\n"
    "2026-05-04,8.1,19.4,0.0,1.5\n2026-05-05,9,17.2,6.4,\n2026-05-06,7.5,21,,2.25\n"
)


def days_of(source: str) -> list[WeatherDay]:
    """The same three days out of every source."""
    if source == "csv":
        return CsvFile(TABLE.encode()).days(TODAY)
    if source == "typed":
        return Typed(tuple(reversed(DAYS))).days(TODAY)
    with served(says(said())) as url:
        return WebForecast(url).days(TODAY)


@pytest.mark.parametrize("source", sorted(SOURCES))
def test_every_source_gives_the_same_days(source: str) -> None:
    found = days_of(source)
    for day, expected in zip(found, DAYS, strict=True):
        assert (day.date, day.tmin_c, day.tmax_c, day.rain_mm) == (
            *(expected.date, expected.tmin_c, expected.tmax_c, expected.rain_mm),
        )
        assert day.wind_ms == (expected.wind_ms and pytest.approx(expected.wind_ms, abs=0.002))


def trouble_of(source: Any) -> Trouble:
    with pytest.raises(Trouble) as caught:
        source.days(TODAY)
    assert caught.value.faults
    assert all(fault.detail.strip() for fault in caught.value.faults)
    return caught.value


ROW = "2026-05-04,8.1,19.4,0,1.5\n"
TABLES = [
    (TABLE.replace("19.4", "1.4"), 2, "tmin_c", "above the high"),
    (TABLE.replace("19.4", "67"), 2, "tmax_c", "Fahrenheit"),
    (TABLE.replace("6.4", "6400"), 3, "rain_mm", "cannot be right"),
    (TABLE.replace("6.4", "-1"), 3, "rain_mm", "cannot be right"),
    (TABLE.replace("2.25", "99"), 4, "wind_ms", "cannot be right"),
    (TABLE.replace("19.4", "warm"), 2, "tmax_c", "no number"),
    (TABLE.replace("19.4", ""), 2, "tmax_c", "filled in"),
    (TABLE.replace("2026-05-05", "05.05.2026"), 3, "date", "like 2026-05-12"),
    (TABLE.replace("2026-05-05", "2027-05-05"), 3, "date", "not been yet"),
    (TABLE + ROW, 5, "date", "twice"),
    (TABLE.replace("tmin_c", "low"), 1, "tmin_c", "tmin_c or tmin_f"),
    (TABLE.replace("date", "day", 1), 1, "date", "called date"),
    (TABLE.replace("wind_ms", "tmin_f"), 1, "tmin_f", "Only one of"),
    ("date,tmin_c,tmax_c\n", 1, None, "no day"),
    ("", 1, None, "no table"),
]


@pytest.mark.parametrize(("table", "row", "column", "words"), TABLES)
def test_every_fault_of_a_table_is_placed(
    table: str, row: int, column: str | None, words: str
) -> None:
    faults = trouble_of(CsvFile(table.encode())).faults
    assert [(fault.row, fault.column) for fault in faults] == [(row, column)]
    assert words in faults[0].detail


def test_all_faults_of_a_table_are_named_at_once() -> None:
    table = TABLE.replace("19.4", "1.4").replace("17.2", "x").replace("2.25", "-3")
    assert [fault.row for fault in trouble_of(CsvFile(table.encode())).faults] == [2, 3, 4]


def test_units_in_the_header_are_turned_into_ours() -> None:
    table = "date;tmin_f;tmax_f;rain_in;wind_mph\n2026-05-04;50;68;0.5;10\n"
    (day,) = CsvFile(("\ufeff" + table).encode()).days(TODAY)
    assert (day.tmin_c, day.tmax_c, day.rain_mm) == (10.0, 20.0, 12.7)
    assert day.wind_ms == pytest.approx(4.4704, abs=1e-3)


def test_what_was_typed_may_not_be_to_come_or_upside_down() -> None:
    to_come = WeatherDay(date(2026, 5, 7), 5.0, 15.0)
    upside_down = WeatherDay(date(2026, 5, 1), 15.0, 5.0)
    faults = trouble_of(Typed((to_come, upside_down))).faults
    assert [(fault.row, fault.column) for fault in faults] == [(0, "date"), (1, "tmin_c")]


ANSWERS = [
    (b"<html>soon</html>", "no JSON"),
    (b"[1, 2]", "no daily forecast"),
    (b'{"daily": 4}', "no daily forecast"),
    (said(temperature_2m_min=None), "no temperature_2m_min"),
    (said(temperature_2m_min=[8.1, 9.0]), "different lengths"),
    (said(temperature_2m_min=[8.1, None, 7.5]), "left out the temperatures"),
    (said(temperature_2m_min=[8.1, "cold", 7.5]), "where a number belongs"),
    (said(temperature_2m_min=[81, 9.0, 7.5]), "cannot be"),
    (said(temperature_2m_min=[30, 9.0, 7.5]), "cannot be"),
    (said(time=["2026-05-04", "2026-05-04", "2026-05-06"]), "twice"),
    (said(time=["2026-05-03", "2026-05-05", "2026-05-06"]), "leaves out days"),
    (said(time=["2026-04-04", "2026-04-05", "2026-04-06"]), "stale"),
    (said(time=["2026-05-14", "2026-05-15", "2026-05-16"]), "begins only"),
    (said(time=["soon", "2026-05-05", "2026-05-06"]), "day that is none"),
    (said(time=[]), "0 days"),
    (said(temperature_2m_max=[10**400, 17.2, 21.0]), "cannot be"),
    (said(temperature_2m_max=[float("nan"), 17.2, 21.0]), "cannot be"),
    (b"[" * 100_000, "no JSON"),
    (b"{" + b" " * (600 * 1024) + b"}", "far too much"),
]


@pytest.mark.parametrize(("body", "words"), ANSWERS)
def test_an_answer_that_cannot_be_believed_gives_nothing(body: bytes, words: str) -> None:
    with served(says(body)) as url:
        assert words in str(trouble_of(WebForecast(url)))


def test_an_answer_in_other_units_is_turned_into_ours() -> None:
    answer = json.loads(said(temperature_2m_min=[50, 50, 50], temperature_2m_max=[68, 68, 68]))
    answer["daily_units"] |= {"temperature_2m_min": "°F", "temperature_2m_max": "°F"}
    with served(says(json.dumps(answer).encode())) as url:
        assert {(day.tmin_c, day.tmax_c) for day in WebForecast(url).days(TODAY)} == {(10.0, 20.0)}
    answer["daily_units"]["temperature_2m_min"] = "réaumur"
    with served(says(json.dumps(answer).encode())) as url:
        assert "not known here" in str(trouble_of(WebForecast(url)))


@pytest.mark.parametrize("status", [302, 404, 429, 500])
def test_a_service_that_refuses_or_has_moved_gives_nothing(status: int) -> None:
    with served(says(b"", status)) as url:
        assert str(status) in str(trouble_of(WebForecast(url)))


def test_a_service_that_is_silent_is_not_waited_for_long() -> None:
    let_go = threading.Event()
    with served(lambda handler: let_go.wait(60)) as url:
        words = str(trouble_of(WebForecast(url, timeout_s=0.2)))
        let_go.set()
    assert "silent for 0.2 s" in words


def test_a_service_that_drips_is_not_waited_for_either() -> None:
    """Each byte comes in time, all of them never would."""

    let_go = threading.Event()

    def drip(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(200)
        handler.send_header("Content-Length", "5000")
        handler.end_headers()
        with suppress(OSError):
            for _ in range(1200):  # a minute of it
                handler.wfile.write(b" ")
                if let_go.wait(0.05):
                    return

    begun = time.monotonic()
    with served(drip) as url:
        words = str(trouble_of(WebForecast(url, timeout_s=1.5)))
        took = time.monotonic() - begun
        let_go.set()
    assert "too slow" in words
    assert took < 30


def test_a_service_that_breaks_off_gives_nothing() -> None:
    def half(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(200)
        handler.send_header("Content-Length", "5000")
        handler.end_headers()
        handler.wfile.write(said()[:100])

    with served(half) as url:
        trouble_of(WebForecast(url))
    assert "cannot be reached" in str(trouble_of(WebForecast(url)))  # nobody is there any more


@pytest.mark.parametrize(
    "url", ["http://weather.example/daily", "file:///etc/hosts", "https://", "ftp://a.example", "x"]
)
def test_only_a_safe_address_is_asked(url: str) -> None:
    assert "beginning with https://" in str(trouble_of(WebForecast(url)))
