"""Joining, signing in, and what an ended or burned phone may still do."""

from __future__ import annotations

import uuid
from datetime import timedelta
from typing import Any

import pytest
from argon2 import PasswordHasher

from desk import PASSWORD, Desk
from potrounds.services import invites, limits, passwords, people, register
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal
from potrounds.store import people as store
from potrounds.store import tables

DEVICE = str(uuid.uuid4())


def an_invite(desk: Desk, **body: Any) -> tuple[str, str]:
    """A new invite: its id and its secret."""
    asked = {"role": "volunteer", "name": "New", **body}
    made = invites.create_invite(desk.ctx, asked, "https://planters.osier-bend.example/")
    assert made["url"].startswith("https://planters.osier-bend.example/join#")
    return made["id"], made["url"].partition("#")[2]


def refused(call: Any, *args: Any) -> Refusal:
    with pytest.raises(Refusal) as caught:
        call(*args)
    return caught.value


def a_coordinator(desk: Desk, name: str = "Corin") -> dict[str, Any]:
    return people.add_person(desk.ctx, {"name": name, "role": "coordinator", "password": PASSWORD})


def test_an_invite_lets_one_person_join_once(desk: Desk) -> None:
    _, secret = an_invite(desk)
    token, me = people.join(desk.ctx, secret, DEVICE, "  Vera   Willow ")
    assert me["person"]["name"] == "Vera Willow"
    assert me["person"]["role"] == "volunteer"
    caller = people.caller_for(desk.ctx, token)
    assert (caller.person, caller.device, caller.state) == (me["person"]["id"], DEVICE, "active")
    assert people.me(desk.ctx.with_caller(caller)) == me
    again = refused(people.join, desk.ctx, secret, DEVICE, "Ines")
    assert (again.status, again.slug) == (410, "invite-gone")


@pytest.mark.parametrize("why", ["expired", "revoked", "unknown", "cut", "used"])
def test_B65_a_link_that_does_not_work_says_one_thing(desk: Desk, why: str) -> None:
    invite, secret = an_invite(desk)
    if why == "expired":
        desk.clock.tick(hours=72)
    elif why == "revoked":
        invites.revoke_invite(desk.ctx, invite)
    elif why == "unknown":
        secret = "x" * 43
    elif why == "cut":
        secret = secret[:-1]
    else:
        people.join(desk.ctx, secret, DEVICE, "Ines")
    problem = refused(people.join, desk.ctx, secret, DEVICE, "Vera").problem()
    assert problem["status"] == 410
    assert "new link" in problem["detail"]
    assert store.person_named("Vera") is None


def test_a_name_that_is_taken_leaves_the_invite_open(desk: Desk) -> None:
    desk.join("Vera")
    _, secret = an_invite(desk)
    assert refused(people.join, desk.ctx, secret, DEVICE, "vera").slug == "name-taken"
    assert refused(people.join, desk.ctx, secret, DEVICE, " ").status == 422
    assert people.join(desk.ctx, secret, DEVICE, "Vera W")[0]


def test_somebody_known_joins_again_with_another_phone(desk: Desk) -> None:
    vera = desk.join("Vera")
    _, secret = an_invite(desk, for_person=vera.person, name="whatever")
    _, me = people.join(desk.ctx, secret, DEVICE, "Somebody else")
    assert me["person"] == {"id": vera.person, "name": "Vera", "role": "volunteer"}
    assert refused(invites.create_invite, desk.ctx, {"role": "volunteer", "name": "x",
                   "for_person": "u-nobody00"}, "https://x").status == 422  # fmt: skip


def test_secrets_and_tokens_are_kept_as_hashes_only(desk: Desk) -> None:
    a_coordinator(desk)
    _, secret = an_invite(desk)
    token, _ = people.join(desk.ctx, secret, DEVICE, "Vera")
    wanted = [secret.encode(), token.encode(), PASSWORD.encode()]
    home = desk.ctx.settings.home
    everything = b"".join(path.read_bytes() for path in home.glob("town.sqlite*"))
    assert b"Ferry landing" in everything
    assert not any(secret in everything for secret in wanted)
    assert len(secret) >= 43, "256 bits in base 64"


def test_the_qr_of_an_invite_reads_as_its_link() -> None:
    """Read back by a library of its own (zxing-cpp, an implementation of ISO/IEC 18004)."""
    import numpy
    import zxingcpp

    url = "https://planters.osier-bend.example/join#" + "a" * 43
    rows = invites.qr_rows(url)
    assert len(rows) == len(rows[0])
    light = numpy.array([[255 * (dot == "0") for dot in row] for row in rows], numpy.uint8)
    framed = numpy.pad(light, 4, constant_values=255)
    picture = numpy.kron(framed, numpy.ones((6, 6), numpy.uint8))
    (found,) = zxingcpp.read_barcodes(picture)
    assert found.text == url


