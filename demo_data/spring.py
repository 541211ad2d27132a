"""Start-up in spring: every planter's list, from a look at the shell to watering from above."""

from __future__ import annotations

from datetime import date, timedelta
from random import Random
from typing import Any

import town
from events import Plot, Scene, later, local

DAYS = {  # site: the Saturday or evening on which its planters are woken
    "Ferry landing": date(2026, 4, 25),
    "Station forecourt": date(2026, 4, 29),
    "Market street": date(2026, 5, 2),
    "Library yard": date(2026, 4, 28),
}
NOTES = {
    ("Ferry landing 2", "inspect"): "Hairline in the rim, does not go through.",
    ("Station forecourt 3", "inspect"): "Outlet sits a little high, sludge behind it.",
    ("Market street 3", "plug-in"): "New washer.",
    ("Library yard 5", "inspect"): "Wick is thin at the foot, watch it.",
}
UNFINISHED = "Market street 6"  # put out late in June, its list never ended


def play(plot: Plot) -> None:
    """Write down the start-up steps of all planters."""
    for planter in town.PLANTERS.values():
        late = planter.name == UNFINISHED
        day = date(2026, 6, 16) if late else DAYS[planter.site]
        _wake(plot, planter, day)


def _wake(plot: Plot, planter: town.Planter, day: date) -> None:
    rng = Random(f"{town.SEED}:spring:{planter.name}")
    who, second = rng.sample(town.TEAMS[planter.site], 2)
    number = int(planter.name.rsplit(" ", 1)[1])
    at = later(local(day, "09:10"), number * 31 + rng.randint(0, 9))
    how: dict[str, Any] = {"list": "start-up"}
    for code in ("inspect", "flush", "moisten", "plug-in", "fill"):
        note = NOTES.get((planter.name, code))
        more: dict[str, Any] = {"note": note} if note else {}
        if code == "plug-in" and rng.random() < 0.3:
            more["second"] = second
        if code == "fill":
            more["level"] = 1.0
        plot.step(planter.name, at, who, code, **how, **more)
        at = later(at, rng.uniform(2, 6))
    if planter.name == UNFINISHED:
        planted = local(planter.planted_on, "18:20")
        plot.step(planter.name, planted, "Kofi", "plant", **how)
        return
    look = later(local(day + timedelta(days=rng.choice((1, 2, 3))), "18:05"), number * 4)
    plot.step(planter.name, look, second, "no-drips", **how, standing_water=False)
    planted = later(
        local(planter.planted_on, "14:30" if planter.site == "Library yard" else "10:00"),
        number * 22 + rng.randint(0, 8),
    )
    first = planter.name.endswith(" 3")
    scene = Scene(growth=0.05, health=4, level=1.0, wet=0.9) if first else None
    plot.step(planter.name, planted, who, "plant", scene, **how)
    rooted = planter.planted_on + timedelta(days=rng.randint(21, 27))
    done = later(local(rooted, "18:30"), number * 5 + rng.randint(0, 3))
    plot.step(planter.name, done, second, "water-from-above", **how)
