"""Undo at the desk: right after an edit, from the list of changes, and what stands in its way."""

from __future__ import annotations

import re
from collections.abc import Callable

from desk_helpers import ask, change
from phone import Phone
from playwright.sync_api import Page, expect
from server_process import TownServer

Phones = Callable[..., Phone]
PLANTER = "Market street 6"
#: An edit makes cards anew before it answers; on a busy machine that takes its time. [ms]
SLOW = 30_000


def planter(desk: Phone, name: str = PLANTER) -> dict[str, object]:
    found: dict[str, object] = next(
        one for one in ask(desk, "/register")["planters"] if one["name"] == name
    )
    return found


def edit(desk: Phone, **values: object) -> int:
    """An edit as another desk would make it; the number of its change."""
    there = planter(desk)
    headers = {"If-Match": f'"{there["version"]}"'}
    change(desk, "PATCH", f"/register/planters/{there['id']}", values, **headers)
    return int(ask(desk, "/register/changes")["changes"][0]["number"])


def sheet(desk: Phone) -> Page:
    page = desk.open(f"/register?planter={planter(desk)['id']}")
    expect(page.get_by_role("heading", name=PLANTER, exact=True)).to_be_visible()
    return page


def test_right_after_an_edit_it_is_undone_by_one_tap(desk: Phone) -> None:
    was = str(planter(desk)["notes"])
    page = sheet(desk)
    page.get_by_label("Notes").fill("By the baker's door")
    page.get_by_role("button", name="Keep", exact=True).click()
    note = page.locator(".undo-note")
    expect(note).to_contain_text("Your change is kept.", timeout=SLOW)
    assert planter(desk)["notes"] == "By the baker's door"
    note.get_by_role("button", name="Undo").click()
    expect(note).to_contain_text("Undone. It is as it was before.", timeout=SLOW)
    expect(page.get_by_label("Notes")).to_have_value(was)
    assert planter(desk)["notes"] == was
    note.get_by_role("button", name="Close").click()
    expect(note).to_have_count(0)


def test_a_change_is_undone_from_the_list_and_says_by_whom(desk: Phone, town: TownServer) -> None:
    was = str(planter(desk)["notes"])
    edit(desk, notes="Wobbles", reservoir_l=21)
    page = desk.open("/register?part=changes&what=planter")
    row = page.locator(".changes > li").first
    expect(row).to_contain_text("Reservoir, litres: 16 → 21")
    row.get_by_role("link", name="Undo…").click()
    panel = page.locator(".undo")
    expect(panel).to_contain_text(f"Notes: {was} → Wobbles", timeout=SLOW)
    panel.get_by_role("button", name="Undo", exact=True).click()
    expect(panel).to_have_count(0, timeout=SLOW)
    expect(page).to_have_url(re.compile(r"/register\?part=changes&what=planter$"))
    rows = page.locator(".changes > li")
    expect(rows.first).to_contain_text(f"Undone: Planter {PLANTER}")
    expect(rows.first).to_contain_text("Reservoir, litres: 21 → 16")
    name = town.coordinator[0]
    expect(rows.nth(1)).to_contain_text(re.compile(rf"Undone by {name}, today \d\d:\d\d"))
    expect(rows.nth(1).get_by_role("link", name="Undo…")).to_have_count(0)
    assert (planter(desk)["notes"], planter(desk)["reservoir_l"]) == (was, 16)


def test_what_was_edited_since_is_shown_before_it_is_overwritten(desk: Phone) -> None:
    was = str(planter(desk)["notes"])
    first = edit(desk, notes="First")
    edit(desk, notes="Second")
    page = desk.open(f"/register?part=changes&undo={first}")
    panel = page.locator(".undo")
    expect(panel).to_contain_text("Edited since. Undoing would overwrite this:", timeout=SLOW)
    expect(panel).to_contain_text(f"{PLANTER}, Notes: Second goes back to {was}")
    panel.get_by_role("link", name="Leave it").click()
    expect(panel).to_have_count(0, timeout=SLOW)
    assert planter(desk)["notes"] == "Second"
    page = desk.open(f"/register?part=changes&undo={first}")
    expect(page.get_by_role("button", name="Overwrite and undo")).to_be_visible(timeout=SLOW)
    edit(desk, notes="Third")  # meanwhile, at another desk
    page.get_by_role("button", name="Overwrite and undo").click()
    expect(page.get_by_text("Changed in the meantime")).to_be_visible(timeout=SLOW)
    expect(panel).to_contain_text(f"Notes: Third goes back to {was}")
    assert planter(desk)["notes"] == "Third"
    page.get_by_role("button", name="Overwrite and undo").click()
    expect(panel).to_have_count(0, timeout=SLOW)
    assert planter(desk)["notes"] == was


def test_what_cannot_be_undone_says_what_to_do(desk: Phone) -> None:
    told = ask(desk, "/register/changes?what=rounds")["changes"][0]["number"]
    page = desk.open(f"/register?part=changes&undo={told}")
    expect(page.get_by_text("People have been told. Plan again under Rounds")).to_be_visible()
    expect(page.get_by_role("button", name=re.compile("undo", re.IGNORECASE))).to_have_count(0)
    page.get_by_role("link", name="Back to the list").click()
    expect(page.get_by_text("People have been told.")).to_have_count(0)
