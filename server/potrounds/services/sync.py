"""Push and pull: how records come in and cards go out (R5-R8, R11, R12, R17, R21)."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any

from potrounds.domain.visits import fate
from potrounds.services import assess, moments, phone_work, push_news, round_cards, town
from potrounds.services.context import Caller, Context
from potrounds.services.judge import (
    HELD_NOTES,
    Arrival,
    Verdict,
    judge,
    photos_named,
    too_many_wait,
)
from potrounds.services.refusal import ItemRefused, Refusal, no_room
from potrounds.store import database, derived, log, register
from potrounds.store.database import write_transaction
from potrounds.store.log import HeldRecord, Sent

logger = logging.getLogger(__name__)

PROTO = "sync/1"
LATER_S = 60
ENDED_LATER_S = 24 * 3600
MOST_PULLED = 200

ReadItem = Callable[[str], dict[str, Any]]
Item = dict[str, Any]


def push(ctx: Context, envelope: dict[str, Any], read_item: ReadItem) -> dict[str, Any]:
    """Take in a batch; every item gets its own outcome, in the order of the items.

    Raises: Refusal when the device is not the caller's, or the disk takes nothing.
    """
    caller = _caller(ctx)
    if envelope["device"] != caller.device:
        raise Refusal(
            403,
            "other-device",
            "Not this phone's session",
            "This session belongs to another phone. Join again on this phone.",
        )
    items = [read(text, read_item) for text in envelope["items"]]
    try:
        with write_transaction():
            results, touched = take_all(ctx, caller, envelope, items)
            derived.mark_stale(touched)
            overtaken = _planters_named(items) & set(derived.stale_keys()) - set(touched)
            cursor = _cursor(log.last_number())
    except database.Trouble as trouble:
        logger.exception("a batch could not be written")
        raise no_room(LATER_S) from trouble
    # After the commit, with `stale` in it: what a rule stumbles over, or a kill, is made up for. A
    # batch sent anew may overtake the assessment of its first try.
    assess.assess_quietly(ctx, [*touched, *sorted(overtaken)])
    return {
        "proto": PROTO,
        "batch": envelope["batch"],
        "server_time": moments.stamp(ctx.now()),
        "cursor": cursor,
        "safe_to_forget": None,
        "results": results,
    }


def hello(ctx: Context, said: dict[str, Any]) -> dict[str, Any]:
    """Keep what the caller's phone says of its outbox."""
    phone_work.keep_hello(ctx, said)
    return {"server_time": moments.stamp(ctx.now())}


def pull(ctx: Context, since: str | None, limit: int = MOST_PULLED) -> dict[str, Any]:
    """The cards that moved and the caller's own records, by number, after a cursor.

    Raises: Refusal for an ended phone, an unreadable cursor, or one of another history.
    """
    caller = _caller(ctx)
    if caller.state != "active":
        raise Refusal(
            401,
            "membership-ended",
            "This phone's membership has ended",
            "It can still send what it holds. Ask a coordinator for a new link to join again.",
        )
    assess.assess_new_day(ctx)
    limit = max(1, min(limit, MOST_PULLED))
    upto = log.last_number()
    after = _position(since, upto)
    found = _gather(caller, after, upto, limit + 1)
    numbers = sorted({item["seq"] for item in found})[:limit]
    more = len({item["seq"] for item in found}) > limit
    last = numbers[-1] if more else upto
    return {
        "proto": PROTO,
        "server_time": moments.stamp(ctx.now()),
        "cursor": _cursor(last),
        "more": more,
        "items": [item for item in found if item["seq"] <= last],
    }


def _caller(ctx: Context) -> Caller:
    if ctx.caller is None:
        raise Refusal(401, "not-joined", "Not joined", "Join with the link you were sent.")
    return ctx.caller


# --- push ----------------------------------------------------------------------------------------


def read(text: str, read_item: ReadItem) -> tuple[str, Item | ItemRefused]:
    """A record's text with what it says, or with why it cannot be read."""
    try:
        return text, read_item(text)
    except ItemRefused as refused:
        return text, refused


def take_all(
    ctx: Context,
    caller: Caller,
    envelope: dict[str, Any],
    items: list[tuple[str, Item | ItemRefused]],
) -> tuple[list[dict[str, Any]], list[str]]:
    """Each item to its outcome, inside a write transaction; and the cards that change."""
    calendar = town.calendar()
    arrival = Arrival(
        caller=caller,
        sent_at=moments.read_moment(envelope.get("sent_at")),
        received_at=ctx.now(),
        planters=town.planters(calendar, only=_planters_named(items)),
        zone=calendar.zone,
    )
    results, touched, devices = [], [], set()
    for text, item in items:
        result, verdict = _take(text, item, arrival)
        results.append(result)
        if verdict is None or verdict.outcome == "duplicate":
            continue
        if verdict.sent.planter in arrival.planters:
            touched.append(verdict.sent.planter)
        if verdict.outcome == "stored":
            devices.add(verdict.sent.device)
            touched += sorted(round_cards.keys_touched(verdict.sent, calendar))
            if verdict.sent.kind == "stop":
                push_news.stop_handed(ctx, verdict.sent)
    for device in sorted(devices):
        touched += settle_order(device)
    return results, list(dict.fromkeys(touched))


def _planters_named(items: list[tuple[str, Item | ItemRefused]]) -> set[str]:
    return {item["planter"] for _, item in items if not isinstance(item, ItemRefused)}


