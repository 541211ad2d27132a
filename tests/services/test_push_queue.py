"""The queue of pushes: what each answer of a push service does to it."""

from __future__ import annotations

import logging
import threading
import time
from datetime import timedelta

import pytest

from potrounds.services import push, push_wire, push_worker, town_settings
from potrounds.store import database
from potrounds.store import push as rows
from potrounds.store.database import write_transaction
from push_people import Crew, crew

__all__ = ["crew"]


@pytest.mark.parametrize("status", [404, 410])
def test_a_subscription_that_is_gone_is_removed(crew: Crew, status: int) -> None:
    """RFC 8030, 7.3: 404 (and in use 410) for a subscription that has expired."""
    phone, _ = crew.join("Vera")
    crew.service.answers["/vera"] = (status, {})
    crew.queue("a", "b")
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
    crew.queue("a")
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
    crew.queue("a", "b")
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
    crew.queue("a")
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
    crew.queue("a", hours=1)
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
    monkeypatch.setattr(push_wire.send, "__defaults__", (2.0,))
    crew.join("Vera")
    crew.service.hang.add("/vera")
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
    crew.queue("a", "b", "c")
    crew.send()
    assert crew.service.asked.count("/vera") == 1
    assert sorted(one["tag"] for one in other.shown()) == ["a", "b", "c"]


def test_a_newer_push_of_a_tag_takes_the_olders_place(crew: Crew) -> None:
    _, browser = crew.join("Vera")
    crew.queue("a", "a")
    crew.send()
    assert len(browser.shown()) == 1


def test_two_that_send_at_once_send_each_push_once(crew: Crew) -> None:
    _, browser = crew.join("Vera")
    crew.queue(*(f"n{number}" for number in range(6)))

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
    crew.queue("a")
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
        crew.queue("a")
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
    crew.queue("a")
    crew.send()
    assert bool(browser.shown()) is not quiet
    crew.desk.clock.moment += timedelta(hours=11)
    crew.send()
    assert len(browser.shown()) == 1
