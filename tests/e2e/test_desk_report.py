"""The season report in a browser: on screen, on paper, and what lies behind a number."""

from __future__ import annotations

import os
import re
import zipfile
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from desk_helpers import ask
from phone import Phone
from playwright.sync_api import expect
from server_process import TownServer

FORMATS = {"A4": (595, 842), "Letter": (612, 792)}  # points: ISO 216; ANSI/ASME Y14.1, size A


def opened(desk: Phone) -> dict[str, Any]:
    report: dict[str, Any] = ask(desk, "/report/season")
    desk.open("/report")
    expect(desk.page.get_by_role("heading", name="Winter: drains, and their proof")).to_be_visible()
    return report


def number(text: str) -> float:
    return float(re.sub(r"[^\d.]", "", text))


def test_a_number_opens_the_records_it_was_made_of(desk: Phone) -> None:
    report = opened(desk)
    row = desk.page.get_by_role("row", name="Water as typed")
    shown = number(row.get_by_role("link").inner_text())
    assert shown == report["town"]["water"]["typed"]
    row.get_by_role("link").click()
    rows = desk.page.locator("tbody tr")
    expect(rows.first).to_be_visible()
    amounts = [number(one) for one in rows.locator("td.num").all_inner_texts()]
    assert sum(round(10 * one) for one in amounts) == round(10 * shown)
    rows.first.get_by_role("link").click()
    expect(desk.page).to_have_url(re.compile(r"/p/p-"))


@pytest.mark.parametrize("paper", FORMATS)
def test_the_report_is_printed_whole(desk: Phone, paper: str) -> None:
    report = opened(desk)
    data = desk.page.pdf(format=paper, prefer_css_page_size=False)
    pdf = pypdfium2.PdfDocument(data)
    assert 2 <= len(pdf) <= 8
    assert pdf[0].get_size() == pytest.approx(FORMATS[paper], abs=1)
    text = " ".join(" ".join(page.get_textpage().get_text_range() for page in pdf).split())
    folder = os.environ.get("POTROUNDS_SCREENS")
    if folder:
        for number_, page in enumerate(pdf, start=1):
            page.render(scale=1.4).to_pil().save(Path(folder) / f"paper-{paper}-{number_}.png")
    for planter in report["planters"]:
        assert planter["name"] in text
    assert f"{report['town']['water']['typed']:,.1f}" in text
    assert "What the figures mean" in text
    assert "Print" not in text.split("What the figures mean")[0]


def test_the_whole_town_is_saved_after_the_password_was_typed_once_more(
    desk: Phone, town: TownServer, tmp_path: Path
) -> None:
    page = desk.open("/register?part=files")
    page.get_by_label("Your password").fill("not the password at all")
    page.get_by_role("button", name="Save the whole town").click()
    expect(page.get_by_role("alert").filter(has_text="Wrong password")).to_be_visible()
    page.get_by_label("Your password").fill(town.coordinator[1])
    with page.expect_download() as download:
        page.get_by_role("button", name="Save the whole town").click()
    file = tmp_path / "town.zip"
    download.value.save_as(file)
    with zipfile.ZipFile(file) as archive:
        assert archive.testzip() is None
        assert "tables/log_entry.jsonl" in archive.namelist()


def test_a_paper_book_is_tried_before_it_is_taken_in(desk: Phone) -> None:
    desk.open("/register?part=files")
    table = "planter,day,level\nFerry landing 1,2026-06-02,half\nNowhere,2026-06-02,half\n"
    field = desk.page.get_by_label("The file")
    field.set_input_files({"name": "b.csv", "mimeType": "text/csv", "buffer": table.encode()})
    expect(desk.page.get_by_text("There is no planter Nowhere")).to_be_visible()
    good = table.replace("Nowhere", "Ferry landing 2").encode()
    field.set_input_files({"name": "b.csv", "mimeType": "text/csv", "buffer": good})
    desk.page.get_by_role("button", name="Take in 2 visits").click()
    expect(desk.page.get_by_text("2 visits taken in.")).to_be_visible()
    field.set_input_files({"name": "c.csv", "mimeType": "text/csv", "buffer": good})
    expect(desk.page.get_by_text("0 visits are new and right.")).to_be_visible()
