"""Words for days and numbers."""

from __future__ import annotations

from datetime import date

from potrounds.domain.spoken import (
    spoken_celsius,
    spoken_count,
    spoken_day,
    spoken_length,
    spoken_level,
    spoken_litres,
)


def test_days_are_said_with_their_weekday() -> None:
    assert spoken_day(date(2024, 8, 4)) == "Sunday 4 August"  # an almanac's Sunday
    assert spoken_day(date(2026, 10, 25)) == "Sunday 25 October"


def test_numbers_keep_their_unit_on_one_line() -> None:
    assert spoken_litres(8.0) == "8\N{NO-BREAK SPACE}L"
    assert spoken_litres(2.46) == "2.5\N{NO-BREAK SPACE}L"
    assert spoken_litres(10.0) == "10\N{NO-BREAK SPACE}L"
    assert spoken_celsius(-2) == "−2\N{NO-BREAK SPACE}°C"
    assert spoken_celsius(-0.04) == "0\N{NO-BREAK SPACE}°C"
    assert spoken_celsius(1.25) == "1.2\N{NO-BREAK SPACE}°C"
    assert spoken_count(1, "day") == "1\N{NO-BREAK SPACE}day"
    assert spoken_count(9, "day") == "9\N{NO-BREAK SPACE}days"
    assert spoken_count(2, "litre of mix", "litres of mix").endswith("litres of mix")


def test_lengths_are_said_both_ways() -> None:
    """915 mm for 36 in: 2010 ADA Standards 403.5.1; 25 ft are 7.62 m, exact."""
    assert spoken_length(91.5) == "92\N{NO-BREAK SPACE}cm (36\N{NO-BREAK SPACE}in)"
    assert spoken_length(762.0) == "7.6\N{NO-BREAK SPACE}m (25\N{NO-BREAK SPACE}ft)"


def test_levels_are_said_as_marks() -> None:
    assert [spoken_level(mark) for mark in (0.0, 0.25, 0.5, 0.75, 1.0)] == [
        "empty",
        "a quarter",
        "half",
        "three quarters",
        "full",
    ]
