"""Ways to the site plan's screens and to the desk's own ways."""

from __future__ import annotations

import re
from collections.abc import Callable

from people import Role, World
from playwright.sync_api import expect


def opened_ways(world: World, role: Role) -> None:
    """The desk's ways, opened on a phone; at the desk those that have no room in the row."""
    page = role.phone.open("/planters")
    page.get_by_role("button", name="More").click()
    expect(page.get_by_role("link", name="Season report")).to_be_visible()


def site_plan(asked: str) -> Callable[[World, Role], None]:
    def go(world: World, role: Role) -> None:
        page = role.phone.open(f"/siteplan{asked}")
        drawn = page.get_by_role("group", name=re.compile("The list says the same"))
        expect(drawn.get_by_role("link").first).to_be_visible()

    return go


def plan_points(world: World, role: Role) -> None:
    page = role.phone.open("/register?part=siteplans&scope=s-market00")
    expect(page.get_by_role("button", name=re.compile("The picture: tap"))).to_be_visible()
    expect(page.get_by_text("Placed.")).to_be_visible()
