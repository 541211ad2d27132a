"""A mail on days when something needs someone.

Off unless the operator names a mail server and a coordinator names recipients. A mail is claimed
in the database before it is sent, so that no two processes send it and none is sent twice for a
day; the claim is given back only when the mail server surely did not take it.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from email.message import EmailMessage
from email.utils import make_msgid
from html import escape
from typing import Any

from potrounds.domain.spoken import spoken_day
from potrounds.services import mail, town
from potrounds.services.context import Context
from potrounds.services.moments import day_text
from potrounds.store import derived, log, register
from potrounds.store.database import write_transaction
from potrounds.words import t

logger = logging.getLogger(__name__)

#: Urgencies that need someone; "watch" does not.
NEEDS_SOMEONE = ("today", "this-week")
DIGEST = "digest_sent"
OFF, NOTHING, DONE, BEFORE, FAILED = "off", "nothing", "sent", "sent-before", "failed"


@dataclass(frozen=True)
class Line:
    """One thing that needs someone: where, what, why, and where to look."""

    site: str
    planter: str
    what: str
    why: str
    advice: str
    path: str


@dataclass(frozen=True)
class Letter:
    """A mail before it is put into words and HTML: parts with a heading each."""

    subject: str
    opening: str
    parts: tuple[tuple[str, tuple[Line, ...]], ...]


def send_digest(ctx: Context) -> str:
    """Send today's mail, if anything needs someone; return what became of it."""
    letter = _digest(ctx)
    today = town.calendar().local_day(ctx.now())
    key = str(day_text(today))
    return post(ctx, letter, lambda: _claim(key), lambda: _give_back(key))


def post(
    ctx: Context,
    letter: Letter | None,
    claim: Callable[[], bool],
    give_back: Callable[[], None],
) -> str:
    """Send a letter to the recipients, if the claim is won; return what became of it."""
    server, to = ctx.settings.mail, town.settings()["digest_to"]
    if server is None or not to:
        return OFF
    if letter is None:
        return NOTHING
    if not claim():
        return BEFORE
    try:
        refused = mail.send(server, _message(ctx, letter, server.sender, to), to)
    except mail.NotSent as why:
        give_back()
        logger.warning("no mail was sent: %s", why)
        return FAILED
    except mail.MaybeSent as why:
        logger.warning("a mail may or may not have been sent, and is not repeated: %s", why)
        return FAILED
    if refused:
        logger.warning("%d of %d recipients were refused by the mail server", refused, len(to))
    return DONE


def _claim(day: str) -> bool:
    with write_transaction():
        if register.setting(DIGEST) == day:
            return False
        register.set_setting(DIGEST, day)
        return True


def _give_back(day: str) -> None:
    with write_transaction():
        if register.setting(DIGEST) == day:
            register.set_setting(DIGEST, None)


# --- what it says --------------------------------------------------------------------------------


def _digest(ctx: Context) -> Letter | None:
    calendar = town.calendar()
    today = calendar.local_day(ctx.now())
    lines = {urgency: _flag_lines(urgency) for urgency in NEEDS_SOMEONE}
    held = _held_lines()
    count = sum(len(some) for some in lines.values()) + len(held)
    if not count:
        return None
    name = " ".join(str(town.settings()["town_name"]).split())
    parts = [
        (t("mail.today"), lines["today"]),
        (t("mail.held"), held),
        (t("mail.this_week"), lines["this-week"]),
    ]
    return Letter(
        t("mail.subject", town=name, count=count, day=spoken_day(today)),
        t("mail.opening", town=name, day=spoken_day(today)),
        tuple((head, some) for head, some in parts if some),
    )


def _flag_lines(urgency: str) -> tuple[Line, ...]:
    found = [
        Line(
            card["site"]["name"],
            card["name"],
            flag["name"],
            flag["sentence"],
            flag["advice"],
            f"/p/{card['id']}",
        )
        for card in cards()
        for flag in card["flags"]
        if flag["urgency"] == urgency and not flag["quiet"]
    ]
    return tuple(sorted(found, key=lambda line: (line.site, line.planter, line.what)))


def cards() -> list[dict[str, Any]]:
    """The planters' cards as they stand."""
    return [one.content for one in derived.planter_cards() if one.content]


def _held_lines() -> tuple[Line, ...]:
    waiting = log.waiting()
    if not waiting:
        return ()
    why = t("mail.held_why", count=len(waiting))
    return (Line("", t("mail.held_what"), "", why, t("mail.held_advice"), "/review"),)


# --- as a message --------------------------------------------------------------------------------


def _message(ctx: Context, letter: Letter, sender: str, to: Sequence[str]) -> EmailMessage:
    """Plain text and HTML in one message (RFC 2046, multipart/alternative)."""
    origin = town.settings()["tag_address"] or ""
    message = EmailMessage()
    message["Subject"] = letter.subject
    message["From"] = sender
    message["To"] = ", ".join(to)
    message["Date"] = ctx.now()
    message["Message-ID"] = make_msgid(domain=sender.rpartition("@")[2])
    message["Auto-Submitted"] = "auto-generated"  # RFC 3834: nobody's machine answers it
    message.set_content(_plain(letter, origin))
    message.add_alternative(_html(letter, origin), subtype="html")
    return message


def _plain(letter: Letter, origin: str) -> str:
    rows = [letter.opening, ""]
    for head, lines in letter.parts:
        rows += [head.upper(), ""]
        for line in lines:
            rows.append(_where(line))
            rows += [text for text in (line.why, line.advice) if text]
            rows += [f"{origin}{line.path}"] if origin else []
            rows.append("")
    return "\n".join([*rows, t("mail.foot"), ""])


def _html(letter: Letter, origin: str) -> str:
    rows = [f"<p>{escape(letter.opening)}</p>"]
    for head, lines in letter.parts:
        rows.append(f"<h2>{escape(head)}</h2><ul>")
        for line in lines:
            title = escape(_where(line))
            if origin:
                title = f'<a href="{escape(origin + line.path)}">{title}</a>'
            said = " ".join(escape(text) for text in (line.why, line.advice) if text)
            rows.append(f"<li><strong>{title}</strong><br>{said}</li>")
        rows.append("</ul>")
    body = "\n".join([*rows, f"<p>{escape(t('mail.foot'))}</p>"])
    return f'<!doctype html><html lang="en"><body>{body}</body></html>'


def _where(line: Line) -> str:
    return ": ".join(part for part in (line.planter, line.what) if part)
