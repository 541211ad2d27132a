"""The log: records as they were frozen on a phone, appended once and never changed.

The sequence number is taken from one counter row inside the write lock, for records and for cards
alike, so one cursor orders everything a phone pulls (R17).
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from typing import Any

from peewee import Case, fn

from potrounds.domain.records import KINDS, VERSIONS, Record, body_from
from potrounds.store.database import savepoint
from potrounds.store.ids import short_id
from potrounds.store.tables import Counter, Held, LogEntry, Person, PhotoNamed


@dataclass(frozen=True)
class Sent:
    """A record's text with whose it is and the server's reading of its time (R12)."""

    id: str
    v: int
    kind: str
    planter: str
    author: str | None
    author_role: str | None
    device: str
    n: int
    text: str
    fingerprint: str
    wall: str
    sent_at: datetime | None
    received_at: datetime
    observed_at: datetime
    time_doubt: str = ""
    replaces: str | None = None
    seq: int = 0

    @property
    def body(self) -> dict[str, Any]:
        """The body, read from the frozen text each time: there is no second copy to disagree."""
        body = json.loads(self.text).get("body")
        return body if isinstance(body, dict) else {}


@dataclass(frozen=True)
class HeldRecord:
    """A record that waits for a person, and why."""

    id: str
    reason: str
    sent: Sent
    resolved: str | None = None


@dataclass(frozen=True)
class DeviceTime:
    """A record's time among the other records of its device."""

    id: str
    planter: str
    observed_at: datetime
    doubt: str


def take_number(name: str = "seq") -> int:
    """The next number of a counter. Call it inside a write transaction only."""
    changed = Counter.update(value=Counter.value + 1).where(Counter.name == name).execute()
    if not changed:
        Counter.create(name=name, value=1)
    return int(Counter.get_by_id(name).value)


def last_number(name: str = "seq") -> int:
    """The number last taken."""
    row = Counter.get_or_none(Counter.name == name)
    return int(row.value) if row else 0


def find(record_id: str) -> Sent | None:
    """The stored record with this id."""
    row = LogEntry.get_or_none(LogEntry.id == record_id)
    return _sent(row) if row else None


def find_many(record_ids: Iterable[str]) -> dict[str, Sent]:
    """The stored records among these ids."""
    wanted = list(record_ids)
    return {row.id: _sent(row) for row in LogEntry.select().where(LogEntry.id.in_(wanted))}


def append(sent: Sent, photos: Iterable[str] = ()) -> Sent:
    """Store a new record and the photos it names; read it back with its number.

    Raises: peewee's IntegrityError when the id is there already; ask `find` first.
    """
    values = {key: value for key, value in asdict(sent).items() if key != "seq"}
    with savepoint():
        LogEntry.create(seq=take_number(), **values)
        name_photos(sent.id, sent.author, photos)
    kept = find(sent.id)
    if kept is None:
        raise RuntimeError(f"record {sent.id} was written and cannot be read back")
    return kept


def name_photos(record_id: str, author: str | None, photos: Iterable[str]) -> None:
    """Note which photos a record names: only those may be uploaded, and by its author."""
    for sha in dict.fromkeys(photos):
        PhotoNamed.insert(sha=sha, record=record_id, author=author).on_conflict_ignore().execute()


def replaced_by(record_ids: Iterable[str]) -> list[Sent]:
    """Corrections and withdrawals that name one of these records."""
    wanted = list(record_ids)
    query = LogEntry.select().where(LogEntry.replaces.in_(wanted)).order_by(LogEntry.seq)
    return [_sent(row) for row in query]


def of_planter(planter: str) -> list[Sent]:
    """Everything stored about a planter, in the order it arrived."""
    query = LogEntry.select().where(LogEntry.planter == planter).order_by(LogEntry.seq)
    return [_sent(row) for row in query]


def any_between(first: datetime, end: datetime) -> bool:
    """Whether anything stored was seen from one moment up to another."""
    within = (LogEntry.observed_at >= first) & (LogEntry.observed_at < end)
    return bool(LogEntry.select().where(within).exists())


def planters_named() -> list[str]:
    """The planters (and the town, where records speak of it) that have records, by id."""
    query = LogEntry.select(LogEntry.planter).distinct().order_by(LogEntry.planter)
    return [planter for (planter,) in query.tuples()]


def fingerprints() -> dict[str, str]:
    """For each planter a short text that changes whenever its records do, or their times' doubt."""
    doubtful = Case(None, [(LogEntry.time_doubt != "", LogEntry.seq)], 0)
    query = LogEntry.select(
        LogEntry.planter,
        fn.COUNT(LogEntry.seq),
        fn.MAX(LogEntry.seq),
        fn.SUM(doubtful),
        fn.SUM(doubtful % 9973),
    ).group_by(LogEntry.planter)
    return {planter: f"{marks}" for planter, *marks in query.tuples()}


def of_person_since(person: str, seq: int, upto: int, limit: int) -> list[Sent]:
    """A person's own records, and what others did to them (`replaces`), by number."""
    mine = LogEntry.select(LogEntry.id).where(LogEntry.author == person)
    query = (
        LogEntry.select()
        .where(LogEntry.seq > seq, LogEntry.seq <= upto)
        .where((LogEntry.author == person) | LogEntry.replaces.in_(mine))
        .order_by(LogEntry.seq)
        .limit(limit)
    )
    return [_sent(row) for row in query]


