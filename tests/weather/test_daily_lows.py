"""A station's daily lows as a table: the usual layouts, the traps, every fault at its line."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from potrounds.weather.daily_lows import MOST_FAULTS, read_daily_lows
from potrounds.weather.source import Trouble

TODAY = date(2026, 5, 4)
# Layout of the daily summaries that NOAA's archive hands out, from memory.
ARCHIVE = (
    '"STATION","NAME","DATE","TMAX","TMIN"\n'
    '"USC00000001","OSIER BEND 2 N","2025-10-24","55","36"\n'
    '"USC00000001","OSIER BEND 2 N","2025-10-25","51","28"\n'
    '"USC00000001","OSIER BEND 2 N","2025-10-26","","",\n'
)


def faults(table: str | bytes, unit: str | None = None) -> list[tuple[int | None, str | None, str]]:
    with pytest.raises(Trouble) as caught:
        read_daily_lows(table if isinstance(table, bytes) else table.encode(), unit, TODAY)
    return [(one.row, one.column, one.detail) for one in caught.value.faults]


def years(low: str, first: int = 2024, days: int = 366) -> str:
    lines = ["date,tmin"]
    lines += [f"{date(first, 1, 1) + timedelta(days=n)},{low}" for n in range(days)]
    return "\n".join(lines)


def test_an_archives_table_in_fahrenheit() -> None:
    found = read_daily_lows(ARCHIVE.encode(), "f", TODAY)
    assert found.lows_c == {date(2025, 10, 24): 2.22, date(2025, 10, 25): -2.22}
    assert (found.empty, found.station, found.unit) == (1, "OSIER BEND 2 N", "f")


@pytest.mark.parametrize(
    ("header", "cell", "unit", "low_c"),
    [
        ("tmin_c", "-2.2", None, -2.2),
        ("TMIN_F", "28", None, -2.22),
        ("tmin_f", "28", "f", -2.22),
        ("TMIN", "-22", "tenths-c", -2.2),
        ("Tmin", "−2.2", "c", -2.2),
        ("tmin_tenths_c", "-22", None, -2.2),
    ],
)
def test_each_unit(header: str, cell: str, unit: str | None, low_c: float) -> None:
    found = read_daily_lows(f"DATE;{header}\n20251025;{cell}\n".encode(), unit, TODAY)
    assert found.lows_c == {date(2025, 10, 25): low_c}
    assert found.station is None


@pytest.mark.parametrize("cell", ["", "M", "m", "9999", "-9999"])
def test_what_archives_write_for_a_missing_low(cell: str) -> None:
    table = f"date,tmin_f\n2025-10-24,30\n2025-10-25,{cell}\n"
    found = read_daily_lows(table.encode(), None, TODAY)
    assert (len(found.lows_c), found.empty) == (1, 1)


def test_a_unit_is_asked_for_where_the_column_names_none() -> None:
    ((row, column, detail),) = faults(ARCHIVE)
    assert (row, column) == (1, "tmin")
    assert "does not say its unit" in detail


@pytest.mark.parametrize(
    ("table", "unit", "row", "column", "says"),
    [
        ("", None, 1, None, "no table"),
        ("PK\x00", None, 1, None, "no table"),
        ("day,tmin_f\n", None, 1, "date", "called DATE"),
        ("date,low\n2025-10-25,3\n", None, 1, "tmin", "has to hold the lows"),
        ("date,tmin_f,tmin_c\n2025-10-25,3,3\n", None, 1, "tmin", "One column"),
        ("date,tmin_f\n", None, 1, "tmin_f", "no low under the header"),
        ("date,tmin_f\n2025-10-25,\n", None, 1, "tmin_f", "no low under the header"),
        ("date,tmin_f\n2025-10-25,3\n", "c", 1, "tmin_f", "but °C was chosen"),
        ("date,tmin_f\n10/25/2025,30\n", None, 2, "date", "like 2001-10-25"),
        ("date,tmin_f\n2025-02-30,30\n", None, 2, "date", "no day"),
        ("date,tmin_f\n,30\n", None, 2, "date", "is missing"),
        ("date,tmin_f\n2026-05-05,30\n", None, 2, "date", "not been yet"),
        ("date,tmin_f\n2025-10-25,30\n2025-10-25,31\n", None, 3, "date", "twice"),
        ("date,tmin_f\n2025-10-25,cold\n", None, 2, "tmin_f", "no number"),
        ('date,tmin_f\n2025-10-25,"2,5"\n', None, 2, "tmin_f", "no number"),
        ("date,tmin_c\n2025-10-25,68\n", None, 2, "tmin_c", "Is the unit right"),
        ("date,tmin_f\n2025-10-25,-90\n", None, 2, "tmin_f", "Is the unit right"),
        ("date,tmin\n2025-10-25,-2.2\n", "tenths-c", 2, "tmin", "whole numbers"),
        ('date,tmin_f\n2025-10-25,"30\n', None, 1, None, "cannot be read"),
        (
            "station,date,tmin_f\nA,2025-10-24,30\nB,2025-10-25,31\n",
            *(None, 3, "station", "more than one station"),
        ),
    ],
)
def test_every_fault_has_its_line_column_and_words(
    table: str, unit: str | None, row: int, column: str | None, says: str
) -> None:
    ((at, where, detail),) = faults(table, unit)
    assert (at, where) == (row, column)
    assert says in detail


def test_other_letters_than_utf8() -> None:
    assert "UTF-8" in faults("date,tmin_f\n2025-10-25,3°".encode("latin-1"))[0][2]


@pytest.mark.parametrize(
    ("low", "unit", "says"),
    [("15", "f", "°F"), ("59", "c", None), ("3", "c", "°C"), ("150", "tenths-c", None)],
)
def test_a_years_warmest_night_gives_a_wrong_unit_away(
    low: str, unit: str, says: str | None
) -> None:
    """15 is a mild night in degC and a deep frost in degF; judgement, no source."""
    table = years(low)
    if unit == "tenths-c":
        assert read_daily_lows(table.encode(), unit, TODAY).lows_c[date(2024, 7, 1)] == 15.0
        return
    detail = faults(table, unit)[0][2]
    assert (f"Read in {says}" if says else "Is the unit right") in detail


def test_a_wrong_unit_does_not_name_every_line_of_sixty_years() -> None:
    found = faults(years("70", 1960, 20_000), "c")
    assert len(found) == MOST_FAULTS + 1
    assert found[-1][2] == f"And {20_000 - MOST_FAULTS} more."


def test_sixty_years_are_read_whole() -> None:
    found = read_daily_lows(years("55", 1960, 22_000).encode(), "f", TODAY)
    assert len(found.lows_c) == 22_000
