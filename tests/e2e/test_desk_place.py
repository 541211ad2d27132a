"""Freeze dates and where a planter stands, at the desk and on a phone without signal."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta

from desk_helpers import ask, cards, flag_of
from phone import Phone
from playwright.sync_api import Page, expect
from server_process import TownServer

Phones = Callable[..., Phone]

# 32 °F first falls of Clemson Univ, SC, 1971 to 2000, days since 1 August. Handbook 6: 13 October
# for 10 %, 2 November for 50 %; the station's own page gives 20 October for 20 %.
FALL_32 = (
    *(96, 80, 101, 63, 92, 79, 102, 127, 106, 97, 80, 96, 97, 98, 99, 105, 64, 73, 81, 109),
    *(95, 99, 92, 115, 96, 80, 88, 113, 84, 69),
)


def a_station(falls: tuple[int, ...] = FALL_32) -> bytes:
    """Thirty seasons in whole °F; the column is called TMIN, as archives have it."""
    lines = ["STATION,NAME,DATE,TMIN"]
    for number, fall in enumerate(falls):
        start = date(1971 + number, 8, 1)
        for n in range((date(1972 + number, 8, 1) - start).days):
            day = start + timedelta(days=n)
            low = 26 if n >= fall and n < 252 else 55
            lines.append(f"USC1,RIVER MEADOW,{day},{low}")
    return "\n".join(lines).encode()


def choose(page: Page, data: bytes) -> None:
    page.get_by_label("The file").set_input_files(
        {"name": "lows.csv", "mimeType": "text/csv", "buffer": data}
    )


def test_a_stations_record_is_brought_and_read_without_signal(
    town: TownServer, desk: Phone, phone: Phones
) -> None:
    page = desk.open("/freeze")
    expect(page.get_by_text("Fall of 1999.")).to_be_visible()
    page.get_by_label("The record that is here").select_option("replace")
    choose(page, a_station())
    expect(page.get_by_text("TMIN does not say its unit")).to_be_visible()
    page.get_by_label("Unit of TMIN").select_option("c")
    expect(page.get_by_text("Read in °C, the warmest night")).to_be_visible()
    page.get_by_label("Unit of TMIN").select_option("f")
    page.get_by_role("button", name="Take in 10,958 lows").click()
    expect(page.get_by_text("10,958 lows taken in.")).to_be_visible()
    lead = "By Tuesday 13 October it has frozen (0 °C) in 1 year of 10, by Monday 2 November"
    expect(page.get_by_text(lead)).to_be_visible()
    expect(page.get_by_text("RIVER MEADOW, 1971 to 2001, 0 days without a low.")).to_be_visible()
    chart = page.get_by_role("img").first
    expect(chart).to_have_accessible_name(
        "2 °C: 10 % by 13 Oct, 50 % by 2 Nov, 90 % by 21 Nov. "
        "0 °C: 10 % by 13 Oct, 50 % by 2 Nov, 90 % by 21 Nov. "
        "−2 °C: 10 % by 13 Oct, 50 % by 2 Nov, 90 % by 21 Nov."
    )
    page.get_by_text("Every chance, 10 to 90 %").first.click()
    line = page.get_by_role("row", name="20 %").first
    expect(line).to_contain_text("20 Oct")
    page.get_by_text("Counted, without a curve").first.click()
    expect(page.get_by_role("row", name="90 %").nth(1)).to_contain_text("22 Nov")

    volunteer = phone("volunteer")
    volunteer.start()
    volunteer.join(town.invite("Wim"), "Wim")
    seen = volunteer.open("/freeze")
    expect(seen.get_by_text(lead)).to_be_visible()
    volunteer.context.set_offline(True)  # type: ignore[union-attr]
    seen.reload()
    expect(seen.get_by_text(lead)).to_be_visible()
    expect(seen.get_by_label("The file")).to_have_count(0)


def test_too_short_a_record_shows_days_and_no_chance(desk: Phone) -> None:
    page = desk.open("/freeze")
    page.get_by_label("The record that is here").select_option("replace")
    page.get_by_label("Unit of TMIN").select_option("f")
    choose(page, a_station(FALL_32[:4]))
    page.get_by_role("button", name="Take in 1,461 lows").click()
    expect(page.get_by_text("Odds need 20, better 30")).to_be_visible()
    expect(page.get_by_role("heading", name="First cold night in fall")).to_have_count(0)
    page.get_by_text("Days seen, a season in a line").click()
    expect(page.get_by_role("row", name="1972 to 1973")).to_contain_text("20 Oct")
    page.get_by_role("button", name="Take the record away").click()
    page.get_by_role("button", name="Take it away").click()
    expect(page.get_by_role("heading", name="No record of lows yet")).to_be_visible()


def test_the_strip_over_the_winter_list_leads_to_the_dates(desk: Phone) -> None:
    planter = next(iter(cards(desk).values()))
    page = desk.open(f"/p/{planter['id']}/winter")
    page.get_by_role("link", name="Freeze dates").click()
    expect(page.get_by_role("heading", name="Freeze dates", level=1)).to_be_visible()


def place(desk: Phone, planter: str) -> Page:
    """A planter's place, reached from its sheet."""
    page = desk.open("/register")
    page.get_by_label("Find by name, site or tag").fill(planter)
    page.get_by_role("link", name=planter, exact=True).click()
    page.get_by_role("link", name="Where it stands").click()
    expect(page.get_by_role("heading", name=f"Where {planter} stands")).to_be_visible()
    return page


