"""A station's record of daily lows from a table, as public archives hand it out.

Columns, in any order, capitals or not: DATE (2001-10-25 or 20011025) and one column of lows whose
name says its unit (tmin_c, tmin_f, tmin_tenths_c), or TMIN with the unit told beside the file.
STATION, when it is there, has to be one and the same. An empty cell, M, 9999 and -9999 are a low
that is missing. Other columns are left alone.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from potrounds.weather.source import LEAST_C, MOST_C, Fault, Trouble

UNITS = ("c", "f", "tenths-c")
MOST_ROWS = 40_000
MOST_FAULTS = 60
MISSING = frozenset({"", "m", "9999", "-9999", "9999.0", "-9999.0"})
NUMBER = re.compile(r"[-+−]?\d{1,5}(\.\d{1,6})?")
DAY = re.compile(r"(\d{4})-?(\d{2})-?(\d{2})")
BY_NAME = {"tmin_c": "c", "tmin_f": "f", "tmin_tenths_c": "tenths-c"}
PLAIN = "tmin"
TO_C: dict[str, Callable[[float], float]] = {
    "c": lambda value: value,
    "f": lambda value: (value - 32.0) / 1.8,
    "tenths-c": lambda value: value / 10.0,
}
SAID = {"c": "°C", "f": "°F", "tenths-c": "tenths of a °C"}
#: With so many lows a whole year's warmth is in the file, and the warmest night tells the unit.
ENOUGH_LOWS = 300
#: The warmest night of a place with planters is within these. [degC] Judgement.
WARMEST_NIGHT_C = (7.0, 38.0)


@dataclass(frozen=True)
class DailyLows:
    """What a file holds: lows by day [degC], days named without a low, the station's name."""

    lows_c: dict[date, float]
    empty: int
    station: str | None
    unit: str


def read_daily_lows(data: bytes, unit: str | None, today: date) -> DailyLows:
    """The lows of a file. `unit`: of a column that is called TMIN only.

    Raises: Trouble with what is wrong, by line and column.
    """
    lines = _lines(data)
    _, header = next(lines)
    names = [name.strip().lower() for name in header]
    column, told = _low_column(names, unit)
    where = {name: names.index(name) for name in ("station", "name") if name in names}
    reading = _Reading(column, told, today)
    at_date, at_low = names.index("date"), names.index(column)
    stations: dict[str, tuple[int, str]] = {}
    for line, cells in lines:
        if any(cell.strip() for cell in cells):
            reading.take(line, cells, at_date, at_low)
            said = {name: _cell(cells, at) for name, at in where.items()}
            stations.setdefault(said.get("station", ""), (line, said.get("name", "")))
    if len(stations) > 1:
        detail = "There is more than one station in this file. Bring one station's record."
        raise Trouble([Fault(detail, list(stations.values())[1][0], "station")])
    if len(reading.lows_c) + reading.empty > MOST_ROWS:
        raise Trouble([Fault(f"At most {MOST_ROWS} days at once.", 1)])
    if reading.faults:
        raise Trouble(reading.told_faults())
    if not reading.lows_c:
        raise Trouble([Fault("There is no low under the header.", 1, column)])
    _check_warmth(reading.lows_c.values(), told, column)
    number, (_, name) = next(iter(stations.items()))
    station = (name or number)[:120] or None
    return DailyLows(dict(sorted(reading.lows_c.items())), reading.empty, station, told)


def _cell(cells: list[str], at: int) -> str:
    return cells[at].strip() if at < len(cells) else ""