def _take(
    text: str, item: Item | ItemRefused, arrival: Arrival
) -> tuple[dict[str, Any], Verdict | None]:
    """One item to its outcome. A fault of ours in one item must not cost the others (R11)."""
    if isinstance(item, ItemRefused):
        return _rejected(item, item.id), None
    try:
        with database.savepoint():
            verdict = judge(text, item, arrival)
            return _keep(verdict, item, arrival), verdict
    except ItemRefused as refused:
        return _rejected(refused, item["id"]), None
    except database.Trouble:
        raise
    except Exception:
        logger.exception("an item could not be taken in")
        return {"id": item["id"], "outcome": "later", "retry_after": LATER_S}, None


def _keep(verdict: Verdict, item: Item, arrival: Arrival) -> dict[str, Any]:
    sent = verdict.sent
    if verdict.outcome == "duplicate":
        return {"id": sent.id, "outcome": "duplicate", "seq": verdict.seq}
    if verdict.reason == "ended" and too_many_wait(sent):
        return {"id": sent.id, "outcome": "later", "retry_after": ENDED_LATER_S}
    if verdict.outcome == "held":
        held = log.hold(sent, verdict.reason, photos_named(item))
        return {
            "id": sent.id,
            "outcome": "held",
            "seq": held.sent.seq,
            "note": HELD_NOTES[verdict.reason],
        }
    kept = log.append(sent, photos_named(item))
    result = {"id": kept.id, "outcome": "stored", "seq": kept.seq}
    note = _note(kept, arrival)
    return {**result, "note": note} if note else result


def _note(sent: Sent, arrival: Arrival) -> str:
    if sent.time_doubt:
        return "Stored. Its time is uncertain: the phone's clock and the server's do not fit."
    if sent.planter != derived.TOWN and arrival.planters[sent.planter].status == "retired":
        return "Stored. This planter is retired."
    return ""


def _rejected(refused: ItemRefused, record_id: str | None) -> dict[str, Any]:
    return {"id": record_id, "outcome": "rejected", "problem": refused.problem()}


def settle_order(device: str) -> list[str]:
    """Judge again which records of a phone contradict its own counter; return their planters."""
    rows = [row for row in log.device_times(device) if row.doubt in ("", moments.ORDER)]
    doubtful = moments.out_of_order([row.observed_at for row in rows])
    touched = []
    for index, row in enumerate(rows):
        doubt = moments.ORDER if index in doubtful else ""
        if doubt != row.doubt:
            log.set_doubt([row.id], doubt)
            touched.append(row.planter)
    return touched


# --- pull ----------------------------------------------------------------------------------------


def _cursor(seq: int) -> str:
    return f"{register.setting('history')}.{seq}"


def _position(since: str | None, upto: int) -> int:
    if since is None:
        return 0
    history, dot, number = since.partition(".")
    if not dot or not number.isascii() or not number.isdigit() or len(number) > 18:
        raise Refusal(
            400, "bad-cursor", "Unreadable cursor", "Leave `since` out to start from the beginning."
        )
    if history != register.setting("history") or int(number) > upto:
        raise Refusal(
            409,
            "other-history",
            "The server was set up anew or restored",
            "Send again what you still hold, and pull from the beginning.",
        )
    return int(number)


def _gather(caller: Caller, after: int, upto: int, limit: int) -> list[dict[str, Any]]:
    """Up to `limit` of each sort; the caller cuts them at one number."""
    items = [_card_item(card) for card in derived.since(after, upto, limit)]
    items += _own_items(caller.person, log.of_person_since(caller.person, after, upto, limit))
    held = log.held_of_person_since(caller.person, after, upto, limit)
    items += [_record_item(row.sent.seq, _held_record(row)) for row in held]
    return sorted(items, key=lambda item: item["seq"])


def _card_item(card: derived.Card) -> dict[str, Any]:
    if card.content is None:
        return {"seq": card.seq, "what": "gone", "id": card.key}
    if card.key.startswith(derived.ERASED):
        return {"seq": card.seq, "what": "erased", "id": card.content["sha"]}
    what = "round" if round_cards.is_round(card.key) else "planter"
    what = "town" if card.key == derived.TOWN else what
    return {"seq": card.seq, "what": what, what: card.content}


def _own_items(person: str, rows: list[Sent]) -> list[dict[str, Any]]:
    """Own records; a correction or withdrawal also brings the record it changed, anew."""
    originals = log.find_many(row.replaces for row in rows if row.replaces)
    planters: dict[str, Any] = {}
    items = []
    for row in rows:
        shown = [row] if row.author == person else []
        original = originals.get(row.replaces or "")
        if original is not None and original.author == person:
            shown.append(original)
        for sent in shown:
            if sent.planter not in planters:
                planters[sent.planter] = log.records_of(sent.planter)
            items.append(_record_item(row.seq, _own_record(sent, row.seq, planters[sent.planter])))
    return items


def _record_item(seq: int, record: dict[str, Any]) -> dict[str, Any]:
    return {"seq": seq, "what": "record", "record": record}


def _own_record(sent: Sent, seq: int, records: list[Any]) -> dict[str, Any]:
    end = fate(records, sent.id)
    return {
        "id": sent.id,
        "seq": seq,
        "kind": sent.kind,
        "planter": sent.planter,
        "at": moments.stamp(sent.observed_at),
        "time_uncertain": bool(sent.time_doubt),
        "outcome": "stored",
        "replaced_by": end.replaced_by,
        "withdrawn": end.withdrawn,
        "text": sent.text,
    }


def _held_record(row: HeldRecord) -> dict[str, Any]:
    sent = row.sent
    return {
        "id": sent.id,
        "seq": sent.seq,
        "kind": sent.kind,
        "planter": sent.planter,
        "at": moments.stamp(sent.observed_at),
        "time_uncertain": bool(sent.time_doubt),
        "outcome": "held",
        "replaced_by": None,
        "withdrawn": False,
        "text": sent.text,
    }
