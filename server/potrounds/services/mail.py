"""Hands a message to the mail server. The one file that knows SMTP.

What a mail server says is never passed on: it may hold addresses or names. Only its number is.
"""

from __future__ import annotations

import smtplib
import ssl
from collections.abc import Sequence
from email.message import EmailMessage

from potrounds.config import MailServer

TIMEOUT_S = 15.0


class NotSent(Exception):
    """The message was surely not taken: it may be tried again."""


class MaybeSent(Exception):
    """The connection broke while the message was handed over: nobody knows, so no second try."""


def send(server: MailServer, message: EmailMessage, to: Sequence[str]) -> int:
    """Hand a message over; return how many of the recipients were refused.

    Raises: NotSent, MaybeSent.
    """
    try:
        smtp = _open(server)
    except (OSError, smtplib.SMTPException) as error:
        raise NotSent(_said(error)) from None
    try:
        return len(smtp.send_message(message, server.sender, list(to)))
    except (smtplib.SMTPResponseException, smtplib.SMTPRecipientsRefused) as error:
        raise NotSent(_said(error)) from None
    except (OSError, smtplib.SMTPException) as error:
        raise MaybeSent(_said(error)) from None
    finally:
        _close(smtp)


def _open(server: MailServer) -> smtplib.SMTP:
    context = ssl.create_default_context()
    smtp: smtplib.SMTP
    if server.security == "tls":
        smtp = smtplib.SMTP_SSL(server.host, server.port, timeout=TIMEOUT_S, context=context)
    else:
        smtp = smtplib.SMTP(server.host, server.port, timeout=TIMEOUT_S)
    try:
        if server.security == "starttls":
            smtp.starttls(context=context)
        if server.user and server.password:
            smtp.login(server.user, server.password)
    except BaseException:
        smtp.close()
        raise
    return smtp


def _close(smtp: smtplib.SMTP) -> None:
    try:
        smtp.quit()
    except (OSError, smtplib.SMTPException):
        smtp.close()


def _said(error: Exception) -> str:
    """What went wrong, without a word of the server's own."""
    if isinstance(error, smtplib.SMTPAuthenticationError):
        return f"the mail server refused the sign-in ({error.smtp_code})"
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        return "the mail server refused every recipient"
    if isinstance(error, smtplib.SMTPResponseException):
        return f"the mail server refused the message ({error.smtp_code})"
    if isinstance(error, TimeoutError | smtplib.SMTPServerDisconnected):
        return f"the mail server broke off, or did not answer within {TIMEOUT_S:g} seconds"
    if isinstance(error, ssl.SSLError):
        return "the mail server's certificate or encryption cannot be trusted"
    return f"the mail server cannot be reached ({type(error).__name__})"
