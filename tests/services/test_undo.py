"""Every kind of change goes back to the rows that were there, and forth again.

What "as it was" means is read off the tables themselves, as the archive writes them, not off what
the undo believes. Common practice, no source: that an undo is a change of its own.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from desk import Desk, a_photo
from house.repository import ROOT
from potrounds.services import (
    assets,
    calendar_feed,
    changes_view,
    crew,
    history_csv,
    invites,
    lows,
    materials,
    people,
    plan_register,
    planter_csv,
    register,
    seasons,
    siting,
    step_lists,
    town,
    town_settings,
    undo,
    weather,
)
from potrounds.services.refusal import Refusal
from potrounds.store import database, derived, photos, whole
from potrounds.store import people as people_store
from potrounds.store import register as store
from potrounds.store.ids import UUID

ORIGIN = "http://localhost"
#: Not the register, or the list of changes itself, or the photo store.
APART = {"change", "change_kept", "counter", "schema_steps", "knock", "photo", "photo_named"}
#: Row numbers, versions that count up, and moments of making.
COUNTED = {"version", "made_at", "joined_at", "issued_at", "change_id"}
FACTS = {"path_cm": 240.0, "from_kerb_cm": 20.0, "width_cm": 60.0, "length_cm": 60.0}
LOWS = b"DATE,TMIN\n2024-01-01,31\n2024-01-02,30\n"


def rows() -> dict[str, list[str]]:
    """Every table of the register without what only counts."""
    found = {}
    for name in whole.tables():
        if name in APART:
            continue
        told = []
        for row in whole.rows(name):
            kept = {key: value for key, value in row.items() if key not in COUNTED}
            if isinstance(kept.get("id"), int):
                del kept["id"]
            if name == "setting" and kept["name"] in ("lows_record", "planting_materials"):
                kept["value"] = {
                    key: value
                    for key, value in (kept["value"] or {}).items()
                    if key not in ("mark", "at", "by", "version")
                }
            told.append(repr(sorted(kept.items())))
        found[name] = sorted(told)
    return found


def newest() -> int:
    return int(store.last_changes(1)[0].id)


def take_back(desk: Desk, number: int | None = None, overwrite: bool = False) -> dict[str, Any]:
    number = number or newest()
    looked = undo.look(desk.ctx, number)
    assert looked["why_not"] is None
    return undo.undo(desk.ctx, number, looked["mark"], overwrite)


def refusal(desk: Desk, number: int | None = None, overwrite: bool = False) -> Refusal:
    number = number or newest()
    mark = undo.look(desk.ctx, number)["mark"]
    with pytest.raises(Refusal) as caught:
        undo.undo(desk.ctx, number, mark, overwrite)
    return caught.value


def why_not(desk: Desk, number: int | None = None) -> str:
    before = rows()
    problem = refusal(desk, number)
    assert (problem.status, problem.slug) == (409, "cannot-undo")
    assert rows() == before
    assert undo.look(desk.ctx, number or newest())["possible"] is False
    return problem.detail


def version_of(desk: Desk) -> int:
    return int(register.one_planter(desk.planter)["version"])


def edit(desk: Desk, **values: Any) -> None:
    register.change_planter(desk.ctx, desk.planter, values, version_of(desk))


# --- every kind there and back -------------------------------------------------------------------

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
    "size added": lambda d: lambda: a_size(d),
    "size changed": change_size,
    "size dropped": drop_size,
    "scheme added": take_scheme,
    "scheme changed": change_scheme,
    "scheme dropped": drop_scheme,
    "materials": price,
}


def without_defaults(found: dict[str, list[str]]) -> dict[str, list[str]]:
    """Without rows that say nothing: settings at their default, assets of which nothing is kept."""
    defaults = {repr(sorted({"name": k, "value": v}.items())) for k, v in town.settings().items()}
    return {
        **found,
        "setting": [
            one
            for one in found["setting"]
            if one not in defaults and not one.endswith(("'value', None)]", "'value', {})]"))
        ],
        "asset": [one for one in found["asset"] if "worn" in one or "2027" in one],
    }


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_a_change_goes_back_to_the_rows_there_were_and_forth_again(desk: Desk, kind: str) -> None:
    change = KINDS[kind](desk)
    before, settings = rows(), register.overview(desk.ctx)["settings"]
    count = store.change_count()
    change()
    after, number = rows(), newest()
    assert after != before
    assert store.change_count() > count
    looked = undo.look(desk.ctx, number)
    assert (looked["possible"], looked["in_the_way"]) == (True, [])
    assert rows() == after  # looking changes nothing
    take_back(desk, number)
    assert without_defaults(rows()) == without_defaults(before)
    assert register.overview(desk.ctx)["settings"] == settings
    undone = changes_view.public_changes(store.last_changes(store.change_count() - count))
    assert all(one["undone"] for one in undone if one["undoes"] is None)
    assert "undone already" in why_not(desk, number)
    take_back(desk)  # the undo is a change like any other
    assert without_defaults(rows()) == without_defaults(after)
    assert derived.stale_keys() == []


def test_an_edited_list_goes_back_step_by_step(desk: Desk) -> None:
    first = steps_of(desk)
    with_step(desk, "Lock the cart")
    number = newest()
    with_step(desk, "Sweep the shed")
    take_back(desk, number)
    assert [one["title"] for one in steps_of(desk)] == [
        *(one["title"] for one in first),
        "Sweep the shed",
    ]
    take_back(desk)
    assert {one["title"] for one in steps_of(desk)} == {
        *(one["title"] for one in first),
        "Lock the cart",
        "Sweep the shed",
    }


def test_a_replaced_tag_is_the_current_one_again_and_the_new_one_still_points_there(
    desk: Desk,
) -> None:
    first = register.one_planter(desk.planter)["code"]
    second = register.replace_tag(desk.ctx, desk.planter, "Sun-bleached")["code"]
    take_back(desk)
    now = register.one_planter(desk.planter)
    assert (now["code"], now["old_codes"]) == (first, [second])
    assert desk.card()["code"] == first
    tag = store.tag(second)
    assert tag
    assert (tag.planter, tag.reason) == (desk.planter, "The replacement was undone")
    take_back(desk)
    assert register.one_planter(desk.planter)["code"] == second


def test_a_link_that_was_made_is_taken_back_and_stays_closed(desk: Desk) -> None:
    invites.create_invite(desk.ctx, {"role": "volunteer", "name": "Ana"}, ORIGIN)
    take_back(desk)
    assert people_store.invites()[0].state(desk.ctx.now()) == "revoked"
    assert "stays closed" in why_not(desk)
    calendar_feed.make_link(desk.ctx, {"name": "Kitchen"}, ORIGIN)
    take_back(desk)
    assert calendar_feed.links(desk.ctx)[0]["revoked_at"]
    assert "stays closed" in why_not(desk)


# --- what was edited since -----------------------------------------------------------------------


def test_a_later_edit_of_the_same_value_is_named_and_not_lost(desk: Desk) -> None:
    pilar = desk.join("Pilar", "coordinator")
    edit(desk, notes="First")
    number = newest()
    version = version_of(desk)
    register.change_planter(pilar.ctx, desk.planter, {"notes": "Second"}, version)
    (found,) = undo.look(desk.ctx, number)["in_the_way"]
    assert (found["key"], found["now"], found["back"]) == (
        "notes",
        {"notes": "Second"},
        {"notes": ""},
    )
    assert (found["by"], found["number"]) == ("Pilar", newest())
    problem = refusal(desk, number)
    assert (problem.status, problem.slug) == (409, "edited-since")
    assert problem.errors == [("/overwrite", "Ferry landing 1: notes is Second, changed by Pilar.")]
    assert register.one_planter(desk.planter)["notes"] == "Second"
    take_back(desk, number, overwrite=True)
    assert register.one_planter(desk.planter)["notes"] == ""
    take_back(desk)  # and what was overwritten is there again
    assert register.one_planter(desk.planter)["notes"] == "Second"


def test_a_later_edit_of_another_value_stays(desk: Desk) -> None:
    edit(desk, notes="First")
    number = newest()
    edit(desk, reservoir_l=30.0)
    assert undo.look(desk.ctx, number)["in_the_way"] == []
    take_back(desk, number)
    found = register.one_planter(desk.planter)
    assert (found["notes"], found["reservoir_l"]) == ("", 30.0)


def test_what_changed_since_it_was_looked_at_stops_the_undo(desk: Desk) -> None:
    edit(desk, notes="First")
    number = newest()
    mark = undo.look(desk.ctx, number)["mark"]
    edit(desk, notes="Second")
    with pytest.raises(Refusal) as caught:
        undo.undo(desk.ctx, number, mark, overwrite=True)
    assert caught.value.status == 412
    assert register.one_planter(desk.planter)["notes"] == "Second"


def test_a_scheme_put_back_does_not_quietly_take_planters_from_another(desk: Desk) -> None:
    first = a_scheme(desk, "Red", (desk.planter,))
    plan_register.drop_scheme(desk.ctx, first["id"])
    number = newest()
    a_scheme(desk, "Blue", (desk.planter, desk.other_planter))
    (found,) = undo.look(desk.ctx, number)["in_the_way"]
    assert (found["name"], found["now"], found["back"]) == (
        "Blue",
        {"planters": ["Ferry landing 1", "Ferry landing 2"]},
        {"planters": ["Ferry landing 2"]},
    )
    assert refusal(desk, number).slug == "edited-since"


def test_values_put_back_by_hand_leave_nothing_to_undo(desk: Desk) -> None:
    edit(desk, notes="First")
    number = newest()
    edit(desk, notes="")
    assert "as it was before" in why_not(desk, number)


def test_a_name_taken_since_is_said(desk: Desk) -> None:
    edit(desk, name="Quay 1")
    number = newest()
    desk.add_planter("Ferry landing 1")
    assert "already one called Ferry landing 1" in why_not(desk, number)


# --- what cannot be undone says so ---------------------------------------------------------------


def test_a_used_invite_and_the_person_who_came_with_it_stay(desk: Desk) -> None:
    end_person(desk)
    numbers = {one.what: one.id for one in store.last_changes(10)}
    assert "joined with an invite" in why_not(desk, numbers["person"])
    by_time = [one.id for one in store.last_changes(10) if one.what == "invite"]
    assert "Ana joined with it" in why_not(desk, min(by_time))
    desk.clock.tick(hours=73)
    assert "run out by itself" in why_not(desk, max(by_time))


def test_somebody_who_has_recorded_is_not_taken_off(desk: Desk) -> None:
    vera = desk.join("Vera")
    number = newest()
    vera.push(vera.record())
    assert "End the membership" in why_not(desk, number)


def test_a_burned_phone_and_a_password_stay(desk: Desk) -> None:
    end_person(desk)
    people.burn_phone(desk.ctx, people_store.phones()[0].id)
    assert "burned phone stays shut out" in why_not(desk)
    people.change_person(desk.ctx, a_person(desk), {"password": "a long enough phrase"})
    assert "Set a new one" in why_not(desk)
    ines = people_store.person_named("Ines")
    assert ines
    people.change_person(desk.ctx, ines.id, {"password": "another long enough one"})
    assert "Set a new one" in why_not(desk)  # with who and when, though only the secret changed


def test_an_erased_picture_stays_erased(desk: Desk) -> None:
    vera = desk.join("Vera")
    data = a_photo()
    sha = vera.named_photo(data)
    vera.put_photo(data, sha)
    edit(desk, picture=sha)
    edit(desk, picture=None)
    number = newest()
    assert undo.look(desk.ctx, number)["possible"]
    with database.write_transaction():
        database.db.execute_sql("update photo set state = 'erased' where sha = ?", (sha,))
    assert photos.find(sha).state == "erased"  # type: ignore[union-attr]
    assert "was erased, for good" in why_not(desk, number)


def test_a_planter_with_records_is_retired_instead(desk: Desk) -> None:
    new = desk.add_planter("New")
    number = newest()
    vera = desk.join("Vera")
    vera.push(vera.record(planter=new))
    assert "retired or lost instead" in why_not(desk, number)


def test_a_site_with_planters_stays(desk: Desk) -> None:
    yard = register.add_site(desk.ctx, {"name": "Yard"})["id"]
    number = newest()
    edit(desk, site=yard)
    assert "Yard has Ferry landing 1" in why_not(desk, number)


def test_records_told_rounds_and_seasons_have_ways_of_their_own(desk: Desk) -> None:
    visits = b"planter,day,level\nFerry landing 1,2026-04-20,half\n"
    assert history_csv.import_visits(desk.ctx, visits, False)["created"] == 1
    assert "no record is ever taken away" in why_not(desk)
    found = seasons.overview(desk.ctx)["open"][0]
    seasons.close(desk.ctx, str(found["year"]), found["open_count"])
    assert "has its own way back" in why_not(desk)


def test_a_change_of_before_the_values_were_kept_says_so(desk: Desk) -> None:
    with_step(desk, "Lock the cart")
    with database.write_transaction():
        database.db.execute_sql("delete from change_kept")
    assert "before the earlier values were kept" in why_not(desk)


def test_a_change_that_is_not_there_is_not_found(desk: Desk) -> None:
    with pytest.raises(Refusal) as caught:
        undo.look(desk.ctx, 99999)
    assert caught.value.status == 404


def test_every_kind_of_change_has_its_way_back_or_its_words() -> None:
    """Read off the sources, so that a new kind cannot be forgotten."""
    noted: set[str] = set()
    for file in (ROOT / "server" / "potrounds" / "services").glob("*.py"):
        noted |= set(re.findall(r'changes\.note\(\s*ctx,\s*"([a-z_-]+)"', file.read_text("utf-8")))
    assert {"site", "planter", "weather", "scheme"} <= noted
    assert noted <= set(undo.WAYS) | set(undo.NEVER)


# --- the list ------------------------------------------------------------------------------------


def test_the_list_is_looked_through_by_words_kind_person_and_day(desk: Desk) -> None:
    pilar = desk.join("Pilar", "coordinator")
    edit(desk, notes="By the Stairs")
    desk.clock.tick(days=2)
    register.add_site(pilar.ctx, {"name": "Stairs"})

    def names(**asked: Any) -> list[str]:
        return [one["what"] for one in changes_view.page(**asked)["changes"]]

    assert names(search="stairs") == ["site", "planter"]
    assert names(search="STAIRS ferry") == ["planter"]
    assert names(what="site") == ["site", "site"]
    assert names(by=pilar.person) == ["site"]
    assert names(by="server", search="stairs") == ["planter"]
    assert names(search="stairs", since=date(2026, 5, 5)) == ["site"]
    assert names(search="stairs", until=date(2026, 5, 5)) == ["planter"]
    assert names(search="stairs", oldest_first=True) == ["planter", "site"]


def test_the_list_comes_in_pages(desk: Desk) -> None:
    for number in range(60):
        edit(desk, notes=f"Note {number}")
    first = changes_view.page(what="planter")
    assert (len(first["changes"]), first["more"]) == (50, True)
    second = changes_view.page(what="planter", after=first["changes"][-1]["number"])
    assert second["more"] is False
    numbers = [one["number"] for one in (*first["changes"], *second["changes"])]
    assert numbers == sorted(set(numbers), reverse=True)
    assert len(numbers) == 62  # and the two planters of the desk
