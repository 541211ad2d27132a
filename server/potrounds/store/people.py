"""People, their phones, invites, and the tries that are limited."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from potrounds.store import tables
from potrounds.store.rows import as_dataclass, name_key


@dataclass(frozen=True)
class Person:
    """A volunteer or coordinator."""

    id: str
    name: str
    role: str
    state: str
    password: str | None
    joined_at: datetime


@dataclass(frozen=True)
class Phone:
    """A phone somebody joined with."""

    id: str
    person: str
    device: str
    state: str
    first_used: datetime
    last_used: datetime
    ends: datetime
    ended_at: datetime | None
    confirmed_at: datetime | None


@dataclass(frozen=True)
class Invite:
    """A link for one person to join with once."""

    id: str
    role: str
    name: str
    for_person: str | None
    made_at: datetime
    made_by: str | None
    expires_at: datetime
    used_at: datetime | None
    used_by: str | None
    revoked_at: datetime | None

    def state(self, now: datetime) -> str:
        """open, used, revoked or expired."""
        if self.used_at:
            return "used"
        if self.revoked_at:
            return "revoked"
        return "expired" if now >= self.expires_at else "open"


# --- people --------------------------------------------------------------------------------------


def person(person_id: str) -> Person:
    """One person. Raises: LookupError."""
    return as_dataclass(Person, tables.Person.get_or_none(tables.Person.id == person_id))


def person_named(name: str) -> Person | None:
    """The person of this name, whatever its case."""
    row = tables.Person.get_or_none(tables.Person.name_key == name_key(name))
    return as_dataclass(Person, row) if row else None


def people() -> list[Person]:
    """Everybody, by name."""
    query = tables.Person.select().order_by(tables.Person.name_key)
    return [as_dataclass(Person, row) for row in query]


def add_person(
    person_id: str, name: str, role: str, password: str | None, joined_at: datetime
) -> Person:
    """A new person, active."""
    tables.Person.create(
        id=person_id,
        name=name,
        name_key=name_key(name),
        role=role,
        password=password,
        joined_at=joined_at,
    )
    return person(person_id)


def change_person(person_id: str, **values: Any) -> Person:
    """Write some columns of a person."""
    if "name" in values:
        values["name_key"] = name_key(values["name"])
    tables.Person.update(**values).where(tables.Person.id == person_id).execute()
    return person(person_id)


# --- phones --------------------------------------------------------------------------------------


def phone(phone_id: str) -> Phone:
    """One phone. Raises: LookupError."""
    return as_dataclass(Phone, tables.Phone.get_or_none(tables.Phone.id == phone_id))


def phone_by_token(token_hash: str) -> Phone | None:
    """The phone that holds this token."""
    row = tables.Phone.get_or_none(tables.Phone.token == token_hash)
    return as_dataclass(Phone, row) if row else None


def phones() -> list[Phone]:
    """All phones, the last used first."""
    query = tables.Phone.select().order_by(tables.Phone.last_used.desc(), tables.Phone.id)
    return [as_dataclass(Phone, row) for row in query]


def device_owner(device: str) -> str | None:
    """The person who last joined with a device id, if anybody did."""
    row = (
        tables.Phone.select()
        .where(tables.Phone.device == device)
        .order_by(tables.Phone.first_used.desc())
        .first()
    )
    return row.person_id if row else None


def phones_of_device(device: str) -> list[Phone]:
    """Sessions that were begun on a device, the last first."""
    query = (
        tables.Phone.select()
        .where(tables.Phone.device == device)
        .order_by(tables.Phone.first_used.desc())
    )
    return [as_dataclass(Phone, row) for row in query]


def add_phone(
    phone_id: str, token_hash: str, person_id: str, device: str, now: datetime, ends: datetime
) -> Phone:
    """A new phone, active."""
    tables.Phone.create(
        id=phone_id,
        token=token_hash,
        person=person_id,
        device=device,
        first_used=now,
        last_used=now,
        ends=ends,
    )
    return phone(phone_id)


def change_phone(phone_id: str, **values: Any) -> Phone:
    """Write some columns of a phone."""
    tables.Phone.update(**values).where(tables.Phone.id == phone_id).execute()
    return phone(phone_id)


# --- invites -------------------------------------------------------------------------------------


def invite(invite_id: str) -> Invite:
    """One invite. Raises: LookupError."""
    return as_dataclass(Invite, tables.Invite.get_or_none(tables.Invite.id == invite_id))


def invite_by_secret(secret_hash: str) -> Invite | None:
    """The invite with this secret."""
    row = tables.Invite.get_or_none(tables.Invite.secret == secret_hash)
    return as_dataclass(Invite, row) if row else None


def invites() -> list[Invite]:
    """All invites, newest first."""
    query = tables.Invite.select().order_by(tables.Invite.made_at.desc(), tables.Invite.id)
    return [as_dataclass(Invite, row) for row in query]


def add_invite(invite_id: str, secret_hash: str, **values: Any) -> Invite:
    """A new invite."""
    tables.Invite.create(id=invite_id, secret=secret_hash, **values)
    return invite(invite_id)


def change_invite(invite_id: str, **values: Any) -> Invite:
    """Write some columns of an invite."""
    tables.Invite.update(**values).where(tables.Invite.id == invite_id).execute()
    return invite(invite_id)


# --- limited tries -------------------------------------------------------------------------------


def knock(kind: str, key: str, at: datetime) -> None:
    """Note a try."""
    tables.Knock.create(kind=kind, key=key, at=at)


def knocks_since(kind: str, key: str, since: datetime) -> list[datetime]:
    """When this key tried, oldest first."""
    query = (
        tables.Knock.select()
        .where(tables.Knock.kind == kind, tables.Knock.key == key, tables.Knock.at > since)
        .order_by(tables.Knock.at)
    )
    return [row.at for row in query]


def forget_knocks(kind: str, key: str) -> None:
    """Forget the tries of a key, after a success."""
    tables.Knock.delete().where(tables.Knock.kind == kind, tables.Knock.key == key).execute()


def forget_knocks_before(at: datetime) -> None:
    """Forget what is too old to limit anything."""
    tables.Knock.delete().where(tables.Knock.at < at).execute()
