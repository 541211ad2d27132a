"""Planters as things that were bought: warranty, condition, what falls due, and where they were.

A planter keeps its id, its tag and its history wherever it goes: it is moved, not made anew.
"""

from __future__ import annotations

from datetime import date
from typing import Any

from potrounds.domain.planting import Asset, falls_due
from potrounds.services import changes, town
from potrounds.services.context import Context
from potrounds.services.moments import day_text
from potrounds.services.refusal import Refusal, check_version, not_found
from potrounds.store import planting, register
from potrounds.store.database import write_transaction
from potrounds.store.register import Planter

ASSET_KEYS = (
    *("warranty", "warranty_until", "condition", "condition_note", "condition_on", "inspect_on"),
)
DAYS = ("warranty_until", "condition_on", "inspect_on")
#: What belongs to a place and not to the planter standing there.
PLACE_KEYS = ("site", "sun", "wind", "rain_reaches", "lat", "lon")


def overview(ctx: Context) -> dict[str, Any]:
    """Assets, and what of them falls due, soonest first."""
    today = town.calendar().local_day(ctx.now())
    kept = planting.assets()
    there = {one.id: one.status for one in register.planters()}
    due = [
        one
        for asset in kept.values()
        if there.get(asset.planter) in ("in-use", "stored")
        for one in falls_due(asset, today)
    ]
    return {
        "assets": [public_asset(asset) for asset in kept.values()],
        "due": [
            {"planter": one.planter, "what": one.what, "on": day_text(one.on), "days": one.days}
            for one in sorted(due, key=lambda one: (one.on, one.planter, one.what))
        ],
    }


def public_asset(asset: Asset) -> dict[str, Any]:
    """An asset as the desk shows it."""
    return {"planter": asset.planter, **_kept(asset), "version": asset.version}


def _kept(asset: Asset) -> dict[str, Any]:
    values = {key: getattr(asset, key) for key in ASSET_KEYS}
    return {**values, **{key: day_text(values[key]) for key in DAYS}}


def kept_of(planter_id: str) -> dict[str, Any]:
    """What is kept of a planter as an asset, as a change keeps it."""
    return _kept(planting.assets().get(planter_id, Asset(planter_id)))


def put_asset(
    ctx: Context, planter_id: str, body: dict[str, Any], version: int | None
) -> dict[str, Any]:
    """Change what is kept of a planter as an asset; version 0 where nothing is kept yet.

    Raises: Refusal 404, 412, 428, 422 for a condition seen tomorrow.
    """
    with write_transaction():
        planter = _planter(planter_id)
        before = planting.assets().get(planter_id, Asset(planter_id))
        check_version(before.version, version)
        values = {key: body[key] for key in ASSET_KEYS if key in body}
        for key in DAYS:
            if isinstance(values.get(key), str):
                values[key] = date.fromisoformat(values[key])
        seen = values.get("condition_on")
        if seen and seen > town.calendar().local_day(ctx.now()):
            detail = "A condition is seen today or before."
            raise Refusal(422, "day", "Not yet", detail, [("/condition_on", detail)])
        after = planting.put_asset(planter_id, values)
        changes.note(ctx, "asset", planter_id, planter.name, _kept(before), _kept(after))
    return public_asset(after)


def swap(ctx: Context, planter_id: str, other_id: str) -> None:
    """Let two planters change places: site and what belongs to a place go across, all else stays.

    Raises: Refusal 404; 422 when they are the same, or nothing tells their places apart.
    """
    with write_transaction():
        one, other = _planter(planter_id), _planter(other_id)
        if all(getattr(one, key) == getattr(other, key) for key in PLACE_KEYS):
            detail = (
                f"{one.name} and {other.name} stand at the same site, and nothing in the register "
                "tells their places apart. Give them positions first."
            )
            if one.id == other.id:
                detail = "Say which other planter it changes places with."
            raise Refusal(422, "swap", "Nothing to swap", detail, [("/other", detail)])
        for planter, place in ((one, other), (other, one)):
            values = {key: getattr(place, key) for key in PLACE_KEYS}
            old = {key: getattr(planter, key) for key in PLACE_KEYS}
            register.change_planter(planter.id, values)
            told = {**values, "swapped_with": place.name}
            changes.note(ctx, "planter", planter.id, planter.name, old, told)
        changes.planters_changed([one.id, other.id])
    changes.follow_up(ctx)


def _planter(planter_id: str) -> Planter:
    try:
        return register.planter(planter_id)
    except LookupError as none:
        raise not_found("planter") from none
