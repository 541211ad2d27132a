"""Judges one record of a batch: stored, duplicate, held or rejected (R5, R8).

The shape was judged before; here it is the sense. Held is preferred to rejected: a person's walk
to the planter is worth more than a tidy table.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from potrounds.domain.planter import Planter
from potrounds.domain.rounds import read_round_key
from potrounds.services import moments
from potrounds.services.context import Caller
from potrounds.services.refusal import ItemRefused
from potrounds.store import log
from potrounds.store.derived import TOWN
from potrounds.store.log import Sent

SHA256 = re.compile(r"[0-9a-f]{64}")
#: A phone draws at most a handful of photos into one record; this only bounds strangers' texts.
MOST_PHOTOS = 20
#: Of a phone whose membership has ended so many records wait for a person at most (R15).
MOST_OF_ENDED = 300

HELD_NOTES = {
    "unknown-planter": "Kept for the coordinator: this planter is not in the register.",
    "conflict": "Kept for the coordinator: there is another record with this id.",
    "newer": "Kept: it was written by a newer app than this server knows.",
    "ended": "Kept for the coordinator: this phone's membership has ended.",
    "loop": "Kept for the coordinator: these corrections replace each other in a circle.",
    "other-planter": "Kept for the coordinator: it corrects a record of another planter.",
    "other-kind": "Kept for the coordinator: only a check-in can be corrected by a check-in.",
    "other-device": "Kept for the coordinator: it was written on another phone.",
}


@dataclass(frozen=True)
class Arrival:
    """The circumstances one batch shares."""

    caller: Caller
    sent_at: datetime | None
    received_at: datetime
    planters: dict[str, Planter]
    zone: str


@dataclass(frozen=True)
class Verdict:
    """What becomes of a record, and the record with its time read."""

    outcome: str
    sent: Sent
    reason: str = ""
    seq: int | None = None


def judge(text: str, item: dict[str, Any], arrival: Arrival) -> Verdict:
    """Decide on one record. Raises: ItemRefused."""
    sent = read(text, item, arrival)
    there = log.find(sent.id)
    if there is not None:
        return _met_again(sent, there)
    reason = _reason_to_hold(sent, arrival)
    if reason:
        return Verdict("held", sent, reason)
    _refuse_what_is_not_theirs(sent, arrival.caller)
    if not _has_its_place(sent, arrival):
        return Verdict("held", sent, "unknown-planter")
    if sent.replaces is not None:
        reason = _judge_replacement(sent, sent.replaces)
        if reason:
            return Verdict("held", sent, reason)
    return Verdict("stored", sent)


def read(text: str, item: dict[str, Any], arrival: Arrival) -> Sent:
    """The record with author, fingerprint and time; the author is the session's, never claimed."""
    planter = arrival.planters.get(item["planter"])
    seen = moments.observe(
        item["wall"],
        arrival.sent_at,
        arrival.received_at,
        planter.installed if planter else None,
        arrival.zone,
    )
    sent = Sent(
        id=item["id"],
        v=item["v"],
        kind=item["kind"],
        planter=item["planter"],
        author=arrival.caller.person,
        author_role=arrival.caller.role,
        device=item["device"],
        n=item["n"],
        text=text,
        fingerprint=hashlib.sha256(text.encode()).hexdigest(),
        wall=item["wall"],
        sent_at=arrival.sent_at,
        received_at=arrival.received_at,
        observed_at=seen.at,
        time_doubt=seen.doubt,
    )
    if log.known(sent) and sent.kind in ("correction", "withdrawal"):
        sent = replace(sent, replaces=item["body"]["replaces"])
    return sent


def too_many_wait(sent: Sent) -> bool:
    """Whether enough of this phone waits for a person already; what waits is no news."""
    there = {one.sent.id for one in log.waiting() if one.sent.device == sent.device}
    return len(there) >= MOST_OF_ENDED and sent.id not in there


