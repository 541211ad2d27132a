"""Findings of a siting check, a sentence each: what is so, what is asked for, who says so."""

from __future__ import annotations

from typing import Any

from potrounds.domain.spoken import spoken_length
from potrounds.science import siting
from potrounds.science.siting import Place, Thing

OK, SHORT, ASK = "ok", "short", "ask"
LOCAL = "local code decides"
Finding = dict[str, Any]


def findings(place: Place, needed_cm: float) -> list[Finding]:
    """All findings, what falls short first."""
    found = [_clear(place, needed_cm), _protruding(place)]
    found += [one for thing in place.things if (one := _near(place, thing)) is not None]
    if place.slope_percent:
        found.append(_slope(place))
    order = (SHORT, ASK, OK)
    return sorted(found, key=lambda one: order.index(one["state"]))


def _finding(code: str, state: str, sentence: str, source: str) -> Finding:
    return {"code": code, "state": state, "sentence": sentence, "source": source}


def _clear(place: Place, needed_cm: float) -> Finding:
    width = siting.clear_path(place).width_cm
    said = f"{spoken_length(width)} of the path stay clear at full growth"
    local = needed_cm != siting.ADA_CLEAR_CM
    source = "2010 ADA Standards 403.5.1; PROWAG R302 (2011); local code decides"
    if local:
        source = f"Width as typed for this town; {LOCAL}"
    if width < needed_cm:
        if not local and siting.allowed_short(place, width):
            return _finding(
                "clear_path",
                ASK,
                f"{said}, less than {spoken_length(needed_cm)}. That passes only as a short narrow "
                f"place, {spoken_length(siting.PROWAG_CLEAR_CM)} from the next.",
                source,
            )
        return _finding(
            "clear_path", SHORT, f"{said}, {spoken_length(needed_cm)} are asked for.", source
        )
    if not local and width < siting.PROWAG_CLEAR_CM:
        return _finding(
            "clear_path",
            ASK,
            f"{said}: enough for {spoken_length(needed_cm)}, less than the "
            f"{spoken_length(siting.PROWAG_CLEAR_CM)} of a pedestrian access route. Ask which "
            "holds here.",
            source,
        )
    return _finding("clear_path", OK, f"{said}: enough.", source)


def _protruding(place: Place) -> Finding:
    source = f"2010 ADA Standards 307.2; {LOCAL}"
    lowest = max(0.0, place.rim_cm - place.trailing_cm)
    reach = spoken_length(place.overhang_cm)
    if place.overhang_cm <= 0:
        return _finding("protruding", OK, "Plants keep within the planter's edge.", source)
    if siting.protrudes(place):
        return _finding(
            "protruding",
            SHORT,
            f"Plants stick out {reach} at {spoken_length(lowest)} and above, where a cane does not "
            f"find them; {spoken_length(siting.PROTRUDING_CM)} are the most.",
            source,
        )
    found = "and hang low enough for a cane to find" if lowest <= siting.CANE_CM else "no more"
    return _finding("protruding", OK, f"Plants stick out {reach}, {found}.", source)


def _near(place: Place, thing: Thing) -> Finding | None:
    if thing.what in ("corner", "driveway"):
        return _sight(place, thing)
    if thing.what == "door":
        return _door(place, thing)
    rooms = {
        "hydrant": (siting.HYDRANT_CM, "a hydrant", "International Fire Code 507.5.5, from memory"),
        "bus-stop": (
            siting.BUS_STOP_CM,
            "a bus stop's boarding area",
            "2010 ADA Standards 810.2.2, from memory",
        ),
        "tap": (siting.TAP_CM, "a tap", "2010 ADA Standards 305.3, from memory"),
    }
    if thing.what not in rooms:
        return None  # it narrows the path, which is said there
    room, name, source = rooms[thing.what]
    left = max(0.0, thing.distance_cm - place.overhang_cm)
    said = f"{spoken_length(left)} from full-grown plants to {name}"
    if left < room:
        return _finding(
            thing.what, ASK, f"{said}; {spoken_length(room)} are usual. Ask.", f"{source}; {LOCAL}"
        )
    return _finding(thing.what, OK, f"{said}: enough.", f"{source}; {LOCAL}")


def _sight(place: Place, thing: Thing) -> Finding:
    source = f"Local codes seen allow 30 to 36 in, in a triangle of 25 ft; {LOCAL}"
    name = "corner" if thing.what == "corner" else "driveway"
    near = max(0.0, thing.distance_cm - place.overhang_cm), max(0.0, place.canopy[0])
    leg = spoken_length(place.sight_leg_cm)
    if not siting.in_sight_triangle(*near, place.sight_leg_cm):
        return _finding("sight", OK, f"Outside the {name}'s sight triangle of {leg}.", source)
    tall, most = siting.height_grown_cm(place), place.sight_height_cm
    said = f"In the {name}'s sight triangle of {leg}, {spoken_length(tall)} high at full growth"
    if tall > most:
        return _finding("sight", SHORT, f"{said}; {spoken_length(most)} are the most.", source)
    return _finding("sight", OK, f"{said}: low enough.", source)


def _door(place: Place, thing: Thing) -> Finding:
    swing = thing.swing_cm or 0.0
    left = thing.distance_cm - place.overhang_cm - swing
    source = "Common practice, no source; exits are the fire code's matter, local code decides"
    if left < 0:
        return _finding(
            "door", SHORT, f"The door's leaf meets the plants by {spoken_length(-left)}.", source
        )
    return _finding("door", OK, f"The door opens with {spoken_length(left)} to the plants.", source)


def _slope(place: Place) -> Finding:
    source = "Slope times width; 2 % is common practice, no source"
    deeper = spoken_length(siting.tilt_cm(place))
    said = f"The ground falls {place.slope_percent:g} %: water stands {deeper} deeper at one side"
    if place.slope_percent <= siting.LEVEL_GROUND_PERCENT:
        return _finding("slope", OK, f"{said}, which is little.", source)
    return _finding(
        "slope",
        ASK,
        f"{said}, and the overflow runs before the reservoir is full. Shim the planter level, or "
        "turn the overflow to the high side.",
        source,
    )
