"""The one sentence about a planter's water."""

from __future__ import annotations

from dataclasses import replace

import pytest

from build import TODAY, a_check_in, a_look, a_water
from potrounds.domain.water import Band, Outlook, Water
from potrounds.services.water_words import sentence

NBSP = "\N{NO-BREAK SPACE}"
LOOK = a_look(a_check_in(level=0.5), 0.5)


def lasting(low: float | None, mid: float | None, high: float | None, **more: object) -> Water:
    water = a_water(LOOK, days=5.0)
    assert isinstance(water.outlook, Outlook)
    outlook = replace(water.outlook, days_to_empty=Band(mid, low, high))
    return replace(water, outlook=outlook, **more)


def said(water: Water) -> str:
    return sentence(water).replace(NBSP, " ")


def test_litres_days_their_range_and_the_day() -> None:
    assert TODAY.isoformat() == "2026-08-10"
    assert said(lasting(4.2, 6.3, 9.1)) == (
        "About 9 L of 16 L left, enough for about 6 days (4 to 9), to Sunday 16 August."
    )
    assert "(4 to more than 40)" in said(lasting(4.2, 6.3, None))


@pytest.mark.parametrize(
    ("low", "words"), [(None, "enough for more than 40 days"), (12.0, "for 12 days at least")]
)
def test_later_than_anybody_looks(low: float | None, words: str) -> None:
    assert words in said(lasting(low, None, None))


def test_gone_before_tomorrow_and_empty() -> None:
    assert "likely gone before tomorrow: it takes about 7 L" in said(lasting(0.1, 0.6, 1.2))
    empty = lasting(0.0, 0.0, 0.1, level_l=Band(0.2, 0.0, 0.5))
    assert said(empty) == "Likely empty: it takes about 7 L."


def test_where_a_leak_is_suspected_both_ends_have_their_reason() -> None:
    split = lasting(0.5, 2.0, None, leak=0.85)
    assert said(split) == (
        "About 9 L of 16 L left, enough for about 2 days if it loses water as suspected, for more "
        "than 40 if not."
    )
    assert "as suspected" not in said(lasting(0.5, 2.0, None))
    assert "as suspected" in said(lasting(0.1, 0.6, 30.0, leak=0.85))


def test_nothing_is_said_where_nothing_is_known() -> None:
    assert said(a_water(LOOK)) == "Nothing can be said about the water yet."
