"""What could give away every password of a town asks for one first, however long ago somebody came.

An open laptop at the desk is a signed-in coordinator to us. The archive of the town holds the
hashes of all passwords, which can be guessed at leisure once they are out; and whoever may set a
password anew needs no old one.

Source: OWASP ASVS 4.0.3, 3.7.1: a full login or a fresh check before sensitive transactions. The
five minutes are judgement.
"""

from __future__ import annotations

from datetime import timedelta

from potrounds.services import limits, passwords
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal
from potrounds.store import people
from potrounds.store.database import write_transaction
from potrounds.store.ids import hashed
from potrounds.store.rows import name_key

LASTS = timedelta(minutes=5)


def confirm(ctx: Context, password: str) -> None:
    """The caller types their password once more; wrong ones are slowed down like a sign-in.

    Raises: Refusal 403 when it is wrong, 409 when the caller has none; 429.
    """
    if ctx.caller is None:
        raise Refusal(401, "not-joined", "Not joined", "Join with the link you were sent.")
    person, now = people.person(ctx.caller.person), ctx.now()
    if person.password is None:
        detail = (
            "You joined with a link and have no password yet. Ask a coordinator who has one to "
            "do this, or to give you one."
        )
        raise Refusal(409, "no-password", "You have no password", detail)
    account = hashed(name_key(person.name))
    with write_transaction():
        limits.take_a_try(account, ctx.address, now)
    if not passwords.matches(ctx.hasher, person.password, password):
        detail = "This is not your password. Nothing was saved."
        raise Refusal(403, "wrong-password", "Wrong password", detail, [("/password", detail)])
    with write_transaction():
        limits.forget_sign_in(account, ctx.address)
        people.change_phone(ctx.caller.phone, confirmed_at=now)


def need(ctx: Context) -> None:
    """Go on only when the caller's password was typed just now. Raises: Refusal 403."""
    phone = people.phone(ctx.caller.phone) if ctx.caller else None
    typed = phone and phone.confirmed_at
    if typed is None or ctx.now() - typed >= LASTS:
        detail = "Type your password again first: this could give away everybody's."
        raise Refusal(403, "password-needed", "Password needed", detail)
