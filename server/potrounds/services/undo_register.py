"""The ways back of sites, planters, their tags, plantings, siting checks and assets."""

from __future__ import annotations

from datetime import date
from typing import Any

from potrounds.services import assets, changes, register, town
from potrounds.services.context import Context
from potrounds.services.moments import read_moment
from potrounds.services.register_view import PLANTER_KEYS, public_planters, public_site
from potrounds.services.undo_way import State, Way, stays
from potrounds.store import photos, planting, rounds, seasons, siting, undo
from potrounds.store import register as store
from potrounds.store.database import write_transaction
from potrounds.store.register import Planter


def _planter(planter_id: str) -> Planter | None:
    found = store.planters([planter_id])
    return found[0] if found else None


# --- sites ---------------------------------------------------------------------------------------


def _site_now(ref: str) -> State | None:
    return next((public_site(site) for site in store.sites() if site.id == ref), None)


def _bring_site(ctx: Context, ref: str, was: State) -> None:
    register.add_site(ctx, {"name": was["name"], "freeze_on": was.get("freeze_on")}, ref)


def _remove_site(ctx: Context, ref: str) -> None:
    with write_transaction():
        site = store.site(ref)
        there = [one.name for one in store.planters() if one.site == ref]
        there += [one.name for one in rounds.taps() if one.site == ref]
        if there:
            raise stays(f"{site.name} has {', '.join(there[:3])}: move what stands there first.")
        if any(ref in step.which for one in seasons.editions() for step in one.steps):
            raise stays(f"A list has a step for {site.name}, so the site has to stay.")
        undo.remove_site(ref)
        changes.note(ctx, "site", ref, site.name, public_site(site), {})
        changes.town_changed(everything=True)


SITE = Way(
    now=_site_now,
    put=register.change_site,
    mark="id",
    add=_bring_site,
    remove=_remove_site,
    keys=("id", "name", "freeze_on"),
)


# --- planters ------------------------------------------------------------------------------------


def _planter_now(ref: str) -> State | None:
    found = _planter(ref)
    return public_planters([found])[0] if found else None


def _put_planter(ctx: Context, ref: str, values: State) -> None:
    picture = values.get("picture")
    if picture:
        kept = photos.find(picture)
        if kept is None or kept.state != "here":
            raise stays("The picture it had was erased, for good: take a new one.")
    register.change_planter(ctx, ref, values, register.known_planter(ref).version)


def _bring_planter(ctx: Context, ref: str, was: State) -> None:
    body = {key: was[key] for key in (*PLANTER_KEYS, "planting") if was.get(key) is not None}
    faults = register.planter_faults([body])
    if faults:
        raise stays(faults[0][1])
    now = ctx.now()
    old = [{"code": code, "retired_at": now, "reason": ""} for code in was.get("old_codes") or ()]
    with write_transaction():
        register.make_planter(ctx, body, {"id": ref, "code": was.get("code"), "old_codes": old})
        changes.planters_changed([ref])


def _remove_planter(ctx: Context, ref: str) -> None:
    with write_transaction():
        planter = register.known_planter(ref)
        _check_unused(ctx, planter)
        was = public_planters([planter])[0]
        undo.remove_planter(ref)
        changes.note(ctx, "planter", ref, planter.name, was, {})
        changes.planters_changed([ref])


def _check_unused(ctx: Context, planter: Planter) -> None:
    """A planter that something rests on is not taken off the register; it is retired."""
    ref, name = planter.id, planter.name
    if undo.is_recorded(ref):
        raise stays(f"Something was recorded at {name}. Set its status to retired or lost instead.")
    if (
        ref in planting.assets()
        or siting.checks([ref])
        or len(store.plantings([ref]).get(ref, [])) > 1
    ):
        raise stays(f"More was written down of {name} since. Undo that first, or retire {name}.")
    if ref in planting.planned():
        raise stays(f"A scheme is planned for {name}: take it off the scheme first.")
    if any(ref in pair for pair in rounds.paced_ways()):
        raise stays(f"A way to {name} was paced out: take that way off first.")
    today = town.calendar().local_day(ctx.now())
    if any(stop["planter"] == ref for one in rounds.told(today) for stop in one.plan["stops"]):
        raise stays(f"{name} is in a round that was told: plan again and tell the crew first.")


