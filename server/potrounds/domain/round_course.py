"""How a day's rounds went: who holds which stop, what became of it, and hours.

Everything is folded from what was told and from records in the order of the field, so no order of
arrival changes it, and a stop is always in exactly one round.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from potrounds.domain.records import Decision, Record, RoundMark, StopMark
from potrounds.domain.rounds import Told, asked_words, quarter_hours, read_round_key
from potrounds.domain.visits import Visit, effective, unwithdrawn


@dataclass(frozen=True)
class StopState:
    """One planter of a day's rounds: whose it is now, and what became of it."""

    planter: str
    person: str
    state: str = "to-do"  # done, skipped
    by: str | None = None  # name
    at: datetime | None = None
    record: str | None = None
    reason: str | None = None
    note: str = ""
    handed_by: str | None = None  # name
    told_to: str | None = None  # person; None: added on site
    since: datetime | None = None
    asked: tuple[str, ...] = ()  # why a coordinator put it on the round
    asked_at: datetime | None = None


@dataclass(frozen=True)
class Hours:
    """A person's time on a round."""

    minutes: int  # to the quarter hour
    exact_min: float | None
    by_hand: bool = False
    under_way: bool = False
    started_at: datetime | None = None
    ended_at: datetime | None = None
    note: str = ""


@dataclass(frozen=True)
class Course:
    """A day's rounds as they stand."""

    day: date
    stops: tuple[StopState, ...]
    hours: dict[str, Hours]

    def of(self, person: str) -> tuple[StopState, ...]:
        """A person's stops: those told in their order, then what came to it."""
        return tuple(one for one in self.stops if one.person == person)

    def people(self) -> tuple[str, ...]:
        """Everybody with a stop or with hours."""
        return tuple(sorted({one.person for one in self.stops} | set(self.hours)))


def course(
    day: date,
    told: Sequence[Told],
    records: Iterable[Record],
    people: Collection[str],
    zone: str = "UTC",
) -> Course:
    """The rounds of a day, from what was told and the records of that time.

    Parameters: people : those a stop can be handed to; a hand-over to anybody else is not followed
    """
    everything = unwithdrawn(records)
    stops: dict[str, StopState] = {}
    for one in sorted(told, key=lambda some: some.person):
        for planter in one.planters:
            stops.setdefault(planter, StopState(planter, one.person, told_to=one.person))
    asked = _asked_for(day, everything)
    for record in everything:
        if isinstance(record.body, StopMark) and _day(record.body.round) == day:
            _follow(stops, record, record.body, people)
        elif record.id in asked and isinstance(record.body, Decision):
            _ask_for(stops, record, record.body, people)
    for visit in effective(everything, zone):
        _visited(stops, visit, day)
    order = {planter: at for at, planter in enumerate(_told_order(told))}
    in_order = sorted(
        stops.values(),
        key=lambda one: (
            order.get(one.planter, len(order)),
            one.since.isoformat() if one.since else "",
            one.planter,
        ),
    )
    return Course(day, tuple(in_order), _hours(day, everything))


def _told_order(told: Sequence[Told]) -> list[str]:
    return [planter for one in told for planter in one.planters]


def _day(key: str | None) -> date | None:
    found = read_round_key(key or "")
    return found[0] if found else None


def _person(key: str) -> str:
    found = read_round_key(key)
    return found[1] if found else ""


def _follow(
    stops: dict[str, StopState], record: Record, mark: StopMark, people: Collection[str]
) -> None:
    """One skip, hand-over or addition, in its turn."""
    planter, by = record.planter, record.author_name
    there = stops.get(planter)
    whose = _person(mark.round)
    if mark.what == "skipped":
        if there is None or there.person == whose:
            stops[planter] = replace(
                there or StopState(planter, whose, since=record.observed_at),
                state="skipped",
                by=by,
                at=record.observed_at,
                record=record.id,
                reason=mark.reason,
                note=mark.note,
            )
        return
    to = mark.to if mark.what == "handed" else whose
    if to is None or to not in people or (there is not None and there.person == to):
        return
    stops[planter] = StopState(
        planter,
        to,
        note=mark.note,
        record=record.id,
        handed_by=by if mark.what == "handed" or there is not None else None,
        told_to=there.told_to if there else None,
        since=record.observed_at,
        asked=there.asked if there else (),
        asked_at=there.asked_at if there else None,
    )


