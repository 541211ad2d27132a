"""The winter board: its tally, what remains, on paper, and as a table."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pypdfium2
from desk_helpers import cards
from phone import LAPTOP, Phone
from playwright.sync_api import expect
from server_process import TownServer

# State: how the tile is drawn, the words on it, and the word of the tally.
TILES = {
    "proven": ("proven", "Proven", "proven"),
    "unproven": ("unproven", "Unproven", "unproven"),
    "under-way": ("now", "Draining", "draining"),
    "not-begun": ("not", "Plug in|Plug missing|Plug not seen", "not begun"),
}


def test_the_board_counts_shows_prints_and_exports(
    town: TownServer, phone: Callable[..., Phone]
) -> None:
    desk = phone("desk", size=LAPTOP)
    desk.start()
    desk.sign_in(*town.coordinator)
    page = desk.open("/winter")
    known = [card for card in cards(desk).values() if card["status"] in ("in-use", "stored")]
    states = Counter(card["lists"]["winterization"]["state"] for card in known)
    tiles = page.locator("a.tile")
    expect(tiles).to_have_count(len(known))

    tally = page.locator("dl.tally")
    expect(tally).to_contain_text(f"proven, of {len(known)}")
    for state, (drawn, words, counted) in TILES.items():
        row = tally.locator("div").filter(has_text=re.compile(f"^{counted}"))
        expect(row.locator("dd")).to_have_text(str(states[state]))
        shown = page.locator(f"a.tile--{drawn}")
        expect(shown).to_have_count(states[state])
        assert all(re.search(words, tile) for tile in shown.all_inner_texts())

    left = len(known) - states["proven"]
    expect(page.get_by_role("heading", name=f"{left} planters still to prove")).to_be_visible()
    remains = page.get_by_role("button", name="Only what remains")
    remains.click()
    expect(tiles).to_have_count(left)
    expect(tiles.filter(has=page.get_by_text("Proven", exact=True))).to_have_count(0)
    remains.click()
    expect(tiles).to_have_count(len(known))

    with page.expect_download() as saved:
        page.get_by_role("link", name="Export").click()
    rows = list(csv.DictReader(io.StringIO(Path(saved.value.path()).read_text("utf-8"))))
    assert Counter(row["state"] for row in rows) == states
    by_name = {card["name"]: card for card in known}
    assert {row["planter"] for row in rows} == set(by_name)
    for row in rows:
        place = by_name[row["planter"]]["state"]["plug"]["place"]
        assert not place or row["plug_place"] == place

    page.get_by_role("link", name="Print").click()
    expect(page.get_by_role("table").first).to_be_visible()
    page.emulate_media(media="print")
    expect(page.get_by_role("navigation", name="Main")).to_be_hidden()
    expect(page.get_by_role("button", name="Print")).to_be_hidden()
    paper = pypdfium2.PdfDocument(page.pdf(format="A4", prefer_css_page_size=True))
    text = " ".join(" ".join(sheet.get_textpage().get_text_range() for sheet in paper).split())
    for card in known:
        assert card["name"] in text
        missing = card["lists"]["winterization"]["missing"]
        assert not missing or missing[0].split()[0] in text
    assert "Unproven does not count as done" in text
    assert "Register" not in text
    assert len(paper) <= 3
    width, height = paper[0].get_size()
    assert width > height, "a wide table lies across the sheet"


def test_the_plugs_are_listed_by_their_place_for_spring(
    town: TownServer, phone: Callable[..., Phone]
) -> None:
    desk = phone("desk", size=LAPTOP)
    desk.start()
    desk.sign_in(*town.coordinator)
    page = desk.open("/winter")
    page.get_by_role("button", name="Plugs").click()
    expect(page.get_by_role("row").nth(1)).to_contain_text("Not written down")
    for card in cards(desk).values():
        plug, row = card["state"]["plug"], page.get_by_role("row", name=card["name"])
        expect(row).to_have_count(0 if plug["state"] == "in" else 1)
        if plug["state"] == "out" and plug["place"]:
            expect(row).to_contain_text(plug["place"])


def test_a_list_is_edited_in_mid_season_and_the_board_follows(
    town: TownServer, phone: Callable[..., Phone]
) -> None:
    desk = phone("desk", size=LAPTOP)
    desk.start()
    desk.sign_in(*town.coordinator)
    before = {n: card["lists"]["winterization"]["state"] for n, card in cards(desk).items()}
    page = desk.open("/register?part=lists")
    expect(page.get_by_text("this is a change in mid-season")).to_be_visible()
    steps = page.locator(".edit-list__step")

    page.get_by_role("button", name=re.compile("^Pull the drain plug")).click()
    expect(steps.nth(2)).to_contain_text("A planter counts as drained by this step and its proof.")
    expect(steps.nth(2).get_by_role("button", name="Retire")).to_have_count(0)
    expect(steps.nth(2).get_by_label("Proof wanted")).to_have_count(0)
    steps.nth(2).get_by_label("Name").fill("Take the lower bolt out")

    page.get_by_role("button", name=re.compile("^Flush outlet and overflow")).click()
    page.get_by_role("button", name="Retire Flush outlet and overflow").click()
    page.get_by_role("button", name="Add a step").click()
    page.get_by_role("button", name="Keep the list").click()
    expect(page.get_by_text("Give the step a name.").first).to_be_visible()
    page.get_by_label("Name").fill("Chock the pot level")
    page.get_by_label("Proof wanted").select_option("photo-or-second")
    page.get_by_role("button", name="Move up: Chock the pot level").click()
    page.get_by_role("button", name="Keep the list").click()
    expect(page.get_by_text("Kept, with your name and the time.")).to_be_visible()
    titles = page.locator(".edit-list__name b")
    expect(titles.nth(2)).to_have_text("Take the lower bolt out")
    expect(titles.nth(7)).to_have_text("Chock the pot level")
    expect(titles.filter(has_text="Flush outlet and overflow")).to_have_count(0)

    after = cards(desk)
    proven = [name for name, state in before.items() if state == "proven"]
    assert proven
    for name in proven:
        assert after[name]["lists"]["winterization"]["state"] == "proven"
    page = desk.open(f"/p/{after[proven[0]]['id']}/winter")
    expect(page.get_by_text("when this planter was proven: not asked").first).to_be_visible()
    expect(page.get_by_text("what was recorded stays").first).to_be_visible()
    page = desk.open("/register?part=changes")
    expect(page.get_by_text(re.compile("Steps added.*Chock the pot level"))).to_be_visible()


def test_a_season_is_closed_read_and_opened_again(
    town: TownServer, phone: Callable[..., Phone]
) -> None:
    desk = phone("desk", size=LAPTOP)
    desk.start()
    desk.sign_in(*town.coordinator)
    page = desk.open("/register?part=seasons")
    expect(page.get_by_text("13 drains unproven")).to_be_visible()
    page.get_by_role("button", name="Close the season…").click()
    page.get_by_role("button", name="Not yet").click()
    page.get_by_role("button", name="Close the season…").click()
    page.get_by_role("button", name="Close 2026").click()
    page.get_by_role("link", name="Season 2026").click()
    expect(page.get_by_role("row", name="Drains")).to_contain_text("11 of 24 proven")
    page.get_by_role("button", name="Open 2026 again").click()
    expect(page.get_by_text("Write why the season is opened again.").first).to_be_visible()
    page.get_by_label("Why").fill("two drains were forgotten")
    page.get_by_role("button", name="Open 2026 again").click()
    expect(page.get_by_text(re.compile("Opened again.*two drains were forgotten"))).to_be_visible()
