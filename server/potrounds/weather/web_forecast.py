"""One open web forecast service, by its address. Off until a coordinator writes the address.

The answer is JSON: lists of equal length, one entry a day, either at the top or under "daily":

    {"daily": {"time": ["2026-05-04", …], "temperature_2m_min": […], "temperature_2m_max": […],
               "precipitation_sum": […], "wind_speed_10m_mean": […]},
     "daily_units": {"temperature_2m_min": "°C", …}}

Names that are understood stand in NAMES. Units are read from "daily_units" where it is there;
otherwise they are degrees Celsius, millimetres and, for wind at 10 m, kilometres an hour.
"""

from __future__ import annotations

import json
import math
import time
import urllib.error
import urllib.request
from dataclasses import dataclass
from datetime import date, timedelta
from http.client import HTTPException
from typing import Any
from urllib.parse import urlsplit

from potrounds.weather.source import Fault, Trouble, WeatherDay, days_twice, faults_of

TIMEOUT_S = 10.0
MOST_BYTES = 512 * 1024
MOST_DAYS = 120
LOCAL_HOSTS = ("localhost", "127.0.0.1", "::1")
#: Wind at 2 m over that at 10 m. FAO-56 Eq. 47: 4.87 / ln(67.8 x 10 - 5.42).
AT_2M = 4.87 / math.log(67.8 * 10.0 - 5.42)

NAMES: dict[str, tuple[str, ...]] = {
    "date": ("time", "date"),
    "tmin_c": ("temperature_2m_min", "tmin_c", "tmin"),
    "tmax_c": ("temperature_2m_max", "tmax_c", "tmax"),
    "rain_mm": ("precipitation_sum", "rain_sum", "rain_mm"),
    "wind_ms": ("wind_speed_10m_mean", "windspeed_10m_mean", "wind_ms"),
}
UNITS: dict[str, tuple[float, float]] = {  # unit -> times, then plus, to ours
    "°c": (1.0, 0.0),
    "°f": (1 / 1.8, -32 / 1.8),
    "mm": (1.0, 0.0),
    "inch": (25.4, 0.0),
    "m/s": (1.0, 0.0),
    "ms": (1.0, 0.0),
    "km/h": (1 / 3.6, 0.0),
    "mp/h": (0.44704, 0.0),
    "mph": (0.44704, 0.0),
    "kn": (0.514444, 0.0),
}


def address_fault(url: str) -> str | None:
    """Why an address may not be asked, in words; None where it may."""
    try:
        parts = urlsplit(url)
        host, _ = parts.hostname or "", parts.port
    except ValueError:
        return "This is no address."
    secure = parts.scheme == "https" or (parts.scheme == "http" and host in LOCAL_HOSTS)
    if not (host and secure) or "@" in parts.netloc:
        return "Write the whole address of the forecast, beginning with https://"
    return None


class _StayHere(urllib.request.HTTPRedirectHandler):
    """An address that has moved is written anew by a person, not followed anywhere."""

    def redirect_request(self, *args: Any, **more: Any) -> None:
        return None


@dataclass(frozen=True)
class WebForecast:
    """The service behind one address."""

    url: str
    timeout_s: float = TIMEOUT_S

    def days(self, today: date) -> list[WeatherDay]:
        """Its days: some before today perhaps, and those to come. Raises: Trouble."""
        return read_answer(self._ask(), today)

    def _ask(self) -> bytes:
        fault = address_fault(self.url)
        if fault:
            raise Trouble([Fault(fault)])
        opener = urllib.request.build_opener(_StayHere, urllib.request.ProxyHandler())
        asked = urllib.request.Request(self.url, headers={"Accept": "application/json"})
        try:
            with opener.open(asked, timeout=self.timeout_s) as answer:
                data = self._read(answer, time.monotonic() + self.timeout_s)
        except urllib.error.HTTPError as refused:
            refused.close()
            raise _trouble(f"The forecast service answered {refused.code}.") from None
        except TimeoutError:
            raise _trouble(f"The forecast service was silent for {self.timeout_s:g} s.") from None
        except (OSError, HTTPException, ValueError) as broken:
            if isinstance(getattr(broken, "reason", None), TimeoutError):
                detail = f"The forecast service was silent for {self.timeout_s:g} s."
                raise _trouble(detail) from None
            raise _trouble("The forecast service cannot be reached, or broke off.") from None
        return data

    def _read(self, answer: Any, until: float) -> bytes:
        """The whole answer, if it is here in time: a silence between two bytes is not all."""
        data = b""
        while chunk := answer.read1(65536):
            data += chunk
            if len(data) > MOST_BYTES:
                raise _trouble("The forecast service sent far too much.")
            if time.monotonic() > until:
                raise _trouble(f"The forecast service was too slow: {self.timeout_s:g} s.")
        if answer.length:
            raise _trouble("The forecast service broke off.")
        return data


