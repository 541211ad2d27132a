"""Addresses of phones, pushes that wait, and what was told, read and written."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from potrounds.store.tables import Person, Phone
from potrounds.store.tables_push import PushAddress, PushNote, PushTold


@dataclass(frozen=True)
class Address:
    """Where a phone takes pushes, and whose phone it is."""

    phone: str
    person: str
    role: str
    endpoint: str
    p256dh: str
    auth: str


@dataclass(frozen=True)
class Note:
    """A push before it is encrypted."""

    tag: str
    title: str
    body: str
    path: str
    urgency: str
    expires_at: datetime


@dataclass(frozen=True)
class Waiting:
    """A push in the queue, with the address it goes to."""

    id: int
    note: Note
    to: Address
    tries: int


# --- addresses -----------------------------------------------------------------------------------


def put_address(phone: str, endpoint: str, p256dh: str, auth: str, at: datetime) -> None:
    """Set where a phone takes pushes; what waited for it, or used that address before, goes."""
    PushAddress.delete().where(
        (PushAddress.phone == phone) | (PushAddress.endpoint == endpoint)
    ).execute()
    PushAddress.create(phone=phone, endpoint=endpoint, p256dh=p256dh, auth=auth, made_at=at)


def drop_address(phone: str) -> None:
    """A phone takes no more pushes."""
    PushAddress.delete().where(PushAddress.phone == phone).execute()


def drop_all_addresses() -> int:
    """Forget every address, as after a new key; return how many there were."""
    return int(PushAddress.delete().execute())


def hand_on(device: str, person: str, phone: str) -> None:
    """A device begins a new session: its address goes along, or goes if somebody else uses it."""
    rows = (
        PushAddress.select(PushAddress, Phone)
        .join(Phone)
        .where(Phone.device == device)
        .order_by(Phone.last_used.desc())
    )
    for number, row in enumerate(list(rows)):
        if number == 0 and row.phone.person_id == person:
            kept = (row.endpoint, row.p256dh, row.auth, row.made_at)
            drop_address(row.phone_id)
            put_address(phone, *kept)
        else:
            drop_address(row.phone_id)


def addresses(used_since: datetime) -> list[Address]:
    """Where phones in use take pushes: not ended, not burned, of people who still belong."""
    query = (
        PushAddress.select(PushAddress, Phone, Person)
        .join(Phone)
        .join(Person)
        .where(Phone.state == "active", Person.state == "active", Phone.last_used >= used_since)
        .order_by(PushAddress.phone)
    )
    return [_address(row) for row in query]


def address_of(phone: str) -> Address | None:
    """Where one phone takes pushes."""
    query = PushAddress.select(PushAddress, Phone, Person).join(Phone).join(Person)
    row = query.where(PushAddress.phone == phone).first()
    return _address(row) if row else None


def _address(row: PushAddress) -> Address:
    person = row.phone.person
    return Address(row.phone_id, person.id, person.role, row.endpoint, row.p256dh, row.auth)


# --- the queue -----------------------------------------------------------------------------------


def queue(phone: str, note: Note, due_at: datetime) -> None:
    """Let a push wait for its turn; an older one of the same tag gives way."""
    PushNote.delete().where(PushNote.phone == phone, PushNote.tag == note.tag).execute()
    PushNote.create(phone=phone, due_at=due_at, **vars(note))


def take_due(now: datetime, until: datetime, most: int) -> list[Waiting]:
    """Lend out pushes that are due: until that moment nobody else gets them."""
    PushNote.delete().where(PushNote.expires_at <= now).execute()
    query = (
        PushNote.select(PushNote, PushAddress, Phone, Person)
        .join(PushAddress)
        .join(Phone)
        .join(Person)
        .where(PushNote.due_at <= now)
        .order_by(PushNote.due_at, PushNote.id)
        .limit(most)
    )
    found = [
        Waiting(
            row.id,
            Note(row.tag, row.title, row.body, row.path, row.urgency, row.expires_at),
            _address(row.phone),
            row.tries,
        )
        for row in query
    ]
    lent = [one.id for one in found]
    PushNote.update(due_at=until).where(PushNote.id.in_(lent)).execute()
    return found


def done(note: int) -> None:
    """A push was taken, or never will be."""
    PushNote.delete().where(PushNote.id == note).execute()


def again(note: int, due_at: datetime) -> None:
    """A push was not taken; it is tried again at that moment."""
    PushNote.update(due_at=due_at, tries=PushNote.tries + 1).where(PushNote.id == note).execute()


def forget_notes(tags: Iterable[str] | None = None) -> None:
    """Pushes of these tags, or all, need not be sent any more."""
    query = PushNote.delete()
    if tags is not None:
        query = query.where(PushNote.tag.in_(list(tags)))
    query.execute()


def waiting_count() -> int:
    """How many pushes wait."""
    return int(PushNote.select().count())


# --- what was told -------------------------------------------------------------------------------


def told(prefix: str) -> set[str]:
    """The tags told that begin like this."""
    query = PushTold.select(PushTold.tag).where(PushTold.tag.startswith(prefix))
    return {row.tag for row in query}


def note_told(tags: Iterable[str], at: datetime) -> None:
    """Note what is told now."""
    for tag in tags:
        PushTold.create(tag=tag, at=at)


def forget_told(tags: Iterable[str] | None = None) -> None:
    """Forget that these, or all, were told: their flags are down."""
    query = PushTold.delete()
    if tags is not None:
        query = query.where(PushTold.tag.in_(list(tags)))
    query.execute()