def device_times(device: str) -> list[DeviceTime]:
    """When each stored record of a device was seen, in the order of the device's own counter."""
    query = (
        LogEntry.select(LogEntry.id, LogEntry.planter, LogEntry.observed_at, LogEntry.time_doubt)
        .where(LogEntry.device == device)
        .order_by(LogEntry.n, LogEntry.id)
    )
    return [DeviceTime(row.id, row.planter, row.observed_at, row.time_doubt) for row in query]


def set_doubt(record_ids: Iterable[str], doubt: str) -> None:
    """Change the server's judgement of a record's time. The record itself stays as it is."""
    wanted = list(record_ids)
    LogEntry.update(time_doubt=doubt).where(LogEntry.id.in_(wanted)).execute()


# --- held ----------------------------------------------------------------------------------------


def hold(sent: Sent, reason: str, photos: Iterable[str] = ()) -> HeldRecord:
    """Keep a record for a person to judge; the same bytes are kept once."""
    again = Held.get_or_none(
        (Held.record == sent.id)
        & (Held.fingerprint == sent.fingerprint)
        & (Held.author == sent.author)
    )
    if again:
        return _held(again)
    values = {
        key: value for key, value in asdict(sent).items() if key not in ("id", "replaces", "seq")
    }
    held_id = short_id("h")
    with savepoint():
        Held.create(id=held_id, record=sent.id, reason=reason, seq=take_number(), **values)
        name_photos(sent.id, sent.author, photos)
    return _held(Held.get_by_id(held_id))


def held(held_id: str) -> HeldRecord | None:
    """One held record."""
    row = Held.get_or_none(Held.id == held_id)
    return _held(row) if row else None


def waiting() -> list[HeldRecord]:
    """All held records nobody has decided on, oldest first."""
    query = Held.select().where(Held.resolved.is_null()).order_by(Held.seq)
    return [_held(row) for row in query]


def waiting_at(planter: str) -> int:
    """How many held records wait at a planter."""
    query = Held.select().where(Held.planter == planter, Held.resolved.is_null())
    return int(query.count())


def held_of_person_since(person: str, seq: int, upto: int, limit: int) -> list[HeldRecord]:
    """A person's held records by number, but for second versions of an id that is stored."""
    query = (
        Held.select()
        .where(Held.author == person, Held.seq > seq, Held.seq <= upto)
        .where(Held.reason != "conflict", Held.resolved.is_null() | (Held.resolved != "taken"))
        .order_by(Held.seq)
        .limit(limit)
    )
    return [_held(row) for row in query]


def resolve_held(held_id: str, how: str, by: str | None, at: datetime) -> None:
    """Note what was decided about a held record; its bytes stay."""
    Held.update(resolved=how, resolved_by=by, resolved_at=at).where(Held.id == held_id).execute()


# --- reading into the domain ---------------------------------------------------------------------


def records_of(planter: str) -> list[Record]:
    """A planter's records as domain objects; the fold decides who was entitled to correct what."""
    rows = of_planter(planter)
    names = _names(row.author for row in rows)
    return [as_record(row, names.get(row.author or "", "")) for row in rows]


def as_record(sent: Sent, author_name: str) -> Record:
    """The domain's reading of a stored record."""
    return Record(
        id=sent.id,
        kind=sent.kind,
        planter=sent.planter,
        body=body_from(sent.kind, sent.body),
        observed_at=sent.observed_at,
        seq=sent.seq,
        author=sent.author,
        author_name=author_name,
        device=sent.device,
        n=sent.n,
        time_uncertain=bool(sent.time_doubt),
        extra={"author_role": sent.author_role},
    )


def may_replace(sent: Sent, original: Sent) -> bool:
    """Whether the author of a correction or withdrawal may touch this record (R3)."""
    return sent.author_role == "coordinator" or (
        original.author is not None and sent.author == original.author
    )


def known(sent: Sent) -> bool:
    """Whether this server can read a record of this version and kind."""
    return sent.v in VERSIONS and sent.kind in KINDS


def _names(authors: Iterable[str | None]) -> dict[str, str]:
    wanted = {author for author in authors if author}
    return {row.id: row.name for row in Person.select().where(Person.id.in_(list(wanted)))}


def _sent(row: LogEntry) -> Sent:
    return Sent(
        **{
            name: getattr(row, name)
            for name in Sent.__dataclass_fields__
            if name not in ("replaces", "id")
        },
        id=row.id,
        replaces=row.replaces,
    )


def _held(row: Held) -> HeldRecord:
    fields = {
        name: getattr(row, name)
        for name in Sent.__dataclass_fields__
        if name not in ("id", "replaces")
    }
    return HeldRecord(
        id=row.id,
        reason=row.reason,
        sent=Sent(id=row.record, **fields),
        resolved=row.resolved,
    )


def taken_from_held(sent: Sent, planter: str) -> Sent:
    """The same frozen text, filed under the planter a coordinator chose."""
    replaces = sent.body.get("replaces") if sent.kind in ("correction", "withdrawal") else None
    return replace(sent, planter=planter, replaces=replaces)
