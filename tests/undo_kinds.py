"""An edit of every kind the register knows, each ready to be made in a furnished town."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import date
from typing import Any

from PIL import Image

from desk import Desk
from potrounds.services import (
    assets,
    crew,
    invites,
    lows,
    materials,
    people,
    plan_register,
    planter_csv,
    register,
    site_plans,
    siting,
    step_lists,
    town_settings,
    weather,
)
from potrounds.store import people as people_store
from potrounds.store import site_plans as plan_pictures
from potrounds.store import whole
from potrounds.store.ids import UUID
from undoing import FACTS, LOWS, ORIGIN, edit, version_of

SIZE: dict[str, Any] = {
    **{"name": "Medium", "shape": "round", "top_a_cm": 60, "bottom_a_cm": 45, "depth_cm": 50},
    **{"gap_cm": 0, "reservoir_l": 16},
}
FILLERS = [{"role": "filler", "name": "petunia", "count": 3}]
TAP = {"name": "Ferry tap", "flow_l_min": 12.0, "vacuum_breaker": "no", "notes": "Key in shed"}
WEATHER = [{"date": "2026-05-02", "tmin_c": 8.0, "tmax_c": 21.5, "rain_mm": 1.2}]
GOES_OUT = {"weekdays": [0, 3], "minutes": 120, "mode": "cart", "tank_l": 60.0}


def a_tap(desk: Desk) -> str:
    return str(crew.add_tap(desk.ctx, TAP)["id"])


def a_size(desk: Desk) -> dict[str, Any]:
    return plan_register.put_size(desk.ctx, None, SIZE, None)


def a_scheme(desk: Desk, name: str = "Blue", planters: tuple[str, ...] = ()) -> dict[str, Any]:
    body = {"name": name, "plants": FILLERS, "planters": list(planters)}
    return plan_register.put_scheme(desk.ctx, None, body, None)


def a_person(desk: Desk) -> str:
    return str(people.add_person(desk.ctx, {"name": "Ines", "role": "volunteer"})["id"])


def steps_of(desk: Desk) -> list[dict[str, Any]]:
    keys = ("code", "title", "why", "proof", "applies_to", "which")
    lists = {one["list"]: one for one in step_lists.view(desk.ctx)["lists"]}
    return [{key: step[key] for key in keys} for step in lists["winterization"]["steps"]]


def with_step(desk: Desk, title: str) -> None:
    version = len([1 for row in whole.rows("list_edition") if row["list"] == "winterization"])
    body = [*steps_of(desk), {"title": title, "why": "", "proof": "none"}]
    step_lists.change(desk.ctx, "winterization", body, version)


def prices(desk: Desk, **more: Any) -> None:
    now = materials.public()
    materials.put(desk.ctx, {**now, **more}, now["version"])


def drop_tap(desk: Desk) -> Callable[[], None]:
    """A tap somebody begins at, with a paced way to it, is dropped."""
    tap = a_tap(desk)
    ines = a_person(desk)
    crew.put_member(desk.ctx, ines, {**GOES_OUT, "start_tap": tap}, None)
    crew.put_ways(desk.ctx, [{"one": tap, "other": desk.planter, "metres": 70.0}])
    return lambda: crew.remove_tap(desk.ctx, tap)


def end_person(desk: Desk) -> Callable[[], None]:
    """Somebody with two phones leaves."""
    for at in (1, 2):
        secret = invites.create_invite(desk.ctx, {"role": "volunteer", "name": "Ana"}, ORIGIN)
        if at == 1:
            device = "0194f2a0-0000-7000-8000-000000000001"
            assert UUID.fullmatch(device)
            people.join(desk.ctx, secret["url"].split("#")[1], device, "Ana")
    ana = people_store.person_named("Ana")
    assert ana
    return lambda: people.change_person(desk.ctx, ana.id, {"state": "ended"})


def end_phone(desk: Desk) -> Callable[[], None]:
    end_person(desk)
    phone = people_store.phones()[0].id
    return lambda: people.end_phone(desk.ctx, phone)


def swap(desk: Desk) -> Callable[[], None]:
    yard = register.add_site(desk.ctx, {"name": "Yard"})["id"]
    other = register.one_planter(desk.other_planter)
    register.change_planter(
        desk.ctx, desk.other_planter, {"site": yard, "sun": "shade"}, other["version"]
    )
    return lambda: assets.swap(desk.ctx, desk.planter, desk.other_planter)


def table(desk: Desk) -> Callable[[], None]:
    text = "name,site,size,reservoir_l\nNew 1,Ferry landing,Small,8\nNew 2,Ferry landing,Small,8\n"
    return lambda: planter_csv.import_planters(desk.ctx, text.encode(), False)


def take_scheme(desk: Desk) -> Callable[[], None]:
    """A new scheme takes a planter from another: two schemes change in one act."""
    a_scheme(desk, "Red", (desk.planter, desk.other_planter))
    return lambda: a_scheme(desk, "Blue", (desk.planter,))


def drop_scheme(desk: Desk) -> Callable[[], None]:
    made = a_scheme(desk, "Red", (desk.planter, desk.other_planter))["id"]
    return lambda: plan_register.drop_scheme(desk.ctx, made)


def change_scheme(desk: Desk) -> Callable[[], None]:
    made = a_scheme(desk, "Red", (desk.planter,))
    body = {"name": "Rust", "plants": [{**FILLERS[0], "count": 9}], "planters": []}
    return lambda: plan_register.put_scheme(desk.ctx, made["id"], body, made["version"])


def drop_size(desk: Desk) -> Callable[[], None]:
    made = a_size(desk)["id"]
    return lambda: plan_register.drop_size(desk.ctx, made)


def change_size(desk: Desk) -> Callable[[], None]:
    made = a_size(desk)
    body = {**SIZE, "empty_kg": 12.5, "depth_cm": 48}
    return lambda: plan_register.put_size(desk.ctx, made["id"], body, made["version"])


def change_tap(desk: Desk) -> Callable[[], None]:
    made = a_tap(desk)
    return lambda: crew.change_tap(desk.ctx, made, {"name": "Wall tap", "notes": ""}, 1)


def change_member(desk: Desk) -> Callable[[], None]:
    ines = a_person(desk)
    crew.put_member(desk.ctx, ines, GOES_OUT, None)
    return lambda: crew.put_member(desk.ctx, ines, {**GOES_OUT, "weekdays": [5]}, 1)


def remove_member(desk: Desk) -> Callable[[], None]:
    ines = a_person(desk)
    crew.put_member(desk.ctx, ines, {**GOES_OUT, "away": ["2026-06-01"]}, None)
    return lambda: crew.remove_member(desk.ctx, ines)


def same_day_planting(desk: Desk) -> Callable[[], None]:
    """A planting of the same day replaces the one there was."""
    body = {"planted_on": date(2026, 3, 20), "plants": ["coleus"]}
    return lambda: register.add_planting(desk.ctx, desk.planter, body)


def weather_again(desk: Desk) -> Callable[[], None]:
    weather.put_days(desk.ctx, WEATHER)
    again = [{**WEATHER[0], "tmax_c": 35.0}, {"date": "2026-05-03", "tmin_c": 1.0, "tmax_c": 9.0}]
    return lambda: weather.put_days(desk.ctx, again)


def night_again(desk: Desk) -> Callable[[], None]:
    night = {"date": "2026-05-06", "low_c": -1.0, "kind": "forecast"}
    town_settings.put_nights(desk.ctx, [night])
    desk.clock.tick(days=1)
    return lambda: town_settings.put_nights(desk.ctx, [{**night, "low_c": None}])


def lows_replaced(desk: Desk) -> Callable[[], None]:
    lows.import_lows(desk.ctx, LOWS, "f", False, False)
    other = b"DATE,TMIN\n2023-01-05,20\n"
    return lambda: lows.import_lows(desk.ctx, other, "f", False, True)


def lows_forgotten(desk: Desk) -> Callable[[], None]:
    lows.import_lows(desk.ctx, LOWS, "f", False, False)
    return lambda: lows.forget_lows(desk.ctx)


def normals(desk: Desk) -> Callable[[], None]:
    town_settings.change_settings(desk.ctx, {"latitude": 41.5})
    month = {"tmin_c": 5.0, "tmax_c": 15.0, "wet_day_share": 0.3, "rain_per_wet_day_mm": 5.0}
    months = [{**month, "wind_ms": 2.0}] * 12
    return lambda: weather.put_normals(desk.ctx, months)


def siting_check(desk: Desk) -> Callable[[], None]:
    body = {**FACTS, "rim_cm": 55.0}
    siting.add_check(desk.ctx, desk.planter, body, version_of(desk))
    desk.clock.tick(hours=1)
    later = {**body, "path_cm": 250.0}
    return lambda: siting.add_check(desk.ctx, desk.planter, later, version_of(desk))


def price(desk: Desk) -> Callable[[], None]:
    prices(desk, parts=[{"name": "Wick", "in_shed": 2, "keep": 6, "price": 1.5}])
    bag = {"amount": 50, "unit": "dry-quart", "moist_kg": None, "price": 9.5}
    plants = [{"name": "petunia", "in_shed": 4, "keep": 0, "price": None}]
    return lambda: prices(desk, parts=[], bag=bag, plants=plants)


SETTINGS = {"visit_days": 9, "units": "us", "crew_days": [1, 4], "latitude": 41.5}


#: Each prepares the town and gives the one edit that is undone.
def a_plan(desk: Desk, wide: int = 800) -> dict[str, Any]:
    out = io.BytesIO()
    Image.new("RGB", (wide, 400), "white").save(out, "PNG")
    there = plan_pictures.plan(desk.site)
    version = there.version if there else None
    return site_plans.put_picture(desk.ctx, desk.site, out.getvalue(), version)


def place_plan(desk: Desk) -> Callable[[], Any]:
    version = a_plan(desk)["version"]
    points = [
        {"x": 10.0, "y": 10.0, "of": "typed", "lat": 46.5, "lon": 7.5},
        {"x": 700.0, "y": 300.0, "of": "typed", "lat": 46.501, "lon": 7.501},
    ]
    return lambda: site_plans.put_points(desk.ctx, desk.site, {"points": points}, version)


def another_plan(desk: Desk) -> Callable[[], Any]:
    place_plan(desk)()
    return lambda: a_plan(desk, wide=900)


def drop_plan(desk: Desk) -> Callable[[], Any]:
    placed = place_plan(desk)()
    return lambda: site_plans.remove(desk.ctx, desk.site, placed["version"])


KINDS: dict[str, Callable[[Desk], Callable[[], Any]]] = {
    "site added": lambda d: lambda: register.add_site(d.ctx, {"name": "Yard"}),
    "site changed": lambda d: (
        lambda: register.change_site(d.ctx, d.site, {"name": "Ferry", "freeze_on": None})
    ),
    "planter added": lambda d: (
        lambda: d.add_planter(
            "New", notes="By the door", planting={"planted_on": "2026-04-01", "plants": ["fern"]}
        )
    ),
    "planter changed": lambda d: (
        lambda: edit(d, status="retired", notes="Cracked", reservoir_l=20.0, installed_on=None)
    ),
    "planters from a table": table,
    "planters swapped": swap,
    "planting of the same day": same_day_planting,
    "planting of an earlier day": lambda d: (
        lambda: register.add_planting(
            d.ctx, d.planter, {"planted_on": date(2025, 4, 2), "plants": ["heather"], "scheme": "x"}
        )
    ),
    "siting check": siting_check,
    "asset": lambda d: (
        lambda: assets.put_asset(
            d.ctx, d.other_planter, {"condition": "worn", "warranty_until": "2027-01-01"}, 0
        )
    ),
    "person added": lambda d: lambda: a_person(d),
    "person ended": end_person,
    "phone ended": end_phone,
    "tap added": lambda d: lambda: a_tap(d),
    "tap changed": change_tap,
    "tap removed": drop_tap,
    "crew changed": change_member,
    "crew removed": remove_member,
    "ways": lambda d: (
        lambda: crew.put_ways(d.ctx, [{"one": d.planter, "other": d.other_planter, "metres": 12.5}])
    ),
    "settings": lambda d: lambda: town_settings.change_settings(d.ctx, dict(SETTINGS)),
    "night typed": lambda d: (
        lambda: town_settings.put_nights(
            d.ctx, [{"date": "2026-05-03", "low_c": -2.5, "kind": "recorded"}]
        )
    ),
    "night removed": night_again,
    "weather typed": weather_again,
    "normals": normals,
    "lows brought": lambda d: lambda: lows.import_lows(d.ctx, LOWS, "f", False, False),
    "lows replaced": lows_replaced,
    "lows taken away": lows_forgotten,
    "plan picture added": lambda d: lambda: a_plan(d),
    "plan picture placed": place_plan,
    "plan picture replaced": another_plan,
    "plan picture removed": drop_plan,
    "size added": lambda d: lambda: a_size(d),
    "size changed": change_size,
    "size dropped": drop_size,
    "scheme added": take_scheme,
    "scheme changed": change_scheme,
    "scheme dropped": drop_scheme,
    "materials": price,
}
