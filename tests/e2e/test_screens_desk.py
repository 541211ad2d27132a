"""A walk over every screen of the desk."""

from __future__ import annotations

import pytest
from people import World
from screens import SCREENS, Screen
from walk import look_at

DESK = [screen for screen in SCREENS if screen.who == "desk"]


@pytest.mark.parametrize("screen", DESK, ids=lambda screen: screen.name)
def test_screen(world: World, screen: Screen) -> None:
    look_at(world, screen)
