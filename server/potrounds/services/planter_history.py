"""Where a planter was and what became of it, out of the register's changes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

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