def test_a_volunteers_session_slides_for_90_days(desk: Desk) -> None:
    _, secret = an_invite(desk)
    token, _ = people.join(desk.ctx, secret, DEVICE, "Vera")
    for _ in range(4):
        desk.clock.tick(days=60)
        assert people.caller_for(desk.ctx, token)
    desk.clock.tick(days=90)
    assert people.caller_for(desk.ctx, token) is None


def test_a_coordinators_session_idles_out_in_an_hour_and_ends_in_a_day(desk: Desk) -> None:
    a_coordinator(desk)
    token, _ = people.sign_in(desk.ctx, "Corin", PASSWORD, DEVICE)
    desk.clock.tick(minutes=61)
    assert people.caller_for(desk.ctx, token) is None
    token, _ = people.sign_in(desk.ctx, "Corin", PASSWORD, DEVICE)
    for _ in range(28):
        desk.clock.tick(minutes=50)
        assert people.caller_for(desk.ctx, token), "23 h 20 min of work"
    desk.clock.tick(minutes=50)
    assert people.caller_for(desk.ctx, token) is None


@pytest.mark.parametrize("token", [None, "", "x", "\ud800", "a" * 100_000])
def test_a_token_nobody_gave_is_nobody(desk: Desk, token: str | None) -> None:
    assert people.caller_for(desk.ctx, token) is None


def test_T7_T9_ended_is_known_and_burned_is_nobody(desk: Desk) -> None:
    _, secret = an_invite(desk)
    token, _ = people.join(desk.ctx, secret, DEVICE, "Vera")
    phone = people.caller_for(desk.ctx, token).phone
    people.end_phone(desk.ctx, phone)
    assert people.caller_for(desk.ctx, token).state == "ended"
    assert people.burn_phone(desk.ctx, phone)["state"] == "burned"
    assert people.caller_for(desk.ctx, token) is None
    assert people.end_phone(desk.ctx, phone)["state"] == "burned", "no way back"
    assert refused(people.end_phone, desk.ctx, "ph-nothing0").status == 404


def test_sign_out_leaves_a_cookie_that_opens_nothing(desk: Desk) -> None:
    _, secret = an_invite(desk)
    token, _ = people.join(desk.ctx, secret, DEVICE, "Vera")
    people.sign_out(desk.ctx.with_caller(people.caller_for(desk.ctx, token)))
    assert people.caller_for(desk.ctx, token) is None
    assert [one["state"] for one in register.overview(desk.ctx)["phones"]] == ["ended"]


def test_R15_an_ended_phone_is_heard_for_thirty_days(desk: Desk) -> None:
    _, secret = an_invite(desk)
    token, _ = people.join(desk.ctx, secret, DEVICE, "Vera")
    people.end_phone(desk.ctx, people.caller_for(desk.ctx, token).phone)
    desk.clock.tick(days=29)
    assert people.caller_for(desk.ctx, token).state == "ended"
    desk.clock.tick(days=1)
    assert people.caller_for(desk.ctx, token) is None


def test_ending_a_person_ends_their_phones_but_never_the_last_coordinator(desk: Desk) -> None:
    corin = a_coordinator(desk)
    _, secret = an_invite(desk)
    token, me = people.join(desk.ctx, secret, DEVICE, "Vera")
    people.change_person(desk.ctx, me["person"]["id"], {"state": "ended"})
    assert people.caller_for(desk.ctx, token).state == "ended"
    last = refused(people.change_person, desk.ctx, corin["id"], {"state": "ended"})
    assert (last.status, last.slug) == (409, "last-coordinator")
    a_coordinator(desk, "Cleo")
    assert people.change_person(desk.ctx, corin["id"], {"state": "ended"})["state"] == "ended"
    assert refused(people.sign_in, desk.ctx, "Corin", PASSWORD, DEVICE).status == 401


@pytest.mark.parametrize(
    ("length", "accepted"), [(14, False), (15, True), (128, True), (129, False)]
)
def test_B67_lengths_of_a_password(desk: Desk, length: int, accepted: bool) -> None:
    password = ("🌿 " * 80)[:length]
    body = {"name": "Cleo", "role": "coordinator", "password": password}
    if accepted:
        people.add_person(desk.ctx, body)
        assert people.sign_in(desk.ctx, "cleo", password, DEVICE)
        assert refused(people.sign_in, desk.ctx, "cleo", password.strip() + "x", DEVICE)
    else:
        assert refused(people.add_person, desk.ctx, body).slug == "password-length"


def test_passwords_are_argon2id_at_the_librarys_defaults(desk: Desk) -> None:
    """t=3, 64 MiB, 4 lanes: the second recommended option of RFC 9106, section 4."""
    real = PasswordHasher()
    made = passwords.checked_hash(real, PASSWORD)
    assert made.startswith("$argon2id$v=19$m=65536,t=3,p=4$")
    assert Context(desk.ctx.settings, desk.clock).hasher.memory_cost == 65536


