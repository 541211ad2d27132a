"""Phones that take pushes, and the queue: what each answer of a push service does to it."""

from __future__ import annotations

import logging
import threading
import time
from dataclasses import replace
from datetime import timedelta

import pytest

from desk import Desk
from potrounds.services import people, push, push_key, push_wire, push_worker, town_settings
from potrounds.services.refusal import Refusal
from potrounds.store import database
from potrounds.store import people as people_rows
from potrounds.store import push as rows
from potrounds.store.database import write_transaction
from potrounds.store.derived import TOWN, get
from potrounds.store.push import Note
from push_people import Crew, crew
from push_service import Browser, PushService

__all__ = ["crew"]


def note(desk: Desk, tag: str = "x", hours: float = 24) -> Note:
    ends = desk.clock.now() + timedelta(hours=hours)
    return Note(tag, f"Planter {tag}", "Look", "/p/x", "high", ends)


def queue(crew: Crew, *tags: str, **more: float) -> None:
    with write_transaction():
        for tag in tags:
            push.queue(crew.desk.ctx, note(crew.desk, tag, **more), lambda _: True)


# --- on and off ----------------------------------------------------------------------------------


def test_off_until_key_coordinator_and_person_have_all_said_yes(desk: Desk) -> None:
    phone = desk.join("Vera")
    subscription = Browser(PushService("https://push.example.net"), "vera").subscription
    with pytest.raises(Refusal, match="turns pushes on") as refused:
        push.turn_on(phone.ctx, *subscription)
    assert refused.value.status == 409
    with pytest.raises(Refusal, match="potrounds push-key"):
        town_settings.change_settings(desk.ctx, {"push_on": True})
    assert get(TOWN).content["push_key"] is None
    push_key.make(desk.ctx, anew=False)
    assert get(TOWN).content["push_key"] is None
    town_settings.change_settings(desk.ctx, {"push_on": True})
    shown = get(TOWN).content["push_key"]
    assert shown == push_wire.public_key(push_key.read(desk.ctx))
    assert rows.addresses(desk.clock.now() - timedelta(days=1)) == []


def test_a_push_arrives_encrypted_signed_and_with_its_urgency(crew: Crew) -> None:
    _, browser = crew.join("Vera")
    queue(crew, "a")
    crew.send()
    [told] = browser.shown()
    assert told == {"title": "Planter a", "body": "Look", "path": "/p/x", "tag": "a"}
    [asked] = crew.service.taken
    assert b"Planter" not in asked["body"]
    assert asked["Content-Encoding"] == "aes128gcm"
    assert asked["Authorization"].startswith("vapid t=")
    assert asked["Urgency"] == "high"
    assert asked["TTL"] == str(24 * 3600)
    assert len(asked["Topic"]) == 32  # RFC 8030, 5.4: at most 32 letters of base64url
    assert rows.waiting_count() == 0


def test_a_bad_address_or_key_is_refused_in_words(crew: Crew) -> None:
    phone, browser = crew.join("Vera")
    _, p256dh, auth = browser.subscription
    strict = replace(phone.ctx, settings=replace(phone.ctx.settings, push_local=False))
    for endpoint in (f"{crew.service.url}/vera", "https://10.0.0.1/x", "http://push.example.net/"):
        with pytest.raises(Refusal) as refused:
            push.turn_on(strict, endpoint, p256dh, auth)
        assert refused.value.status == 422
        assert refused.value.errors[0][0] == "/endpoint"
    with pytest.raises(Refusal) as refused:
        push.turn_on(strict, "https://push.example.net/x", p256dh[:-4] + "AAAA", auth)
    assert refused.value.errors[0][0] == "/p256dh"


def test_off_at_the_phone_sign_out_ended_burned_and_ended_person(crew: Crew) -> None:
    desk = crew.desk
    ways = {
        "Anna": lambda phone: push.turn_off(phone.ctx),
        "Bela": lambda phone: people.sign_out(phone.ctx),
        "Cora": lambda phone: people.end_phone(desk.ctx, phone.ctx.caller.phone),
        "Dora": lambda phone: people.burn_phone(desk.ctx, phone.ctx.caller.phone),
        "Emil": lambda phone: people.change_person(desk.ctx, phone.person, {"state": "ended"}),
    }
    for name, leave in ways.items():
        phone, _ = crew.join(name)
        queue(crew, name)
        assert push.is_on(phone.ctx.caller.phone)
        leave(phone)
        assert not push.is_on(phone.ctx.caller.phone), name
    assert rows.waiting_count() == 0
    crew.send()
    assert crew.service.asked == []


