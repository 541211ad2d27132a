"""The log as rounds need it: marks of rounds and stops, and the check-ins of some days."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, time

from peewee import fn

from potrounds.domain.records import Record
from potrounds.domain.rounds import read_round_key, round_key
from potrounds.store.log import Sent, as_record, find, replaced_by
from potrounds.store.tables import LogEntry, Person

ROUND_KINDS = ("round", "stop")
#: A coordinator's decision may put a planter on a round.
NAMING_KINDS = (*ROUND_KINDS, "decision")


def records_around(prefix: str, first: datetime, last: datetime) -> list[Record]:
    """Marks of the rounds whose key begins so, check-ins made on them or between two moments, all
    decisions on planters that were put on one, and all that corrects or takes back one of these."""
    named = LogEntry.text.contains(f'"{prefix}')
    span = (LogEntry.observed_at >= first) & (LogEntry.observed_at <= last)
    decided = LogEntry.select(LogEntry.planter).where(LogEntry.kind == "decision", named)
    query = LogEntry.select(LogEntry.id).where(
        (LogEntry.kind.in_(ROUND_KINDS) & named)
        | ((LogEntry.kind == "check-in") & (span | named))
        | ((LogEntry.kind == "decision") & LogEntry.planter.in_(decided))
    )
    return _whole([row.id for row in query])


def _whole(ids: list[str]) -> list[Record]:
    """These records with everything that changes them."""
    sent: dict[str, Sent] = {one.id: one for key in ids if (one := find(key)) is not None}
    ahead = list(sent)
    while ahead:
        more = [one for one in replaced_by(ahead) if one.id not in sent]
        sent.update({one.id: one for one in more})
        ahead = [one.id for one in more]
    names = {row.id: row.name for row in Person.select()}
    return [
        as_record(one, names.get(one.author or "", ""))
        for one in sorted(sent.values(), key=lambda some: some.seq)
    ]


def rounds_named(prefix: str = "round-") -> set[str]:
    """The keys of all rounds that a mark names: its own, and the one a stop was handed to."""
    query = LogEntry.select(LogEntry.text).where(
        LogEntry.kind.in_(NAMING_KINDS), LogEntry.text.contains(f'"{prefix}')
    )
    found: set[str] = set()
    for row in query:
        body = json.loads(row.text)["body"]
        key = read_round_key(str(body.get("round") or ""))
        if key is not None:
            found |= {round_key(*key), round_key(key[0], body.get("to") or key[1])}
    return found


def rounds_decided(planter: str, flag: str) -> set[str]:
    """The rounds a planter was ever put on for a flag: one decided anew leaves its earlier one."""
    query = LogEntry.select(LogEntry.text).where(
        LogEntry.kind == "decision", LogEntry.planter == planter
    )
    bodies = [json.loads(row.text)["body"] for row in query]
    keys = {str(body.get("round") or "") for body in bodies if body.get("flag") == flag}
    return {key for key in keys if read_round_key(key) is not None}


def check_in_times(since: date) -> list[tuple[str, str, datetime]]:
    """Planter, phone and moment of each check-in whose time is sure."""
    start = datetime.combine(since, time(), UTC)
    query = LogEntry.select(LogEntry.planter, LogEntry.device, LogEntry.observed_at).where(
        LogEntry.kind == "check-in", LogEntry.time_doubt == "", LogEntry.observed_at >= start
    )
    return [(row.planter, row.device, row.observed_at) for row in query]


def last_check_ins() -> dict[str, datetime]:
    """The last check-in of each planter whose time is sure."""
    query = (
        LogEntry.select(LogEntry.planter, fn.MAX(LogEntry.observed_at).alias("observed_at"))
        .where(LogEntry.kind == "check-in", LogEntry.time_doubt == "")
        .group_by(LogEntry.planter)
    )
    return {row.planter: row.observed_at for row in query}
