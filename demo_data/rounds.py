"""Taps, crew, and the two rounds of the last days, with a stop that was skipped and one added."""

from __future__ import annotations

from datetime import date
from typing import Any

import siting
import town
from events import Event, Plot, local

TOWN = "town"  # stands where the planter stands in a record of a round
TAPS = [  # a few metres beside the planter of that number
    {
        **{"id": "w-stat0n00", "name": "Bicycle stand tap", "beside": "Station forecourt 2"},
        **{"flow_l_min": 9.0, "vacuum_breaker": "yes", "opens": "hand wheel"},
        "notes": "Behind the bicycle stand.",
    },
    {
        **{"id": "w-yard0000", "name": "Yard gate tap", "beside": "Library yard 3"},
        **{"flow_l_min": 12.0, "vacuum_breaker": "yes", "opens": "square key"},
        "notes": "At the yard gate; the key hangs inside.",
    },
    {
        **{"id": "w-ferry000", "name": "Ramp tap", "beside": "Ferry landing 1"},
        **{"flow_l_min": None, "vacuum_breaker": "unknown", "opens": "hand wheel", "notes": ""},
    },
]
CREW = [
    {
        **{"person": "Ines", "weekdays": [2, 5], "minutes": 150, "mode": "cart"},
        **{"tank_l": 60.0, "start_tap": "w-yard0000"},
    },
    {
        **{"person": "Joss", "weekdays": [2, 5], "minutes": 60, "mode": "foot"},
        **{"tank_l": None, "start_tap": None},
    },
]


def rounds_json() -> dict[str, Any]:
    """The content of rounds.json."""
    places = siting.positions()
    taps = []
    for tap in TAPS:
        planter = town.PLANTERS[str(tap["beside"])]
        lat, lon = places[planter.id]
        rest = {key: value for key, value in tap.items() if key != "beside"}
        site = town.SITES[planter.site][0]
        taps.append(rest | {"site": site, "lat": round(lat + 5e-5, 6), "lon": lon})
    crew = [{**one, "person": town.PEOPLE[str(one["person"])][0]} for one in CREW]
    return {"taps": taps, "crew": crew}


def _mark(plot: Plot, person: str, day: date, clock: str, **body: Any) -> None:
    key = f"round:{person}:{day}:{clock}"
    planter = body.pop("planter", None)
    whole = {"round": f"round-{day}-{town.PEOPLE[person][0]}"} | body
    kind = "stop" if planter else "round"
    plot.events.append(Event(key, local(day, clock), person, planter or TOWN, kind, whole))


def play(plot: Plot) -> None:
    """Add the rounds: begun, ended, hours put right, one stop skipped and one added."""
    day = date(2026, 10, 19)
    _mark(plot, "Ines", day, "17:25", what="started")
    skipped = {"what": "skipped", "reason": "blocked", "note": "A van stands in front of it."}
    _mark(plot, "Ines", day, "17:52", planter="Library yard 6", **skipped)
    _mark(plot, "Ines", day, "18:05", what="ended")
    day = date(2026, 10, 20)
    _mark(plot, "Joss", day, "15:20", what="started")
    _mark(plot, "Joss", day, "16:12", planter="Market street 2", what="added")
    _mark(plot, "Joss", day, "16:40", what="ended")