def test_a_phone_nobody_used_for_long_gets_nothing(crew: Crew) -> None:
    crew.join("Vera")
    crew.desk.clock.tick(days=91)
    queue(crew, "a")
    assert rows.waiting_count() == 0


def test_signing_in_again_keeps_pushes_and_another_person_ends_them(crew: Crew) -> None:
    phone, _ = crew.join("Vera")
    person = people_rows.person(phone.person)
    with write_transaction():
        _, again = people._start(person, phone.device, crew.desk.clock.now())
    assert push.is_on(again.id)
    assert not push.is_on(phone.ctx.caller.phone)
    people.add_person(crew.desk.ctx, {"name": "Omar", "role": "volunteer"})
    omar = people_rows.person_named("Omar")
    with write_transaction():
        _, theirs = people._start(omar, phone.device, crew.desk.clock.now())
    assert not push.is_on(theirs.id)
    assert not push.is_on(again.id)


def test_a_new_key_ends_all_subscriptions_and_the_town_says_the_new_one(crew: Crew) -> None:
    crew.join("Vera")
    before = get(TOWN).content["push_key"]
    with pytest.raises(Refusal, match="--new"):
        push_key.make(crew.desk.ctx, anew=False)
    assert push_key.make(crew.desk.ctx, anew=True) == 1
    assert rows.addresses(crew.desk.clock.now() - timedelta(days=1)) == []
    people.add_person(crew.desk.ctx, {"name": "Omar", "role": "volunteer"})  # a card is made anew
    assert get(TOWN).content["push_key"] not in (None, before)


def test_a_town_that_lost_its_key_offers_no_pushes(crew: Crew) -> None:
    crew.join("Vera")
    queue(crew, "a")
    push_key.file_of(crew.desk.ctx).write_text("no key")
    crew.send()
    assert crew.service.asked == []
    assert push_key.show(crew.desk.ctx) == 1


def test_turned_off_nothing_waits_and_nothing_goes(crew: Crew) -> None:
    crew.join("Vera")
    queue(crew, "a")
    town_settings.change_settings(crew.desk.ctx, {"push_on": False})
    assert rows.waiting_count() == 0
    queue(crew, "b")
    crew.send()
    assert crew.service.asked == []


# --- what answers do -----------------------------------------------------------------------------


@pytest.mark.parametrize("status", [404, 410])
def test_a_subscription_that_is_gone_is_removed(crew: Crew, status: int) -> None:
    """RFC 8030, 7.3: 404 (and in use 410) for a subscription that has expired."""
    phone, _ = crew.join("Vera")
    crew.service.answers["/vera"] = (status, {})
    queue(crew, "a", "b")
    crew.send()
    assert not push.is_on(phone.ctx.caller.phone)
    assert rows.waiting_count() == 0


@pytest.mark.parametrize("status", [429, 500, 503, 301, 0])
def test_a_busy_or_broken_service_is_asked_again_later(crew: Crew, status: int) -> None:
    phone, browser = crew.join("Vera")
    if status:
        crew.service.answers["/vera"] = (status, {})
    else:
        crew.service.raw["/vera"] = b"\x00garbage\r\n"
    queue(crew, "a")
    crew.send()
    assert len(crew.service.asked) == 1
    crew.send()  # too soon
    assert len(crew.service.asked) == 1
    crew.desk.clock.tick(seconds=31)
    crew.send()
    assert len(crew.service.asked) == 2
    crew.desk.clock.tick(seconds=31)  # twice as long by now
    crew.send()
    assert len(crew.service.asked) == 2
    crew.service.answers.clear()
    crew.service.raw.clear()
    crew.desk.clock.tick(seconds=31)
    crew.send()
    assert [one["tag"] for one in browser.shown()] == ["a"]
    assert push.is_on(phone.ctx.caller.phone)


def test_a_service_says_how_long_to_wait(crew: Crew) -> None:
    crew.join("Vera")
    crew.service.answers["/vera"] = (429, {"Retry-After": "600"})
    queue(crew, "a", "b")
    crew.send()
    assert crew.service.asked == ["/vera"]  # the second one waits unasked
    crew.desk.clock.tick(seconds=599)
    crew.send()
    assert len(crew.service.asked) == 1
    crew.desk.clock.tick(seconds=2)
    crew.send()
    assert len(crew.service.asked) == 2


def test_waits_grow_and_end_at_an_hour() -> None:
    waits = [push.wait_s(tries, None) for tries in range(12)]
    for tries, wait in enumerate(waits):
        longest = min(3600, 30 * 2**tries)
        assert 0.75 * longest <= wait <= longest
    assert push.wait_s(0, 100_000) == 3600


