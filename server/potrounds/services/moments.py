"""When a record was seen, worked out from a phone's clock that may be wrong (R12); times as text.

The phone says when it froze the record (`wall`) and when it sent it (`sent_at`), both by its own
clock. The time between the two is right even where the clock is not, so the server counts it back
from the moment of arrival.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from potrounds.domain.calendar import local_day

#: How far apart two readings of one clock may lie through slow networks alone.
TOLERANCE = timedelta(minutes=5)
#: No record of ours is older; it stands in for planters without an installation date.
FIRST_DAY = date(2000, 1, 1)

UNREADABLE = "unreadable"
FUTURE = "future"
BEFORE_PLANTER = "before-planter"
ORDER = "order"


@dataclass(frozen=True)
class Reading:
    """When a record was seen, and why that is doubtful, if it is."""

    at: datetime
    doubt: str = ""


def stamp(moment: datetime | None) -> str | None:
    """A moment as it goes over the wire."""
    if moment is None:
        return None
    return moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def day_text(day: date | None) -> str | None:
    """A day as it goes over the wire."""
    return day.isoformat() if day else None


def read_moment(value: object) -> datetime | None:
    """A moment with its offset from text; None where it cannot be read."""
    if isinstance(value, datetime):
        return value.astimezone(UTC) if value.tzinfo else None
    if not isinstance(value, str):
        return None
    try:
        moment = datetime.fromisoformat(value)
        return moment.astimezone(UTC) if moment.tzinfo else None
    except (ValueError, OverflowError):
        return None


def observe(
    wall: str, sent_at: datetime | None, received_at: datetime, installed: date | None, zone: str
) -> Reading:
    """When a record was seen: received_at - (sent_at - wall)."""
    made = read_moment(wall)
    if made is None or sent_at is None:
        return Reading(received_at, UNREADABLE)
    try:
        seen = received_at - (sent_at - made)
        day = local_day(seen, zone)
    except OverflowError:
        return Reading(received_at, UNREADABLE)
    if seen > received_at:
        return Reading(received_at, FUTURE if seen - received_at > TOLERANCE else "")
    if day < (installed or FIRST_DAY):
        return Reading(seen, BEFORE_PLANTER)
    return Reading(seen)


def out_of_order(times: Sequence[datetime]) -> set[int]:
    """Which of a phone's records, in the order of its counter, cannot have their time right.

    The longest run of times that never go back is believed; a record outside it is doubtful when
    it lies more than the tolerance beyond its believed neighbours. The answer depends on the set
    of records alone, not on the order they arrived in.
    """
    kept = _longest_rising(times)
    doubtful, earlier, place = set(), None, 0
    for index, time in enumerate(times):
        if place < len(kept) and kept[place] == index:
            earlier, place = time, place + 1
            continue
        later = times[kept[place]] if place < len(kept) else None
        if (earlier is not None and time < earlier - TOLERANCE) or (
            later is not None and time > later + TOLERANCE
        ):
            doubtful.add(index)
    return doubtful


def _longest_rising(times: Sequence[datetime]) -> list[int]:
    """Indices of the longest run that never falls (patience sorting)."""
    tails: list[datetime] = []
    ends: list[int] = []
    before: list[int | None] = []
    for index, time in enumerate(times):
        place = bisect_right(tails, time)
        before.append(ends[place - 1] if place else None)
        if place == len(tails):
            tails.append(time)
            ends.append(index)
        else:
            tails[place], ends[place] = time, index
    run: list[int] = []
    at: int | None = ends[-1] if ends else None
    while at is not None:
        run.append(at)
        at = before[at]
    return run[::-1]
