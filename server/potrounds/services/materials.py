"""What planting day is made of: what is bought, what the shed holds, and the town's allowances."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from potrounds.domain.planting import Bag, Feed, Materials, Stocked, Trays, Vehicle
from potrounds.services import changes
from potrounds.services.context import Context
from potrounds.services.refusal import check_version, name_taken
from potrounds.store import register
from potrounds.store.database import write_transaction
from potrounds.store.rows import name_key

MATERIALS = "planting_materials"


def read() -> Materials:
    """What is bought, what the shed holds, and the town's allowances."""
    told = dict(register.setting(MATERIALS, {}))
    told.pop("version", None)
    if not told:
        return Materials()
    parts: dict[str, Any] = {
        "bag": Bag(**told.pop("bag")),
        "feed": Feed(**told.pop("feed")),
        "vehicle": Vehicle(**told.pop("vehicle")),
        "trays": Trays(**told.pop("trays")),
        "plants": tuple(Stocked(**one) for one in told.pop("plants")),
        "parts": tuple(Stocked(**one) for one in told.pop("parts")),
    }
    return Materials(**parts, **told)


def public() -> dict[str, Any]:
    """The materials as the desk shows them; version 0 until somebody typed any."""
    version = register.setting(MATERIALS, {}).get("version", 0)
    return {**asdict(read()), "version": version}


def put(ctx: Context, body: dict[str, Any], version: int | None) -> dict[str, Any]:
    """Change all materials together. Raises: Refusal 412, 428, 422."""
    with write_transaction():
        before = public()
        check_version(before["version"], version)
        for key in ("plants", "parts"):
            _judge_names(key, body[key])
        after = {**body, "version": before["version"] + 1}
        register.set_setting(MATERIALS, after)
        kept = (by_part(before), by_part(after))
        changes.note(ctx, "materials", "town", "", _flat(before), _flat(after), kept=kept)
    return public()


def _judge_names(key: str, stocked: list[dict[str, Any]]) -> None:
    seen: set[str] = set()
    for at, one in enumerate(stocked):
        if name_key(one["name"]) in seen:
            raise name_taken(one["name"], f"/{key}/{at}/name")
        seen.add(name_key(one["name"]))


def stocked(one: dict[str, Any]) -> str:
    """A line of the shed as the list of changes tells it."""
    kept = f", {one['keep']} to keep" if one["keep"] else ""
    priced = "" if one["price"] is None else f", {one['price']:g} each"
    return f"{one['in_shed']} in the shed{kept}{priced}"


def by_part(told: dict[str, Any]) -> dict[str, Any]:
    """Materials as a change keeps them: each figure, and each line of the shed, by its own name."""
    parts: dict[str, Any] = {}
    for key, value in told.items():
        if isinstance(value, dict):
            parts |= {f"{key}.{inner}": found for inner, found in value.items()}
        elif isinstance(value, list | tuple):
            parts |= {f"{key}/{one['name']}": one for one in value}
        elif key != "version":
            parts[key] = value
    return parts


def _flat(told: dict[str, Any]) -> dict[str, Any]:
    """Figures by a dotted name, so that the list of changes names each that differs."""
    flat: dict[str, Any] = {}
    for key, value in told.items():
        if isinstance(value, dict):
            flat |= {f"{key}.{inner}": found for inner, found in value.items()}
        elif isinstance(value, list | tuple):
            flat |= {one["name"]: stocked(one) for one in value}
        elif key != "version":
            flat[key] = value
    return flat
