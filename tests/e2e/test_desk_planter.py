"""A planter's whole history in a browser: photos compared, charts, without a network, on paper."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from desk_helpers import ask, cards
from looking import drawn, head_read, settle
from phone import LAPTOP, PHONE, Phone
from playwright.sync_api import Locator, Page, expect
from server_process import TownServer

FORMATS = {"A4": (595, 842), "Letter": (612, 792)}  # points: ISO 216; ANSI/ASME Y14.1, size A
NAME = "Market street 3"  # four photos, a season of fills, and flags that came and went


@pytest.fixture
def desk(town: TownServer, phone: Callable[..., Phone]) -> Phone:
    """The coordinator's laptop, signed in, the planters on it."""
    one = phone("desk", size=LAPTOP)
    one.start()
    one.sign_in(*town.coordinator)
    expect(one.open("/planters").get_by_role("link", name=NAME)).to_be_visible()
    return one


def opened(desk: Phone) -> tuple[Page, dict[str, Any]]:
    """The page with everything on it, and what the server says of the planter."""
    planter = cards(desk)[NAME]["id"]
    told: dict[str, Any] = ask(desk, f"/planters/{planter}/history")
    page = desk.open(f"/p/{planter}/history")
    expect(page.get_by_role("heading", name=f"{NAME}, whole history")).to_be_visible()
    expect(page.get_by_text(re.compile(r"flags? raised:"))).to_be_visible()
    return page, told


def sides(page: Page) -> list[Locator]:
    return [page.locator(".beside__one").nth(n) for n in range(2)]


def shows(page: Page, *photos: dict[str, Any]) -> None:
    """The sides show these photos, and their pixels are there."""
    for side, photo in zip(sides(page), photos, strict=True):
        picture = side.get_by_role("img")
        expect(picture).to_have_attribute("src", re.compile(photo["sha"]))
        drawn(picture)


def box(side: Locator) -> dict[str, float]:
    found = side.get_by_role("img").bounding_box()
    assert found
    return dict(found)


def test_any_two_photos_are_compared_at_one_size_with_their_dates(desk: Phone) -> None:
    page, told = opened(desk)
    photos = told["photos"]
    assert len(photos) >= 3
    first, second = sides(page)
    shows(page, photos[0], photos[-1])

    head_read(page)
    # With the keyboard alone: a date chosen for the first, a photo of the strip for the second.
    first.get_by_role("combobox").focus()
    page.keyboard.press("ArrowDown")
    strip = page.locator(".film button")
    expect(strip).to_have_count(len(photos))
    strip.nth(0).focus()
    page.keyboard.press("Enter")
    expect(strip.nth(0)).to_have_attribute("aria-pressed", "true")
    shows(page, photos[1], photos[0])
    day = re.compile(r"\d{1,2} \w+ 2026, \d{1,2}:\d\d")
    for side, photo in ((first, photos[1]), (second, photos[0])):
        caption = side.locator("figcaption")
        expect(caption).to_contain_text(day)
        expect(caption).to_contain_text(str(int(photo["day"][-2:])))
        expect(caption).to_contain_text(photo["by"])

    page.get_by_role("group", name="A photo tapped below").get_by_role(
        "button", name="First"
    ).click()
    strip.nth(2).click()
    shows(page, photos[2], photos[0])

    left, right = box(first), box(second)
    assert (left["width"], left["height"]) == (right["width"], right["height"])
    assert (left["y"], left["x"] < right["x"]) == (right["y"], True)
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    settle(page)
    over, under = box(first), box(second)
    assert (over["width"], over["height"]) == (under["width"], under["height"])
    assert (over["x"], over["y"] < under["y"]) == (under["x"], True)
    assert over["width"] > 300, "on a phone each has the whole width"


def test_reservoir_rain_heat_and_plants_stand_on_the_same_days(desk: Phone) -> None:
    page, told = opened(desk)
    names = ("Reservoir", "Rain", "Heat", "Plants")
    charts = [page.get_by_role("img", name=re.compile(f"^{name}\\.")) for name in names]
    for chart in charts:
        expect(chart).to_be_visible()
    now = [chart.locator(".c-now").get_attribute("d") or "" for chart in charts]
    assert len({line.partition(" ")[0] for line in now}) == 1, now
    marks = told["season"]["marks"]
    reads = sum(mark["read_l"] is not None for mark in marks)
    expect(charts[0].locator("circle.c-read")).to_have_count(reads)
    expect(charts[0]).to_have_attribute("aria-label", re.compile(f"{reads} readings"))
    page.get_by_text("Week by week, as a table").click()
    rows = page.locator(".course__weeks tbody tr")
    expect(rows).to_have_count(len(told["season"]["weeks"]))
    heads = page.locator(".course__weeks thead th").all_inner_texts()
    cells = rows.first.locator("td").evaluate_all("all => all.map((one) => one.dataset.label)")
    assert cells == heads[1:], "every figure under its name"
    page.get_by_role("button", name="Eight weeks").click()
    late = page.get_by_text(re.compile(r"^\d+ \w+ to \d+ \w+$"))
    before = late.inner_text()
    page.get_by_role("button", name="Earlier", exact=True).click()
    expect(late).not_to_have_text(before)
    page.get_by_role("button", name="Later").click()
    expect(late).to_have_text(before)