def _trouble(detail: str) -> Trouble:
    return Trouble([Fault(f"{detail} Nothing was changed.")])


def read_answer(data: bytes, today: date) -> list[WeatherDay]:
    """The days of an answer. Raises: Trouble where it is garbage, stale or has gaps."""
    try:
        said = json.loads(data)
    except (ValueError, RecursionError):
        raise _trouble("The forecast service sent no JSON.") from None
    if not isinstance(said, dict):
        raise _trouble("The forecast service sent no daily forecast.")
    daily = said.get("daily", said)
    units = said.get("daily_units", {})
    if not isinstance(daily, dict) or not isinstance(units, dict):
        raise _trouble("The forecast service sent no daily forecast.")
    columns = {name: _column(daily, units, name) for name in NAMES}
    count = len(columns["date"])
    if not 1 <= count <= MOST_DAYS:
        raise _trouble(f"The forecast service sent {count} days.")
    short = [n for n, values in columns.items() if values and len(values) != count]
    if short:
        raise _trouble("The forecast service sent lists of different lengths.")
    days = [_day({n: v[i] for n, v in columns.items() if v}) for i in range(count)]
    _check(days, today)
    return sorted(days, key=lambda day: day.date)


def _column(daily: dict[str, Any], units: dict[str, Any], name: str) -> list[Any]:
    """The values under one of the names, in our unit; no list where there may be none."""
    key = next((key for key in NAMES[name] if key in daily), None)
    if key is None:
        if name in ("rain_mm", "wind_ms"):
            return []
        raise _trouble(f"The forecast service sent no {NAMES[name][0]}.")
    values = daily[key]
    if not isinstance(values, list):
        raise _trouble(f"The forecast service sent no list of {key}.")
    if name == "date":
        return values
    usual = "km/h" if "10m" in key else ""
    unit = str(units.get(key, usual)).lower()
    if unit and unit not in UNITS:
        raise _trouble(f"The forecast service speaks of {key} in {unit}, which is not known here.")
    times, plus = UNITS.get(unit, (1.0, 0.0))
    if "10m" in key:
        times *= AT_2M
    return [_number(value, times, plus) for value in values]


def _number(value: Any, times: float, plus: float) -> float | None:
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _trouble(f"The forecast service sent {str(value)[:20]!r} where a number belongs.")
    try:
        return round(float(value) * times + plus, 3)
    except OverflowError:
        return math.inf  # refused below as weather that cannot be


def _day(values: dict[str, Any]) -> WeatherDay:
    try:
        day = date.fromisoformat(str(values["date"])[:10])
    except ValueError:
        raise _trouble("The forecast service sent a day that is none.") from None
    low, high = values["tmin_c"], values["tmax_c"]
    if low is None or high is None:
        raise _trouble(f"The forecast service left out the temperatures of {day}.")
    return WeatherDay(day, low, high, values.get("rain_mm"), values.get("wind_ms"))


def _check(days: list[WeatherDay], today: date) -> None:
    """Impossible, stale, doubled or broken runs of days. Raises: Trouble."""
    wrong = [f"{day.date}: {fault.detail}" for day in days for fault in faults_of(day)]
    if wrong:
        raise _trouble(f"The forecast service sent weather that cannot be. {wrong[0]}")
    if days_twice(enumerate(day.date for day in days)):
        raise _trouble("The forecast service sent a day twice.")
    dates = sorted(day.date for day in days)
    if dates[-1] < today:
        raise _trouble(f"The forecast is stale: its last day is {dates[-1]}.")
    if dates[0] > today + timedelta(days=1):
        raise _trouble(f"The forecast begins only on {dates[0]}.")
    if (dates[-1] - dates[0]).days != len(dates) - 1:
        raise _trouble("The forecast leaves out days in its middle.")
