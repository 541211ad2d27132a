"""A siting check as it is shown: the facts, a plan to draw, findings; and what the rules see."""

from __future__ import annotations

from datetime import date
from typing import Any

from potrounds.domain.siting import ClearPath
from potrounds.domain.spoken import spoken_length
from potrounds.science import siting
from potrounds.science.siting import Place, Thing
from potrounds.services.moments import stamp
from potrounds.services.siting_words import findings
from potrounds.store.siting import Check

LENGTHS = (
    *("path_cm", "from_kerb_cm", "width_cm", "length_cm", "rim_cm", "canopy_cm"),
    *("plants_cm", "trailing_cm", "slope_percent"),
)
FACTS = (*LENGTHS, "needed_cm", "sight_leg_cm", "sight_height_cm")


def place_of(facts: dict[str, Any]) -> Place:
    """The facts of a check as geometry takes them."""
    lengths = {key: facts[key] for key in LENGTHS}
    local = {
        key: facts[key] for key in ("sight_leg_cm", "sight_height_cm") if facts[key] is not None
    }
    return Place(**lengths, things=tuple(Thing(**one) for one in facts["things"]), **local)


def view(check: Check, names: dict[str, str]) -> dict[str, Any]:
    """A check as the register shows it: facts, a plan to draw, findings in words."""
    place = place_of(check.facts)
    clear = siting.clear_path(place)
    return {
        "at": stamp(check.at),
        "by": names.get(check.by or "", ""),
        "facts": check.facts,
        "plan": {
            "planter": list(place.planter),
            "canopy": list(place.canopy),
            "clear": [clear.begin_cm, clear.end_cm],
            "clear_cm": round(clear.width_cm, 1),
            "clear_words": spoken_length(clear.width_cm),
            "needed_cm": needed_cm(check.facts),
        },
        "findings": findings(place, needed_cm(check.facts)),
    }


def needed_cm(facts: dict[str, Any]) -> float:
    """The clear width asked for: the local code's where it was typed."""
    return facts["needed_cm"] or siting.ADA_CLEAR_CM


def clear_path_of(check: Check, measured_on: date, by: str) -> ClearPath:
    """What the rules see of a planter's latest check."""
    place = place_of(check.facts)
    width = siting.clear_path(place).width_cm
    local = check.facts["needed_cm"] is not None
    return ClearPath(
        measured_on=measured_on,
        by=by,
        clear_cm=width,
        needed_cm=needed_cm(check.facts),
        exception=not local and siting.allowed_short(place, width),
    )
