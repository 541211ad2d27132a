"""The daily mail, against a real mail server on this machine (aiosmtpd)."""

from __future__ import annotations

import email
import logging
import socket
import threading
from dataclasses import replace
from email.policy import default
from typing import Any

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, AuthResult, Envelope, LoginPassword, Session

from desk import Desk
from mail_box import TO, Box, box, parts, server, town
from ports import free_port
from potrounds.config import MailServer, from_environment
from potrounds.services import assess, digest, mail, town_settings
from potrounds.services.context import Context
from potrounds.store import database, register

__all__ = ["box", "server", "town"]

SECRET = "not-to-be-seen"


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
