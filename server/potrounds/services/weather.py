"""What a coordinator does with weather: types days, brings a table, fetches the forecast, looks."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from potrounds.services import changes, freeze_warning, town, weather_record
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal
from potrounds.store import register, weather
from potrounds.store.database import write_transaction
from potrounds.store.weather import FORECAST, OBSERVED, WeatherRow
from potrounds.weather import CsvFile, Trouble, Typed, WeatherDay, WeatherSource, WebForecast

#: At most so many days are shown at once.
MOST_SHOWN = 800
#: What a change keeps of a day as it was.
KEPT = ("tmin_c", "tmax_c", "rain_mm", "wind_ms", "source")


def view(ctx: Context, first: date | None, last: date | None) -> dict[str, Any]:
    """The weather from one day to another: as it was, gaps filled and marked, then the forecast.

    Raises: Refusal 422 for days the wrong way round, or too many.
    """
    today = town.calendar().local_day(ctx.now())
    first = first or today - timedelta(days=60)
    last = last or today + timedelta(days=7)
    if not 0 <= (last - first).days <= MOST_SHOWN:
        detail = f"From an earlier to a later day, at most {MOST_SHOWN} days."
        raise Refusal(422, "days", "No such days", detail, [("/to", detail)])
    latitude, _ = weather_record.place()
    rows = weather.observed()
    shown: list[WeatherRow] = []
    usual = weather_record.usual_year(rows, latitude) if latitude is not None else None
    if rows and usual:
        begin, end = max(first, rows[0].date), min(last, today - timedelta(days=1))
        shown = weather_record.without_gaps(rows, begin, end, usual)
        shown += [row for row in rows if row.date >= today and first <= row.date <= last]
    else:
        shown = [row for row in rows if first <= row.date <= last]
    known = {row.date for row in shown}
    ahead = weather_record.latest_forecast(today)
    shown += [row for row in ahead if first <= row.date <= last and row.date not in known]
    return {
        "days": [weather_record.public(row) for row in shown],
        "normals": [vars(month) for month in usual] if usual else None,
        "notes": weather_record.notes(today),
    }


def put_days(ctx: Context, days: list[dict[str, Any]]) -> dict[str, Any]:
    """Keep what a coordinator typed. Raises: Refusal 422 with a pointer to every fault."""
    typed = tuple(
        WeatherDay(
            _day(one["date"]), one["tmin_c"], one["tmax_c"], one.get("rain_mm"), one.get("wind_ms")
        )
        for one in days
    )
    try:
        kept = keep(ctx, Typed(typed), "typed")
    except Trouble as trouble:
        faults = [(f"/days/{fault.row}/{fault.column}", fault.detail) for fault in trouble.faults]
        raise Refusal(
            422, "weather", "Nothing was kept", trouble.faults[0].detail, faults
        ) from None
    return {"days": [weather_record.public(row) for row in kept]}


def import_days(ctx: Context, data: bytes, dry_run: bool) -> dict[str, Any]:
    """Keep the days of a table, or say what is wrong with every row of it and keep none.

    A dry run keeps nothing; `created` then says how many would be.
    """
    source = CsvFile(data)
    try:
        count = len(source.days(_today(ctx)) if dry_run else keep(ctx, source, "csv"))
    except Trouble as trouble:
        faults = [
            {"row": fault.row or 1, "column": fault.column, "detail": fault.detail}
            for fault in trouble.faults
        ]
        rows = max(0, len([line for line in data.splitlines() if line.strip()]) - 1)
        return {"rows": rows, "created": 0, "errors": faults}
    return {"rows": count, "created": count, "errors": []}


def fetch(ctx: Context) -> dict[str, Any]:
    """Ask the forecast service now; a bad answer changes nothing.

    Raises: Refusal 409 when no address is set, 502 with what was wrong with the answer.
    """
    url = register.setting("weather_url")
    if not url:
        detail = "No forecast address is set. A coordinator writes one under the town's settings."
        raise Refusal(409, "no-weather-url", "No forecast address", detail)
    try:
        kept = keep(ctx, WebForecast(url), "web")
    except Trouble as trouble:
        detail = trouble.faults[0].detail
        raise Refusal(502, "weather-source", "No forecast came", detail) from None
    return {"days": [weather_record.public(row) for row in kept]}


def put_normals(ctx: Context, months: list[dict[str, Any]] | None) -> dict[str, Any]:
    """Set what is usual in each month, from other years; null takes it from the days on record."""
    for number, month in enumerate(months or ()):
        if month["tmin_c"] > month["tmax_c"]:
            detail = "The mean low is above the mean high."
            pointer = f"/normals/{number}/tmin_c"
            raise Refusal(422, "weather", "Nothing was kept", detail, [(pointer, detail)])
    with write_transaction():
        kept = {"normals": register.setting(weather_record.NORMALS)}, {"normals": months}
        register.set_setting(weather_record.NORMALS, months)
        changes.note(ctx, "normals", "town", "", {}, {"months": len(months or ())}, kept=kept)
        changes.town_changed(everything=True)
    changes.follow_up(ctx)
    return view(ctx, None, None)


def keep(ctx: Context, source: WeatherSource, name: str) -> list[WeatherRow]:
    """Read a source outside the write lock, keep its days, and assess anew. Raises: Trouble."""
    today = _today(ctx)
    days = source.days(today)
    with write_transaction():
        rows = _rows(days, today, name)
        span = min(day.date for day in days), max(day.date for day in days)
        kept = observed_by_day(*span)
        weather.put(rows)
        note = {"days": len(rows), "from": str(span[0]), "to": str(span[1])}
        both = (kept, observed_by_day(*span))
        changes.note(ctx, "weather", name, "", {}, note, kept=both)
        changes.town_changed(everything=True)
    changes.follow_up(ctx)
    freeze_warning.warn(ctx)
    return rows


def observed_by_day(first: date, last: date) -> dict[str, Any]:
    """The days as they were, as a change keeps them."""
    return {
        row.date.isoformat(): {key: getattr(row, key) for key in KEPT}
        for row in weather.observed(first, last)
    }


def _rows(days: list[WeatherDay], today: date, name: str) -> list[WeatherRow]:
    """A source's days as rows. What a service says of past days stands behind what people gave."""
    told_by_people = {row.date for row in weather.observed() if row.source != "web"}
    rows = []
    for day in days:
        if name == "web" and day.date >= today:
            rows.append(_row(day, FORECAST, today, name))
        elif name != "web" or day.date not in told_by_people:
            rows.append(_row(day, OBSERVED, None, name))
    return rows


def _row(day: WeatherDay, kind: str, issued_on: date | None, name: str) -> WeatherRow:
    return WeatherRow(
        day.date, kind, issued_on, day.tmin_c, day.tmax_c, day.rain_mm, day.wind_ms, name
    )


def _today(ctx: Context) -> date:
    return town.calendar().local_day(ctx.now())


def _day(value: Any) -> date:
    return date.fromisoformat(value) if isinstance(value, str) else value
