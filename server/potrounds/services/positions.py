"""Where planters stand on the ground: what cannot be right about a latitude and a longitude."""

from __future__ import annotations

from statistics import median
from typing import Any

from potrounds.science.siting import distance_m
from potrounds.services.refusal import Fault
from potrounds.store import register

#: A town's planters lie within so many degrees of its latitude, and so many km of each other.
#: Judgement.
MOST_OFF_DEGREES = 1.0
MOST_OFF_KM = 100.0
#: So many others make a middle to measure from.
ENOUGH_OTHERS = 3


def position_faults(body: dict[str, Any], own_id: str | None = None) -> list[Fault]:
    """What is wrong with `lat` and `lon` of a planter: one alone, swapped, far from the town."""
    lat, lon = body.get("lat"), body.get("lon")
    if lat is None and lon is None:
        return []
    if lat is None or lon is None:
        missing = "/lat" if lat is None else "/lon"
        return [(missing, "Latitude and longitude go together: write both, or neither.")]
    town = register.setting("latitude")
    if town is not None and abs(lat - town) > MOST_OFF_DEGREES:
        if abs(lon - town) <= MOST_OFF_DEGREES:
            return [("/lat", "Latitude and longitude look swapped.")]
        detail = (
            f"{lat:g}° is not near the town's latitude, {town:g}°. Look at this figure, or at the "
            "town's settings."
        )
        return [("/lat", detail)]
    others = [
        (row.lat, row.lon)
        for row in register.planters()
        if row.id != own_id and row.lat is not None and row.lon is not None
    ]
    if len(others) < ENOUGH_OTHERS:
        return []
    middle = median(one for one, _ in others), median(other for _, other in others)
    km = distance_m((lat, lon), middle) / 1000
    if km <= MOST_OFF_KM:
        return []
    return [("/lon", f"This is {km:.0f} km from the other planters.")]
