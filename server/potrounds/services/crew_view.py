"""Taps, crew and paced ways as JSON."""

from __future__ import annotations

from typing import Any

from potrounds.store import rounds

TAP_KEYS = (
    "id",
    "name",
    "site",
    "lat",
    "lon",
    "flow_l_min",
    "vacuum_breaker",
    "opens",
    "notes",
    "version",
)
CREW_KEYS = (
    "person",
    "weekdays",
    "minutes",
    "mode",
    "tank_l",
    "start_tap",
    "away",
    "version",
)


def public_tap(row: rounds.Tap) -> dict[str, Any]:
    """A tap as everybody sees it, and what to mind at it."""
    shown = {key: getattr(row, key) for key in TAP_KEYS}
    return {**shown, "caution": backflow_caution(row.name, row.vacuum_breaker)}


def public_taps() -> list[dict[str, Any]]:
    """All taps."""
    return [public_tap(row) for row in rounds.taps()]


def backflow_caution(name: str, vacuum_breaker: str) -> str:
    """What to say at a tap before the hose goes on.

    Source: hose-connection vacuum breakers and air gaps, several water utilities' cross-connection
    rules; local plumbing code and the water purveyor decide.
    """
    keep = "Never leave the hose end in the fill port or under water."
    if vacuum_breaker == "yes":
        return keep
    has = "has no vacuum breaker" if vacuum_breaker == "no" else "may have no vacuum breaker"
    return f"{name} {has}. {keep} Local plumbing code decides."


def public_member(row: rounds.Crew, names: dict[str, str]) -> dict[str, Any]:
    """How somebody goes out."""
    shown = {key: getattr(row, key) for key in CREW_KEYS}
    return {**shown, "name": names.get(row.person, "")}


def public_ways() -> list[dict[str, Any]]:
    """All ways paced out."""
    return [
        {"one": one, "other": other, "metres": metres}
        for (one, other), metres in rounds.paced_ways().items()
    ]
