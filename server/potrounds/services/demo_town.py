"""Loads the demo town: an invented place with one season of work, by the rules of any town.

Register rows get the ids the files name, because the records were frozen with them. Each record
is then judged as it would have been on the day it arrived.
"""

from __future__ import annotations

import csv
import io
import json
import secrets
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from potrounds.config import Clock
from potrounds.services import (
    assess,
    changes,
    demo_day,
    demo_planting,
    demo_rounds,
    demo_site_plans,
    judge,
    people,
    sync,
    town,
)
from potrounds.services.context import Caller, Context
from potrounds.services.moments import read_moment, stamp
from potrounds.services.refusal import Refusal
from potrounds.store import ids, log, lows, photos, register, siting, weather
from potrounds.store import people as store_people
from potrounds.store.database import write_transaction
from potrounds.store.weather import FORECAST, OBSERVED, WeatherRow
from potrounds.weather import CsvFile
from potrounds.weather.daily_lows import read_daily_lows

Progress = Callable[[int, int], None]
SESSION = timedelta(days=90)
#: Days whose range between low and high stands in for that of nights with a low only.
RANGE_DAYS = 10
NUMBERS = ("reservoir_l", "weight_moist_kg", "weight_full_kg", "mix_l", "top_area_m2")
TEXTS = ("name", "size", "shape", "gauge", "status", "notes", "sun", "wind")


@dataclass(frozen=True)
class Line:
    """One line of records.jsonl: a record's text and the circumstances of its arrival."""

    author: str | None
    device: str
    received_at: datetime
    sent_at: datetime | None
    text: str


def folder() -> Traversable:
    """The demo town's files: inside the package, or beside it in a source tree.

    Raises: Refusal when this installation came without them.
    """
    beside = Path(__file__).resolve().parents[3] / "demo_data"
    for place in (files("potrounds") / "demo_data", beside):
        if (place / "town.json").is_file():
            return place
    raise Refusal(
        404, "no-demo-data", "No demo town", "The demo town's files are not in this installation."
    )


def load(
    ctx: Context,
    progress: Progress | None = None,
    loaded: Callable[[], None] | None = None,
    on: date | None = None,
) -> Clock:
    """Load the demo town into an empty database; give the clock that stands at its season's end,
    or on the morning of an earlier day.

    `loaded` is called once all records are in and only the season's water is left to reckon.
    Raises: Refusal 422 for a day that is none of the town's.
    """
    source = folder()
    story = json.loads((source / "town.json").read_text("utf-8"))
    if on is not None:
        story = demo_day.as_of(story, on)
    until = _moment(story["clock"])
    lines = [one for one in _lines(source) if one.received_at <= until]
    later = [one for one in _lines(source) if one.received_at > until]
    offset = _moment(story["clock"]) - ctx.clock.source()
    now_then = Context(ctx.settings, Clock(offset), hasher=ctx.hasher)
    with write_transaction():
        register.set_setting("clock_offset_s", offset.total_seconds())
        _load_register(story, source)
        _load_records(story, lines, progress)
        _load_photos(now_then, source, lines, _photos_of(later))
        demo_site_plans.load(now_then, source, _moment(story["loaded_from"]))
        changes.town_changed(everything=True)
    if loaded:
        loaded()
    assess.assess_all(now_then)
    demo_rounds.tell(now_then)
    return now_then.clock


def new_password(ctx: Context) -> tuple[str, str]:
    """Give the demo's coordinator a new password; return name and password."""
    coordinator = next(one for one in store_people.people() if one.role == "coordinator")
    password = "-".join("".join(secrets.choice(ids.CROCKFORD) for _ in range(4)) for _ in range(4))
    people.change_person(ctx, coordinator.id, {"password": password})
    return coordinator.name, password


def _moment(text: str) -> datetime:
    moment = read_moment(text)
    if moment is None:
        raise ValueError(f"{text!r} in the demo town is no moment")
    return moment


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


def _lines(source: Traversable) -> Iterator[Line]:
    for line in (source / "records.jsonl").read_text("utf-8").splitlines():
        found = json.loads(line)
        yield Line(
            author=found["author"],
            device=found["device"],
            received_at=_moment(found["received_at"]),
            sent_at=read_moment(found["sent_at"]),
            text=found["text"],
        )


def _load_register(story: dict[str, Any], source: Traversable) -> None:
    start = _moment(story["loaded_from"])
    named = {"town_name": story["name"], "zone": story["zone"], "demo": True}
    for name, value in {**story["settings"], **named}.items():
        register.set_setting(name, value)
    for site in story["sites"]:
        register.add_site(site["id"], site["name"], _day(site["freeze_on"]))
    for person in story["people"]:
        store_people.add_person(person["id"], person["name"], person["role"], None, start)
    for phone in story["phones"]:
        _load_phone(phone)
    rows = csv.DictReader(io.StringIO((source / "planters.csv").read_text("utf-8")))
    by_name = {planter["name"]: planter for planter in story["planters"]}
    sites = {site["name"]: site["id"] for site in story["sites"]}
    for row in rows:
        _load_planter(row, by_name[row["name"]], sites, start)
    for planting in story["plantings"]:
        register.add_planting(
            planting["planter"],
            date.fromisoformat(planting["planted_on"]),
            planting["plants"],
            planting["scheme"],
        )
    for night in story["nights"]:
        day = date.fromisoformat(night["date"])
        known_on = day if night["kind"] == "recorded" else _moment(story["clock"]).date()
        register.put_night(day, night["kind"], night["low_c"], known_on)
    _load_weather(story, source)
    _load_place(source, start)
    demo_planting.load(source)
    demo_rounds.load(source)


