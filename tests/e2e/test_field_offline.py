"""After the first visit the app needs no server: one phone, its town's server stopped for good."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
import qrcode
from field import (
    CODES,
    DEMO,
    IDS,
    arrive,
    check_in,
    do_step,
    eventually,
    kept,
    newest,
    quiet,
    save,
    stored,
)
from phone import Phone
from pictures import printed_page
from playwright.sync_api import Page, Playwright, expect
from server_process import TownServer

# Every test has a planter of its own: they may run in any order on the one phone.
CHECKED_ONLINE = "Library yard 6"
REPLACED = next(one for one in DEMO["planters"] if one["old_codes"])


@pytest.fixture(scope="module")
def tag_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where a picture of a printed tag goes."""
    return tmp_path_factory.mktemp("tag") / "tag.png"


@pytest.fixture(scope="module")
def offline(
    demo: TownServer,
    playwright: Playwright,
    tag_page: Path,
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[Phone]:
    """A phone after its first visit with one check-in sent; then the server is killed."""
    home = tmp_path_factory.mktemp("offline")
    shutil.copytree(demo.home / "town", home / "town")
    town = TownServer(home, told=demo.printed)
    phone = Phone(playwright, home / "profile", town.url)
    town.start("serve")
    try:
        sheet = home / "tags.pdf"
        town.run("tags", "--planters", IDS["Market street 5"], "--out", str(sheet))
        printed_page(sheet.read_bytes()).crop((40, 40, 700, 700)).save(tag_page)
        arrive(phone, town.invite("Wim"), "Wim")
        sent = check_in(phone, CHECKED_ONLINE, "Half", "4 good")
        eventually(lambda: sent in [row["id"] for row in stored(phone, "own_records")])
        quiet(phone)
        town.stop()
        yield phone
    finally:
        phone.shut()
        if town.process:
            town.stop()


@pytest.fixture
def page(offline: Phone) -> Page:
    """The phone's page; a test that failed while the browser was off leaves it to the next."""
    if offline.context is None:
        offline.start()
    return offline.page


def at_record(page: Page, planter: str) -> None:
    """The planter's record is on the screen."""
    expect(page.get_by_role("heading", name=planter, level=1)).to_be_visible()
    expect(page.get_by_role("link", name="Check in")).to_be_visible()


def test_every_screen_opens_again_without_a_server(offline: Phone, page: Page) -> None:
    broken: list[str] = []
    page.on("pageerror", lambda error: broken.append(str(error)))
    record = f"/p/{IDS['Ferry landing 2']}"
    for path, seen in (
        ("/", "Ferry landing 2"),
        ("/planters", "Library yard 6"),
        (record, "Is this Ferry landing 2 in front of you"),
        (f"{record}/check-in", "Water as you found it"),
        (f"{record}/winter", "9 of 9 steps done"),
        ("/winter", "Market street"),
        ("/outbox", "Waiting to send"),
        ("/settings", "Wim"),
        ("/scan", "Or type the code"),
    ):
        offline.open(path)
        page.reload()
        expect(page.get_by_text(re.compile(seen)).first).to_be_visible()
    offline.open("/planters")
    expect(page.locator("a[href^='/p/']")).to_have_count(24)
    assert broken == []


@pytest.mark.parametrize("way", ["/t/", "/T/"])
def test_a_tags_address_opens_its_planter_and_a_reload_keeps_it(
    offline: Phone, page: Page, way: str
) -> None:
    offline.open(f"{way}{CODES['Market street 3']}")
    at_record(page, "Market street 3")
    page.reload()
    at_record(page, "Market street 3")


def test_a_tags_address_is_the_first_thing_a_restarted_browser_opens(
    offline: Phone, page: Page
) -> None:
    offline.shut()
    offline.start()
    offline.open(f"/T/{CODES['Station forecourt 4']}")
    at_record(offline.page, "Station forecourt 4")


def test_a_check_in_is_kept_over_a_restart_and_shown_as_not_sent(
    offline: Phone, page: Page
) -> None:
    record = check_in(offline, "Ferry landing 3", "Quarter", "3 stressed")
    before = newest(offline)
    offline.shut()
    page = offline.start()
    offline.open(f"/p/{IDS['Ferry landing 3']}")
    visit = page.locator(".visits > li").first
    expect(visit).to_contain_text("found quarter")
    expect(visit).to_contain_text("not sent yet")
    expect(page.get_by_text(re.compile("^Not yet assessed: 1 record"))).to_be_visible()
    offline.open("/outbox")
    expect(page.get_by_role("listitem").filter(has_text="Ferry landing 3")).to_contain_text(
        "kept on this phone"
    )
    after = next(row for row in kept(offline) if row["id"] == record)
    assert after["text"] == before["text"], "frozen: not one byte moved"
    assert after["state"] in ("queued", "sending")


def test_ones_own_check_in_is_corrected_and_the_first_text_stays(
    offline: Phone, page: Page
) -> None:
    """The check-in was sent before: it comes from the server's copy of one's own records."""
    first = kept(offline)[0]
    offline.open(f"/p/{IDS[CHECKED_ONLINE]}")
    page.get_by_role("link", name="Correct").first.click()
    expect(page.get_by_role("radio", name="Half", exact=True)).to_be_checked()
    page.get_by_role("radio", name="Three quarters").click()
    save(page)
    correction = newest(offline)
    assert correction["kind"] == "correction"
    body = json.loads(correction["text"])["body"]
    assert body["replaces"] == first["id"]
    assert body["check_in"] == {"level": 0.75, "read_by": "float", "plants": 4}
    assert kept(offline)[0]["text"] == first["text"]
    offline.open(f"/p/{IDS[CHECKED_ONLINE]}")
    visit = page.locator(".visits > li").first
    expect(visit).to_contain_text("found three quarters")
    expect(visit).to_contain_text("Corrected since")


def test_ones_own_check_in_is_taken_back(offline: Phone, page: Page) -> None:
    planter = "Ferry landing 5"
    offline.open(f"/p/{IDS[planter]}")
    at_record(page, planter)
    visits = page.locator(".visits > li")
    expect(visits.first).to_be_visible()
    before = visits.count()
    record = check_in(offline, planter, "Empty", "1 dead or gone")
    offline.open(f"/p/{IDS[planter]}")
    expect(visits.first).to_contain_text("found empty")
    page.get_by_role("button", name="Take back").first.click()
    page.get_by_role("button", name="Take it back").click()
    expect(visits.filter(has_text="found empty")).to_have_count(0)
    expect(visits).to_have_count(before)
    withdrawal = newest(offline)
    assert withdrawal["kind"] == "withdrawal"
    assert json.loads(withdrawal["text"])["body"] == {"replaces": record}
    assert record in [row["id"] for row in kept(offline)], "nothing is ever deleted"


def test_winter_steps_are_recorded_and_counted(offline: Phone, page: Page) -> None:
    planter = "Library yard 5"
    do_step(offline, planter, "Stop feed and top-up", "Done")
    do_step(offline, planter, "Read and photograph the level", "Done")
    do_step(offline, planter, "Pull the drain plug", "Plug out, water ran", second="Maud")
    expect(page.get_by_text("3 of 9 steps done")).to_be_visible()
    head = page.get_by_role("button", name=re.compile("^Pull the drain plug"))
    expect(head).to_contain_text("with Maud")
    expect(head).to_contain_text("not sent yet")
    bodies = [json.loads(row["text"])["body"] for row in kept(offline) if row["kind"] == "step"]
    assert [body["step"] for body in bodies] == ["stop-water", "read-level", "pull-plug"]
    assert bodies[-1] == {
        "list": "winterization",
        "season": 2026,
        "step": "pull-plug",
        "outcome": "done",
        "second": "Maud",
    }


def test_a_typed_code_may_hold_look_alikes(offline: Phone, page: Page) -> None:
    assert CODES["Market street 6"] == "1AHK03GQ5SK"
    offline.open("/scan")
    page.get_by_label("Or type the code under the picture").fill("iahk-o3gq 5sk")
    page.get_by_role("button", name="Open").click()
    at_record(page, "Market street 6")


@pytest.mark.parametrize(
    "typed", ["1AHK-03GQ-5SJ", "1HAK-03GQ-5SK", "1AHK-03GQ-5S"], ids=["wrong", "swapped", "short"]
)
def test_a_code_whose_check_character_does_not_fit_is_explained(
    offline: Phone, page: Page, typed: str
) -> None:
    offline.open("/scan")
    page.get_by_label("Or type the code under the picture").fill(typed)
    page.get_by_role("button", name="Open").click()
    expect(page.get_by_role("alert")).to_contain_text(f"{typed} is not a whole tag code")
    assert page.url.endswith("/scan")


def test_a_photo_of_the_printed_tag_opens_its_planter(
    offline: Phone, page: Page, tag_page: Path
) -> None:
    offline.open("/scan")
    page.get_by_label("Photo of the tag").set_input_files(tag_page)
    at_record(page, "Market street 5")
    assert page.url.endswith(f"/t/{CODES['Market street 5']}")


@pytest.mark.parametrize(
    "address",
    [
        f"HTTPS://ELSEWHERE.EXAMPLE/T/{CODES['Market street 5']}",
        f"https://planters.osier-bend.example.elsewhere.example/t/{CODES['Market street 5']}",
        "https://elsewhere.example/pay",
    ],
    ids=["our code elsewhere", "our name in front", "a payment page"],
)
def test_a_foreign_code_stuck_over_the_tag_is_not_opened(
    offline: Phone, page: Page, address: str, tmp_path: Path
) -> None:
    qrcode.make(address).convert("RGB").save(tmp_path / "sticker.png")
    asked: list[str] = []
    offline.open("/scan")
    page.on("request", lambda request: asked.append(request.url))
    page.get_by_label("Photo of the tag").set_input_files(tmp_path / "sticker.png")
    expect(page.get_by_text("That code is not one of our tags. It was not opened.")).to_be_visible()
    assert page.url.endswith("/scan")
    assert not [url for url in asked if "elsewhere" in url]


def test_a_replaced_tag_opens_its_planter_and_says_that_it_is_old(
    offline: Phone, page: Page
) -> None:
    offline.open(f"/T/{REPLACED['old_codes'][0]['code']}")
    at_record(page, REPLACED["name"])
    note = page.get_by_text("This tag was replaced. The planter is right, the tag is old")
    expect(note).to_be_visible()
    offline.open(f"/T/{REPLACED['code']}")
    at_record(page, REPLACED["name"])
    expect(note).to_be_hidden()
