"""How the walk over all screens gets to the alerts in the settings, and to removing a photo."""

from __future__ import annotations

from people import Role, World
from playwright.sync_api import Page, expect


def alerts_off(world: World, role: Role) -> Page:
    """The town has its key and its switch on; this phone is not asked anything yet."""
    world.town.run("push-key", "--new")
    world.desk.phone.open("/register?part=town").evaluate(
        """() => fetch('/api/v1/register/settings', {
          method: 'PATCH',
          headers: {'Content-Type': 'application/json'},
          body: '{"push_on": true}',
        })"""
    )
    # What a browser allows by itself differs; here it would show them, and nobody asked it to.
    role.phone.context.grant_permissions(["notifications"], origin=role.phone.url)  # type: ignore[union-attr]
    page = role.phone.open("/settings")
    page.reload()
    expect(page.get_by_role("button", name="Turn on alerts")).to_be_visible()
    return page


def alerts_blocked(world: World, role: Role) -> None:
    page = alerts_off(world, role)
    role.phone.context.clear_permissions()  # type: ignore[union-attr]
    role.phone.context.grant_permissions(["camera"], origin=role.phone.url)  # type: ignore[union-attr]
    page.reload()
    expect(page.get_by_text("This browser blocks alerts from Potrounds.")).to_be_visible()


def photo_erase(world: World, role: Role) -> None:
    """A visit with a photo, and the question before it goes for good."""
    card = next(one for one in world.cards if any(visit["photos"] for visit in one["visits"]))
    page = role.phone.open(f"/p/{card['id']}")
    page.get_by_role("button", name="Remove photo…").first.click()
    expect(page.get_by_role("button", name="Remove it for good")).to_be_visible()
