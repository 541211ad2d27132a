"""Water on the phone: what to pour before the hose is opened, offline and days later; the chart."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from field import (
    IDS,
    arrive,
    card,
    eventually,
    newest,
    open_check_in,
    quiet,
    save,
    setting,
)
from looking import settle
from phone import Phone
from playwright.sync_api import Locator, Page, expect
from server_process import TownServer

Phones = Callable[..., Phone]
WET = "Market street 3"
LEAKS = "Library yard 3"
LITRES_IN_A_GALLON = 3.785411784  # US liquid gallon, exact: 231 cubic inches


@pytest.fixture
def ines(town: TownServer, phone: Phones) -> Phone:
    """A volunteer with all planters on the phone."""
    one = phone("ines")
    arrive(one, town.invite("Ingrid"), "Ingrid")
    return one


def expected(page: Page) -> Locator:
    return page.get_by_role("region", name="Expected top-up")


def litres_on(phone: Phone, planter: str, days: int) -> dict[str, Any]:
    """The litres the phone carries for a day, that many after the card's own."""
    water = card(phone, planter)["water"]
    day = (datetime.fromisoformat(water["as_of"]) + timedelta(days=days)).date()
    return next(one for one in water["top_up"] if one["date"] == str(day))


def test_the_check_in_says_what_to_pour_without_a_network_and_days_later(ines: Phone) -> None:
    page = ines.page
    ines.context.set_offline(True)  # type: ignore[union-attr]
    today = litres_on(ines, WET, 0)
    later = litres_on(ines, WET, 9)
    open_check_in(ines, WET)
    expect(expected(page)).to_contain_text(f"{round(today['litres_l'])}\N{NO-BREAK SPACE}L")
    page.clock.install(time=page.evaluate("Date.now() / 1000") + 9 * 86_400)
    open_check_in(ines, WET)
    said = expected(page)
    expect(said).to_contain_text(f"{round(later['litres_l'])}\N{NO-BREAK SPACE}L")
    expect(said).to_contain_text(f"({round(later['low_l'])} to {round(later['high_l'])})")
    assert round(later["litres_l"]) > round(today["litres_l"])


def test_the_record_shows_the_reservoir_in_a_chart_and_in_words(ines: Phone) -> None:
    page = ines.open(f"/p/{IDS[LEAKS]}")
    water = card(ines, LEAKS)["water"]
    chart = page.get_by_role("img", name=re.compile("Reservoir over time"))
    readings = [mark for mark in water["marks"] if mark["kind"] == "reading"]
    expect(chart).to_have_attribute("aria-label", re.compile(rf"\b{len(readings)} readings"))
    expect(chart).to_have_attribute("aria-label", re.compile("Likely dry on"))
    expect(chart.locator("circle")).to_have_count(len(readings))
    expect(page.get_by_text(water["sentence"])).to_be_visible()
    expect(page.get_by_text(water["surer"])).to_be_visible()
    expect(page.get_by_text("Plants feel it")).to_be_visible()
    expect(page.get_by_role("heading", name="Losing water")).to_be_visible()


def test_what_does_not_fit_is_said_on_the_record(ines: Phone) -> None:
    page = ines.open(f"/p/{IDS['Market street 6']}")
    (doubt,) = card(ines, "Market street 6")["water"]["doubts"]
    assert "does not fit" in doubt
    expect(page.get_by_text(doubt)).to_be_visible()


def test_gallons_typed_as_litres_are_asked_about_before_they_are_saved(ines: Phone) -> None:
    page = open_check_in(ines, LEAKS)
    page.get_by_role("radio", name="Empty", exact=True).click()
    page.get_by_role("button", name=re.compile("Filled")).click()
    page.get_by_text("Another amount").click()
    page.get_by_label(re.compile("Through the fill port")).fill("4")
    page.get_by_role("button", name="Save").click()
    asked = page.get_by_role("alertdialog")
    expect(asked).to_contain_text("Were these gallons?")
    expect(asked).to_contain_text("15\N{NO-BREAK SPACE}L")  # 4 gal are 15.1 L
    asked.get_by_role("button", name="Change it").click()
    page.get_by_label(re.compile("Through the fill port")).fill("15")
    save(page)
    assert json.loads(newest(ines)["text"])["body"]["litres_l"] == 15


def test_in_us_units_everything_said_of_water_is_in_gallons(ines: Phone) -> None:
    ines.open("/settings").get_by_role("radio", name="Gallons").click()
    eventually(lambda: setting(ines, "units") == "us")
    page = ines.open(f"/p/{IDS[WET]}")
    said = page.get_by_role("region", name="Water")
    expect(said).to_contain_text("gal")
    expect(said).not_to_contain_text("\N{NO-BREAK SPACE}L")
    holds = 25 / LITRES_IN_A_GALLON
    expect(said).to_contain_text(f"{holds:.1f}\N{NO-BREAK SPACE}gal")
    page = open_check_in(ines, WET)
    expect(expected(page)).to_contain_text("gal")
    page.get_by_role("radio", name="Half", exact=True).click()
    page.get_by_role("button", name=re.compile("Filled")).click()
    save(page)
    quiet(ines)
    told = json.loads(newest(ines)["text"])["body"]["litres_l"]
    halves = told / LITRES_IN_A_GALLON * 2
    assert halves == pytest.approx(round(halves), abs=0.02)
    assert told == pytest.approx(12.5, abs=1)  # half of 25 L, to the half gallon


def test_the_first_screen_of_a_check_in_shows_the_plants_numbers_whole(ines: Phone) -> None:
    """360 x 740: what must be tapped on every visit is not under the Save bar."""
    page = open_check_in(ines, WET)
    settle(page)
    page.evaluate("scrollTo(0, 0)")
    kerb = page.get_by_role("button", name="Save")
    bar = kerb.evaluate("one => one.closest('.kerb').getBoundingClientRect().top")
    numbers = page.locator(".pick--plant label b").last.bounding_box()
    assert numbers is not None
    assert numbers["y"] + numbers["height"] <= bar
