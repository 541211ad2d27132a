"""A walk over every screen of a volunteer and a passer-by, and what a keyboard sees."""

from __future__ import annotations

import pytest
from field import quiet
from looking import head_read
from people import World
from screens import SCREENS, Screen
from walk import look_at

FIELD = [screen for screen in SCREENS if screen.who != "desk"]


@pytest.mark.parametrize("screen", FIELD, ids=lambda screen: screen.name)
def test_screen(world: World, screen: Screen) -> None:
    look_at(world, screen)


def test_the_keyboard_sees_where_it_is(world: World) -> None:
    page = world.volunteer.phone.open("/planters")
    page.get_by_role("link", name="Scan the tag").wait_for()
    quiet(world.volunteer.phone)
    head_read(page)
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
