"""Looking at one screen in every size and theme: nothing broken, too small, too wide or too faint.

With POTROUNDS_SCREENS=FOLDER every screen is written there as `<screen>-<phone|desk>[-dark].png`,
and the pictures of the README are drawn anew.
"""

from __future__ import annotations

import os
from pathlib import Path

from field import quiet
from looking import scrolls_sideways, settle, too_small, violations
from people import World
from phone import LAPTOP, PHONE
from PIL import Image
from playwright.sync_api import Page
from screens import Screen

SIZES = {"phone": PHONE, "desk": LAPTOP}
NARROWEST = {"width": 320, "height": 640}
PICTURES = Path(__file__).parents[2] / "demo_data" / "screens"
IN_README = {
    "planter-today-phone": "planter-phone.png",
    "check-in-filled-phone": "check-in-phone.png",
    "winter-board-desk": "winter-board-desk.png",
    "review-open-desk": "review-desk.png",
}


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


def look_at(world: World, screen: Screen) -> None:
    """Go there and look."""
    role = getattr(world, screen.who)
    page = role.phone.page
    page.set_viewport_size(PHONE if screen.who != "desk" else LAPTOP)
    role.complaints.clear()
    screen.way(world, role)
    quiet(role.phone)  # what a talk brings draws the screen anew
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
