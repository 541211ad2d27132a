"""What is known of records that are on a phone, or were: its counter, and what it last said.

Every record of a phone carries a number (R2). A number that is missing below one that arrived is a
gap; numbers the phone has given since are still with it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from potrounds.domain.spoken import spoken_count, spoken_day

Spans = tuple[tuple[int, int], ...]  # first and last number of each

#: Work that lies on a phone for so long is asked after. Common practice, no source.
OLD = timedelta(days=1)
#: A gap is asked after once nothing has arrived for so long: till then it may still be on its way.
RESTING = timedelta(hours=1)


@dataclass(frozen=True)
class PhoneWork:
    """One phone as the server knows it."""

    arrived: Spans
    last_arrival: datetime | None
    last_heard: datetime
    settled: Spans = ()  # somebody has answered for them
    n_max: int | None = None  # its last number, as it said itself
    unsent: int | None = None  # what it said it still holds
    photos: int = 0
    since: datetime | None = None  # of the oldest it holds

    @property
    def missing(self) -> Spans:
        """Numbers below one that arrived that did not."""
        return holes([*self.arrived, *self.settled], 1, self._last)

    @property
    def waiting(self) -> Spans:
        """Numbers it has given since the last that arrived."""
        return holes(self.settled, self._last + 1, self.n_max or 0)

    @property
    def _last(self) -> int:
        return max((last for _, last in self.arrived), default=0)

    def needs_asking(self, now: datetime) -> bool:
        """Whether somebody should ask its owner."""
        old = now - min(self.since or self.last_heard, self.last_heard) >= OLD
        if (self.waiting or self.photos) and old:
            return True
        return bool(self.missing) and now - (self.last_arrival or self.last_heard) >= RESTING


def holes(there: Iterable[tuple[int, int]], first: int, last: int) -> Spans:
    """The spans from a first to a last number that no given span covers.

    Never counted number by number: a phone may claim any number.
    """
    found, ahead = [], first
    for begin, end in sorted(there):
        if begin > ahead and ahead <= last:
            found.append((ahead, min(begin - 1, last)))
        ahead = max(ahead, end + 1)
    if ahead <= last:
        found.append((ahead, last))
    return tuple(found)


def count(spans: Spans) -> int:
    """How many numbers they hold."""
    return sum(last - first + 1 for first, last in spans)


def spans_of(numbers: Iterable[int]) -> Spans:
    """Numbers as spans: 42, 44, 45 is 42 to 42 and 44 to 45."""
    found: list[tuple[int, int]] = []
    for number in sorted(set(numbers)):
        if found and found[-1][1] == number - 1:
            found[-1] = (found[-1][0], number)
        else:
            found.append((number, number))
    return tuple(found)


def spoken_numbers(spans: Spans) -> str:
    """Numbers in words: 42 and 43; 42, 44 to 46 and 50."""
    said = [
        str(first) if first == last else f"{first} {'and' if last == first + 1 else 'to'} {last}"
        for first, last in spans
    ]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"


def sentence(work: PhoneWork, day_of: Callable[[datetime], date]) -> str:
    """What is known, in one or two sentences. `day_of`: the town's day of a moment."""
    said = []
    waiting = count(work.waiting)
    held = [spoken_count(waiting, "record")] if waiting else []
    held += [spoken_count(work.photos, "photo")] if work.photos else []
    if held:
        one = waiting + work.photos == 1
        since = f" since {spoken_day(day_of(work.since))}" if work.since else ""
        said.append(f"{' and '.join(held)} {'waits' if one else 'wait'} on it{since}.")
    if work.missing:
        one = count(work.missing) == 1
        said.append(
            f"{'Record' if one else 'Records'} {spoken_numbers(work.missing)} of this phone never "
            "arrived, later ones did."
        )
    return " ".join(said)


def advice(work: PhoneWork, who: str, sends_until: datetime | None, now: datetime) -> str:
    """What to do. `sends_until`: for a phone that has left, how long it may still send."""
    if sends_until is not None and now >= sends_until:
        return (
            f"This phone has left, too long ago to send what it holds. Give {who} a new link for "
            "that very phone, or settle it here."
        )
    if sends_until is not None:
        return (
            f"This phone has left and may still send until {spoken_day(sends_until.date())}. Ask "
            f"{who} to open Potrounds on it where there is signal."
        )
    if work.unsent == 0 and not work.waiting and not work.photos:
        return (
            f"The phone says it holds nothing more: the record was thrown away there. Ask {who} "
            "what it was, have it checked in anew where it matters, and settle it here."
        )
    return (
        f"Ask {who} to open Potrounds where there is signal and to look under Outbox: whatever "
        "needs mending says so there, and Send now sends the rest."
    )
