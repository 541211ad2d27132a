"""Pushes to phones: where they go, and the queue from which they are sent.

Off until an operator has made the town's key, a coordinator has turned pushes on, and a person has
turned them on at their own phone. Whatever wants to push only puts a row into the queue; the
thread of `push_worker` sends it, so no request and no record ever waits for a push service.
"""

from __future__ import annotations

import base64
import hashlib
import json
import logging
import random
import threading
import time
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo

from potrounds.services import push_key, push_wire, town
from potrounds.services.context import Caller, Context
from potrounds.services.push_wire import Answer
from potrounds.services.refusal import Refusal
from potrounds.store import push
from potrounds.store.database import write_transaction
from potrounds.store.push import Address, Note, Waiting
from potrounds.words import t

logger = logging.getLogger(__name__)

#: A phone that was not used for so long is left alone.
USED_WITHIN = timedelta(days=90)
#: Sent at most so many at a time, to so many services side by side.
AT_ONCE, SIDE_BY_SIDE = 50, 4
#: Lent out so long: a process that dies while it sends leaves the rest to be sent later.
LEASE = timedelta(minutes=3)
FIRST_WAIT_S, LONGEST_WAIT_S = 30.0, 3600.0
#: More new flags than this on one phone are told as one.
MOST_FLAGS = 3
FLAG = "flag "
GONE, TAKEN_FROM, TAKEN_TO = (404, 410), 200, 300
#: Rung when something was put into the queue.
BELL = threading.Event()


@dataclass(frozen=True)
class _Message:
    """What goes out in one request: one waiting push, or several told as one."""

    to: Address
    note: Note
    rows: tuple[Waiting, ...]


# --- phones --------------------------------------------------------------------------------------


def turn_on(ctx: Context, endpoint: str, p256dh: str, auth: str) -> None:
    """Keep where the caller's phone takes pushes.

    Raises: Refusal 409 while the town has pushes off; 422 for an address or keys that are none.
    """
    if not town.settings()["push_on"]:
        detail = "A coordinator turns pushes on under Register, The town."
        raise Refusal(409, "push-off", "Pushes are off in this town", detail)
    faults = [
        (f"/{name}", fault)
        for name, fault in (
            ("endpoint", push_wire.endpoint_fault(endpoint, ctx.settings.push_local)),
            ("p256dh", push_wire.keys_fault(p256dh, auth)),
        )
        if fault
    ]
    if faults:
        raise Refusal(422, "push-address", "Not a push address", faults[0][1], faults)
    with write_transaction():
        push.put_address(_caller(ctx).phone, endpoint, p256dh, auth, ctx.now())


def turn_off(ctx: Context) -> None:
    """The caller's phone takes no more pushes."""
    with write_transaction():
        push.drop_address(_caller(ctx).phone)


def is_on(phone: str) -> bool:
    """Whether a phone takes pushes."""
    return push.address_of(phone) is not None


def _caller(ctx: Context) -> Caller:
    if ctx.caller is None:
        raise Refusal(401, "not-joined", "Not joined", "Join with the link you were sent.")
    return ctx.caller


# --- the queue -----------------------------------------------------------------------------------


def queue(ctx: Context, note: Note, wanted: Callable[[Address], bool]) -> int:
    """Let a push wait for every phone that is wanted; inside a write transaction."""
    phones = [one for one in push.addresses(ctx.now() - USED_WITHIN) if wanted(one)]
    for one in phones:
        push.queue(one.phone, note, ctx.now())
    if phones:
        BELL.set()
    return len(phones)


def is_quiet(now: datetime) -> bool:
    """Whether the town sleeps: pushes wait until it wakes."""
    chosen = town.settings()
    first, last = chosen["push_quiet_from"], chosen["push_quiet_to"]
    if not first or not last or first == last:
        return False
    clock = now.astimezone(ZoneInfo(chosen["zone"])).strftime("%H:%M")
    return first <= clock < last if first < last else clock >= first or clock < last


