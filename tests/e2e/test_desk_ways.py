"""How one gets about at the desk: one entry on a phone, a row on a laptop, by keys as by taps."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from looking import head_read
from phone import LAPTOP, PHONE, Phone
from playwright.sync_api import expect

Phones = Callable[..., Phone]


@pytest.mark.parametrize(
    "path", ["/review", "/planters", "/siteplan", "/rounds", "/winter", "/register"]
)
def test_the_desk_has_one_way_in_on_a_phone(desk: Phone, path: str) -> None:
    page = desk.open(path)
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    entry = page.get_by_role("button", name=re.compile("^Go to"))
    expect(entry).to_be_visible()
    head_read(page)
    head = page.locator(".rim").bounding_box()
    assert head
    assert head["height"] <= 130
    expect(page.get_by_role("link", name="People", exact=True)).to_have_count(0)
    entry.focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("link", name="People", exact=True)).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.get_by_role("link", name="People", exact=True)).to_have_count(0)
    expect(entry).to_be_focused()
    page.keyboard.press("Enter")
    page.get_by_role("link", name="Season report").focus()
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/report$"))
    page.set_viewport_size(LAPTOP)  # type: ignore[arg-type]
    expect(page.get_by_role("link", name="People", exact=True)).to_be_visible()
    page.get_by_role("button", name="More").click()
    page.get_by_role("link", name="Settings").click()
    expect(page.get_by_role("heading", name="Settings")).to_be_visible()


def test_the_parts_of_the_register_fold_up_on_a_phone(desk: Phone) -> None:
    page = desk.open("/register?part=tags")
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    sheet = page.get_by_role("heading", name="Print tags")
    expect(sheet).to_be_in_viewport()
    entry = page.get_by_role("button", name="Part Tags")
    expect(entry).to_have_attribute("aria-expanded", "false")
    expect(page.get_by_role("link", name="Sizes")).to_have_count(0)
    entry.click()
    page.get_by_role("link", name="Sizes").click()
    expect(page.get_by_role("heading", name="Add a size")).to_be_visible()
    expect(page.get_by_role("button", name="Part Sizes")).to_have_attribute(
        "aria-expanded", "false"
    )
    page.set_viewport_size(LAPTOP)  # type: ignore[arg-type]
    expect(page.get_by_role("link", name="Tags")).to_be_visible()
    expect(page.get_by_role("button", name="Part Sizes")).to_have_count(0)
