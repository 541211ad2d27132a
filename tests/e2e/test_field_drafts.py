"""A check-in begun and not saved: nothing that was entered is lost, and nothing saves itself."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from field import IDS, arrive, eventually, kept, kill, newest, open_check_in, save, stored
from phone import Phone
from pictures import photo_with_place
from playwright.sync_api import Page, expect
from server_process import TownServer


@pytest.fixture
def offline(town: TownServer, phone: Callable[..., Phone]) -> Phone:
    """A volunteer's phone with all planters and no town to talk to."""
    one = phone("field")
    arrive(one, town.invite("Wim"), "Wim")
    town.stop()
    return one


def draft(phone: Phone, planter: str) -> dict[str, object]:
    """The draft of a check-in at this planter, or nothing."""
    rows = [row for row in stored(phone, "drafts") if row["key"] == f"check-in:{IDS[planter]}"]
    return rows[0] if rows else {}


def begin(phone: Phone, planter: str, photo: Path) -> None:
    """Fill half a check-in: level, plants, a photo, some words; and do not save it."""
    page = open_check_in(phone, planter)
    page.get_by_role("radio", name="Quarter", exact=True).click()
    page.get_by_role("radio", name="3 stressed").click()
    page.locator("input[type=file]").set_input_files(photo)
    page.get_by_label("Note").fill("cap is loo")
    expect(page.locator(".photos__one img")).to_be_visible()
    eventually(
        lambda: (
            (found := draft(phone, planter))
            and found["photos"]
            and found["form"]["note"] == "cap is loo"
        )  # type: ignore[index]
    )


def as_left(page: Page) -> None:
    """Everything is on the screen as it was left."""
    expect(page.get_by_text(re.compile("^As you left it at"))).to_be_visible()
    expect(page.get_by_role("radio", name="Quarter", exact=True)).to_be_checked()
    expect(page.get_by_role("radio", name="3 stressed")).to_be_checked()
    expect(page.get_by_label("Note")).to_have_value("cap is loo")
    expect(page.locator(".photos__one img")).to_have_count(1)


def test_a_check_in_begun_survives_a_reload(offline: Phone, tmp_path: Path) -> None:
    page = offline.page
    begin(offline, "Ferry landing 6", photo_with_place(tmp_path / "photo.jpg"))
    records = len(kept(offline))
    page.reload()
    as_left(page)
    assert len(kept(offline)) == records, "nothing was saved that nobody saved"
    page.get_by_role("button", name="Start over").click()
    expect(page.get_by_role("radio", name="Quarter", exact=True)).not_to_be_checked()
    eventually(lambda: not draft(offline, "Ferry landing 6"))


def test_a_check_in_begun_survives_a_flat_battery_and_is_then_saved_with_its_photo(
    offline: Phone, tmp_path: Path
) -> None:
    begin(offline, "Ferry landing 1", photo_with_place(tmp_path / "photo.jpg"))
    photo = draft(offline, "Ferry landing 1")["photos"][0]  # type: ignore[index]
    kill(offline)
    page = offline.start()
    open_check_in(offline, "Ferry landing 1")
    as_left(page)
    save(page)
    record = newest(offline)
    assert json.loads(record["text"])["body"] == {
        "level": 0.25,
        "read_by": "float",
        "plants": 3,
        "photos": [photo["sha"]],
        "note": "cap is loo",
    }
    assert [(row["sha"], row["record"]) for row in stored(offline, "photos")] == [
        (photo["sha"], record["id"])
    ]
    assert not draft(offline, "Ferry landing 1"), "the draft went with the save"


def test_a_save_waits_for_the_photo_taken_just_before_it(offline: Phone, tmp_path: Path) -> None:
    """A large photo is still being made small when Save is pressed."""
    photo = photo_with_place(tmp_path / "photo.jpg")
    page = open_check_in(offline, "Ferry landing 2")
    page.get_by_role("radio", name="Half", exact=True).click()
    page.locator("input[type=file]").set_input_files(photo)
    save(page)
    check_in = newest(offline)
    assert check_in["body"]["photos"] == check_in["photos"]
    assert len(check_in["photos"]) == 1

    page = offline.open(f"/p/{IDS['Library yard 5']}/winter")
    page.get_by_role("button", name=re.compile("^Pull the drain plug")).click()
    page.locator("input[type=file]").set_input_files(photo)
    page.get_by_role("button", name="Plug out, water ran").click()
    step = eventually(lambda: [row for row in kept(offline) if row["kind"] == "step"])[0]
    assert step["photos"] == check_in["photos"], "the same picture"
    assert {row["record"] for row in stored(offline, "photos")} == {step["id"]}