def type_in(page: Page, **typed: str) -> None:
    labels = {
        "path": "Width of the path, cm",
        "kerb": "Kerb side to planter, cm",
        "across": "Planter across the path, cm",
        "rim": "Height of the rim, cm",
        "canopy": "Plants across, full grown, cm",
        "slope": "Fall of the ground, %",
    }
    for key, value in typed.items():
        page.get_by_label(labels[key]).fill(value)


def test_a_place_is_measured_questioned_drawn_and_flagged(desk: Phone) -> None:
    """36 in, 2010 ADA Standards 403.5.1. 200 - 30 - 60 - 20 of overhang are 90 cm."""
    planter = "Market street 5"
    page = place(desk, planter)
    expect(page.get_by_text("Nobody has measured this place yet.")).to_be_visible()
    keep = page.get_by_role("button", name="Keep and look")
    expect(keep).to_be_disabled()
    type_in(page, path="79", kerb="12", across="24", rim="22", slope="-2")
    keep.click()
    expect(page.get_by_text("Write the slope as a number from 0 to 40").first).to_be_visible()
    type_in(page, slope="")
    keep.click()
    expect(page.get_by_text("Were inches typed as centimetres?").first).to_be_visible()
    expect(page.get_by_role("button", name="It is right as typed")).to_be_visible()
    type_in(page, path="200", kerb="30", across="60", rim="55", canopy="100")
    keep.click()
    expect(page.get_by_text("Kept. What was found stands above.")).to_be_visible()
    expect(page.get_by_role("img").first).to_have_accessible_name(
        "Seen from above: the path is 200 cm wide. The planter stands from 30 cm to 90 cm from the "
        "kerb side. With full-grown plants 90 cm stay clear; 91.5 cm are asked for."
    )
    finding = page.get_by_role("listitem").filter(has_text="Falls short.").first
    expect(finding).to_contain_text("90 cm (35 in) of the path stay clear at full growth")
    expect(finding).to_contain_text("local code decides")
    flag = flag_of(cards(desk)[planter], "clear_path_short")
    assert flag
    assert "measured by Pilar" in flag["sentence"]
    changed = desk.open("/register?part=changes")
    line = changed.get_by_role("listitem").filter(has_text="Where it stands: Market street 5")
    expect(line.first).to_contain_text("Pilar")

    page = place(desk, planter)
    page.get_by_role("button", name="Add a thing").click()
    page.locator("select").last.select_option("door")
    page.get_by_label("Along the path from the planter, cm").fill("80")
    page.get_by_label("Door’s leaf, cm").fill("90")
    type_in(page, path="260")
    page.get_by_role("button", name="Keep and look").click()
    expect(page.get_by_text("The door's leaf meets the plants by 30 cm")).to_be_visible()
    assert flag_of(cards(desk)[planter], "clear_path_short") is None


def test_a_position_is_read_by_a_tap_only_and_a_wrong_one_is_refused(desk: Phone) -> None:
    planter = "Market street 5"
    page = place(desk, planter)
    assert desk.context
    page.get_by_role("button", name="Read this phone’s position").click()
    expect(page.get_by_text("This phone gave no position.")).to_be_visible(timeout=40_000)
    desk.context.grant_permissions(["geolocation"])
    desk.context.set_geolocation({"latitude": 46.50325, "longitude": -38.00675, "accuracy": 4})
    page.get_by_role("button", name="Read this phone’s position").click()
    expect(page.get_by_text("Read to within 400 cm.")).to_be_visible()
    expect(page.get_by_label("Latitude, degrees")).to_have_value("46.503250")
    page.get_by_role("button", name="Keep the position").click()
    expect(page.get_by_text("Position kept.")).to_be_visible()
    kept = next(one for one in ask(desk, "/register")["planters"] if one["name"] == planter)
    assert (kept["lat"], kept["lon"]) == (46.50325, -38.00675)
    page.get_by_label("Latitude, degrees").fill("-38.00675")
    page.get_by_label("Longitude, degrees").fill("46.50325")
    page.get_by_role("button", name="Keep the position").click()
    wrong = page.get_by_role("alert").first
    expect(wrong).to_contain_text(re.compile("look swapped|km from the other planters"))
    kept = next(one for one in ask(desk, "/register")["planters"] if one["name"] == planter)
    assert (kept["lat"], kept["lon"]) == (46.50325, -38.00675)