def test_a_refused_push_is_given_up(crew: Crew, caplog: pytest.LogCaptureFixture) -> None:
    phone, browser = crew.join("Vera")
    crew.service.answers["/vera"] = (400, {})
    queue(crew, "a")
    with caplog.at_level(logging.DEBUG):
        crew.send()
    assert rows.waiting_count() == 0
    assert push.is_on(phone.ctx.caller.phone)
    assert "(400)" in caplog.text
    for secret in browser.subscription:
        assert secret not in caplog.text


def test_what_is_too_old_is_not_sent(crew: Crew) -> None:
    _, browser = crew.join("Vera")
    crew.service.answers["/vera"] = (503, {})
    queue(crew, "a", hours=1)
    crew.send()
    crew.service.answers.clear()
    crew.desk.clock.tick(hours=1)
    crew.send()
    assert browser.shown() == []
    assert rows.waiting_count() == 0


def test_a_silent_service_keeps_nobody_else_waiting_long(
    crew: Crew, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One call to it, then its others wait; phones at another service are served meanwhile."""
    monkeypatch.setattr(push_wire.send, "__defaults__", (0.5,))
    crew.join("Vera")
    crew.service.hang_s["/vera"] = 1.0
    _, other = crew.join("Omar")
    with write_transaction():
        phone, _, _ = next(
            (one.phone, one.endpoint, one)
            for one in rows.addresses(crew.desk.clock.now() - timedelta(days=1))
            if one.endpoint.endswith("omar")
        )
        endpoint, p256dh, auth = other.subscription
        endpoint = endpoint.replace("127.0.0.1", "localhost")
        rows.put_address(phone, endpoint, p256dh, auth, crew.desk.clock.now())
    queue(crew, "a", "b", "c")
    begun = time.monotonic()
    crew.send()
    assert time.monotonic() - begun < 5
    assert crew.service.asked.count("/vera") == 1
    assert sorted(one["tag"] for one in other.shown()) == ["a", "b", "c"]


def test_a_newer_push_of_a_tag_takes_the_olders_place(crew: Crew) -> None:
    _, browser = crew.join("Vera")
    queue(crew, "a", "a")
    crew.send()
    assert len(browser.shown()) == 1


def test_two_that_send_at_once_send_each_push_once(crew: Crew) -> None:
    _, browser = crew.join("Vera")
    queue(crew, *(f"n{number}" for number in range(6)))

    def run() -> None:
        with database.connection():
            push.deliver(crew.desk.ctx)

    threads = [threading.Thread(target=run) for _ in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert sorted(one["tag"] for one in browser.shown()) == [f"n{number}" for number in range(6)]


def test_what_a_dead_process_had_in_hand_is_sent_later(
    crew: Crew, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, browser = crew.join("Vera")
    queue(crew, "a")
    with monkeypatch.context() as broken:
        broken.setattr(push, "_settle", lambda *_: 1 / 0)
        crew.send()
    crew.desk.clock.tick(minutes=4)
    crew.send()
    assert {one["tag"] for one in browser.shown()} == {"a"}
    assert rows.waiting_count() == 0


def test_the_thread_sends_when_the_bell_rings(crew: Crew) -> None:
    _, browser = crew.join("Vera")
    stop = push_worker.start(crew.desk.ctx, every_s=60)
    try:
        queue(crew, "a")
        until = time.monotonic() + 20
        while not browser.shown() and time.monotonic() < until:
            time.sleep(0.02)
        assert [one["tag"] for one in browser.shown()] == ["a"]
    finally:
        stop()


@pytest.mark.parametrize(
    ("first", "last", "at", "quiet"),
    [
        ("21:00", "07:00", 20, False),
        ("21:00", "07:00", 21, True),
        ("21:00", "07:00", 3, True),
        ("21:00", "07:00", 7, False),
        ("12:00", "14:00", 13, True),
        ("12:00", "14:00", 14, False),
        ("09:00", "09:00", 9, False),
        (None, "07:00", 3, False),
    ],
)
def test_quiet_hours_hold_pushes_back(
    crew: Crew, first: str | None, last: str, at: int, quiet: bool
) -> None:
    _, browser = crew.join("Vera")
    hours = {"push_quiet_from": first, "push_quiet_to": last, "zone": "Etc/GMT+6"}
    town_settings.change_settings(crew.desk.ctx, hours)
    crew.desk.clock.moment = crew.desk.clock.moment.replace(hour=(at + 6) % 24, minute=0)
    queue(crew, "a")
    crew.send()
    assert bool(browser.shown()) is not quiet
    crew.desk.clock.moment += timedelta(hours=11)
    crew.send()
    assert len(browser.shown()) == 1
