"""What of an asset falls due, and when it is shown. Days of warning: common practice, no source."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from potrounds.domain.planting import Asset, falls_due, hands_for

TODAY = date(2026, 8, 10)


@pytest.mark.parametrize(
    ("key", "what", "days", "shown"),
    [
        ("warranty_until", "warranty", 61, False),
        ("warranty_until", "warranty", 60, True),
        ("warranty_until", "warranty", -30, True),
        ("warranty_until", "warranty", -31, False),
        ("inspect_on", "inspection", 61, False),
        ("inspect_on", "inspection", 0, True),
        ("inspect_on", "inspection", -400, True),
    ],
)
def test_a_warranty_that_is_over_is_forgotten_an_inspection_never(
    key: str, what: str, days: int, shown: bool
) -> None:
    asset = Asset("p-1", **{key: TODAY + timedelta(days)})  # type: ignore[arg-type]
    assert [(due.what, due.days) for due in falls_due(asset, TODAY)] == [(what, days)] * shown


def test_nothing_typed_nothing_due() -> None:
    assert falls_due(Asset("p-1", warranty="Three years"), TODAY) == []


def test_who_may_lift_an_empty_planter() -> None:
    """23 kg is the load constant of the NIOSH equation, the most one person lifts at best."""
    assert [hands_for(kg) for kg in (None, 23, 23.1, 46, 46.1)] == [
        None,
        "one",
        "two",
        "two",
        "cart",
    ]