def photos_named(item: dict[str, Any]) -> list[str]:
    """The photos a record names, also in a kind this server does not know yet."""
    body = item.get("body")
    if not isinstance(body, dict):
        return []
    inner = body.get("check_in")
    listed = (inner if isinstance(inner, dict) else body).get("photos")
    if not isinstance(listed, list):
        return []
    hashes = [sha for sha in listed if isinstance(sha, str) and SHA256.fullmatch(sha)]
    return hashes[:MOST_PHOTOS]


def _met_again(sent: Sent, there: Sent) -> Verdict:
    """R5: an id that is known. Of somebody else's record nothing is told, not even sameness."""
    same = there.author == sent.author and there.fingerprint == sent.fingerprint
    if same:
        return Verdict("duplicate", there, seq=there.seq)
    return Verdict("held", sent, "conflict")


def _reason_to_hold(sent: Sent, arrival: Arrival) -> str:
    if arrival.caller.state == "ended":
        return "ended"
    if sent.device != arrival.caller.device:
        return "other-device"
    return "" if log.known(sent) else "newer"


def _refuse_what_is_not_theirs(sent: Sent, caller: Caller) -> None:
    if sent.kind == "report":
        raise ItemRefused(
            "server-only",
            "Made by the server only",
            "A passer-by's report is made on the public page of a tag.",
            [("/kind", "report is made by the server")],
            sent.id,
        )
    if sent.kind == "round":
        _refuse_rounds_of_others(sent, caller)
    if sent.kind == "decision" and not caller.coordinates:
        raise ItemRefused(
            "coordinator-only",
            "For coordinators",
            "Only a coordinator decides on a flag. Ask one, or check in what you see.",
            [("/kind", "decision needs a coordinator")],
            sent.id,
        )


def _has_its_place(sent: Sent, arrival: Arrival) -> bool:
    """Whether its planter is in the register; a round, and what takes it back, is the town's."""
    of_the_town = sent.kind in ("round", "withdrawal") and sent.planter == TOWN
    return of_the_town or sent.planter in arrival.planters


def _refuse_rounds_of_others(sent: Sent, caller: Caller) -> None:
    if sent.planter != TOWN:
        raise ItemRefused(
            "no-planters-record",
            "A round belongs to no planter",
            f"Write {TOWN} where the planter stands.",
            [("/planter", f"this must be {TOWN}")],
            sent.id,
        )
    whose = read_round_key(sent.body["round"])
    if whose is None:
        detail = "Name the round by its day and person: round-YYYY-MM-DD-person."
        raise ItemRefused("no-such-round", "No round", detail, [("/body/round", detail)], sent.id)
    put_right = caller.coordinates and sent.body["what"] == "hours"
    if whose[1] != caller.person and not put_right:
        raise ItemRefused(
            "not-your-round",
            "Not your round",
            "Only the person who walks a round begins and ends it; a coordinator may put the "
            "hours right.",
            [("/body/round", "this is somebody else's round")],
            sent.id,
        )


def _judge_replacement(sent: Sent, replaces: str) -> str:
    """A reason to hold a correction or withdrawal. One that came first is parked, unjudged."""
    if _in_a_circle(sent.id, replaces):
        return "loop"
    original = log.find(replaces)
    if original is None:
        return ""
    if not log.may_replace(sent, original):
        raise ItemRefused(
            "not-your-record",
            "Not your record",
            "Only the person who made a record, or a coordinator, can correct it or take it back.",
            [("/body/replaces", "this is not one of your records")],
            sent.id,
        )
    if original.planter != sent.planter:
        return "other-planter"
    if sent.kind == "correction" and original.kind not in ("check-in", "correction"):
        return "other-kind"
    return ""


def _in_a_circle(record_id: str, replaces: str) -> bool:
    seen = {record_id}
    at: str | None = replaces
    while at is not None:
        if at in seen:
            return True
        seen.add(at)
        row = log.find(at)
        at = row.replaces if row else None
    return False
