"""The ways back of people, phones, invites, calendar addresses, crew, taps and paced ways."""

from __future__ import annotations

from typing import Any

from potrounds.services import calendar_feed, changes, crew, invites, people
from potrounds.services.context import Context
from potrounds.services.crew_view import CREW_KEYS, public_member, public_tap
from potrounds.services.undo_way import State, Way, stays
from potrounds.store import people as store
from potrounds.store import rounds, undo
from potrounds.store.database import write_transaction
from potrounds.store.register import Change

CLOSED = "What was taken back stays closed, as others may hold it. Make a new one."


# --- people --------------------------------------------------------------------------------------


def _person_now(ref: str) -> State | None:
    return next((people.public(one) for one in store.people() if one.id == ref), None)


def _against_person(ctx: Context, change: Change, before: State, after: State) -> str | None:
    if PERSON.adds(before, after):
        used = [one for one in store.invites() if one.used_by == change.ref and not one.for_person]
        if used:
            return (
                f"{change.name} joined with an invite, and a used invite cannot be taken back. "
                "End the membership under People."
            )
        return None
    if PERSON.removes(before, after):
        if before.get("has_password"):
            return "The password was not kept. Add the person again, with a new one."
        return None
    if "password" in after or before.get("has_password") != after.get("has_password"):
        return "No password is kept that could come back. Set a new one under People."
    return None


def _bring_person(ctx: Context, ref: str, was: State) -> None:
    if store.person_named(was["name"]):
        raise stays(f"There is already one called {was['name']}.")
    with write_transaction():
        person = store.add_person(ref, was["name"], was["role"], None, ctx.now())
        changes.note(ctx, "person", ref, person.name, {}, people.public(person))
        changes.town_changed()


def _remove_person(ctx: Context, ref: str) -> None:
    with write_transaction():
        person = store.person(ref)
        if undo.has_left_traces(ref) or rounds.member(ref) is not None:
            raise stays(
                f"{person.name} has joined, recorded or gone out since. End the membership under "
                "People: what was recorded keeps its name."
            )
        undo.remove_person(ref)
        changes.note(ctx, "person", ref, person.name, people.public(person), {})
        changes.town_changed()


PERSON = Way(
    now=_person_now,
    put=people.change_person,
    mark="id",
    add=_bring_person,
    remove=_remove_person,
    keys=("id", "name", "role", "state", "password", "has_password"),
    against=_against_person,
)


# --- phones --------------------------------------------------------------------------------------


def _phone_now(ref: str) -> State | None:
    return next(({"state": one.state} for one in store.phones() if one.id == ref), None)


def _against_phone(ctx: Context, change: Change, before: State, after: State) -> str | None:
    if after.get("state") == "burned":
        return "A burned phone stays shut out. Send its owner a new link."
    return None


def _put_phone(ctx: Context, ref: str, values: State) -> None:
    if values["state"] == "ended":
        people.end_phone(ctx, ref)
        return
    with write_transaction():
        phone = store.phone(ref)
        person = store.person(phone.person)
        if phone.state == "burned":
            raise stays("The phone was burned since. Send its owner a new link.")
        if person.state != "active":
            raise stays(f"{person.name} has left. Let {person.name} back in first.")
        if ctx.now() >= phone.ends:
            raise stays(f"This phone's time has run out. Send {person.name} a new link.")
        store.change_phone(ref, state="active", ended_at=None)
        changes.note(ctx, "phone", ref, person.name, {"state": phone.state}, {"state": "active"})


PHONE = Way(now=_phone_now, put=_put_phone, against=_against_phone)


# --- links ---------------------------------------------------------------------------------------


def _invite_now(ref: str) -> State | None:
    found = next((one for one in store.invites() if one.id == ref), None)
    return {"role": found.role, "name": found.name} if found and not found.revoked_at else None


def _against_invite(ctx: Context, change: Change, before: State, after: State) -> str | None:
    if "state" in after:
        return CLOSED
    invite = next((one for one in store.invites() if one.id == change.ref), None)
    state = invite.state(ctx.now()) if invite else "revoked"
    if invite and state == "used":
        names = {one.id: one.name for one in store.people()}
        who = names.get(invite.used_by or "", invite.name)
        return (
            f"{who} joined with it: a used invite cannot be taken back. End the membership or "
            "the phone under People."
        )
    if state == "expired":
        return "It has run out by itself and lets nobody in."
    return "It was taken back already." if state == "revoked" else None


INVITE = Way(
    now=_invite_now,
    put=lambda ctx, ref, values: None,
    mark="role",
    remove=invites.revoke_invite,
    against=_against_invite,
)


def _link_now(ref: str) -> State | None:
    found = next((one for one in rounds.links() if one.id == ref), None)
    return {"name": found.name, "person": found.person} if found and not found.revoked_at else None


def _against_link(ctx: Context, change: Change, before: State, after: State) -> str | None:
    return CLOSED if "state" in after else None


CALENDAR = Way(
    now=_link_now,
    put=lambda ctx, ref, values: None,
    mark="name",
    remove=calendar_feed.revoke_link,
    against=_against_link,
)


# --- crew, taps, ways ----------------------------------------------------------------------------


def _member_now(ref: str) -> State | None:
    found = rounds.member(ref)
    return public_member(found, {}) if found else None


def _put_member(ctx: Context, ref: str, values: State) -> None:
    there = rounds.member(ref)
    if there is None:
        raise stays("This person does not go out any more.")
    crew.put_member(ctx, ref, {**public_member(there, {}), **values}, there.version)


def _bring_member(ctx: Context, ref: str, was: State) -> None:
    empty = {"tank_l": None, "start_tap": None, "away": [], "weekdays": []}
    crew.put_member(ctx, ref, {**empty, **was}, None)


CREW = Way(
    now=_member_now,
    put=_put_member,
    mark="person",
    add=_bring_member,
    remove=crew.remove_member,
    keys=tuple(key for key in CREW_KEYS if key != "version"),
)


def _tap_now(ref: str) -> State | None:
    found = rounds.tap(ref)
    return public_tap(found) if found else None


def _bring_tap(ctx: Context, ref: str, was: State) -> None:
    crew.add_tap(ctx, {key: was.get(key) for key in TAP_ALWAYS} | was, ref)


TAP_ALWAYS = ("site", "lat", "lon", "flow_l_min")
TAP = Way(
    now=_tap_now,
    put=lambda ctx, ref, values: crew.change_tap(ctx, ref, values, None),
    mark="id",
    add=_bring_tap,
    remove=crew.remove_tap,
    keys=("id", *crew.TAP_VALUES),
)


def _put_ways(ctx: Context, ref: str, values: State) -> None:
    asked: list[dict[str, Any]] = []
    for pair, metres in values.items():
        one, other = pair.split(" ")
        asked.append({"one": one, "other": other, "metres": metres})
    crew.put_ways(ctx, asked)


WAYS: dict[str, Way] = {
    "person": PERSON,
    "phone": PHONE,
    "invite": INVITE,
    "calendar": CALENDAR,
    "crew": CREW,
    "tap": TAP,
    "ways": Way(now=lambda ref: dict(crew.ways_by_name()), put=_put_ways),
}
