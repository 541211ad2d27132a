"""The ways back of what holds for the whole town: settings, weather, lists, planting day."""

from __future__ import annotations

from datetime import date
from typing import Any

from potrounds.services import (
    changes,
    materials,
    plan_register,
    site_plans,
    step_lists,
    town,
    town_settings,
    weather,
    weather_record,
)
from potrounds.services.context import Context
from potrounds.services.moments import stamp
from potrounds.services.undo_way import State, Way
from potrounds.store import lows, planting, register, seasons, undo
from potrounds.store import site_plans as plan_pictures
from potrounds.store import weather as weather_store
from potrounds.store.database import write_transaction
from potrounds.store.register import Change
from potrounds.store.weather import OBSERVED, WeatherRow

# --- settings and nights -------------------------------------------------------------------------

SETTINGS = Way(
    now=lambda ref: town.settings(),
    put=lambda ctx, ref, values: town_settings.change_settings(ctx, values),
)


def _put_nights(ctx: Context, ref: str, values: State) -> None:
    with write_transaction():
        before, kept = town_settings.lows_by_night(), town_settings.nights_by_key()
        for key, was in values.items():
            text, kind = key.split(" ")
            low_c, known = was or (None, None)
            register.put_night(
                date.fromisoformat(text), kind, low_c, date.fromisoformat(known) if known else None
            )
        both = (kept, town_settings.nights_by_key())
        changes.note(ctx, "nights", "town", "", before, town_settings.lows_by_night(), kept=both)
        changes.town_changed(everything=True)


NIGHTS = Way(
    now=lambda ref: town_settings.nights_by_key(),
    put=_put_nights,
    kept_only=True,
    say=lambda key, value: value and value[0],
)


# --- weather -------------------------------------------------------------------------------------


def _against_weather(ctx: Context, change: Change, before: State, after: State) -> str | None:
    if change.ref == "web":
        return (
            "What the service said stays as it was issued. Type the days that are wrong: what "
            "people type stands before it."
        )
    return None


def _days_now(ref: str) -> State:
    return weather.observed_by_day(date.min, date.max)


def _put_days(ctx: Context, ref: str, values: State) -> None:
    days = sorted(values)
    first, last = date.fromisoformat(days[0]), date.fromisoformat(days[-1])
    with write_transaction():
        kept = weather.observed_by_day(first, last)
        for text in values:
            undo.remove_day(date.fromisoformat(text))
        weather_store.put(
            WeatherRow(date.fromisoformat(text), OBSERVED, None, **was)
            for text, was in values.items()
            if was
        )
        told = {"days": len(days), "from": days[0], "to": days[-1]}
        both = (kept, weather.observed_by_day(first, last))
        changes.note(ctx, "weather", ref, "", {}, told, kept=both)
        changes.town_changed(everything=True)


def _say_day(key: str, value: Any) -> Any:
    return value and {"tmin_c": value["tmin_c"], "tmax_c": value["tmax_c"]}


WEATHER = Way(now=_days_now, put=_put_days, kept_only=True, against=_against_weather, say=_say_day)
NORMALS = Way(
    now=lambda ref: {"normals": register.setting(weather_record.NORMALS)},
    put=lambda ctx, ref, values: weather.put_normals(ctx, values["normals"]),
    kept_only=True,
    say=lambda key, value: len(value or ()),
)


def _put_lows(ctx: Context, ref: str, values: State) -> None:
    with write_transaction():
        kept = lows.by_year()
        there = lows.about()
        station = values.get("station", there and there.station)
        years = {year: days for year, days in values.items() if year != "station"}
        lows.put_years(years, station, stamp(ctx.now()), ctx.person)
        both = (kept, lows.by_year())
        told = {"years": len(years)}
        changes.note(ctx, "lows", ref, station or "", {}, told, kept=both)
        changes.town_changed(everything=True)


LOWS = Way(
    now=lambda ref: lows.by_year(),
    put=_put_lows,
    kept_only=True,
    say=lambda key, value: value if key == "station" else None,
)


# --- lists ---------------------------------------------------------------------------------------


def _put_list(ctx: Context, ref: str, values: State) -> None:
    """Steps go back one by one, so that other steps edited since stay as they are."""
    now = step_lists.by_code(step_lists.standing(ref))
    order: list[str] = now.pop(step_lists.ORDER)
    wanted = values.get(step_lists.ORDER) or order
    steps = now | {code: step for code, step in values.items() if code != step_lists.ORDER}
    there = [code for code in (*wanted, *order, *steps) if steps.get(code)]
    body = [steps[code] for code in dict.fromkeys(there)]
    step_lists.change(ctx, ref, body, seasons.edition_count(ref))


