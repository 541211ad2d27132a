"""What goes wrong with records in a season: mistypes put right, a wrong planter, a lost clock."""

from __future__ import annotations

from datetime import date, timedelta
from random import Random

import town
from events import Event, Plot, later

LATE_PERSON = "Lotte"  # her phone had no network for three weeks
LATE_FROM, LATE_TO = date(2026, 7, 14), date(2026, 8, 3)
LATE_SENT = (date(2026, 8, 4), "19:40")
FAST_PERSON, FAST_BY = "Ruth", timedelta(hours=2, minutes=13)
LOST_CLOCK = "lost-clock"


def play(plot: Plot) -> None:
    """Add corrections, withdrawals, a held record and the visit with a lost clock."""
    _mistyped(plot)
    _wrong_planter(plot)
    _double(plot)
    _unknown(plot)
    _lost_clock(plot)


def _nth(plot: Plot, planter: str, month: int, n: int, need: str = "level") -> Event:
    found = [
        e
        for e in plot.events
        if (e.planter, e.kind, e.at.month) == (planter, "check-in", month) and need in e.body
    ]
    return found[min(n, len(found) - 1)]


def _correct(plot: Plot, event: Event, minutes: float, **right: object) -> None:
    body = {"replaces": f"@{event.key}", "check_in": event.body | right}
    at = later(event.at, minutes)
    key = f"{event.key}:right:{at:%H%M}"
    plot.events.append(Event(key, at, event.person, event.planter, "correction", body))


def _mistyped(plot: Plot) -> None:
    event = _nth(plot, "Station forecourt 2", 6, 1, "litres_l")
    true = event.body["litres_l"]
    event.body = event.body | {"litres_l": true * 10}  # a nought too many
    _correct(plot, event, 3, litres_l=true)
    event = _nth(plot, "Ferry landing 3", 7, 2)
    true = event.body["level"]
    event.body = event.body | {"level": 1.0}
    _correct(plot, event, 1.5, level=true)
    event = _nth(plot, "Library yard 1", 8, 1, "plants")
    true = event.body["plants"]
    event.body = event.body | {"plants": 1}
    _correct(plot, event, 190, plants=true - 1)
    _correct(plot, event, 195, plants=true)  # a correction put right again
    event = _nth(plot, "Market street 2", 9, 0, "plants")
    _correct(plot, event, 40, note="Forgot: two stems broken off by the bins.")


def _wrong_planter(plot: Plot) -> None:
    event = _nth(plot, "Station forecourt 4", 7, 2, "plants")
    wrong = Event(
        f"{event.key}:wrong",
        later(event.at, -2),
        event.person,
        "Station forecourt 5",
        "check-in",
        dict(event.body),
    )
    plot.events.append(wrong)
    reason = {"replaces": f"@{wrong.key}", "reason": "Wrong planter, it was number 4."}
    at = later(event.at, -0.6)
    key = f"{wrong.key}:back"
    plot.events.append(Event(key, at, event.person, wrong.planter, "withdrawal", reason))


def _double(plot: Plot) -> None:
    event = _nth(plot, "Market street 5", 8, 0, "plants")
    again = Event(
        f"{event.key}:twice",
        later(event.at, 1),
        event.person,
        event.planter,
        "check-in",
        dict(event.body),
    )
    reason = {"replaces": f"@{again.key}", "reason": "Saved twice."}
    back = Event(
        f"{again.key}:back", later(event.at, 2), event.person, event.planter, "withdrawal", reason
    )
    plot.events += [again, back]


def _unknown(plot: Plot) -> None:
    """A tag of a planter that left the town years ago still stands in the ferry shed."""
    event = _nth(plot, "Ferry landing 6", 7, 1, "plants")
    body = {"plants": 2, "signs": ["broken"], "note": "Old pot behind the shed, still has a tag."}
    at = later(event.at, 11)
    held = Event("unknown-planter", at, event.person, "Ferry landing 0", "check-in", body)
    held.held = True
    plot.events.append(held)


def _lost_clock(plot: Plot) -> None:
    """The battery was out; the phone woke up in 1970 and found its clock again at home."""
    rng = Random(f"{town.SEED}:lost-clock")
    event = next(
        e
        for e in plot.events
        if e.person == "Joss" and e.kind == "check-in" and e.at.month == 6 and rng.random() < 0.5
    )
    event.key = LOST_CLOCK
