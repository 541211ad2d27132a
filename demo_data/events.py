"""What happens in the demo's season, before it becomes records: one Event for each record."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import town

ZONE = ZoneInfo(town.ZONE)


def local(day: date, clock: str) -> datetime:
    """A moment by the town's own clock."""
    return datetime.combine(day, time.fromisoformat(clock), ZONE).astimezone(UTC)


@dataclass(frozen=True)
class Scene:
    """What a photo of that moment would show; `view` and `extra` as in photo.Shot."""

    growth: float = 0.0
    health: int = 4
    level: float | None = None
    wet: float = 0.7
    view: str = "planter"
    extra: str = ""


@dataclass
class Event:
    """One record to be. Texts of the form @key in its body stand for another event's record id."""

    key: str
    at: datetime
    person: str | None
    planter: str
    kind: str
    body: dict[str, Any]
    scene: Scene | None = None  # a photo was taken
    photo_lost: bool = False  # named in the record, but never arrived
    held: bool = False

    @property
    def site(self) -> str:
        return self.planter.rsplit(" ", 1)[0]


@dataclass
class Plot:
    """All events, and how each planter looked on each day."""

    events: list[Event] = field(default_factory=list)
    looks: dict[tuple[str, date], Scene] = field(default_factory=dict)

    def check_in(
        self,
        planter: str,
        day: date,
        clock: str,
        person: str,
        body: dict[str, Any],
        scene: Scene | None = None,
        key: str = "",
    ) -> Event:
        """Add a check-in."""
        at = local(day, clock)
        event = Event(key or f"{planter}:{at:%m%d%H%M}", at, person, planter, "check-in", body)
        event.scene = scene
        self.events.append(event)
        return event

    def step(
        self,
        planter: str,
        at: datetime,
        person: str,
        code: str,
        scene: Scene | None = None,
        **more: Any,
    ) -> Event:
        """Add a step of a list; keyword `list` is winterization unless told otherwise."""
        which = more.pop("list", "winterization")
        body = {"list": which, "season": 2026, "step": code, "outcome": "done"} | more
        event = Event(f"{planter}:{which}:{code}", at, person, planter, "step", body, scene)
        self.events.append(event)
        return event

    def plant(self, planter: str, day: date, clock: str, person: str, **body: Any) -> Event:
        """Add a planting recorded at the planter."""
        at = local(day, clock)
        event = Event(f"{planter}:planting:{day}", at, person, planter, "planting", body)
        self.events.append(event)
        return event

    def decide(self, planter: str, day: date, clock: str, flag: str, **more: Any) -> Event:
        """Add a decision of the coordinator."""
        at = local(day, clock)
        event = Event(f"{planter}:{flag}:{day}", at, "Pilar", planter, "decision", {"flag": flag})
        event.body |= more
        self.events.append(event)
        return event

    def report(self, planter: str, day: date, clock: str, what: str, text: str) -> Event:
        """Add a passer-by's report."""
        at = local(day, clock)
        event = Event(f"{planter}:report:{day}", at, None, planter, "report", {"what": what})
        if text:
            event.body["text"] = text
        self.events.append(event)
        return event

    def named(self, key: str) -> Event:
        """The event with that key."""
        return next(event for event in self.events if event.key == key)


def later(at: datetime, minutes: float) -> datetime:
    """A moment some minutes later."""
    return at + timedelta(minutes=minutes)
