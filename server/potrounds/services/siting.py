"""Siting checks: what was measured is kept, unless it cannot be, or looks like a wrong unit."""

from __future__ import annotations

from datetime import UTC
from typing import Any

from potrounds.science import siting
from potrounds.services import changes
from potrounds.services.context import Context
from potrounds.services.refusal import Fault, Refusal
from potrounds.services.register import check_version, known_planter, one_planter
from potrounds.services.siting_view import FACTS, place_of
from potrounds.store import register
from potrounds.store import siting as store
from potrounds.store.database import write_transaction
from potrounds.store.register import Planter

#: Beyond these a length is likely in another unit. [cm] Judgement.
NARROW_PATH_CM, WIDE_PATH_CM = 75.0, 2500.0
MOST_SIDE_CM, MOST_RIM_CM = 300.0, 200.0
MOST_SLOPE_PERCENT = 40.0
OPTIONAL = ("plants_cm", "trailing_cm", "slope_percent")


def add_check(
    ctx: Context, planter_id: str, body: dict[str, Any], version: int | None
) -> dict[str, Any]:
    """Keep what was measured around a planter; the checks before stay.

    Raises: Refusal 404; 412 and 428 for the version; 422 with what cannot be, or with what is asked
    back, until it is sent again with `sure`.
    """
    with write_transaction():
        planter = known_planter(planter_id)
        check_version(planter.version, version)
        facts = _facts(body, planter)
        faults = _faults(facts)
        if faults:
            raise Refusal(422, "siting", "Nothing was kept", faults[0][1], faults)
        questions = [] if body.get("sure") else _questions(facts, planter)
        if questions:
            raise Refusal(422, "siting-question", "Is this right?", questions[0][1], questions)
        before = one_planter(planter_id)["siting"]
        now = ctx.now()
        store.add(planter_id, now, ctx.person, facts)
        register.touch_planter(planter_id)
        old = before["facts"] if before else {}
        kept: dict[str, Any] = {now.astimezone(UTC).isoformat(): {"by": ctx.person, "facts": facts}}
        changes.note(ctx, "siting", planter_id, planter.name, old, facts, kept=({}, kept))
        changes.planters_changed([planter_id])
    changes.follow_up(ctx)
    return one_planter(planter_id)


def _facts(body: dict[str, Any], planter: Planter) -> dict[str, Any]:
    """What was measured, with the planter's own sizes where it was not."""
    facts: dict[str, Any] = {key: body.get(key) for key in FACTS}
    for key in OPTIONAL:
        facts[key] = facts[key] or 0.0
    side = _side_cm(planter)
    facts["width_cm"] = facts["width_cm"] or side
    facts["length_cm"] = facts["length_cm"] or (
        facts["width_cm"] if planter.shape != "rectangular" else None
    )
    if facts["canopy_cm"] is None and planter.canopy_m2:
        facts["canopy_cm"] = round(siting.equal_circle_cm(planter.canopy_m2), 1)
    facts["canopy_cm"] = facts["canopy_cm"] or facts["width_cm"]
    facts["things"] = [
        {
            "what": thing["what"],
            "distance_cm": thing["distance_cm"],
            "from_kerb_cm": thing.get("from_kerb_cm"),
            "width_cm": thing.get("width_cm") or 0.0,
            "swing_cm": thing.get("swing_cm"),
        }
        for thing in body.get("things") or ()
    ]
    return facts


def _side_cm(planter: Planter) -> float | None:
    """The planter's width, where its shape and its mix's area tell it."""
    area = planter.top_area_m2
    if area is None or planter.shape not in ("round", "square"):
        return None
    side = siting.equal_circle_cm(area) if planter.shape == "round" else 100 * area**0.5
    return round(side, 1)


def _faults(facts: dict[str, Any]) -> list[Fault]:
    """What cannot be."""
    faults: list[Fault] = []
    for key, what in (("width_cm", "across the path"), ("length_cm", "along the path")):
        if facts[key] is None:
            faults.append((f"/{key}", f"Measure the planter {what}: its size is not on record."))
    slope = facts["slope_percent"]
    if not 0 <= slope <= MOST_SLOPE_PERCENT:
        detail = f"Write the slope as a number from 0 to {MOST_SLOPE_PERCENT:.0f}: fall over 100."
        faults.append(("/slope_percent", detail))
    if facts["trailing_cm"] > facts["rim_cm"]:
        faults.append(("/trailing_cm", "Plants cannot hang lower than the ground."))
    faults += _outside(facts)
    for index, thing in enumerate(facts["things"]):
        if thing["what"] == "door" and not thing["swing_cm"]:
            faults.append((f"/things/{index}/swing_cm", "How wide is the door's leaf?"))
        across = thing["from_kerb_cm"]
        if across is not None and across > facts["path_cm"]:
            detail = f"That is beyond the path, which is {facts['path_cm']:g} cm wide."
            faults.append((f"/things/{index}/from_kerb_cm", detail))
    return faults


def _outside(facts: dict[str, Any]) -> list[Fault]:
    """A path too narrow for the planter that stands in it."""
    width, path = facts["width_cm"], facts["path_cm"]
    if width is None or facts["from_kerb_cm"] + width <= path:
        return []
    reach = facts["from_kerb_cm"] + width
    detail = f"The planter reaches to {reach:g} cm, but the path is only {path:g} cm wide."
    if path * siting.CM_IN_AN_INCH >= reach:
        detail += " Was the path measured in inches?"
    return [("/path_cm", detail)]


def _questions(facts: dict[str, Any], planter: Planter) -> list[Fault]:
    """What is likely a slip of the unit."""
    asked: list[Fault] = []
    path = facts["path_cm"]
    if path < NARROW_PATH_CM:
        detail = f"A path of {path:g} cm lets hardly anybody pass. Is it {path:g} inches?"
        asked.append(("/path_cm", detail))
    if path > WIDE_PATH_CM:
        asked.append(("/path_cm", f"A path of {path / 100:g} m: was it typed in millimetres?"))
    sides = (("width_cm", MOST_SIDE_CM), ("length_cm", MOST_SIDE_CM), ("rim_cm", MOST_RIM_CM))
    for key, most in sides:
        if facts[key] > most:
            detail = f"{facts[key] / 100:g} m is very large. Was it typed in millimetres?"
            asked.append((f"/{key}", detail))
    holds = planter.reservoir_l + (planter.mix_l or 0.0)
    outer = siting.outer_volume_l(place_of(facts))
    if outer < holds:
        detail = (
            f"A planter of these sizes holds at most {outer:.0f} L, but the register says "
            f"{holds:.0f} L of reservoir and mix. Were inches typed as centimetres?"
        )
        asked.append(("/width_cm", detail))
    return asked
