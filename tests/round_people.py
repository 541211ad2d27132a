"""Two people who go out, what they were told, and cards of rounds, for tests below the web."""

from __future__ import annotations

from typing import Any

import pytest

from desk import Desk, Phone
from potrounds.services import crew, rounds
from potrounds.store import derived

GOES_OUT = {"weekdays": [0, 3], "minutes": 90, "mode": "cart", "tank_l": 40}
WEEKDAYS = {"weekdays": [0, 3], "minutes": 120, "mode": "foot"}


@pytest.fixture
def vera(desk: Desk) -> Phone:
    return desk.join("Vera Lindqvist")


@pytest.fixture
def omar(desk: Desk) -> Phone:
    return desk.join("Omar Haddad")


@pytest.fixture
def both_go_out(desk: Desk, vera: Phone, omar: Phone) -> None:
    for phone in (vera, omar):
        crew.put_member(desk.ctx, phone.person, dict(WEEKDAYS), None)


def tell(desk: Desk) -> dict[str, Any]:
    plan = rounds.plan(desk.ctx)
    return rounds.tell(desk.ctx, plan["mark"])


def planned(plan: dict[str, Any]) -> dict[str, list[tuple[str, str]]]:
    """Day and person of each planned visit, by planter."""
    found: dict[str, list[tuple[str, str]]] = {}
    for day in plan["days"]:
        for one in day["rounds"]:
            for stop in one["stops"]:
                found.setdefault(stop["planter"], []).append((day["date"], one["person"]["id"]))
    return found


def stop_of(card: dict[str, Any], planter: str) -> dict[str, Any]:
    return next(stop for stop in card["stops"] if stop["planter"] == planter)


def round_card(key: str) -> dict[str, Any]:
    card = derived.get(key)
    assert card is not None
    assert card.content is not None
    return card.content


def said(cards: dict[str, Any]) -> dict[str, Any]:
    """Cards without the stamps of when they were made."""
    return {
        key: {name: value for name, value in (content or {}).items() if name not in derived.STAMPS}
        for key, content in cards.items()
    }
