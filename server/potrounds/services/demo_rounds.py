"""Loads the demo town's taps and crew, and tells them the plan of the days ahead."""

from __future__ import annotations

import json
from importlib.resources.abc import Traversable
from typing import Any

from potrounds.services import rounds as planning
from potrounds.services.context import Context
from potrounds.store import rounds


def load(source: Traversable) -> None:
    """Put taps and crew into the register, inside the transaction that loads the town."""
    told: dict[str, Any] = json.loads((source / "rounds.json").read_text("utf-8"))
    for tap in told["taps"]:
        rounds.add_tap(tap.pop("id"), tap)
    for member in told["crew"]:
        rounds.put_member(member.pop("person"), {**member, "away": []})


def tell(ctx: Context) -> None:
    """Tell the crew the plan as it stands."""
    planning.tell(ctx, planning.plan(ctx)["mark"])
