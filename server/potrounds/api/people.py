"""People, their phones, and the invites by which they join. For coordinators."""

from __future__ import annotations

from typing import Any

from flask import request

from potrounds.api.access import context
from potrounds.api.blueprint import Blueprint
from potrounds.api.schemas_people import (
    Invite,
    NewInvite,
    NewPerson,
    PersonPatch,
    RegisterPerson,
    RegisterPhone,
)
from potrounds.services import fresh_password, invites, people

blp = Blueprint("people", __name__, url_prefix="/api/v1/register", description="People")


@blp.route("/people", methods=["POST"])
@blp.arguments(NewPerson)
@blp.response(201, RegisterPerson)
def add_person(asked: dict[str, Any]) -> dict[str, Any]:
    """Add a person; one with a password needs the own one typed again."""
    if asked.get("password") is not None:
        fresh_password.need(context())
    return people.add_person(context(), asked)


@blp.route("/people/<string:person>", methods=["PATCH"])
@blp.arguments(PersonPatch)
@blp.response(200, RegisterPerson)
def change_person(asked: dict[str, Any], person: str) -> dict[str, Any]:
    """Rename a person, or end a membership; that ends all their phones.

    A new password needs the own one typed again.
    """
    if asked.get("password") is not None:
        fresh_password.need(context())
    return people.change_person(context(), person, asked)


@blp.route("/invites", methods=["POST"])
@blp.arguments(NewInvite)
@blp.response(201, Invite)
def create_invite(asked: dict[str, Any]) -> dict[str, Any]:
    """Make a link that lets one phone join, once, within 72 hours."""
    return invites.create_invite(context(), asked, request.host_url.rstrip("/"))


@blp.route("/invites/<string:invite>", methods=["DELETE"])
@blp.response(204)
def revoke_invite(invite: str) -> None:
    """Take an invite back."""
    invites.revoke_invite(context(), invite)


@blp.route("/phones/<string:phone>/end", methods=["POST"])
@blp.response(200, RegisterPhone)
def end_phone(phone: str) -> dict[str, Any]:
    """End a phone's session; what it has not sent is held for a person (R15)."""
    return people.end_phone(context(), phone)


@blp.route("/phones/<string:phone>/burn", methods=["POST"])
@blp.response(200, RegisterPhone)
def burn_phone(phone: str) -> dict[str, Any]:
    """Shut out a stolen phone (R15)."""
    return people.burn_phone(context(), phone)