def _lines(data: bytes) -> Iterator[tuple[int, list[str]]]:
    """The rows with their line numbers, the header first. Raises: Trouble."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Trouble([Fault("This file is not UTF-8. Save it as “CSV UTF-8”.", 1)]) from None
    if "\x00" in text or not text.strip():
        raise Trouble([Fault("This is no table. Save it as “CSV UTF-8”.", 1)])
    separator = max(",;\t", key=text.splitlines()[0].count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        for cells in reader:
            yield reader.line_num, cells
    except csv.Error as broken:
        raise Trouble([Fault(f"This file cannot be read as a table: {broken}.", 1)]) from None


def _low_column(names: list[str], unit: str | None) -> tuple[str, str]:
    """The column of lows and its unit. Raises: Trouble."""
    if names.count("date") != 1:
        raise Trouble([Fault("One column has to be called DATE.", 1, "date")])
    there = [name for name in names if name in BY_NAME or name == PLAIN]
    if len(there) != 1:
        wanted = f"{', '.join(BY_NAME)} or TMIN"
        raise Trouble([Fault(f"One column has to hold the lows: {wanted}.", 1, PLAIN)])
    column = there[0]
    if column in BY_NAME:
        told = BY_NAME[column]
        if unit is not None and unit != told:
            detail = f"The column is called {column}, but {SAID[unit]} was chosen."
            raise Trouble([Fault(detail, 1, column)])
        return column, told
    if unit is None:
        detail = "TMIN does not say its unit. Choose °C, °F or tenths of a °C beside the file."
        raise Trouble([Fault(detail, 1, PLAIN)])
    return column, unit


class _Reading:
    """Takes line by line; what cannot be read is noted."""

    def __init__(self, column: str, unit: str, today: date) -> None:
        self.column, self.unit, self.today = column, unit, today
        self.lows_c: dict[date, float] = {}
        self.empty = 0
        self.faults: list[Fault] = []
        self._seen: set[date] = set()

    def take(self, line: int, cells: list[str], at_date: int, at_low: int) -> None:
        """One line of the table."""
        day = self._day(line, _cell(cells, at_date))
        cell = _cell(cells, at_low)
        if day is None:
            return
        if cell.lower() in MISSING:
            self.empty += 1
            return
        if not NUMBER.fullmatch(cell):
            self._wrong(f"{cell} is no number. Write it like 28 or -2.2.", line, self.column)
            return
        value = float(cell.replace("−", "-"))
        if self.unit == "tenths-c" and not value.is_integer():
            detail = f"Tenths of a °C are whole numbers; {cell} is none. Is it °C or °F?"
            self._wrong(detail, line, self.column)
            return
        low = TO_C[self.unit](value)
        if not LEAST_C <= low <= MOST_C:
            detail = f"A low of {cell} in {SAID[self.unit]} cannot be right. Is the unit right?"
            self._wrong(detail, line, self.column)
            return
        self.lows_c[day] = round(low, 2)

    def _day(self, line: int, cell: str) -> date | None:
        found = DAY.fullmatch(cell)
        try:
            day = date(*(int(part) for part in found.groups())) if found else None
        except ValueError:
            day = None
        if day is None:
            what = f"{cell} is no day." if cell else "The day is missing."
            self._wrong(f"{what} Write year, month, day, like 2001-10-25.", line, "date")
            return None
        if day > self.today:
            self._wrong(f"{day} has not been yet.", line, "date")
            return None
        if day in self._seen:
            self._wrong(f"{day} is there twice.", line, "date")
            return None
        self._seen.add(day)
        return day

    def _wrong(self, detail: str, line: int, column: str) -> None:
        self.faults.append(Fault(detail, line, column))

    def told_faults(self) -> list[Fault]:
        """The first faults; a wrong unit would else name every line of sixty years."""
        more = len(self.faults) - MOST_FAULTS
        if more <= 0:
            return self.faults
        rest = Fault(f"And {more} more.", self.faults[MOST_FAULTS].row)
        return [*self.faults[:MOST_FAULTS], rest]


def _check_warmth(lows: Iterable[float], unit: str, column: str) -> None:
    """A year whose warmest night is near freezing, or hot, is told in another unit."""
    found = list(lows)
    warmest = max(found)
    least, most = WARMEST_NIGHT_C
    if len(found) < ENOUGH_LOWS or least <= warmest <= most:
        return
    detail = (
        f"Read in {SAID[unit]}, the warmest night of this file had a low of {warmest:.0f} °C. "
        "Choose the unit it is in."
    )
    raise Trouble([Fault(detail, 1, column)])
