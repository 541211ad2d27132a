"""How far every place is from one of them, and how that is known: what the plan reckons with."""

from __future__ import annotations

from typing import Any

from potrounds.services import town
from potrounds.services.context import Context
from potrounds.services.refusal import not_found
from potrounds.services.round_inputs import read_ground, read_taps
from potrounds.store import rounds


def ways_from(ctx: Context, place: str) -> dict[str, Any]:
    """Metres from a planter in use or a tap to all others, nearest first.

    Raises: Refusal 404 where nothing has this id.
    """
    now = ctx.now()
    planters = {
        one.id: one
        for one in town.planters(town.calendar(), now).values()
        if one.status == "in-use"
    }
    taps = read_taps()
    names = {one.id: one.name for one in planters.values()} | {tap.id: tap.name for tap in taps}
    if place not in names:
        raise not_found("planter-or-tap")
    ground = read_ground(planters, taps, town.settings())
    paced = {frozenset(pair) for pair in rounds.paced_ways()}

    def how(other: str) -> str:
        if frozenset((place, other)) in paced:
            return "paced"
        return "reckoned" if {place, other} <= ground.placed else "guessed"

    found = [
        {
            "other": {"id": other, "name": name},
            "metres": round(ground.between(place, other)),
            "how": how(other),
        }
        for other, name in names.items()
        if other != place
    ]
    found.sort(key=lambda one: (one["metres"], one["other"]["name"]))
    return {"place": {"id": place, "name": names[place]}, "ways": found}