def _asked_for(day: date, records: Iterable[Record]) -> set[str]:
    """The decisions that put a planter on a round of that day, unless decided anew since."""
    last = {
        (record.planter, record.body.flag): record
        for record in records
        if isinstance(record.body, Decision)
    }
    return {
        record.id
        for record in last.values()
        if isinstance(record.body, Decision)
        and record.body.decision == "next-round"
        and _day(record.body.round) == day
    }


def _ask_for(
    stops: dict[str, StopState], record: Record, body: Decision, people: Collection[str]
) -> None:
    """A planter a coordinator put on a round: a stop of it if it was none, and to do again."""
    there, whose = stops.get(record.planter), _person(body.round or "")
    if there is None and whose not in people:
        return
    stop = there or StopState(
        record.planter,
        whose,
        record=record.id,
        handed_by=record.author_name,
        since=record.observed_at,
    )
    if stop.state == "skipped":
        stop = replace(stop, state="to-do", by=None, at=None, reason=None)
    words = asked_words(body.why, record.author_name)
    stops[record.planter] = replace(stop, asked=(*stop.asked, words), asked_at=record.observed_at)


def _visited(stops: dict[str, StopState], visit: Visit, day: date) -> None:
    """A stop is done by its check-in, whoever made it; one that nobody planned joins."""
    # A phone with a wrong clock says the round by name; the day is then not asked.
    named = visit.check_in.round
    if (_day(named) if named else visit.day) != day:
        return
    planter = visit.planter
    there = stops.get(planter)
    if there is None:
        if not named:
            return
        there = StopState(planter, _person(named), since=visit.at)
    if there.state == "done":
        return  # the first check-in did it
    if there.asked_at is not None and visit.at <= there.asked_at:
        return  # asked for after that visit: somebody is to come again
    stops[planter] = replace(
        there, state="done", by=visit.by, at=visit.at, record=visit.record, reason=None
    )


def _hours(day: date, records: Iterable[Record]) -> dict[str, Hours]:
    marks: dict[str, list[tuple[Record, RoundMark]]] = {}
    for record in records:
        if isinstance(record.body, RoundMark) and _day(record.body.round) == day:
            whose = _person(record.body.round)
            own = record.author == whose
            put_right = record.extra.get("author_role") == "coordinator"
            if own or (put_right and record.body.what == "hours"):
                marks.setdefault(whose, []).append((record, record.body))
    return {person: _of_person(some) for person, some in marks.items()}


def _of_person(marks: Sequence[tuple[Record, RoundMark]]) -> Hours:
    """Spans from start to end added up, rounded once; minutes told by hand stand instead.

    A second start before any end changes nothing, nor does a second end: both are slips of a
    thumb. A time that is only a claim counts for nothing, and has to be put right by hand.
    """
    total, since, first, last, any_span = 0.0, None, None, None, False
    told: tuple[int, str] | None = None
    for record, mark in marks:
        if mark.what == "hours":
            told = (mark.minutes or 0, mark.note)
        elif record.time_uncertain:
            continue
        elif mark.what == "started" and since is None:
            since = record.observed_at
            first = first or since
        elif mark.what == "ended" and since is not None:
            total += (record.observed_at - since).total_seconds() / 60
            since, last, any_span = None, record.observed_at, True
    minutes = float(told[0]) if told else total
    return Hours(
        quarter_hours(minutes),
        minutes if told or any_span else None,
        told is not None,
        since is not None,
        first,
        None if since is not None else last,
        told[1] if told else "",
    )
