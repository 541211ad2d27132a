"""Weather rows: days as they were, and forecasts as they were issued."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from datetime import date as Day
from typing import Any

from potrounds.store.tables import Weather

OBSERVED, FORECAST = "observed", "forecast"
AT_ONCE = 100


@dataclass(frozen=True)
class WeatherRow:
    """One day's weather. `issued_on` of a forecast: the morning it was known."""

    date: Day
    kind: str
    issued_on: Day | None
    tmin_c: float
    tmax_c: float
    rain_mm: float | None
    wind_ms: float | None
    source: str


def observed(since: date | None = None, until: date | None = None) -> list[WeatherRow]:
    """Days as they were, by date, both ends included."""
    query = Weather.select().where(Weather.kind == OBSERVED).order_by(Weather.date)
    if since is not None:
        query = query.where(Weather.date >= since)
    if until is not None:
        query = query.where(Weather.date <= until)
    return _read(query)


def forecasts(since: date | None = None) -> list[WeatherRow]:
    """All forecasts issued from a day on, by the day of issue and the day they are for."""
    query = Weather.select().where(Weather.kind == FORECAST)
    if since is not None:
        query = query.where(Weather.issued_on >= since)
    query = query.order_by(Weather.issued_on, Weather.date)
    return _read(query)


def _read(query: Any) -> list[WeatherRow]:
    """Rows without the detour over model objects: there are hundreds, and they are read often."""
    columns = [getattr(Weather, name) for name in WeatherRow.__dataclass_fields__]
    return [WeatherRow(*values) for values in query.select(*columns).tuples()]


def put(rows: Iterable[WeatherRow]) -> None:
    """Keep these days. A day observed again replaces the one there was; a forecast of the same
    day, issued on the same day, too; forecasts of other days of issue stay as they were."""
    rows = list(rows)
    for kind, issued_on in dict.fromkeys((row.kind, row.issued_on) for row in rows):
        some = [row for row in rows if (row.kind, row.issued_on) == (kind, issued_on)]
        for start in range(0, len(some), AT_ONCE):
            _put_some(kind, issued_on, some[start : start + AT_ONCE])


def _put_some(kind: str, issued_on: date | None, rows: list[WeatherRow]) -> None:
    issued = Weather.issued_on.is_null() if issued_on is None else Weather.issued_on == issued_on
    Weather.delete().where(
        Weather.kind == kind, issued, Weather.date.in_([row.date for row in rows])
    ).execute()
    Weather.insert_many([vars(row) for row in rows]).execute()
