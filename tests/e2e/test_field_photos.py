"""A photo removed for good; the work of a phone that cannot send, carried over by a file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from field import (
    IDS,
    all_sent,
    arrive,
    back_in_signal,
    card,
    eventually,
    log_texts,
    newest,
    open_check_in,
    save,
    stored,
)
from phone import LAPTOP, Phone
from PIL import Image
from playwright.sync_api import expect
from server_process import TownServer

PLANTER = "Library yard 3"


def visit_with_photo(phone: Phone, folder: Path) -> str:
    """A check-in with a photo, kept on the phone; gives the photo's hash."""
    photo = folder / "seen.jpg"
    Image.linear_gradient("L").resize((800, 600)).convert("RGB").save(photo)
    page = open_check_in(phone, PLANTER)
    page.get_by_role("radio", name="Half", exact=True).click()
    page.get_by_role("radio", name="4 good", exact=True).click()
    page.locator("input[type=file]").set_input_files(photo)
    expect(page.locator(".photos__one img")).to_be_visible()
    save(page)
    eventually(lambda: stored(phone, "photos"))
    return str(newest(phone)["photos"][0])


def copies(town: TownServer, sha: str) -> list[Path]:
    """The files of a photo on the server's disk."""
    return list((town.home / "town" / "photos").rglob(f"{sha}*"))


def test_a_photo_is_gone_for_everybody_at_one_word(
    town: TownServer, phone: Callable[..., Phone], tmp_path: Path
) -> None:
    wim, june = phone("wim"), phone("june")
    arrive(wim, town.invite("Wim"), "Wim")
    sha = visit_with_photo(wim, tmp_path)
    page = wim.page
    all_sent(wim)
    eventually(lambda: len(copies(town, sha)) == 2)
    arrive(june, town.invite("June"), "June")
    other = june.open(f"/p/{IDS[PLANTER]}")
    expect(other.get_by_role("heading", name=PLANTER, level=1)).to_be_visible()
    expect(other.get_by_role("button", name="Remove photo…")).to_have_count(0)

    eventually(lambda: sha in str(card(wim, PLANTER)["visits"]))
    wim.open(f"/p/{IDS[PLANTER]}")
    page.get_by_role("button", name="Remove photo…").click()
    page.get_by_role("button", name="Keep it").click()
    page.get_by_role("button", name="Remove photo…").click()
    page.get_by_role("button", name="Remove it for good").click()
    expect(page.get_by_role("button", name="Remove photo…")).to_have_count(0)
    eventually(lambda: copies(town, sha) == [])
    eventually(lambda: stored(wim, "photos") == [])
    assert page.request.get(f"{town.url}/api/v1/photos/{sha}").status == 404
    eventually(lambda: sha not in str(card(wim, PLANTER)["visits"]))


def test_the_file_of_a_phone_that_cannot_send_comes_in_at_the_desk(
    town: TownServer, phone: Callable[..., Phone], tmp_path: Path
) -> None:
    wim, desk = phone("wim"), phone("desk", size=LAPTOP)
    arrive(wim, town.invite("Wim"), "Wim")
    assert wim.context is not None
    wim.context.set_offline(True)
    sha = visit_with_photo(wim, tmp_path)
    record = newest(wim)
    page = wim.open("/outbox")
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save to file").first.click()
    file = tmp_path / "from-wim.json"
    saving.value.save_as(file)

    desk.start()
    desk.sign_in(*town.coordinator)
    page = desk.open("/register?part=files")
    field = page.get_by_label("File saved from a phone")
    field.set_input_files({"name": "x.json", "mimeType": "application/json", "buffer": b"{}"})
    expect(page.get_by_text("This is no file saved from a phone.")).to_be_visible()
    field.set_input_files(file)
    expect(page.get_by_text("1 record taken in.")).to_be_visible()
    expect(page.get_by_text("Photos: 1.")).to_be_visible()
    assert record["text"] in log_texts(town)
    assert len(copies(town, sha)) == 2
    field.set_input_files(file)
    expect(page.get_by_text("Here already: 1.")).to_be_visible()

    wim.context.set_offline(False)
    back_in_signal(wim)
    all_sent(wim)
    assert log_texts(town).count(record["text"]) == 1
