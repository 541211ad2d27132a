"""What a card says of plantings and of salt read in the mix."""

from __future__ import annotations

from typing import Any

from potrounds.domain.planter import Planned, Planting
from potrounds.domain.records import CheckIn
from potrounds.domain.visits import PlantingMark
from potrounds.services.moments import day_text


def planting_now(planting: Planting | None) -> dict[str, Any] | None:
    """What grows here."""
    if planting is None:
        return None
    return {
        "planted_on": day_text(planting.planted_on),
        "plants": list(planting.plants),
        "counts": list(planting.counts) or [None] * len(planting.plants),
        "scheme": planting.scheme,
        "by": planting.by,
        "record": planting.record,
    }


def planting_next(planned: Planned | None, now: Planting | None) -> dict[str, Any] | None:
    """What the register plants here next; None once it was planted here."""
    if planned is None or (now is not None and now.record and now.scheme == planned.scheme):
        return None  # what was planned has been planted here
    return {
        "plants": list(planned.plants),
        "counts": list(planned.counts) or [None] * len(planned.plants),
        "scheme": planned.scheme,
    }


def salt_seen(seen: CheckIn) -> dict[str, Any] | None:
    """A reading of the mix in a check-in."""
    if seen.ec_ms_cm is None or seen.ec_method is None:
        return None
    return {"method": seen.ec_method, "ms_cm": seen.ec_ms_cm}


def planting_seen(one: object) -> dict[str, Any] | None:
    """A planting in the history; None for anything else."""
    if not isinstance(one, PlantingMark):
        return None
    done = one.planting
    return {
        "plants": list(done.plants),
        "counts": list(done.counts),
        "scheme": done.scheme,
        "retopped": done.retopped,
    }