def test_a_hash_of_lesser_costs_is_renewed_at_sign_in(desk: Desk) -> None:
    corin = a_coordinator(desk)
    stronger = Context(
        desk.ctx.settings,
        desk.clock,
        hasher=PasswordHasher(time_cost=2, memory_cost=16, parallelism=1),
    )
    people.sign_in(stronger, "Corin", PASSWORD, DEVICE)
    assert "m=16,t=2" in store.person(corin["id"]).password


def test_T21_unknown_names_get_the_same_answer_and_cost_a_hash(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    a_coordinator(desk)
    desk.join("Vera")
    checked: list[str] = []
    matches = passwords.matches

    def counted(hasher: Any, stored: str, password: str) -> bool:
        checked.append(stored)
        return matches(hasher, stored, password)

    monkeypatch.setattr(passwords, "matches", counted)
    problems = [
        refused(people.sign_in, desk.ctx, name, "wrong " * 4, DEVICE).problem()
        for name in ("Corin", "Nobody", "Vera")
    ]
    assert problems[0] == problems[1] == problems[2]
    assert problems[0]["status"] == 401
    assert [stored.split("$")[1:4] for stored in checked] == [checked[0].split("$")[1:4]] * 3


def test_T21_after_five_tries_the_waiting_grows_and_never_locks(desk: Desk) -> None:
    a_coordinator(desk)
    waits = []
    for _ in range(40):
        problem = refused(people.sign_in, desk.ctx, "Corin", "wrong " * 4, DEVICE)
        if problem.status == 429:
            waits.append(problem.retry_after)
            desk.clock.tick(seconds=problem.retry_after)
    assert waits[:6] == [2, 4, 8, 16, 32, 60]
    assert max(waits) == 60, "the right person is never kept out for longer"
    desk.clock.tick(seconds=60)
    assert people.sign_in(desk.ctx, "Corin", PASSWORD, DEVICE)
    assert refused(people.sign_in, desk.ctx, "Corin", "wrong " * 4, DEVICE).status == 401


def test_T21_the_right_password_does_not_jump_the_queue(desk: Desk) -> None:
    a_coordinator(desk)
    for _ in range(5):
        refused(people.sign_in, desk.ctx, "Corin", "wrong " * 4, DEVICE)
    assert refused(people.sign_in, desk.ctx, "Corin", PASSWORD, DEVICE).status == 429


def test_T21_one_address_and_all_together_are_limited_too(desk: Desk) -> None:
    a_coordinator(desk)
    near = Context(desk.ctx.settings, desk.clock, address="192.0.2.7", hasher=desk.ctx.hasher)
    for number in range(5):
        refused(people.sign_in, near, f"Guess {number}", "wrong " * 4, DEVICE)
    assert refused(people.sign_in, near, "Corin", PASSWORD, DEVICE).status == 429
    far = Context(desk.ctx.settings, desk.clock, address="192.0.2.8", hasher=desk.ctx.hasher)
    assert people.sign_in(far, "Corin", PASSWORD, DEVICE)
    for number in range(30):
        now = desk.clock.now()
        limits.note_sign_in(f"account {number}", f"198.51.100.{number}", now)
    assert limits.sign_in_wait_s("another", "203.0.113.9", desk.clock.now()) > 0


def test_addresses_are_kept_hashed_and_a_day_only(desk: Desk) -> None:
    limits.note_sign_in("a", "192.0.2.7", desk.clock.now())
    assert all("192.0.2.7" not in row.key for row in tables.Knock.select())
    desk.clock.tick(days=1, seconds=1)
    limits.note_sign_in("b", "192.0.2.8", desk.clock.now())
    assert {row.key for row in tables.Knock.select() if row.kind == "sign-in-account"} == {"b"}


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("2001:db8:1:2::1", "2001:db8:1:2:ffff::9", True),
        ("2001:db8:1:2::1", "2001:db8:1:3::1", False),
        ("::ffff:192.0.2.7", "192.0.2.7", True),
        ("192.0.2.7", "192.0.2.8", False),
        ("not an address", "", False),
    ],
)
def test_what_counts_as_one_address(one: str, other: str, same: bool) -> None:
    assert (limits.neighbourhood(one) == limits.neighbourhood(other)) is same


def test_the_list_of_people_phones_and_invites_shows_no_secret(desk: Desk) -> None:
    a_coordinator(desk)
    _, secret = an_invite(desk)
    token, _ = people.join(desk.ctx, secret, DEVICE, "Vera")
    an_invite(desk)
    desk.clock.tick(minutes=timedelta(hours=80).total_seconds() // 60)
    seen = register.overview(desk.ctx)
    assert {one["name"]: one["has_password"] for one in seen["people"]} == {
        "Corin": True,
        "Vera": False,
    }
    assert sorted(one["state"] for one in seen["invites"]) == ["expired", "used"]
    assert [one["name"] for one in seen["phones"]] == ["Vera"]
    for hidden in (secret, token, "argon2", "token", "secret"):
        assert hidden not in repr(seen)
