"""A walk over every screen: nothing breaks, nothing is too small, too wide or too faint.

With POTROUNDS_SCREENS=FOLDER every screen is written there as `<screen>-<phone|desk>[-dark].png`,
and the pictures of the README are drawn anew.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from looking import scrolls_sideways, settle, too_small, violations
from people import World
from phone import LAPTOP, PHONE
from PIL import Image
from playwright.sync_api import Page, Playwright
from screens import SCREENS, Screen
from server_process import TownServer

SIZES = {"phone": PHONE, "desk": LAPTOP}
NARROWEST = {"width": 320, "height": 640}
PICTURES = Path(__file__).parents[2] / "demo_data" / "screens"
IN_README = {
    "planter-today-phone": "planter-phone.png",
    "check-in-filled-phone": "check-in-phone.png",
    "winter-board-desk": "winter-board-desk.png",
    "review-open-desk": "review-desk.png",
}


@pytest.fixture(scope="module")
def world(
    playwright: Playwright, demo: TownServer, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[World]:
    """One server and one profile a role for the whole walk."""
    folder = tmp_path_factory.mktemp("walk")
    shutil.copytree(demo.home / "town", folder / "town")
    town = TownServer(folder, told=demo.printed)
    town.start("serve")
    one = World(playwright, town, folder)
    yield one
    for role in one.made:
        role.phone.shut()
    town.stop()


def write(page: Page, name: str) -> None:
    """Keep a picture of the screen, if asked to."""
    folder = os.environ.get("POTROUNDS_SCREENS")
    if not folder:
        return
    Path(folder).mkdir(parents=True, exist_ok=True)
    page.screenshot(path=Path(folder) / f"{name}.png")
    if name in IN_README:
        PICTURES.mkdir(parents=True, exist_ok=True)
        unrolled = page.viewport_size
        page.set_viewport_size(SIZES[name.rpartition("-")[2]])  # type: ignore[arg-type]
        seen = PICTURES / IN_README[name]
        page.screenshot(path=seen)
        page.set_viewport_size(unrolled)  # type: ignore[arg-type]
        with Image.open(seen) as picture:
            picture.convert("RGB").quantize(96).save(seen, optimize=True)


def unroll(page: Page, size: dict[str, int]) -> None:
    """Make the window as tall as the page, so that nothing lies under the kerb unlooked at."""
    page.set_viewport_size(size)  # type: ignore[arg-type]
    settle(page)
    tall = page.evaluate("document.documentElement.scrollHeight")
    page.set_viewport_size({"width": size["width"], "height": max(size["height"], tall)})


def faults_of(page: Page, name: str, dark: bool) -> list[str]:
    """Everything wrong with the screen as it stands in this size and theme."""
    page.evaluate(f"document.documentElement.dataset.theme = '{'dark' if dark else 'light'}'")
    settle(page)
    write(page, f"{name}-dark" if dark else name)
    faults = violations(page, colours_only=dark)
    if not dark:
        faults += [f"sideways: {one}" for one in scrolls_sideways(page)]
        faults += [f"too small: {one}" for one in too_small(page)]
    return [f"{name}{' dark' if dark else ''}: {one}" for one in faults]


@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.name)
def test_screen(world: World, screen: Screen) -> None:
    role = getattr(world, screen.who)
    page = role.phone.page
    page.set_viewport_size(PHONE if screen.who != "desk" else LAPTOP)
    role.complaints.clear()
    screen.way(world, role)
    faults: list[str] = []
    for size, pixels in SIZES.items():
        unroll(page, pixels)
        for dark in (False, True):
            faults += faults_of(page, f"{screen.name}-{size}", dark)
    page.set_viewport_size(NARROWEST)
    faults += [f"at 320: {one}" for one in scrolls_sideways(page) + too_small(page)]
    faults += [
        f"console: {one}"
        for one in role.complaints
        if not any(known in one for known in screen.refused)
    ]
    assert not faults, "\n".join(faults)


def test_the_keyboard_sees_where_it_is(world: World) -> None:
    page = world.volunteer.phone.open("/planters")
    page.get_by_role("link", name="Scan the tag").wait_for()
    seen = """() => {
      const how = getComputedStyle(document.activeElement);
      return [document.activeElement.tagName, how.outlineStyle, parseFloat(how.outlineWidth)];
    }"""
    for _ in range(6):
        page.keyboard.press("Tab")
        tag, style, width = page.evaluate(seen)
        assert tag != "BODY"
        assert style != "none", "a focused control must be outlined"
        assert width >= 2
