"""The ways to the screens of rounds: told, begun, and the parts of the desk opened."""

from __future__ import annotations

from collections.abc import Callable

from people import Role, World
from playwright.sync_api import expect


def told_round(world: World, role: Role) -> None:
    """The next stop, large."""
    page = role.phone.open("/round")
    expect(page.locator(".next h2")).to_be_visible()


def begun_round(world: World, role: Role) -> None:
    """Begun, and about to skip a stop."""
    told_round(world, role)
    page = role.phone.page
    if page.get_by_role("button", name="Begin the round").is_visible():
        page.get_by_role("button", name="Begin the round").click()
    page.get_by_role("button", name="Skip", exact=True).click()
    expect(page.get_by_role("radio", name="Not safe")).to_be_visible()


def opened(part: str, summary: str) -> Callable[[World, Role], None]:
    """A part of the rounds' desk with the first of its folds open."""

    def go(world: World, role: Role) -> None:
        page = role.phone.open(f"/rounds?part={part}")
        page.locator("summary").filter(has_text=summary).first.click()
        expect(page.locator("details[open]").first).to_be_visible()

    return go


def paced_way(world: World, role: Role) -> None:
    """A way put right by hand."""
    page = role.phone.open("/rounds?part=ways")
    expect(page.get_by_role("combobox")).to_have_count(2)
    one, other = page.get_by_role("combobox").all()
    one.select_option(label="Ramp tap")
    other.select_option(label="Ferry landing 2")
    page.get_by_label("Metres on foot").fill("85")
    page.get_by_role("button", name="Keep these metres").click()
    expect(page.get_by_role("button", name="Reckon again").first).to_be_visible()
    expect(page.get_by_role("cell", name="paced out").first).to_be_visible()


def fresh_calendar(world: World, role: Role) -> None:
    """An address just made."""
    page = role.phone.open("/rounds?part=calendar")
    page.get_by_label("Whose calendar").fill("Kitchen wall")
    page.get_by_role("button", name="Make an address").click()
    expect(page.get_by_role("button", name="Copy the address")).to_be_visible()