def deliver(ctx: Context) -> int:
    """Send what is due; return how many requests were made. Never raises for a push service."""
    if not town.settings()["push_on"] or is_quiet(ctx.now()):
        return 0
    key = push_key.read(ctx)
    if key is None:
        return 0
    with write_transaction():
        rows = push.take_due(ctx.now(), ctx.now() + LEASE, AT_ONCE)
    messages = _gathered(rows)
    hosts: dict[str, list[_Message]] = {}
    for one in messages:
        hosts.setdefault(urlsplit(one.to.endpoint).netloc, []).append(one)
    if not hosts:
        return 0
    contact = _contact(ctx)

    def send_all(some: list[_Message]) -> list[tuple[_Message, Answer]]:
        return _send_to_one_service(ctx, key, contact, some)

    with ThreadPoolExecutor(SIDE_BY_SIDE) as pool:
        answers = [one for some in pool.map(send_all, hosts.values()) for one in some]
    with write_transaction():
        for message, answer in answers:
            _settle(ctx.now(), message, answer)
    return len(answers)


def _gathered(rows: Iterable[Waiting]) -> list[_Message]:
    """A message a row, but many new flags on one phone become one that opens the review."""
    phones: dict[str, list[Waiting]] = {}
    for row in rows:
        phones.setdefault(row.to.phone, []).append(row)
    found = []
    for some in phones.values():
        flags = [row for row in some if row.note.tag.startswith(FLAG)]
        if len(flags) <= MOST_FLAGS:
            flags = []
        found += [_Message(row.to, row.note, (row,)) for row in some if row not in flags]
        if flags:
            one = flags[0]
            titles = "; ".join(row.note.title for row in flags[:MOST_FLAGS])
            many = replace(
                one.note,
                tag="flags",
                title=t("push.flags_title", count=len(flags)),
                body=t("push.flags_body", titles=titles),
                path="/review",
            )
            found.append(_Message(one.to, many, tuple(flags)))
    return found


def _send_to_one_service(
    ctx: Context, key: Any, contact: str, messages: list[_Message]
) -> list[tuple[_Message, Answer]]:
    """One after the other; where a service is silent or asks to wait, the rest waits too."""
    found: list[tuple[_Message, Answer]] = []
    stop: Answer | None = None
    for one in messages:
        answer = stop or _send(ctx, key, contact, one)
        if answer.status in (0, 429, 503):
            stop = answer
        found.append((one, answer))
    return found


def _send(ctx: Context, key: Any, contact: str, message: _Message) -> Answer:
    note, to = message.note, message.to
    try:
        text = json.dumps(
            {"title": note.title, "body": note.body, "path": note.path, "tag": note.tag},
            ensure_ascii=False,
        ).encode()
        body = push_wire.encrypt(text, to.p256dh, to.auth)
        headers = {
            "Authorization": push_wire.authorization(key, to.endpoint, contact, time.time()),
            "Content-Encoding": "aes128gcm",
            "Content-Type": "application/octet-stream",
            "TTL": str(max(0, int((note.expires_at - ctx.now()).total_seconds()))),
            "Topic": topic(note.tag),
            "Urgency": note.urgency,
        }
        return push_wire.send(to.endpoint, body, headers, ctx.settings.push_local)
    except Exception:
        logger.exception("a push could not be made")
        return Answer(400)


def topic(tag: str) -> str:
    """A newer push takes the place of an older one of its topic (RFC 8030, 5.4: 32 letters)."""
    return base64.urlsafe_b64encode(hashlib.sha256(tag.encode()).digest())[:32].decode()


def _settle(now: datetime, message: _Message, answer: Answer) -> None:
    """What an answer means for the rows behind a message, and for the phone."""
    status = answer.status
    if status in GONE:
        push.drop_address(message.to.phone)
        return
    if status in (0, 429) or 300 <= status < 400 or status >= 500:
        for row in message.rows:
            push.again(row.id, now + timedelta(seconds=wait_s(row.tries, answer.retry_after_s)))
        return
    if not TAKEN_FROM <= status < TAKEN_TO:
        logger.warning("a push service refused a push (%d)", status)
    for row in message.rows:
        push.done(row.id)


def wait_s(tries: int, asked: float | None) -> float:
    """Seconds before the next try: twice as long each time, with some chance in it; at least
    what the service asked for."""
    wait = min(LONGEST_WAIT_S, FIRST_WAIT_S * 2 ** min(tries, 10)) * random.uniform(0.75, 1.0)
    return max(wait, min(LONGEST_WAIT_S, asked or 0.0))


def _contact(ctx: Context) -> str:
    """Whom a push service may write to about us (RFC 8292, 2.1)."""
    address = str(town.settings()["tag_address"] or "")
    if address.startswith("https://"):
        host = urlsplit(address).hostname or ""
        if "." in host:
            return f"https://{host}"
    mail = ctx.settings.mail
    return f"mailto:{mail.sender}" if mail else "mailto:operator@localhost"
