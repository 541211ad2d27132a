"""Weather at the desk: a day typed, a table with a fault and then without, an address, US units."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest
from desk_helpers import ask, cards
from field import eventually, setting
from phone import LAPTOP, Phone
from playwright.sync_api import Page, expect
from server_process import TownServer

from forecast_service import said, says, served

Phones = Callable[..., Phone]
#: The demo's weather ends the day before its clock's: 19 October.
TODAY = "2026-10-20"
TABLE = "date,tmin_c,tmax_c,rain_mm\n2026-10-17,7.2,14.9,1.2\n2026-10-18,4.4,16.0,0\n"
FAULTY = TABLE.replace("16.0", "61.0")


@pytest.fixture
def desk(town: TownServer, phone: Phones) -> Phone:
    """The coordinator's laptop, at the weather."""
    one = phone("desk", size=LAPTOP)
    one.start()
    one.sign_in(*town.coordinator)
    return one


def at_weather(desk: Phone) -> Page:
    page = desk.open("/register?part=weather")
    expect(page.get_by_role("heading", name="The last 14 days")).to_be_visible()
    return page


def kept(desk: Phone, day: str) -> dict[str, object]:
    """A day's weather as the server has it."""
    (found,) = ask(desk, f"/weather?from={day}&to={day}")["days"]
    return dict(found)


def bring(page: Page, table: str) -> None:
    page.get_by_label("The file").set_input_files(
        {"name": "days.csv", "mimeType": "text/csv", "buffer": table.encode()}
    )


def test_a_typed_day_is_kept_and_shown(desk: Phone) -> None:
    page = at_weather(desk)
    page.get_by_label("Day", exact=True).fill(TODAY)
    page.get_by_label("High, °C").fill("14.2")
    page.get_by_label("Low, °C").fill("5.1")
    page.get_by_label("Rain, mm").fill("0.4")
    page.get_by_role("button", name="Keep this day").click()
    expect(page.get_by_text("Tuesday 20 October kept.")).to_be_visible()
    found = kept(desk, TODAY)
    assert (found["tmin_c"], found["tmax_c"], found["rain_mm"]) == (5.1, 14.2, 0.4)
    row = page.get_by_role("row").filter(has_text="20 October")
    expect(row).to_contain_text("typed")


def test_a_day_that_cannot_be_is_refused_where_it_was_typed(desk: Phone) -> None:
    page = at_weather(desk)
    page.get_by_label("High, °C").fill("4")
    page.get_by_label("Low, °C").fill("14")
    page.get_by_role("button", name="Keep this day").click()
    expect(page.get_by_text("The low, 14 °C, is above the high, 4 °C.").first).to_be_visible()


def test_a_table_with_a_fault_is_told_by_line_and_then_taken_in(desk: Phone) -> None:
    page = at_weather(desk)
    before = kept(desk, "2026-10-18")
    bring(page, FAULTY)
    expect(page.get_by_role("alert")).to_contain_text("61 °C cannot be right")
    expect(page.get_by_role("row").filter(has_text="tmax_c")).to_contain_text("3")
    assert kept(desk, "2026-10-18") == before
    bring(page, TABLE)
    page.get_by_role("button", name="Take in 2 days").click()
    expect(page.get_by_text("2 days taken in.")).to_be_visible()
    assert kept(desk, "2026-10-18")["source"] == "csv"


def test_a_forecast_address_is_set_and_asked(desk: Phone) -> None:
    days = [f"2026-10-{n}" for n in range(20, 28)]
    lists = {
        "time": days,
        "temperature_2m_min": [6.0] * 8,
        "temperature_2m_max": [16.0] * 8,
        "precipitation_sum": [0.0] * 8,
        "wind_speed_10m_mean": [8.0] * 8,
    }
    page = at_weather(desk)
    expect(page.get_by_text("No forecast service is set")).to_be_visible()
    with served(says(said(**lists))) as url:
        page = desk.open("/register?part=town")
        page.get_by_label("Address of a forecast service").fill("http://weather.example/daily")
        page.get_by_role("button", name="Keep").click()
        expect(page.get_by_text("beginning with https://").first).to_be_visible()
        page.get_by_label("Address of a forecast service").fill(url)
        page.get_by_role("button", name="Keep").click()
        expect(page.get_by_text("Kept, with your name")).to_be_visible()
        page = at_weather(desk)
        page.get_by_role("button", name="Fetch now").click()
        expect(page.get_by_text("8 days came.")).to_be_visible()
    assert kept(desk, "2026-10-25")["tmax_c"] == 16.0
    assert cards(desk)["Market street 3"]["water"]["weather"] == "forecast"
    page.get_by_role("button", name="Fetch now").click()  # nobody answers there any more
    expect(page.get_by_text("cannot be reached").first).to_be_visible()
    assert kept(desk, "2026-10-25")["tmax_c"] == 16.0


def test_us_units_are_typed_and_shown_and_kept_as_ours(desk: Phone) -> None:
    """50 °F is 10 °C, 68 °F is 20 °C; half an inch is 12.7 mm; 10 mph are 4.4704 m/s."""
    desk.open("/settings").get_by_role("radio", name="Gallons").click()
    eventually(lambda: setting(desk, "units") == "us")
    page = at_weather(desk)
    page.get_by_label("Day", exact=True).fill(TODAY)
    page.get_by_label("High, °F").fill("68")
    page.get_by_label("Low, °F").fill("50")
    page.get_by_label("Rain, in").fill("0.5")
    page.get_by_label("Wind, mph").fill("10")
    page.get_by_role("button", name="Keep this day").click()
    expect(page.get_by_text("October 20 kept.")).to_be_visible()
    found = kept(desk, TODAY)
    assert (found["tmin_c"], found["tmax_c"], found["rain_mm"]) == (10.0, 20.0, 12.7)
    assert found["wind_ms"] == pytest.approx(4.47, abs=0.005)
    row = page.get_by_role("row").filter(has_text="October 20")
    expect(row).to_contain_text("68\N{NO-BREAK SPACE}°F")
    assert json.dumps(found)
