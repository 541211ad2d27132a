"""Weather from a table, as a spreadsheet or a weather station writes it.

Columns, in any order; the unit is in the name: date* (YYYY-MM-DD), tmin_c* and tmax_c* (or tmin_f,
tmax_f), rain_mm (or rain_in), wind_ms (mean wind at 2 m; or wind_kmh, wind_mph). * must be there.
An empty cell is a figure that is missing. Other columns are left alone.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from potrounds.weather.source import Fault, Trouble, WeatherDay, days_twice, faults_of

MOST_ROWS = 4000
NUMBER = re.compile(r"[-+−]?\d{1,5}(\.\d{1,6})?")
Turn = Callable[[float], float]
SAME: Turn = lambda value: value  # noqa: E731

#: What the day keeps -> the columns that may hold it, and how each becomes our unit.
COLUMNS: dict[str, dict[str, Turn]] = {
    "tmin_c": {"tmin_c": SAME, "tmin_f": lambda value: (value - 32.0) / 1.8},
    "tmax_c": {"tmax_c": SAME, "tmax_f": lambda value: (value - 32.0) / 1.8},
    "rain_mm": {"rain_mm": SAME, "rain_in": lambda value: value * 25.4},
    "wind_ms": {
        "wind_ms": SAME,
        "wind_kmh": lambda value: value / 3.6,
        "wind_mph": lambda value: value * 0.44704,
    },
}
NEEDED = ("tmin_c", "tmax_c")


@dataclass(frozen=True)
class CsvFile:
    """A table's bytes."""

    data: bytes

    def days(self, today: date) -> list[WeatherDay]:
        """The days of the table. Raises: Trouble with every row that is wrong."""
        rows = _rows(self.data)
        held = _held_where(rows[0][1])
        faults: list[Fault] = []
        found: list[tuple[int, WeatherDay]] = []
        for line, cells in rows[1:]:
            day = _day(line, dict(zip(rows[0][1], cells, strict=False)), held, faults)
            if day is not None:
                found.append((line, day))
                faults += [_placed(one, line, held) for one in faults_of(day, latest=today)]
        faults += days_twice((line, day.date) for line, day in found)
        if faults:
            raise Trouble(sorted(faults, key=lambda fault: fault.row or 0))
        return sorted((day for _, day in found), key=lambda day: day.date)


def _placed(fault: Fault, line: int, held: dict[str, tuple[str, Turn]]) -> Fault:
    """A day's fault at the line and under the column of the table it came from."""
    column = held[fault.column][0] if fault.column in held else fault.column
    return Fault(fault.detail, line, column)


def _rows(data: bytes) -> list[tuple[int, list[str]]]:
    """Header and lines with their line numbers. Raises: Trouble."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Trouble([Fault("This file is not UTF-8. Save it as “CSV UTF-8”.", 1)]) from None
    if "\x00" in text or not text.strip():
        raise Trouble([Fault("This is no table. Save it as “CSV UTF-8”.", 1)])
    separator = max(",;\t", key=text.splitlines()[0].count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows = []
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append((reader.line_num, [cell.strip() for cell in cells]))
    except csv.Error as broken:
        raise Trouble([Fault(f"This file cannot be read as a table: {broken}.", 1)]) from None
    rows[0] = (rows[0][0], [name.lower() for name in rows[0][1]])
    if len(rows) == 1:
        raise Trouble([Fault("There is no day under the header.", 1)])
    if len(rows) > MOST_ROWS + 1:
        raise Trouble([Fault(f"At most {MOST_ROWS} days at once; this has {len(rows) - 1}.", 1)])
    return rows


def _held_where(header: list[str]) -> dict[str, tuple[str, Turn]]:
    """The column each figure is read from. Raises: Trouble."""
    faults = []
    if header.count("date") != 1:
        faults.append(Fault("One column has to be called date.", 1, "date"))
    held = {}
    for name, ways in COLUMNS.items():
        there = [column for column in header if column in ways]
        if len(there) > 1:
            faults.append(Fault(f"Only one of {', '.join(ways)}.", 1, there[1]))
        elif there:
            held[name] = (there[0], ways[there[0]])
        elif name in NEEDED:
            faults.append(Fault(f"This column is missing: {' or '.join(ways)}.", 1, name))
    if faults:
        raise Trouble(faults)
    return held


def _day(
    line: int, cells: dict[str, str], held: dict[str, tuple[str, Turn]], faults: list[Fault]
) -> WeatherDay | None:
    """A line as a day; None, and what is wrong noted, where it cannot be read."""
    before = len(faults)
    text = cells.get("date", "")
    day = date.min
    try:
        if len(text) != len("YYYY-MM-DD"):
            raise ValueError(text)
        day = date.fromisoformat(text)
    except ValueError:
        what = f"{text} is no day." if text else "The day is missing."
        faults.append(Fault(f"{what} Write year, month, day, like 2026-05-12.", line, "date"))
    values: dict[str, float | None] = {}
    for name, (column, turn) in held.items():
        cell = cells.get(column, "")
        values[name] = None
        if not cell and name in NEEDED:
            faults.append(Fault("This has to be filled in.", line, column))
        elif cell and not NUMBER.fullmatch(cell):
            faults.append(Fault(f"{cell} is no number. Write it like 16.5.", line, column))
        elif cell:
            values[name] = round(turn(float(cell.replace("−", "-"))), 3)
    if len(faults) > before:
        return None
    low, high = values["tmin_c"] or 0.0, values["tmax_c"] or 0.0
    return WeatherDay(day, low, high, values.get("rain_mm"), values.get("wind_ms"))
