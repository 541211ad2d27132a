"""The list of changes as JSON: looked through by words, kind, person and day."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from datetime import date
from typing import Any

from potrounds.domain.calendar import TownCalendar
from potrounds.services import town
from potrounds.services.moments import stamp
from potrounds.store import people, undo
from potrounds.store.register import Change

A_PAGE = 50
SERVER = "the server"


def public_changes(some: Iterable[Change]) -> list[dict[str, Any]]:
    """Changes as the desk shows them: by whom, undone by whom, and what was made with them."""
    rows = list(some)
    names = {one.id: one.name for one in people.people()}
    undone, together = undo.undone(), undo.members(one.act for one in rows if one.act)

    def told(one: Change | None) -> dict[str, Any] | None:
        if one is None:
            return None
        return {"number": one.id, "by": names.get(one.by or "", SERVER), "at": stamp(one.at)}

    return [
        {
            "number": one.id,
            "at": stamp(one.at),
            "by": names.get(one.by or "", SERVER),
            "what": one.what,
            "id": one.ref,
            "name": one.name,
            "before": one.before,
            "after": one.after,
            "together": together.get(one.act or 0, 1),
            "undone": told(undone.get(one.act or one.id)),
            "undoes": one.undoes,
        }
        for one in rows
    ]


def page(
    search: str = "",
    what: str | None = None,
    by: str | None = None,
    since: date | None = None,
    until: date | None = None,
    oldest_first: bool = False,
    after: int | None = None,
) -> dict[str, Any]:
    """A page of changes, and whether there are more; `after` is the last number of a page before.

    search: words that all stand in a change's name or values, in any case
    by: a person's id; "server" for what the server did by itself
    """
    asked = _asked(search, what, by, since, until, town.calendar())
    found: list[Change] = []
    for one in undo.changes(oldest_first):
        past = after is None or (one.id > after if oldest_first else one.id < after)
        if past and asked(one):
            found.append(one)
        if len(found) > A_PAGE:
            break
    return {"changes": public_changes(found[:A_PAGE]), "more": len(found) > A_PAGE}


def _asked(
    search: str,
    what: str | None,
    by: str | None,
    since: date | None,
    until: date | None,
    calendar: TownCalendar,
) -> Callable[[Change], bool]:
    words = search.casefold().split()

    def fits(one: Change) -> bool:
        if what is not None and one.what != what:
            return False
        if by is not None and (one.by or "server") != by:
            return False
        day = calendar.local_day(one.at)
        if (since and day < since) or (until and day > until):
            return False
        if not words:
            return True
        values = json.dumps([one.before, one.after], ensure_ascii=False)
        text = f"{one.name} {values}".casefold()
        return all(word in text for word in words)

    return fits
