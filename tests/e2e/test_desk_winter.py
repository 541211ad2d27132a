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
        page.get_by_role("button", name="Export").click()
    rows = list(csv.DictReader(io.StringIO(Path(saved.value.path()).read_text("utf-8"))))
    assert Counter(row["state"] for row in rows) == states
    by_name = {card["name"]: card for card in known}
    assert {row["planter"] for row in rows} == set(by_name)
    for row in rows:
        place = by_name[row["planter"]]["state"]["plug"]["place"]
        assert not place or row["plug_place"] == place

    page.emulate_media(media="print")
    expect(page.get_by_role("navigation", name="Main")).to_be_hidden()
    expect(page.get_by_role("button", name="Print")).to_be_hidden()
    paper = pypdfium2.PdfDocument(page.pdf(format="A4"))
    text = " ".join(" ".join(sheet.get_textpage().get_text_range() for sheet in paper).split())
    for card in known:
        assert card["name"] in text
    assert "nights to the freeze" in text
    assert "Register" not in text
    assert len(paper) <= 3