PLANTER = Way(
    now=_planter_now,
    put=_put_planter,
    mark="id",
    add=_bring_planter,
    remove=_remove_planter,
    keys=("id", *PLANTER_KEYS),
)


# --- tags ----------------------------------------------------------------------------------------


def _tag_now(ref: str) -> State | None:
    found = _planter_now(ref)
    return found and {"code": found["code"]}


def _put_tag(ctx: Context, ref: str, values: State) -> None:
    """The old code is the current one again. The code it gives way to goes on pointing there."""
    with write_transaction():
        before = public_planters([register.known_planter(ref)])[0]
        why = "The replacement was undone"
        store.retire_tags(ref, ctx.now(), why)
        if values["code"]:
            undo.reinstate_tag(values["code"])
        store.touch_planter(ref)
        after = register.one_planter(ref)
        changes.note(ctx, "tag", ref, after["name"], before, {**after, "reason": why})
        changes.planters_changed([ref])


TAG = Way(now=_tag_now, put=_put_tag, keys=("code",))


# --- plantings -----------------------------------------------------------------------------------


def _plantings_now(ref: str) -> State | None:
    return register.plantings_by_day(ref) if _planter(ref) else None


def _put_plantings(ctx: Context, ref: str, values: State) -> None:
    with write_transaction():
        before, kept = register.one_planter(ref), register.plantings_by_day(ref)
        for text, was in values.items():
            day = date.fromisoformat(text)
            undo.remove_planting(ref, day)
            if was:
                store.add_planting(ref, day, was["plants"], was["scheme"])
        store.touch_planter(ref)
        after = register.one_planter(ref)
        both = (kept, register.plantings_by_day(ref))
        changes.note(ctx, "planting", ref, after["name"], before, after, kept=both)
        changes.planters_changed([ref])


def _say_planting(key: str, value: Any) -> Any:
    return value and {"planted_on": key, "plants": value["plants"]}


PLANTING = Way(now=_plantings_now, put=_put_plantings, kept_only=True, say=_say_planting)


# --- siting checks -------------------------------------------------------------------------------


def _checks_now(ref: str) -> State | None:
    if _planter(ref) is None:
        return None
    found = siting.checks([ref]).get(ref, [])
    return {one.at.isoformat(): {"by": one.by, "facts": one.facts} for one in found}


def _put_checks(ctx: Context, ref: str, values: State) -> None:
    with write_transaction():
        planter, kept, old = register.known_planter(ref), _checks_now(ref), _latest_facts(ref)
        for text, was in values.items():
            at = read_moment(text)
            if at is None:
                raise ValueError(f"{text!r} is no moment")
            undo.remove_check(ref, at)
            if was:
                siting.add(ref, at, was["by"], was["facts"])
        store.touch_planter(ref)
        both = (kept or {}, _checks_now(ref) or {})
        changes.note(ctx, "siting", ref, planter.name, old, _latest_facts(ref), kept=both)
        changes.planters_changed([ref])


def _latest_facts(ref: str) -> State:
    found = siting.checks([ref]).get(ref, [])
    return found[-1].facts if found else {}


SITING = Way(now=_checks_now, put=_put_checks, kept_only=True)


# --- assets --------------------------------------------------------------------------------------


def _asset_now(ref: str) -> State | None:
    return assets.kept_of(ref) if _planter(ref) else None


def _put_asset(ctx: Context, ref: str, values: State) -> None:
    there = planting.assets().get(ref)
    assets.put_asset(ctx, ref, values, there.version if there else 0)


ASSET = Way(now=_asset_now, put=_put_asset)


WAYS: dict[str, Way] = {
    "site": SITE,
    "planter": PLANTER,
    "tag": TAG,
    "planting": PLANTING,
    "siting": SITING,
    "asset": ASSET,
}
