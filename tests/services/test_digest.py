"""The daily mail and the freeze warning, against a real mail server on this machine (aiosmtpd)."""

from __future__ import annotations

import email
import logging
import socket
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import timedelta
from email.message import EmailMessage
from email.policy import default
from typing import Any

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, AuthResult, Envelope, LoginPassword, Session

from desk import Desk
from potrounds.config import MailServer, from_environment
from potrounds.services import assess, digest, freeze_warning, mail, town_settings, weather
from potrounds.services.context import Context
from potrounds.store import database, register
from potrounds.weather import WeatherDay

SECRET = "not-to-be-seen"
TO = ["corin@town.example", "pilar@town.example"]


@dataclass
class Box:
    """What a mail server took in, and what it says to each recipient and message."""

    taken: list[EmailMessage] = field(default_factory=list)
    to: list[list[str]] = field(default_factory=list)
    refuse: tuple[str, ...] = ()
    answer: str = "250 taken"

    async def handle_RCPT(
        self, server: SMTP, session: Session, envelope: Envelope, address: str, options: Any
    ) -> str:
        if address in self.refuse:
            return f"550 no such box {address}"
        envelope.rcpt_tos.append(address)
        return "250 ok"

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:
        if self.answer.startswith("250"):
            self.taken.append(email.message_from_bytes(envelope.content, policy=default))
            self.to.append(list(envelope.rcpt_tos))
        return self.answer


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@pytest.fixture
def box() -> Box:
    return Box()


@pytest.fixture
def server(box: Box) -> Iterator[MailServer]:
    controller = Controller(box, hostname="127.0.0.1", port=free_port())
    controller.start()
    yield MailServer("127.0.0.1", controller.port, "desk@town.example", security="none")
    controller.stop()


@pytest.fixture
def town(desk: Desk, server: MailServer) -> Context:
    """A town with mail, two recipients and a planter that needs somebody today."""
    ctx = replace(desk.ctx, settings=replace(desk.ctx.settings, mail=server))
    town_settings.change_settings(
        ctx, {"digest_to": TO, "tag_address": "https://planters.example", "town_name": "O <b> B"}
    )
    phone = desk.join("Vera")
    phone.push(phone.record(body={"plants": 2, "signs": ["path-blocked"]}))
    return ctx


def parts(message: EmailMessage) -> tuple[str, str]:
    plain, html = message.get_body(("plain",)), message.get_body(("html",))
    assert plain is not None
    assert html is not None
    return plain.get_content(), html.get_content()


def ours(caplog: pytest.LogCaptureFixture) -> str:
    """What we logged, without the words of the mail server in the same process."""
    found = [one for one in caplog.records if not one.name.startswith(("mail.", "asyncio"))]
    return "\n".join(one.getMessage() for one in found)


def test_one_mail_says_what_where_and_why(town: Context, box: Box, desk: Desk) -> None:
    assert digest.send_digest(town) == digest.DONE
    [message] = box.taken
    assert box.to == [TO]
    assert message.get_content_type() == "multipart/alternative"  # RFC 2046, 5.1.4
    assert message["Auto-Submitted"] == "auto-generated"
    plain, html = parts(message)
    assert "Path blocked" in plain
    assert f"https://planters.example/p/{desk.planter}" in plain
    assert f'href="https://planters.example/p/{desk.planter}"' in html
    assert "O &lt;b&gt; B" in html
    assert "TODAY" in plain
    assert message["Subject"].startswith("O <b> B")


def test_never_twice_for_a_day(town: Context, box: Box, desk: Desk) -> None:
    assert digest.send_digest(town) == digest.DONE
    assert digest.send_digest(town) == digest.BEFORE
    assert len(box.taken) == 1
    desk.clock.tick(days=1)
    assess.assess_all(town)
    assert digest.send_digest(town) == digest.DONE
    assert len(box.taken) == 2
    assert box.taken[0]["Message-ID"] != box.taken[1]["Message-ID"]


