"""Phones that take pushes: on by three people's word, off in many ways."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from desk import Desk
from potrounds.services import people, push, push_key, push_wire, town_settings
from potrounds.services.refusal import Refusal
from potrounds.store import people as people_rows
from potrounds.store import push as rows
from potrounds.store.database import write_transaction
from potrounds.store.derived import TOWN, get
from push_people import Crew, crew
from push_service import Browser, PushService

__all__ = ["crew"]


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
    crew.queue("a")
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
        crew.queue(name)
        assert push.is_on(phone.ctx.caller.phone)
        leave(phone)
        assert not push.is_on(phone.ctx.caller.phone), name
    assert rows.waiting_count() == 0
    crew.send()
    assert crew.service.asked == []


def test_a_phone_nobody_used_for_long_gets_nothing(crew: Crew) -> None:
    crew.join("Vera")
    crew.desk.clock.tick(days=91)
    crew.queue("a")
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
    crew.queue("a")
    push_key.file_of(crew.desk.ctx).write_text("no key")
    crew.send()
    assert crew.service.asked == []
    assert push_key.show(crew.desk.ctx) == 1


def test_turned_off_nothing_waits_and_nothing_goes(crew: Crew) -> None:
    crew.join("Vera")
    crew.queue("a")
    town_settings.change_settings(crew.desk.ctx, {"push_on": False})
    assert rows.waiting_count() == 0
    crew.queue("b")
    crew.send()
    assert crew.service.asked == []
