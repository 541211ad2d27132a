"""What every weather source gives, and what makes a day's weather impossible."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from datetime import date as Day
from typing import Protocol

# Outside these a figure is a slip of the pen, not weather. Low and high: just beyond the records
# of the World Meteorological Organization's archive (-89.2 and 56.7 degC), the low drawn in to
# where towns are. Rain: above all but a few days ever measured. from memory
LEAST_C, MOST_C = -60.0, 57.0
MOST_RAIN_MM = 500.0
MOST_WIND_MS = 50.0


@dataclass(frozen=True)
class WeatherDay:
    """One day: low and high of the air [degC], rain [mm], mean wind at 2 m [m/s]."""

    date: Day
    tmin_c: float
    tmax_c: float
    rain_mm: float | None = None
    wind_ms: float | None = None


@dataclass(frozen=True)
class Fault:
    """What is wrong, where: the line of a table (the header is line 1) and its column."""

    detail: str
    row: int | None = None
    column: str | None = None


class Trouble(Exception):
    """A source cannot give weather. Nothing of it may be kept."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__(self.faults[0].detail if self.faults else "no weather")


class WeatherSource(Protocol):
    """A place weather comes from."""

    def days(self, today: Day) -> list[WeatherDay]:
        """All of its days by date, those before `today` having been, the others forecast.

        Raises: Trouble, naming all that is wrong, when any of it cannot be believed.
        """


@dataclass(frozen=True)
class Typed:
    """What a coordinator typed: days that have been, and today."""

    typed: tuple[WeatherDay, ...]

    def days(self, today: date) -> list[WeatherDay]:
        """The days typed. Raises: Trouble."""
        faults = [
            Fault(fault.detail, row, fault.column)
            for row, day in enumerate(self.typed)
            for fault in faults_of(day, latest=today)
        ]
        faults += days_twice((row, day.date) for row, day in enumerate(self.typed))
        if faults:
            raise Trouble(faults)
        return sorted(self.typed, key=lambda day: day.date)


def faults_of(day: WeatherDay, latest: date | None = None) -> list[Fault]:
    """What cannot be in a day's weather; `latest`: the last day that may have been recorded."""
    faults = []
    for column in ("tmin_c", "tmax_c"):
        value = getattr(day, column)
        if not math.isfinite(value) or not LEAST_C <= value <= MOST_C:
            hint = (
                " Degrees Fahrenheit go under a column that ends in _f." if value > MOST_C else ""
            )
            faults.append(Fault(f"{value:g} °C cannot be right.{hint}", None, column))
    if not faults and day.tmin_c > day.tmax_c:
        detail = f"The low, {day.tmin_c:g} °C, is above the high, {day.tmax_c:g} °C."
        faults.append(Fault(detail, None, "tmin_c"))
    limits = (("rain_mm", MOST_RAIN_MM, "mm"), ("wind_ms", MOST_WIND_MS, "m/s"))
    for column, most, unit in limits:
        value = getattr(day, column)
        if value is not None and not (math.isfinite(value) and 0 <= value <= most):
            faults.append(Fault(f"{value:g} {unit} cannot be right: 0 to {most:g}.", None, column))
    if latest is not None and day.date > latest:
        detail = f"{day.date} has not been yet. A forecast is not weather that was."
        faults.append(Fault(detail, None, "date"))
    return faults


def days_twice(dated: Iterable[tuple[int, date]]) -> list[Fault]:
    """A fault for each day that is there a second time."""
    seen: dict[date, int] = {}
    faults = []
    for row, day in dated:
        if day in seen:
            faults.append(Fault(f"{day} is there twice.", row, "date"))
        seen.setdefault(day, row)
    return faults
