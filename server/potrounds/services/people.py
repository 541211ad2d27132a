"""Who is who: joining by invite, signing in, phones that are active, ended or burned."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from potrounds.services import changes, limits, passwords
from potrounds.services.context import Caller, Context
from potrounds.services.moments import stamp
from potrounds.services.passwords import quick_hasher as quick_hasher
from potrounds.services.refusal import Refusal, name_taken, not_found
from potrounds.store import people, push
from potrounds.store.database import write_transaction
from potrounds.store.ids import UUID, hashed, new_secret, short_id
from potrounds.store.people import Person, Phone
from potrounds.store.rows import name_key

ROLES = ("volunteer", "coordinator")
VOLUNTEER_LASTS = timedelta(days=90)
COORDINATOR_LASTS = timedelta(hours=24)
COORDINATOR_IDLES = timedelta(hours=1)
#: An ended phone may send what it still holds for so long (R15).
ENDED_IS_HEARD = timedelta(days=30)
#: A session's last use is written this often at most, not at every request.
SLIDE_EVERY = timedelta(minutes=5)


# --- sessions ------------------------------------------------------------------------------------


def caller_for(ctx: Context, token: str | None) -> Caller | None:
    """Who holds this token; None when it is unknown, run out or burned. Using it extends it."""
    phone = people.phone_by_token(hashed(token)) if token else None
    if phone is None or phone.state == "burned":
        return None
    person = people.person(phone.person)
    now = ctx.now()
    if phone.state == "ended" and now >= (phone.ended_at or phone.ends) + ENDED_IS_HEARD:
        return None
    if phone.state == "active":
        if now >= _runs_out(phone, person):
            return None
        phone = _slide(phone, person, now)
    return Caller(
        phone=phone.id,
        person=person.id,
        name=person.name,
        role=person.role,
        device=phone.device,
        state=phone.state,
        ends=_runs_out(phone, person),
    )


def _runs_out(phone: Phone, person: Person) -> datetime:
    if person.role == "coordinator":
        return min(phone.ends, phone.last_used + COORDINATOR_IDLES)
    return phone.ends


def _slide(phone: Phone, person: Person, now: datetime) -> Phone:
    if now - phone.last_used < SLIDE_EVERY:
        return phone
    values: dict[str, Any] = {"last_used": now}
    if person.role == "volunteer":
        values["ends"] = now + VOLUNTEER_LASTS
    with write_transaction():
        return people.change_phone(phone.id, **values)


def _start(person: Person, device: str, now: datetime) -> tuple[str, Phone]:
    token = new_secret()
    lasts = COORDINATOR_LASTS if person.role == "coordinator" else VOLUNTEER_LASTS
    phone = people.add_phone(short_id("ph"), hashed(token), person.id, device, now, now + lasts)
    push.hand_on(device, person.id, phone.id)
    return token, phone


def _me(person: Person, phone: Phone) -> dict[str, Any]:
    return {
        "person": {"id": person.id, "name": person.name, "role": person.role},
        "device": phone.device,
        "session_ends": stamp(_runs_out(phone, person)),
        "push": push.address_of(phone.id) is not None,
    }


def me(ctx: Context) -> dict[str, Any]:
    """Who asks, with what phone, until when."""
    if ctx.caller is None:
        raise Refusal(401, "not-joined", "Not joined", "Join with the link you were sent.")
    return _me(people.person(ctx.caller.person), people.phone(ctx.caller.phone))


def sign_out(ctx: Context) -> None:
    """End the caller's own session: its cookie opens nothing any more."""
    if ctx.caller is not None:
        with write_transaction():
            nobody_knows = hashed(new_secret())
            people.change_phone(
                ctx.caller.phone, state="ended", ended_at=ctx.now(), token=nobody_knows
            )
            push.drop_address(ctx.caller.phone)


def _check_device(device: str) -> None:
    if not UUID.fullmatch(device):
        raise Refusal(
            422,
            "device",
            "Not a device",
            "device is a UUID in lower case.",
            [("/device", "must be a UUID in lower case")],
        )


# --- joining -------------------------------------------------------------------------------------


def join(ctx: Context, secret: str, device: str, name: str) -> tuple[str, dict[str, Any]]:
    """Join with an invite: a new person, or a known one with another phone.

    Raises: Refusal 410 when the invite is used, expired, revoked or unknown; 422 for the name.
    """
    _check_device(device)
    now = ctx.now()
    with write_transaction():
        invite = people.invite_by_secret(hashed(secret))
        if invite is None or invite.state(now) != "open":
            raise _invite_gone()
        if invite.for_person:
            person = people.person(invite.for_person)
            if person.state != "active":
                raise _invite_gone()
        else:
            person = _new_person(name, invite.role, None, now)
            by = invite.made_by
            changes.note(ctx, "person", person.id, person.name, {}, public(person), by=by)
        people.change_invite(invite.id, used_at=now, used_by=person.id)
        token, phone = _start(person, device, now)
        changes.town_changed()
    changes.follow_up(ctx)
    return token, _me(person, phone)


def _invite_gone() -> Refusal:
    return Refusal(
        410,
        "invite-gone",
        "This link does not work any more",
        "It was used, has expired or was taken back. Ask a coordinator for a new link.",
    )


