"""Winterization as far as it has come at the town's clock: 11 proven, 4 unproven, 2 begun."""

from __future__ import annotations

from datetime import date, datetime
from random import Random
from typing import Any

import town
from events import Plot, Scene, later, local

# planter: (day of October drained, who, second person, day of the second look, who looked)
PROVEN: dict[str, tuple[int, str, str | None, int, str]] = {
    "Ferry landing 1": (8, "Ines", "Maud", 13, "Ines"),
    "Ferry landing 2": (8, "Ines", "Maud", 13, "Ines"),
    "Ferry landing 3": (8, "Maud", None, 13, "Ines"),
    "Ferry landing 4": (9, "Maud", None, 13, "Ines"),
    "Ferry landing 6": (9, "Maud", None, 13, "Ines"),
    "Station forecourt 1": (14, "Joss", None, 17, "Tomas"),
    "Station forecourt 2": (14, "Joss", "Tomas", 17, "Tomas"),
    "Station forecourt 4": (14, "Joss", None, 17, "Tomas"),
    "Market street 5": (12, "Kofi", None, 17, "Lotte"),
    "Library yard 1": (10, "Ruth", "Kofi", 13, "Ruth"),
    "Library yard 2": (10, "Ruth", None, 13, "Ruth"),
}
STOPPED = {"Ferry landing": 1, "Station forecourt": 2, "Market street": 2, "Library yard": 3}
BOX = {"Ferry landing": "A", "Station forecourt": "B", "Market street": "C", "Library yard": "D"}
DRAINING = {"Market street 2": (0.25, "16:20"), "Station forecourt 5": (0.5, "15:35")}
STOPPERS = {
    "Ferry landing": "Ines",
    "Station forecourt": "Tomas",
    "Market street": "Maud",
    "Library yard": "Ruth",
}


def box(planter: str) -> str:
    """Where a planter's plug lies."""
    site, number = planter.rsplit(" ", 1)
    return f"box {BOX[site]} {number}"


def play(plot: Plot) -> None:
    """Write down the winter steps."""
    for name, (drained, who, second, looked, looker) in PROVEN.items():
        rng = Random(f"{town.SEED}:winter:{name}")
        _stop(plot, name)
        at = _drain(plot, name, date(2026, 10, drained), who, second, rng)
        _clear(plot, name, later(at, rng.uniform(4, 9)), who, rng)
        _second_look(plot, name, date(2026, 10, looked), looker, False)
    _unproven(plot)
    for name, (level, clock) in DRAINING.items():
        _stop(plot, name)
        scene = Scene(0.8, 4, level, 0.55)
        plot.step(name, local(date(2026, 10, 20), clock), "Joss", "read-level", scene, level=level)


def _number(name: str) -> int:
    return int(name.rsplit(" ", 1)[1])


def _stop(plot: Plot, name: str) -> None:
    site = name.rsplit(" ", 1)[0]
    at = later(local(date(2026, 10, STOPPED[site]), "18:02"), _number(name) * 3.4)
    plot.step(name, at, STOPPERS[site], "stop-water")


def _drain(
    plot: Plot,
    name: str,
    day: date,
    who: str,
    second: str | None,
    rng: Random,
    start: str = "09:20",
) -> datetime:
    at = later(local(day, start), _number(name) * 34 + rng.randint(0, 6))
    has_gauge = town.PLANTERS[name].gauge != "none"
    more: dict[str, Any] = {"level": rng.choice((0.25, 0.25, 0.5))} if has_gauge else {}
    plot.step(name, at, who, "read-level", **more)
    at = later(at, rng.uniform(1, 3))
    if second:
        plot.step(name, at, who, "pull-plug", second=second)
    else:
        plot.step(name, at, who, "pull-plug", Scene(view="outlet-running"))
    at = later(at, rng.uniform(6, 14))
    plot.step(name, at, who, "bag-plug", plug_place=box(name))
    return at


def _clear(plot: Plot, name: str, at: datetime, who: str, rng: Random) -> None:
    plot.step(name, at, who, "flush")
    at = later(at, rng.uniform(3, 7))
    plot.step(name, at, who, "lift-plants")
    at = later(at, rng.uniform(1, 3))
    plot.step(name, at, who, "mix", mix=rng.choice(("keep", "skim", "skim", "dump")))
    at = later(at, rng.uniform(2, 5))
    plot.step(name, at, who, "cap-and-raise")


def _second_look(plot: Plot, name: str, day: date, who: str, water: bool, note: str = "") -> None:
    at = later(local(day, "17:10"), _number(name) * 3.7)
    more: dict[str, Any] = {"standing_water": water} | ({"note": note} if note else {})
    scene = Scene(view="emptied", wet=0.95) if _number(name) in (1, 3) else None
    plot.step(name, at, who, "second-look", scene, **more)


def _unproven(plot: Plot) -> None:
    """Four that nobody can vouch for, each for another reason."""
    rng = Random(f"{town.SEED}:winter:unproven")
    # Nobody else was there, no photo, and the float still says full.
    name = "Ferry landing 5"
    _stop(plot, name)
    at = later(local(date(2026, 10, 9), "18:40"), 2)
    plot.step(name, at, "Tomas", "pull-plug", note="Dusk, could not see whether it ran.")
    plot.step(name, later(at, 3), "Tomas", "bag-plug", plug_place=box(name))
    plot.step(name, later(at, 9), "Tomas", "lift-plants")
    # Drained and photographed, but water stood in it after the rain.
    name = "Station forecourt 3"
    _stop(plot, name)
    at = _drain(plot, name, date(2026, 10, 14), "Joss", None, rng)
    _clear(plot, name, later(at, 6), "Joss", rng)
    note = "Water a hand deep in the foot, outlet choked with roots."
    _second_look(plot, name, date(2026, 10, 17), "Tomas", True, note)
    # No witness, and where the plug went was not written down.
    name = "Market street 1"
    _stop(plot, name)
    at = later(local(date(2026, 10, 18), "11:30"), 5)
    plot.step(name, at, "Lotte", "pull-plug")
    plot.step(name, later(at, 12), "Lotte", "lift-plants")
    # Photo, box, everything, but the rain has come and nobody has looked again.
    name = "Library yard 4"
    _stop(plot, name)
    at = _drain(plot, name, date(2026, 10, 15), "Kofi", None, rng, "15:00")
    _clear(plot, name, later(at, 6), "Kofi", rng)
