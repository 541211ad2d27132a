"""Which visits have a photo, and what each photo shows."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import photo
import town
from events import ZONE, Event, Plot

from weather import Day

SHOWN = ("Library yard 3",)  # a photo at almost every visit
LOST = 2  # photos that were taken and never arrived
MONTHS = (6, 8)  # every planter has one in each


def choose(plot: Plot) -> None:
    """Give the regular visits their photos."""
    for name in town.PLANTERS:
        visits = sorted(
            (e for e in plot.events if e.planter == name and e.kind == "check-in"),
            key=lambda e: e.at,
        )
        regular = [e for e in visits if e.scene is None and (name, _day(e)) in plot.looks]
        regular = [e for e in regular if e.at.month < 10]
        for month in MONTHS:
            own = [e for e in regular if e.at.month == month and "level" in e.body]
            own = own or [e for e in regular if e.at.month == month]
            if own:
                _take(plot, own[int(name[-1]) % len(own)])
        if name in SHOWN:
            for event in regular[1::3]:
                _take(plot, event)
        worst = [e for e in regular if e.body.get("plants", 5) <= 2]
        for event in worst[:1]:
            _take(plot, event)
    taken = sorted((e for e in plot.events if e.scene and e.at.month == 9), key=lambda e: e.key)
    for event in taken[:LOST]:
        event.photo_lost = True


def _day(event: Event) -> date:
    return event.at.astimezone(ZONE).date()


def _take(plot: Plot, event: Event) -> None:
    look = plot.looks[event.planter, _day(event)]
    event.scene = replace(look, health=event.body.get("plants", look.health))


def faces(shas: dict[str, str]) -> dict[str, str]:
    """One picture for each planter's page: the one of August."""
    found: dict[str, str] = {}
    for key in sorted(shas):
        name, _, rest = key.partition(":")
        if rest.startswith("2026-08"):
            found.setdefault(name, shas[key])
    return found


def draw(event: Event, days: dict[date, Day]) -> bytes:
    """Draw one photo as the phone would send it."""
    scene = event.scene
    assert scene is not None
    planter, day = town.PLANTERS[event.planter], _day(event)
    hour = event.at.astimezone(ZONE).hour
    sky = days[day].sky
    if sky == "sun" and hour >= 17:
        sky = "evening"
    autumn = min(1.0, max(0.0, (day - date(2026, 9, 15)).days / 32))
    shot = photo.Shot(
        planter=planter.name,
        site=planter.site,
        size=planter.size,
        shape=planter.shape,
        gauge=planter.gauge,
        plants=planter.plants_on(day),
        growth=scene.growth,
        health=scene.health,
        level=scene.level,
        sky=sky,
        autumn=round(autumn, 1),
        wet=scene.wet,
        view=scene.view,
        extra=scene.extra,
    )
    return photo.jpeg(photo.draw_shot(shot))