def _same_in_list(key: str, one: Any, other: Any) -> bool:
    """Of two orders only what stands in both counts: steps that came and went have their own."""
    if key != step_lists.ORDER or not (one and other):
        return bool(one == other)
    both = set(one) & set(other)
    return [code for code in one if code in both] == [code for code in other if code in both]


LIST = Way(
    now=lambda ref: step_lists.by_code(step_lists.standing(ref)),
    put=_put_list,
    kept_only=True,
    say=lambda key, value: value["title"] if isinstance(value, dict) else value,
    same=_same_in_list,
)


# --- planting day --------------------------------------------------------------------------------


def _size_now(ref: str) -> State | None:
    found = next((size for size in planting.sizes() if size.id == ref), None)
    return found and {key: getattr(found, key) for key in plan_register.SIZE_KEYS}


def _put_size(ctx: Context, ref: str, values: State) -> None:
    there = planting.size(ref)
    body = {key: getattr(there, key) for key in plan_register.SIZE_KEYS} | values
    plan_register.put_size(ctx, ref, body, there.version, fresh_id=ref)


SIZE = Way(
    now=_size_now,
    put=_put_size,
    mark="name",
    add=lambda ctx, ref, was: plan_register.put_size(ctx, None, was, None, fresh_id=ref),
    remove=plan_register.drop_size,
    keys=plan_register.SIZE_KEYS,
)


def _scheme_now(ref: str) -> State | None:
    return next((one for one in plan_register.public_schemes() if one["id"] == ref), None)


def _put_scheme(ctx: Context, ref: str, values: State) -> None:
    there = next(one for one in plan_register.public_schemes() if one["id"] == ref)
    body = {key: values.get(key, there[key]) for key in plan_register.SCHEME_KEYS}
    plan_register.put_scheme(ctx, ref, body, there["version"])


def _say_scheme(key: str, value: Any) -> Any:
    if key == "planters":
        names = {one.id: one.name for one in register.planters()}
        return sorted(names.get(one, one) for one in value or ())
    return [one["name"] for one in value or ()] if key == "plants" else value


def _overrun_schemes(ref: str, values: State) -> list[State]:
    """Other schemes that would lose planters they were given since."""
    names = {one.id: one.name for one in register.planters()}
    found: list[State] = []
    for other in plan_register.public_schemes():
        taken = set(other["planters"]) & set(values.get("planters") or ())
        if other["id"] == ref or not taken:
            continue
        left = [one for one in other["planters"] if one not in taken]
        found.append(
            {
                "what": "scheme",
                "name": other["name"],
                "key": "planters",
                "now": {"planters": sorted(names.get(one, one) for one in other["planters"])},
                "back": {"planters": sorted(names.get(one, one) for one in left)},
                "number": None,
                "by": None,
                "at": None,
            }
        )
    return found


SCHEME = Way(
    now=_scheme_now,
    put=_put_scheme,
    mark="name",
    add=lambda ctx, ref, was: plan_register.put_scheme(ctx, None, was, None, fresh_id=ref),
    remove=plan_register.drop_scheme,
    keys=plan_register.SCHEME_KEYS,
    kept_only=True,
    say=_say_scheme,
    overrun=_overrun_schemes,
)


def _put_materials(ctx: Context, ref: str, values: State) -> None:
    now = materials.public()
    parts = materials.by_part(now) | values
    body: State = {}
    for key, there in now.items():
        if isinstance(there, dict):
            body[key] = {inner: parts[f"{key}.{inner}"] for inner in there}
        elif isinstance(there, list | tuple):
            lines = [one for name, one in parts.items() if name.startswith(f"{key}/")]
            body[key] = [one for one in lines if one]
        elif key != "version":
            body[key] = parts[key]
    materials.put(ctx, body, now["version"])


def _say_line(key: str, value: Any) -> Any:
    return materials.stocked(value) if isinstance(value, dict) else value


MATERIALS = Way(
    now=lambda ref: materials.by_part(materials.public()),
    put=_put_materials,
    kept_only=True,
    say=_say_line,
)


def _plan_version(scope: str) -> int | None:
    plan = plan_pictures.plan(scope)
    return plan and plan.version


SITE_PLAN = Way(
    now=lambda ref: site_plans.values_of(plan_pictures.plan(ref)),
    put=site_plans.put_back,
    mark="photo",
    add=site_plans.put_back,
    remove=lambda ctx, ref: site_plans.remove(ctx, ref, _plan_version(ref)),
    kept_only=True,
    say=lambda key, value: [one["name"] for one in value] if key == "points" and value else None,
)

WAYS: dict[str, Way] = {
    "settings": SETTINGS,
    "nights": NIGHTS,
    "weather": WEATHER,
    "normals": NORMALS,
    "lows": LOWS,
    "list": LIST,
    "size": SIZE,
    "scheme": SCHEME,
    "materials": MATERIALS,
    "site_plan": SITE_PLAN,
}
