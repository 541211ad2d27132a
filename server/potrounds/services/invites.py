"""Invite links: one person, once, within 72 hours. The secret is shown once and kept hashed."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import qrcode

from potrounds.services import changes
from potrounds.services.context import Context
from potrounds.services.moments import stamp
from potrounds.services.refusal import Refusal, not_found
from potrounds.store import people
from potrounds.store.database import write_transaction
from potrounds.store.ids import hashed, new_secret, short_id
from potrounds.store.people import Invite

LASTS = timedelta(hours=72)


def create_invite(ctx: Context, body: dict[str, Any], origin: str) -> dict[str, Any]:
    """Make a link. The secret stands behind the #, which browsers send to nobody.

    Raises: Refusal 422 when `for_person` is nobody active.
    """
    secret, now = new_secret(), ctx.now()
    with write_transaction():
        role, name = body["role"], " ".join(body["name"].split())
        if body.get("for_person"):
            role, name = _again(body["for_person"])
        invite = people.add_invite(
            short_id("i"),
            hashed(secret),
            role=role,
            name=name,
            for_person=body.get("for_person"),
            made_at=now,
            made_by=ctx.person,
            expires_at=now + LASTS,
        )
        changes.note(ctx, "invite", invite.id, name, {}, {"role": role, "name": name})
    url = f"{origin.rstrip('/')}/join#{secret}"
    return {
        "id": invite.id,
        "role": role,
        "name": name,
        "for_person": invite.for_person,
        "url": url,
        "qr": qr_rows(url),
        "expires_at": stamp(invite.expires_at),
    }


def _again(person_id: str) -> tuple[str, str]:
    """Somebody known joins with another phone: role and name are theirs already."""
    try:
        person = people.person(person_id)
    except LookupError:
        person = None
    if person is None or person.state != "active":
        detail = "This person is not among the active people."
        raise Refusal(422, "no-such-person", "Nobody to invite", detail, [("/for_person", detail)])
    return person.role, person.name


def revoke_invite(ctx: Context, invite_id: str) -> None:
    """Take a link back; one that was used or has run out stays as it is."""
    with write_transaction():
        try:
            invite = people.invite(invite_id)
        except LookupError as none:
            raise not_found("invite") from none
        if invite.state(ctx.now()) == "open":
            people.change_invite(invite_id, revoked_at=ctx.now())
            before, after = {"state": "open"}, {"state": "revoked"}
            changes.note(ctx, "invite", invite_id, invite.name, before, after)


def public(invite: Invite, ctx: Context, names: dict[str, str]) -> dict[str, Any]:
    """An invite as the register shows it, without its secret, which nobody has any more."""
    return {
        "id": invite.id,
        "role": invite.role,
        "name": invite.name,
        "for_person": invite.for_person,
        "state": invite.state(ctx.now()),
        "made_at": stamp(invite.made_at),
        "made_by": names.get(invite.made_by or ""),
        "expires_at": stamp(invite.expires_at),
        "used_by": names.get(invite.used_by or ""),
    }


def qr_rows(text: str) -> list[str]:
    """The QR code of a text as rows of 0 and 1, without the quiet zone."""
    code = qrcode.QRCode(error_correction=qrcode.constants.ERROR_CORRECT_M, border=0)
    code.add_data(text)
    code.make(fit=True)
    return ["".join("1" if dark else "0" for dark in row) for row in code.get_matrix()]
