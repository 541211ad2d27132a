"""The register's edits: by coordinators, all or nothing, written down with before and after."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from potrounds.domain import tag_code
from potrounds.services import changes, invites, people, town, town_settings
from potrounds.services.changes_view import public_changes
from potrounds.services.context import Context
from potrounds.services.positions import position_faults
from potrounds.services.refusal import Fault, Refusal, name_taken, not_found
from potrounds.services.register_view import (
    PLANTER_KEYS,
    public_planters,
    public_site,
)
from potrounds.services.town_settings import change_settings as change_settings
from potrounds.services.town_settings import put_nights as put_nights
from potrounds.store import people as people_store
from potrounds.store import register
from potrounds.store.database import write_transaction
from potrounds.store.ids import short_id
from potrounds.store.register import Planter, Site
from potrounds.store.rows import name_key

CHANGES_SHOWN = 50


# --- overview ------------------------------------------------------------------------------------


def overview(ctx: Context) -> dict[str, Any]:
    """The whole register, for the coordinator's desk."""
    everybody = people_store.people()
    names = {one.id: one.name for one in everybody}
    return {
        "version": register.change_count(),
        "sites": [public_site(site) for site in register.sites()],
        "planters": public_planters(register.planters()),
        "people": [people.public(one) for one in everybody],
        "invites": [invites.public(one, ctx, names) for one in people_store.invites()],
        "phones": [
            people.public_phone(one, names.get(one.person, "")) for one in people_store.phones()
        ],
        "settings": town.settings(),
        "nights": town_settings.public_nights(),
        "changes": public_changes(register.last_changes(CHANGES_SHOWN)),
    }


# --- sites ---------------------------------------------------------------------------------------


def add_site(ctx: Context, body: dict[str, Any], site_id: str | None = None) -> dict[str, Any]:
    """A new site. Raises: Refusal 422 when the name is taken."""
    with write_transaction():
        name = _free_name(body["name"], register.sites(), None)
        site = register.add_site(site_id or short_id("s"), name, _day(body.get("freeze_on")))
        changes.note(ctx, "site", site.id, name, {}, public_site(site))
        changes.town_changed()
    changes.follow_up(ctx)
    return public_site(site)


def change_site(
    ctx: Context, site_id: str, body: dict[str, Any], version: int | None = None
) -> dict[str, Any]:
    """Change a site. Raises: Refusal 404, 412 on a stale version, 422."""
    with write_transaction():
        before = _site(site_id)
        if version is not None:
            check_version(before.version, version)
        values: dict[str, Any] = {}
        if "name" in body:
            values["name"] = _free_name(body["name"], register.sites(), site_id)
        if "freeze_on" in body:
            values["freeze_on"] = _day(body["freeze_on"])
        site = register.change_site(site_id, values)
        changes.note(ctx, "site", site_id, site.name, public_site(before), public_site(site))
        changes.town_changed(everything=True)
    changes.follow_up(ctx)
    return public_site(site)


def _site(site_id: str) -> Site:
    try:
        return register.site(site_id)
    except LookupError as none:
        raise not_found("site") from none


# --- planters ------------------------------------------------------------------------------------


