"""Loads what the demo town's planting day rests on: sizes, schemes, materials, assets."""

from __future__ import annotations

import json
from datetime import date
from importlib.resources.abc import Traversable
from typing import Any

from potrounds.services.assets import DAYS
from potrounds.services.materials import MATERIALS
from potrounds.store import planting, register


def load(source: Traversable) -> None:
    """Put it into the register, inside the transaction that loads the town."""
    told: dict[str, Any] = json.loads((source / "planting.json").read_text("utf-8"))
    for size in told["sizes"]:
        planting.put_size(size.pop("id"), size)
    for scheme in told["schemes"]:
        planting.put_scheme(scheme["id"], scheme["name"], scheme["plants"])
        planting.plan_for(scheme["id"], scheme["planters"])
    register.set_setting(MATERIALS, {**told["materials"], "version": 1})
    for planter, kept in told["assets"].items():
        days = {key: date.fromisoformat(kept[key]) for key in DAYS if key in kept}
        planting.put_asset(planter, {**kept, **days})