def test_two_at_once_send_one(town: Context, box: Box) -> None:
    said: list[str] = []

    def run() -> None:
        with database.connection():
            said.append(digest.send_digest(town))

    threads = [threading.Thread(target=run) for _ in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert sorted(said) == sorted([digest.DONE] + [digest.BEFORE] * 3)
    assert len(box.taken) == 1


def test_off_without_server_or_recipients_and_quiet_without_need(
    town: Context, box: Box, desk: Desk
) -> None:
    assert digest.send_digest(replace(town, settings=desk.ctx.settings)) == digest.OFF
    town_settings.change_settings(town, {"digest_to": []})
    assert digest.send_digest(town) == digest.OFF
    town_settings.change_settings(town, {"digest_to": TO})
    for planter in register.planters():
        register.change_planter(planter.id, {"status": "retired"})
    assess.assess_all(town)
    assert digest.send_digest(town) == digest.NOTHING
    assert box.taken == []


def test_a_refused_message_is_tried_again(town: Context, box: Box) -> None:
    box.answer = "451 try later, corin@town.example"
    assert digest.send_digest(town) == digest.FAILED
    box.answer = "250 taken"
    assert digest.send_digest(town) == digest.DONE


def test_one_refused_recipient_does_not_stop_the_others(
    town: Context, box: Box, caplog: pytest.LogCaptureFixture
) -> None:
    box.refuse = (TO[0],)
    with caplog.at_level(logging.DEBUG):
        assert digest.send_digest(town) == digest.DONE
    assert box.to == [[TO[1]]]
    assert "1 of 2 recipients" in ours(caplog)
    assert TO[0] not in ours(caplog)
    assert digest.send_digest(town) == digest.BEFORE


def test_all_recipients_refused_is_not_sent(town: Context, box: Box) -> None:
    box.refuse = tuple(TO)
    assert digest.send_digest(town) == digest.FAILED
    box.refuse = ()
    assert digest.send_digest(town) == digest.DONE


def test_a_server_that_is_away_or_silent_is_no_loss(
    town: Context, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    away = replace(town.settings.mail, port=free_port())
    ctx = replace(town, settings=replace(town.settings, mail=away))
    assert digest.send_digest(ctx) == digest.FAILED
    monkeypatch.setattr(mail, "TIMEOUT_S", 0.3)
    with socket.socket() as silent:
        silent.bind(("127.0.0.1", 0))
        silent.listen()
        mute = replace(town.settings.mail, port=silent.getsockname()[1])
        ctx = replace(town, settings=replace(town.settings, mail=mute))
        assert digest.send_digest(ctx) == digest.FAILED
    assert "did not answer" in caplog.text
    assert digest.send_digest(town) == digest.DONE


def test_a_break_while_it_is_handed_over_is_not_repeated(
    town: Context, box: Box, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The server may have taken the message; twice would be worse than once too few."""

    async def cut(self: Box, server: SMTP, session: Session, envelope: Envelope) -> str:
        self.taken.append(email.message_from_bytes(envelope.content, policy=default))
        server.transport.abort()
        return "250 never heard"

    monkeypatch.setattr(Box, "handle_DATA", cut)
    assert digest.send_digest(town) == digest.FAILED
    assert len(box.taken) == 1
    assert digest.send_digest(town) == digest.BEFORE
    assert len(box.taken) == 1


@pytest.mark.filterwarnings("ignore:Requiring AUTH while not requiring TLS")
def test_signing_in_and_no_secret_in_the_log(
    town: Context, box: Box, caplog: pytest.LogCaptureFixture
) -> None:
    def judge(server: Any, session: Any, envelope: Any, how: str, told: Any) -> AuthResult:
        assert isinstance(told, LoginPassword)
        return AuthResult(success=told.password == SECRET.encode(), handled=False)

    controller = Controller(
        box,
        hostname="127.0.0.1",
        port=free_port(),
        authenticator=judge,
        auth_required=True,
        auth_require_tls=False,
    )
    controller.start()
    try:
        right = MailServer("127.0.0.1", controller.port, "d@t.example", "none", "desk", SECRET)
        wrong = replace(right, password=f"{SECRET}-wrong")
        with caplog.at_level(logging.DEBUG):
            for server in (wrong, right):
                ctx = replace(town, settings=replace(town.settings, mail=server))
                said = digest.send_digest(ctx)
        assert said == digest.DONE
        assert "refused the sign-in (535)" in ours(caplog)
        assert SECRET not in ours(caplog)
        assert SECRET not in repr(ctx)
    finally:
        controller.stop()


def test_without_encryption_nothing_is_said(town: Context, box: Box) -> None:
    """A server that offers no STARTTLS gets neither password nor message (RFC 3207)."""
    strict = replace(town.settings.mail, security="starttls", user="desk", password=SECRET)
    ctx = replace(town, settings=replace(town.settings, mail=strict))
    assert digest.send_digest(ctx) == digest.FAILED
    assert box.taken == []


def test_a_typed_freeze_is_told_at_once_and_once(town: Context, box: Box, desk: Desk) -> None:
    night = desk.clock.now().date() + timedelta(days=2)
    nights = [{"date": night.isoformat(), "kind": "forecast", "low_c": -2.0}]
    town_settings.put_nights(town, nights)
    [message] = box.taken
    plain, _ = parts(message)
    assert "freeze forecast" in message["Subject"]
    assert "−2" in plain
    assert "plug not out" in plain
    town_settings.put_nights(town, [{**nights[0], "low_c": -3.0}])
    assert len(box.taken) == 1
    later = {**nights[0], "date": (night + timedelta(days=30)).isoformat()}
    town_settings.put_nights(town, [{**nights[0], "low_c": None}, later])
    assert len(box.taken) == 1  # too far ahead to be told at once


def test_a_freeze_goes_out_once_while_forecasts_move_and_nights_pass(
    town: Context, box: Box, desk: Desk
) -> None:
    def say(days: int, low_c: float) -> None:
        night = desk.clock.now().date() + timedelta(days=days)
        told = {"date": night.isoformat(), "kind": "forecast", "low_c": low_c}
        town_settings.put_nights(town, [told])

    say(2, -1.0)
    for _ in range(3):
        desk.clock.tick(days=1)
        say(2, -2.0)
        assess.assess_all(town)
        assert freeze_warning.warn(town) == digest.BEFORE
    assert len(box.taken) == 1
    desk.clock.tick(days=10)
    say(3, -1.0)
    assert len(box.taken) == 2


def test_what_an_earlier_release_noted_of_a_freeze_counts(
    town: Context, box: Box, desk: Desk
) -> None:
    night = (desk.clock.now().date() + timedelta(days=2)).isoformat()
    with database.write_transaction():
        register.set_setting("freeze_sent", night)
    town_settings.put_nights(town, [{"date": night, "kind": "forecast", "low_c": -2.0}])
    assert box.taken == []


def test_a_freeze_that_could_not_be_mailed_is_mailed_later(
    town: Context, box: Box, desk: Desk
) -> None:
    box.answer = "451 try later"
    night = (desk.clock.now().date() + timedelta(days=2)).isoformat()
    town_settings.put_nights(town, [{"date": night, "kind": "forecast", "low_c": -2.0}])
    box.answer = "250 taken"
    assert freeze_warning.warn(town) == digest.DONE
    assert len(box.taken) == 1


def test_the_mail_server_is_read_from_the_environment() -> None:
    told = from_environment(
        {
            "POTROUNDS_SMTP": "mail.example:587",
            "POTROUNDS_SMTP_USER": "desk@town.example",
            "POTROUNDS_SMTP_PASSWORD": SECRET,
        }
    ).mail
    assert told == MailServer(
        "mail.example", 587, "desk@town.example", "starttls", "desk@town.example", SECRET
    )
    assert from_environment({}).mail is None
    for wrong in ({"POTROUNDS_SMTP": "mail"}, {"POTROUNDS_SMTP": "m:25"}):
        with pytest.raises(ValueError, match="POTROUNDS_SMTP"):
            from_environment(wrong)


def test_weather_that_freezes_is_told_too(town: Context, box: Box, desk: Desk) -> None:
    """A forecast row of the service, as `weather.keep` stores it."""
    day = desk.clock.now().date()

    class Source:
        def days(self, today: Any) -> list[WeatherDay]:
            return [WeatherDay(day + timedelta(days=n), -1.5 + n, 9.0) for n in range(3)]

    weather.keep(town, Source(), "web")
    assert len(box.taken) == 1
