"""Phones somebody should ask after: work that lies on one for long, records that never arrived.

What lies unsent on a phone only the phone knows. It says so at the end of each talk; its counter
says the rest, and silence is silence.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from potrounds.domain.phone_work import PhoneWork, advice, count, sentence, spans_of
from potrounds.services import changes, town
from potrounds.services.context import Context
from potrounds.services.moments import stamp
from potrounds.services.people import ENDED_IS_HEARD
from potrounds.services.refusal import Refusal, not_found
from potrounds.store import people, phone_work
from potrounds.store.database import write_transaction
from potrounds.store.people import Phone
from potrounds.store.phone_work import PhoneSaid

#: An outbox older than this is a clock that was wrong. [s]
MOST_AGE_S = 400 * 24 * 3600


@dataclass(frozen=True)
class Install:
    """One device, which may have been joined again and by several people."""

    device: str
    last: Phone
    people: tuple[str, ...]
    work: PhoneWork


def keep_hello(ctx: Context, hello: dict[str, Any]) -> None:
    """Keep what the caller's phone says of its outbox; nothing is written where nothing is new."""
    caller, now = ctx.caller, ctx.now()
    if caller is None:
        return
    before = phone_work.said_by(caller.device)
    unsent, photos = hello.get("unsent"), hello.get("photos") or 0
    since = None
    if unsent or photos:
        since = before.since if before is not None and before.since is not None else now
        if hello.get("oldest_s") is not None:
            since = now - timedelta(seconds=min(hello["oldest_s"], MOST_AGE_S))
    said = PhoneSaid(caller.device, hello.get("n_max"), unsent, photos, since, now)
    known = phone_work.settled().get(caller.device, [])
    mended = [
        n for n in hello.get("mended") or () if not any(first <= n <= last for first, last in known)
    ]
    if mended or before is None or _told(before) != _told(said):
        with write_transaction():
            phone_work.keep_said(said)
            phone_work.settle(caller.device, spans_of(mended), now, caller.person)


def _told(said: PhoneSaid) -> tuple[int | None, int | None, int]:
    return said.n_max, said.unsent, said.photos


def installs() -> list[Install]:
    """Every device that joined and was not burned, the longest silent first."""
    by_device: dict[str, list[Phone]] = defaultdict(list)
    for phone in people.phones():
        by_device[phone.device].append(phone)
    numbers, arrivals = phone_work.numbers(), phone_work.last_arrivals()
    said, settled = phone_work.said(), phone_work.settled()
    found = []
    for device, phones in by_device.items():
        last = phones[0]  # the last used comes first
        if last.state == "burned":
            continue  # nothing of it can arrive any more, as was said when it was burned
        told = said.get(device)
        work = PhoneWork(
            arrived=spans_of(numbers.get(device, ())),
            last_arrival=arrivals.get(device),
            last_heard=last.last_used,
            settled=tuple(settled.get(device, ())),
            n_max=told.n_max if told else None,
            unsent=told.unsent if told else None,
            photos=told.photos if told else 0,
            since=told.since if told else None,
        )
        names = tuple(dict.fromkeys(phone.person for phone in phones))
        found.append(Install(device, last, names, work))
    return sorted(found, key=lambda one: (one.last.last_used, one.device))


def to_ask_after(ctx: Context) -> list[dict[str, Any]]:
    """The phones whose owner should be asked, each with what is known and what to do."""
    now, names = ctx.now(), {one.id: one.name for one in people.people()}
    calendar = town.calendar()
    found = []
    for one in installs():
        if not one.work.needs_asking(now):
            continue
        who = " or ".join(names.get(person, person) for person in one.people)
        found.append(
            {
                "device": one.device,
                "who": who,
                "state": one.last.state,
                "last_heard": stamp(one.last.last_used),
                "since": stamp(one.work.since),
                "records": count(one.work.waiting) + count(one.work.missing),
                "photos": one.work.photos,
                "numbers": [
                    {"first": first, "last": last}
                    for first, last in (*one.work.missing, *one.work.waiting)
                ],
                "sentence": sentence(one.work, calendar.local_day),
                "advice": advice(one.work, who, _sends_until(one.last), now),
            }
        )
    return found


def _sends_until(phone: Phone) -> datetime | None:
    if phone.state != "ended":
        return None
    return (phone.ended_at or phone.ends) + ENDED_IS_HEARD


def settle(ctx: Context, device: str, numbers: Sequence[dict[str, int]]) -> dict[str, Any]:
    """Answer for numbers of a phone: nobody is asked after them again.

    A record that arrives after all counts as any other. Raises: Refusal 404; 412 where other
    numbers are missing than were shown.
    """
    with write_transaction():
        one = next((some for some in installs() if some.device == device), None)
        if one is None:
            raise not_found("phone")
        spans = (*one.work.missing, *one.work.waiting)
        if [(some["first"], some["last"]) for some in numbers] != list(spans):
            detail = "What is missing has changed since you looked. Look again."
            raise Refusal(412, "stale-version", "Changed in the meantime", detail)
        phone_work.settle(device, spans, ctx.now(), ctx.person)
        said = phone_work.said_by(device)
        if said is not None and said.photos:
            phone_work.keep_said(PhoneSaid(device, said.n_max, said.unsent, 0, None, said.at))
        name = people.person(one.last.person).name
        asked = ", ".join(f"{first}-{last}" for first, last in spans)
        changes.note(ctx, "phone", one.last.id, name, {}, {"settled": asked or "photos"})
    return {"device": device, "settled": count(spans)}
