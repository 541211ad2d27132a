"""Everything recorded at a planter as a visit's line: some at a time, or those that are named."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from potrounds.services import cards
from potrounds.services.context import Context
from potrounds.services.moments import read_moment, stamp
from potrounds.services.planter_course import Planter, read
from potrounds.services.report import span_of
from potrounds.store import photos


def visits(
    ctx: Context, planter_id: str, year: str | None, before: str | None, most: int
) -> dict[str, Any]:
    """Some of what was recorded at a planter, newest first, as it now stands.

    year: begin with the end of this season. before: a moment; go on with what was seen earlier.
    Raises: Refusal 404 for no such planter, and for a season that has not begun.
    """
    one = read(ctx, planter_id)
    shown: list[cards.Shown] = [*one.seen, *one.stands.reports]
    shown.sort(key=lambda seen: (seen.at, seen.record), reverse=True)
    last = span_of(ctx, year).last if year else None
    end = read_moment(before) if before else None
    left = [
        seen
        for seen in shown
        if (last is None or seen.day <= last) and (end is None or _to_the_millisecond(seen) < end)
    ]
    some = left[:most]
    last_at = _to_the_millisecond(some[-1]) if some else None
    some += [
        seen for seen in left[most:] if _to_the_millisecond(seen) == last_at
    ]  # a moment is never cut
    states = photos.states_at(planter_id)
    return {
        "visits": [cards.visit(seen, states, one.calendar) for seen in some],
        "count": len(shown),
        "first": stamp(shown[-1].at) if shown else None,
        "before": stamp(some[-1].at) if len(some) < len(left) else None,
    }


def _to_the_millisecond(seen: cards.Shown) -> datetime:
    """When it was seen, as the wire says it: what a page ended with has to compare alike."""
    return seen.at.replace(microsecond=seen.at.microsecond // 1000 * 1000)


def of_records(one: Planter, wanted: Iterable[str], states: dict[str, str]) -> list[dict[str, Any]]:
    """The records among these as a visit's line; oldest first."""
    names = set(wanted)
    shown: Sequence[cards.Shown] = [*one.seen, *one.stands.reports]
    found = sorted((seen for seen in shown if seen.record in names), key=lambda seen: seen.at)
    return [cards.visit(seen, states, one.calendar) for seen in found]