def add_planters(ctx: Context, bodies: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """New planters, each with a tag; one wrong planter and none is made.

    Raises: Refusal 422 with a pointer to every fault.
    """
    with write_transaction():
        faults = planter_faults(bodies)
        if faults:
            raise Refusal(422, "register", "Nothing was added", "Put right what is marked.", faults)
        ids = [make_planter(ctx, body) for body in bodies]
        changes.planters_changed(ids)
    changes.follow_up(ctx)
    return public_planters(register.planter(one) for one in ids)


def planter_faults(bodies: list[dict[str, Any]]) -> list[Fault]:
    """What does not fit the register: names used twice, sites that are not there."""
    taken = {name_key(row.name) for row in register.planters()}
    sites = {site.id for site in register.sites()}
    faults = []
    for index, body in enumerate(bodies):
        key = name_key(body["name"])
        if key in taken:
            faults.append((f"/planters/{index}/name", f"There is already a {body['name']}."))
        taken.add(key)
        if body["site"] not in sites:
            faults.append((f"/planters/{index}/site", "This site is not in the register."))
        faults += [(f"/planters/{index}{at}", why) for at, why in _sense_faults(body)]
    return faults


def _sense_faults(body: dict[str, Any], own_id: str | None = None) -> list[Fault]:
    moist, full = body.get("weight_moist_kg"), body.get("weight_full_kg")
    faults = position_faults(body, own_id)
    if moist is not None and full is not None and full < moist:
        faults.append(("/weight_full_kg", "A full planter is no lighter than a moist one."))
    return faults


def make_planter(ctx: Context, body: dict[str, Any], fixed: dict[str, Any] | None = None) -> str:
    """One planter inside a transaction, its sense judged before; returns its id.

    `fixed` gives id and tag codes that exist already, when a whole town is loaded from a file.
    """
    fixed, now = fixed or {}, ctx.now()
    values = {key: body[key] for key in PLANTER_KEYS if key in body}
    values["name"] = " ".join(values["name"].split())
    values["installed_on"] = _day(values.get("installed_on"))
    planter = register.add_planter(fixed.get("id") or short_id("p"), values, now)
    if body.get("planting"):
        _plant(planter.id, body["planting"], now)
    for old in fixed.get("old_codes", ()):
        register.issue_tag(old["code"], planter.id, now, old["retired_at"], old["reason"])
    register.issue_tag(fixed.get("code") or _fresh_code(), planter.id, now)
    changes.note(ctx, "planter", planter.id, planter.name, {}, public_planters([planter])[0])
    return planter.id


def change_planter(
    ctx: Context, planter_id: str, body: dict[str, Any], version: int | None
) -> dict[str, Any]:
    """Change a planter. Raises: Refusal 404, 428 without a version, 412 on a stale one, 422."""
    with write_transaction():
        before = known_planter(planter_id)
        check_version(before.version, version)
        values = {key: body[key] for key in PLANTER_KEYS if key in body}
        if "name" in values:
            values["name"] = _free_name(values["name"], register.planters(), planter_id)
        if "site" in values:
            _known_site(values["site"])
        if "installed_on" in values:
            values["installed_on"] = _day(values["installed_on"])
        merged = {key: getattr(before, key) for key in PLANTER_KEYS} | values
        faults = _sense_faults(merged, planter_id)
        if faults:
            raise Refusal(422, "register", "Nothing was changed", faults[0][1], faults)
        _write_planter(ctx, before, values)
    changes.follow_up(ctx)
    return one_planter(planter_id)


def _write_planter(ctx: Context, before: Planter, values: dict[str, Any]) -> None:
    old = public_planters([before])[0]
    after = register.change_planter(before.id, values)
    changes.note(ctx, "planter", after.id, after.name, old, public_planters([after])[0])
    changes.planters_changed([after.id])


def one_planter(planter_id: str) -> dict[str, Any]:
    """One planter as the register shows it. Raises: Refusal 404."""
    return public_planters([known_planter(planter_id)])[0]


def add_planting(ctx: Context, planter_id: str, body: dict[str, Any]) -> dict[str, Any]:
    """What grows in a planter from a day on. Raises: Refusal 404."""
    with write_transaction():
        before = public_planters([known_planter(planter_id)])[0]
        kept = plantings_by_day(planter_id)
        _plant(planter_id, body, ctx.now())
        register.touch_planter(planter_id)
        after = one_planter(planter_id)
        both = (kept, plantings_by_day(planter_id))
        changes.note(ctx, "planting", planter_id, after["name"], before, after, kept=both)
        changes.planters_changed([planter_id])
    changes.follow_up(ctx)
    return after


def plantings_by_day(planter_id: str) -> dict[str, Any]:
    """All plantings of a planter by their day, as a change keeps them."""
    return {
        one.planted_on.isoformat(): {"plants": one.plants, "scheme": one.scheme}
        for one in register.plantings([planter_id]).get(planter_id, [])
    }


def _plant(planter_id: str, body: dict[str, Any], now: datetime) -> None:
    day = _day(body.get("planted_on")) or town.calendar().local_day(now)
    register.add_planting(planter_id, day, list(body.get("plants") or ()), body.get("scheme") or "")


def replace_tag(ctx: Context, planter_id: str, reason: str) -> dict[str, Any]:
    """A new code; the old one is retired and goes on pointing at the planter (T5)."""
    with write_transaction():
        before = public_planters([known_planter(planter_id)])[0]
        register.retire_tags(planter_id, ctx.now(), reason)
        register.issue_tag(_fresh_code(), planter_id, ctx.now())
        register.touch_planter(planter_id)
        after = one_planter(planter_id)
        changes.note(ctx, "tag", planter_id, after["name"], before, {**after, "reason": reason})
        changes.planters_changed([planter_id])
    changes.follow_up(ctx)
    return after


def _fresh_code() -> str:
    while True:
        code = tag_code.new_code()
        if register.tag(code) is None:
            return code


def known_planter(planter_id: str) -> Planter:
    """The planter of the register with this id. Raises: Refusal 404."""
    try:
        return register.planter(planter_id)
    except LookupError as none:
        raise not_found("planter") from none


# --- what all edits share ------------------------------------------------------------------------


def _free_name(name: str, rows: Iterable[Any], own_id: str | None) -> str:
    name = " ".join(name.split())
    if any(name_key(row.name) == name_key(name) and row.id != own_id for row in rows):
        raise name_taken(name)
    return name


def _known_site(site_id: str) -> None:
    if site_id not in {site.id for site in register.sites()}:
        detail = "This site is not in the register."
        raise Refusal(422, "register", "Nothing was changed", detail, [("/site", detail)])


def check_version(now: int, seen: int | None) -> None:
    """Nobody writes over what they did not see. Raises: Refusal 428 without a version, 412."""
    if seen is None:
        raise Refusal(
            428, "version-needed", "Version missing", "Send the version you saw as If-Match."
        )
    if now != seen:
        raise Refusal(
            412,
            "stale-version",
            "Changed in the meantime",
            "Somebody else changed this since you opened it. Look again, then change it.",
        )


def _day(value: Any) -> date | None:
    return date.fromisoformat(value) if isinstance(value, str) else value