def _load_place(source: Traversable, start: datetime) -> None:
    """The station's record of lows, the planters' positions, and the siting checks."""
    found = read_daily_lows((source / "lows.csv").read_bytes(), None, date.max)
    lows.put(found.lows_c, "Osier Bend, river meadow", stamp(start), None)
    told = json.loads((source / "siting.json").read_text("utf-8"))
    for planter, (lat, lon) in told["positions"].items():
        register.change_planter(planter, {"lat": lat, "lon": lon})
    for check in told["checks"]:
        siting.add(check["planter"], _moment(check["at"]), check["by"], check["facts"])


def _load_weather(story: dict[str, Any], source: Traversable) -> None:
    """The weather up to the clock, and the lows that were typed as forecast for the nights after.

    What the table holds of later days came later: it is left out. The highs of the nights ahead
    are not told; the usual day's range stands in for them.
    """
    today = _moment(story["clock"]).date()
    table = CsvFile((source / "weather.csv").read_bytes()).days(date.max)
    past = [day for day in table if day.date < today]
    weather.put(
        WeatherRow(
            day.date, OBSERVED, None, day.tmin_c, day.tmax_c, day.rain_mm, day.wind_ms, "csv"
        )
        for day in past
    )
    lately = past[-RANGE_DAYS:]
    range_c = sum(day.tmax_c - day.tmin_c for day in lately) / len(lately)
    typed = [
        WeatherRow(
            date.fromisoformat(night["date"]),
            FORECAST,
            today,
            night["low_c"],
            round(night["low_c"] + range_c, 1),
            None,
            None,
            "typed",
        )
        for night in story["nights"]
        if night["kind"] == "forecast"
    ]
    weather.put(typed or demo_day.forecast(table, today))


def _load_phone(phone: dict[str, Any]) -> None:
    first, last = _moment(phone["first_seen"]), _moment(phone["last_seen"])
    # Nobody holds this token: the phones of the story exist in their records only.
    token = ids.hashed(ids.new_secret())
    added = store_people.add_phone(
        ids.short_id("ph"), token, phone["person"], phone["device"], first, last + SESSION
    )
    store_people.change_phone(added.id, last_used=last)


def _load_planter(
    row: dict[str, str], told: dict[str, Any], sites: dict[str, str], start: datetime
) -> None:
    values: dict[str, Any] = {name: row[name] or None for name in TEXTS}
    values |= {name: float(row[name]) if row[name] else None for name in NUMBERS}
    values["notes"] = values["notes"] or ""
    values["site"] = sites[row["site"]]
    values["installed_on"] = _day(row["installed_on"])
    values["rain_reaches"] = {"yes": True, "no": False}[row["rain_reaches"]]
    values["picture"] = told["picture"]
    register.add_planter(told["id"], values, start)
    for old in told["old_codes"]:
        register.issue_tag(
            old["code"], told["id"], start, _moment(old["retired_at"]), old["reason"]
        )
    issued = max([start, *(_moment(old["retired_at"]) for old in told["old_codes"])])
    register.issue_tag(told["code"], told["id"], issued)
    if row["planted_on"]:
        plants = [plant.strip() for plant in row["plants"].split(";") if plant.strip()]
        register.add_planting(told["id"], date.fromisoformat(row["planted_on"]), plants, "")


def _load_records(story: dict[str, Any], lines: list[Line], progress: Progress | None) -> None:
    roles = {person["id"]: person for person in story["people"]}
    calendar = town.calendar()
    planters = town.planters(calendar)
    for done, line in enumerate(lines, start=1):
        person = roles.get(line.author or "", {"id": None, "name": "", "role": None})
        caller = Caller("", person["id"], person["name"], person["role"], line.device)
        arrival = judge.Arrival(caller, line.sent_at, line.received_at, planters, calendar.zone)
        _take(line, arrival)
        if progress:
            progress(done, len(lines))
    for device in sorted({line.device for line in lines}):
        sync.settle_order(device)


def _take(line: Line, arrival: judge.Arrival) -> None:
    item = json.loads(line.text)
    if line.author is None:
        log.append(judge.read(line.text, item, arrival))
        return
    verdict = judge.judge(line.text, item, arrival)
    if verdict.outcome == "held":
        log.hold(verdict.sent, verdict.reason, judge.photos_named(item))
    else:
        log.append(verdict.sent, judge.photos_named(item))


def _photos_of(lines: list[Line]) -> dict[str, Line]:
    return {sha: line for line in lines for sha in judge.photos_named(json.loads(line.text))}


def _load_photos(
    ctx: Context, source: Traversable, lines: list[Line], later: Collection[str]
) -> None:
    authors = _photos_of(lines)
    for file in sorted((source / "photos").iterdir(), key=lambda one: one.name):
        sha = file.name.removesuffix(".jpg")
        if sha == file.name or sha in later:
            continue
        data = file.read_bytes()
        size, size_bytes = photos.take_in(
            ctx.settings.photo_folder, sha, io.BytesIO(data), len(data)
        )
        line = authors.get(sha)
        photos.add(
            sha,
            size,
            size_bytes,
            line.author if line else None,
            line.received_at if line else ctx.now(),
        )