def _new_person(name: str, role: str, password: str | None, now: datetime) -> Person:
    name = " ".join(name.split())
    if not name:
        raise Refusal(422, "name", "Name missing", "Say what we call you.", [("/name", "is empty")])
    if people.person_named(name):
        raise name_taken(name)
    return people.add_person(short_id("u"), name, role, password, now)


# --- signing in ----------------------------------------------------------------------------------


def sign_in(ctx: Context, name: str, password: str, device: str) -> tuple[str, dict[str, Any]]:
    """Sign in with a password: coordinators.

    An unknown name costs the same time and gets the same answer as a wrong password.
    Raises: Refusal 401; 429 with the seconds to wait.
    """
    _check_device(device)
    account, now = hashed(name_key(name)), ctx.now()
    with write_transaction():
        limits.take_a_try(account, ctx.address, now)
    person = people.person_named(name)
    known = person is not None and person.state == "active" and person.password is not None
    stored = person.password if person is not None and known else passwords.decoy(ctx.hasher)
    if not passwords.matches(ctx.hasher, stored or "", password) or person is None or not known:
        raise Refusal(
            401, "sign-in-failed", "Not signed in", "Name and password do not belong together."
        )
    with write_transaction():
        limits.forget_sign_in(account, ctx.address)
        if ctx.hasher.check_needs_rehash(stored or ""):
            people.change_person(person.id, password=ctx.hasher.hash(password))
        token, phone = _start(person, device, now)
        people.change_phone(phone.id, confirmed_at=now)
    return token, _me(person, phone)


# --- the coordinator's list ----------------------------------------------------------------------


def public(person: Person) -> dict[str, Any]:
    """A person as the register shows them."""
    return {
        "id": person.id,
        "name": person.name,
        "role": person.role,
        "state": person.state,
        "has_password": person.password is not None,
        "joined_at": stamp(person.joined_at),
    }


def public_phone(phone: Phone, name: str) -> dict[str, Any]:
    """A phone as the register shows it."""
    return {
        "id": phone.id,
        "person": phone.person,
        "name": name,
        "device": phone.device,
        "state": phone.state,
        "first_used": stamp(phone.first_used),
        "last_used": stamp(phone.last_used),
        "ends": stamp(phone.ends),
    }


def add_person(ctx: Context, body: dict[str, Any]) -> dict[str, Any]:
    """A new person without an invite: the first coordinator, or one with a password."""
    hashed_password = passwords.checked_hash(ctx.hasher, body.get("password"))
    with write_transaction():
        person = _new_person(body["name"], body["role"], hashed_password, ctx.now())
        changes.note(ctx, "person", person.id, person.name, {}, public(person))
        changes.town_changed()
    changes.follow_up(ctx)
    return public(person)


def change_person(ctx: Context, person_id: str, body: dict[str, Any]) -> dict[str, Any]:
    """Change name, password or state; ending a person ends all of their phones.

    Raises: Refusal 404; 409 for the last active coordinator; 422 for name or password.
    """
    with write_transaction():
        before = _person(person_id)
        values = {key: body[key] for key in ("state",) if key in body}
        if body.get("password") is not None:
            values["password"] = passwords.checked_hash(ctx.hasher, body["password"])
        if "name" in body:
            values["name"] = _free_name(body["name"], person_id)
        if body.get("state") == "ended":
            _keep_a_coordinator(before)
            for phone in people.phones():
                if phone.person == person_id and phone.state == "active":
                    _stop_phone(ctx, phone.id, "ended")
        person = people.change_person(person_id, **values) if values else before
        new_password = {"password": "set anew"} if "password" in values else {}
        after = {**public(person), **new_password}
        changes.note(ctx, "person", person.id, person.name, public(before), after)
        changes.town_changed(everything="name" in values)
    changes.follow_up(ctx)
    return public(person)


def _person(person_id: str) -> Person:
    try:
        return people.person(person_id)
    except LookupError as none:
        raise not_found("person") from none


def _free_name(name: str, person_id: str) -> str:
    name = " ".join(name.split())
    there = people.person_named(name)
    if there is not None and there.id != person_id:
        raise name_taken(name)
    return name


def _keep_a_coordinator(person: Person) -> None:
    others = [
        one
        for one in people.people()
        if one.role == "coordinator" and one.state == "active" and one.id != person.id
    ]
    if person.role == "coordinator" and not others:
        raise Refusal(
            409,
            "last-coordinator",
            "The last coordinator",
            "Somebody has to look after the town: make another coordinator first.",
        )


def end_phone(ctx: Context, phone_id: str) -> dict[str, Any]:
    """End a phone: it reads nothing more, and what it still sends is held."""
    return _stop_phone(ctx, phone_id, "ended")


def burn_phone(ctx: Context, phone_id: str) -> dict[str, Any]:
    """Burn a stolen phone: every request of it is answered 401."""
    return _stop_phone(ctx, phone_id, "burned")


def _stop_phone(ctx: Context, phone_id: str, state: str) -> dict[str, Any]:
    with write_transaction():
        try:
            before = people.phone(phone_id)
        except LookupError as none:
            raise not_found("phone") from none
        name = _person(before.person).name
        push.drop_address(phone_id)
        after = before
        if before.state != state and before.state != "burned":
            after = people.change_phone(phone_id, state=state, ended_at=ctx.now())
            changes.note(ctx, "phone", phone_id, name, {"state": before.state}, {"state": state})
    return public_phone(after, name)
