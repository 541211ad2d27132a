"""One story: printed tag, offline check-in with a photo, sync, flag, review, winter board."""

from __future__ import annotations

import io
import json
import re
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from looking import drawn
from phone import LAPTOP, Phone
from pictures import camera_film, photo_with_place, printed_page
from PIL import Image
from playwright.sync_api import expect
from server_process import TownServer

PLANTER = "Market street 6"
DRAINING = "Market street 2"


def log_rows(town: TownServer) -> list[tuple[str, str, str]]:
    """(id, kind, raw text) of every record in the server's log."""
    address = f"file:{town.home}/town/potrounds.sqlite?mode=ro"
    with closing(sqlite3.connect(address, uri=True)) as db:
        return list(db.execute("SELECT id, kind, text FROM log_entry ORDER BY seq"))


def print_tag(desk: Phone) -> bytes:
    """Print one planter's tag from the register, as a coordinator would."""
    page = desk.open("/register?part=tags")
    page.get_by_label("Tags of").select_option(label=PLANTER)
    with page.expect_download() as printed:
        page.get_by_role("link", name="Save the sheet (PDF)").click()
    return Path(printed.value.path()).read_bytes()


def scan_offline(volunteer: Phone, film: Path) -> None:
    """Open the scanner and wait until it has read the tag and opened the planter's record."""
    page = volunteer.start(camera=film)
    volunteer.open("/")
    page.get_by_role("link", name="Scan the tag").click()
    expect(page.get_by_role("heading", name=PLANTER, level=1)).to_be_visible(timeout=60_000)


def check_in(volunteer: Phone, photo: Path) -> None:
    """Found empty, plants failing, one photo."""
    page = volunteer.page
    page.get_by_role("link", name="Check in").click()
    page.get_by_role("radio", name="Empty").click()
    page.get_by_role("radio", name="2 failing").click()
    page.locator("input[type=file]").set_input_files(photo)
    expect(page.locator(".photos__one img")).to_be_visible()
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible()


def pull_the_plug(volunteer: Phone, photo: Path) -> None:
    """The next step at a planter that is draining, its photo as proof, still without a network."""
    page = volunteer.open("/planters")
    page.get_by_role("link", name=re.compile(DRAINING)).click()
    page.get_by_role("link", name=re.compile("Step 3 of 9")).click()
    page.locator("input[type=file]").set_input_files(photo)
    expect(page.get_by_text("stays unproven")).to_be_hidden()
    page.get_by_role("button", name="Plug out, water ran").click()
    expect(page.get_by_text("3 of 9 steps done")).to_be_visible()


def served_photo(desk: Phone, sha: str) -> bytes:
    """The photo as the server gives it to a signed-in person."""
    answer = desk.page.request.get(f"{desk.url}/api/v1/photos/{sha}?size=full")
    assert answer.status == 200
    return answer.body()


def carries_nothing_but_pixels(data: bytes) -> None:
    """No EXIF, XMP, IPTC, comment or colour profile: read by the format's own markers."""
    picture = Image.open(io.BytesIO(data))
    picture.load()
    assert not picture.getexif()
    assert not {"exif", "xmp", "comment", "icc_profile", "photoshop"} & set(picture.info)
    assert b"Exif" not in data
    assert b"Invented Maker" not in data
    assert b"http://ns.adobe.com" not in data


def test_one_planters_story(town: TownServer, phone: Callable[..., Phone], tmp_path: Path) -> None:
    desk, volunteer, second = phone("desk", size=LAPTOP), phone("field"), phone("second")
    for one in (desk, volunteer, second):
        one.start()
    desk.sign_in(*town.coordinator)
    volunteer.join(town.invite("Wim"), "Wim")
    second.join(town.invite("Adele"), "Adele")
    volunteer.open("/planters")
    expect(volunteer.page.get_by_text(PLANTER)).to_be_visible()
    tag = printed_page(print_tag(desk)).crop((40, 40, 700, 700))
    film = camera_film(tag, tmp_path / "camera.mjpeg")
    before = len(log_rows(town))

    volunteer.shut()
    town.stop()
    scan_offline(volunteer, film)
    photo = photo_with_place(tmp_path / "photo.jpg")
    check_in(volunteer, photo)
    pull_the_plug(volunteer, photo)
    kept = [row for row in volunteer.outbox() if row["state"] != "sent"]
    assert [row["kind"] for row in kept] == ["check-in", "step"]

    volunteer.shut()
    volunteer.start()
    volunteer.open("/outbox")
    expect(volunteer.page.get_by_text(PLANTER).first).to_be_visible()
    assert [row["text"] for row in volunteer.outbox() if row["state"] != "sent"] == [
        row["text"] for row in kept
    ]

    town.start("serve")
    volunteer.page.get_by_role("button", name="Send now").click()
    expect(volunteer.page.get_by_text(re.compile("All sent"))).to_be_visible(timeout=60_000)
    rows = log_rows(town)
    assert len(rows) == before + 2
    for row in kept:
        found = [text for id_, _, text in rows if id_ == row["id"]]
        assert found == [row["text"]], "the very bytes, once"

    sha = json.loads(kept[0]["text"])["body"]["photos"][0]
    carries_nothing_but_pixels(served_photo(desk, sha))
    for file in (town.home / "town" / "photos").rglob(f"*{sha}*"):
        carries_nothing_but_pixels(file.read_bytes())

    page = desk.open("/review")
    case = page.get_by_role("listitem").filter(has_text=f"{PLANTER}: Running dry.").first
    expect(case).to_contain_text("Empty when Wim came")
    case.locator(".case__words").click()
    assert drawn(case.locator(".case__open img.thumb")).evaluate("img => img.naturalWidth") > 100

    board = second.open("/winter")
    tile = board.locator("a.tile").filter(has_text=DRAINING)
    expect(tile).to_contain_text("Unproven", timeout=60_000)
    expect(tile).to_contain_text("Where the plug is now")