def test_all_visits_are_reached_and_flags_say_what_ended_them(desk: Phone) -> None:
    page, told = opened(desk)
    visits = page.locator(".course__visits > li")
    expect(visits).to_have_count(30)
    page.get_by_role("button", name="Show earlier visits").click()
    expect(visits).to_have_count(told["records"])
    expect(page.get_by_role("button", name="Show earlier visits")).to_be_hidden()
    flags = ask(desk, f"/planters/{told['id']}/flags")
    page.get_by_role("button", name=re.compile("more$")).click()
    section = page.locator("section").filter(has=page.get_by_role("heading", name="Flags raised"))
    expect(section.get_by_role("listitem")).to_have_count(len(flags["runs"]))
    up = sum(run["cleared"] is None for run in flags["runs"])
    expect(section.get_by_text(re.compile(r"^Still up, for"))).to_have_count(up)


@pytest.mark.parametrize("paper", FORMATS)
def test_the_season_is_printed_whole(desk: Phone, paper: str) -> None:
    page, told = opened(desk)
    page.evaluate("window.print = () => { window.asked = true; }")
    page.get_by_role("button", name="Print").click()
    page.wait_for_function("window.asked === true")
    shows(page, told["photos"][0], told["photos"][-1])
    data = page.pdf(format=paper, prefer_css_page_size=False)
    pdf = pypdfium2.PdfDocument(data)
    assert 3 <= len(pdf) <= 8
    assert pdf[0].get_size() == pytest.approx(FORMATS[paper], abs=1)
    text = " ".join(" ".join(one.get_textpage().get_text_range() for one in pdf).split())
    folder = os.environ.get("POTROUNDS_SCREENS")
    if folder:
        for number, one in enumerate(pdf, start=1):
            one.render(scale=1.4).to_pil().save(Path(folder) / f"planter-{paper}-{number}.png")
    dates = [
        visit["at"] for visit in ask(desk, f"/planters/{told['id']}/visits?most=100")["visits"]
    ]
    found = re.findall(
        r"2026, \d{1,2}:\d\d", text.partition("All visits")[2].partition("Plantings")[0]
    )
    assert len(found) == len(dates) + 1, "every visit with its date, and the day of the first"
    for words in (NAME, "Flags raised and settled", "Start-up 2026", told["tags"][0]["code"][:4]):
        assert words in text
    assert "Show earlier" not in text


def test_without_a_network_the_phone_says_so_and_shows_what_it_holds(desk: Phone) -> None:
    card = cards(desk)[NAME]
    page = desk.open(f"/p/{card['id']}")
    way = page.get_by_role("link", name="Whole history")
    expect(way).to_be_visible()
    desk.context.set_offline(True)  # type: ignore[union-attr]
    way.click()
    expect(page.get_by_text("The whole history lies on the server")).to_be_visible()
    expect(page.get_by_role("heading", name="The last 8 visits")).to_be_visible()
    expect(page.locator(".visits > li")).to_have_count(len(card["visits"]))
    desk.context.set_offline(False)  # type: ignore[union-attr]
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("heading", name=f"{NAME}, whole history")).to_be_visible()


def test_a_volunteer_keeps_the_short_record_and_is_told_why(
    town: TownServer, phone: Callable[..., Phone]
) -> None:
    one = phone("wim")
    one.start()
    one.join(town.invite("Wim"), "Wim")
    link = one.open("/planters").get_by_role("link", name=NAME)
    expect(link).to_be_visible()
    link.click()
    page = one.page
    expect(page.get_by_role("heading", name=NAME, level=1)).to_be_visible()
    expect(page.get_by_role("heading", name="Visits")).to_be_visible()
    expect(page.get_by_role("link", name="Whole history")).to_have_count(0)
    one.open(f"{page.url.removeprefix(one.url)}/history")
    expect(page.get_by_text("The whole history is the coordinator’s.")).to_be_visible()
    expect(page.get_by_role("link", name="Its record")).to_be_visible()
