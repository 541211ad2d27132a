"""Where a planter was and what became of it, out of the register's changes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from potrounds.services.moments import stamp
from potrounds.store import register

#: What of a planter's changes its history tells.
TOLD = ("site", "status", "name", "size", "code")


def history(planter_id: str, names: Mapping[str, str]) -> list[dict[str, Any]]:
    """What befell a planter, newest first: moved, swapped, stored, retired, lost, tagged anew.

    Sites are told by name; what only one of before and after knows is left out.
    """
    sites = {site.id: site.name for site in register.sites()}
    told = []
    for change in register.changes_of(planter_id):
        for key in TOLD:
            if key not in change.before or key not in change.after:
                continue
            old, new = change.before[key], change.after[key]
            told.append(
                {
                    "at": stamp(change.at),
                    "by": names.get(change.by or "", "the server"),
                    "what": key,
                    "old": sites.get(old, old) if key == "site" else old,
                    "new": sites.get(new, new) if key == "site" else new,
                }
            )
    return told[::-1]


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
