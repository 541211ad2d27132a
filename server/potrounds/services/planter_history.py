"""Where a planter was and what became of it, out of the register's changes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any

from potrounds.science.siting import distance_m
from potrounds.services.moments import stamp
from potrounds.store import register

#: What of a planter's changes its history tells.
TOLD = ("site", "status", "name", "size", "code")


def histories(
    planter_ids: Iterable[str], names: Mapping[str, str]
) -> dict[str, list[dict[str, Any]]]:
    """What befell each planter, newest first: moved, stored, retired, lost, tagged anew.

    Read at once for all of them, as each reading goes through the whole list of changes. Sites are
    told by name; what only one of before and after knows is left out.
    """
    sites = {site.id: site.name for site in register.sites()}
    told: dict[str, list[dict[str, Any]]] = {}
    for change in register.changes_of(*planter_ids):
        for key in TOLD:
            if key not in change.before or key not in change.after:
                continue
            old, new = change.before[key], change.after[key]
            told.setdefault(change.ref, []).insert(
                0,
                {
                    "at": stamp(change.at),
                    "by": names.get(change.by or "", "the server"),
                    "what": key,
                    "old": sites.get(old, old) if key == "site" else old,
                    "new": sites.get(new, new) if key == "site" else new,
                },
            )
    return told


def history(planter_id: str, names: Mapping[str, str]) -> list[dict[str, Any]]:
    """What befell one planter, newest first."""
    return histories([planter_id], names).get(planter_id, [])


def whole_history(planter: register.Planter, names: Mapping[str, str]) -> list[dict[str, Any]]:
    """The same with every move on the ground, and with whom places were changed; newest first.

    Where a planter stands is told to the coordinator alone: no card carries it.
    """
    changes = register.changes_of(planter.id)
    swapped = {stamp(one.at): one.after.get("swapped_with") for one in changes}
    told = [
        {**one, "metres": None, "with": swapped[one["at"]] if one["what"] == "site" else None}
        for one in history(planter.id, names)
    ]
    for change, before, after in _moves(planter, changes):
        told.append(
            {
                "at": stamp(change.at),
                "by": names.get(change.by or "", "the server"),
                "what": "position",
                "old": _place(before),
                "new": _place(after),
                "metres": round(distance_m(before, after), 1) if before and after else None,
                "with": None,
            }
        )
    return sorted(told, key=lambda one: str(one["at"]), reverse=True)


Point = tuple[float, float]


def _moves(
    planter: register.Planter, changes: Sequence[register.Change]
) -> Iterator[tuple[register.Change, Point | None, Point | None]]:
    """Moves on the ground of one site, newest first. A change names only the figures that differ,
    so they are followed back from where the planter stands now."""
    here = {"lat": planter.lat, "lon": planter.lon}
    for change in reversed(changes):
        before = here | {key: change.before.get(key) for key in here if key in change.after}
        if before != here and "site" not in change.after:
            yield change, _point(before), _point(here)
        here = before


def _point(told: Mapping[str, float | None]) -> Point | None:
    lat, lon = told["lat"], told["lon"]
    return None if lat is None or lon is None else (lat, lon)


def _place(at: Point | None) -> str | None:
    return None if at is None else f"{at[0]:.5f}, {at[1]:.5f}"


def last_moves(planter_ids: Iterable[str]) -> dict[str, datetime]:
    """When each was last put somewhere else; those that never were are left out."""
    return {
        change.ref: change.at
        for change in register.changes_of(*planter_ids)
        if change.before.get("site") not in (None, change.after.get("site"))
        or any(
            change.before.get(key) is not None and change.before[key] != change.after.get(key)
            for key in ("lat", "lon")
        )
    }
