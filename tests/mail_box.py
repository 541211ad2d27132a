"""A mail server on this machine, and a town that sends to it."""

from __future__ import annotations

import email
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from email.message import EmailMessage
from email.policy import default
from typing import Any

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session

from desk import Desk
from ports import free_port
from potrounds.config import MailServer
from potrounds.services import town_settings
from potrounds.services.context import Context

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
