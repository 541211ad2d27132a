"""Joining by an invite, signing in with a password, signing out, and who is signed in."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from flask import Response, after_this_request

from potrounds.api.access import COOKIE, context
from potrounds.api.blueprint import Blueprint
from potrounds.api.schemas_people import JoinRequest, Me, PasswordBody, SignInRequest
from potrounds.services import fresh_password, people

blp = Blueprint("auth", __name__, url_prefix="/api/v1", description="Sessions")


def keep_cookie(token: str, ends: str | None) -> None:
    """Hand the session's token to the browser, for as long as the session may last."""

    @after_this_request
    def set_it(response: Response) -> Response:
        left = None
        if ends:
            left = max(0, int((datetime.fromisoformat(ends) - context().now()).total_seconds()))
        response.set_cookie(
            COOKIE, token, max_age=left, path="/", secure=True, httponly=True, samesite="Lax"
        )
        return response


@blp.route("/join", methods=["POST"])
@blp.arguments(JoinRequest)
@blp.response(201, Me)
@blp.alt_response(410, "GONE")
def join(asked: dict[str, Any]) -> dict[str, Any]:
    """Join with the secret of an invite; it works once."""
    token, me = people.join(context(), asked["secret"], asked["device"], asked["name"])
    keep_cookie(token, me["session_ends"])
    return me


@blp.route("/sign-in", methods=["POST"])
@blp.arguments(SignInRequest)
@blp.response(200, Me)
@blp.alt_response(401, "UNAUTHORIZED")
@blp.alt_response(429, "TOO_MANY_REQUESTS")
def sign_in(asked: dict[str, Any]) -> dict[str, Any]:
    """Sign in with name and password."""
    token, me = people.sign_in(context(), asked["name"], asked["password"], asked["device"])
    keep_cookie(token, me["session_ends"])
    return me


@blp.route("/password", methods=["POST"])
@blp.arguments(PasswordBody)
@blp.response(204)
@blp.alt_response(403, "FORBIDDEN")
@blp.alt_response(409, "CONFLICT")
@blp.alt_response(429, "TOO_MANY_REQUESTS")
def confirm(asked: dict[str, Any]) -> None:
    """Type the own password once more, for what is refused with `password-needed`."""
    fresh_password.confirm(context(), asked["password"])


@blp.route("/sign-out", methods=["POST"])
@blp.response(204)
@blp.alt_response(401, "UNAUTHORIZED")
def sign_out() -> None:
    """End this session. What waits on the phone stays there (R26)."""
    people.sign_out(context())

    @after_this_request
    def drop_it(response: Response) -> Response:
        response.delete_cookie(COOKIE, path="/", secure=True, httponly=True, samesite="Lax")
        return response


@blp.route("/me")
@blp.response(200, Me)
@blp.alt_response(401, "UNAUTHORIZED")
def me() -> dict[str, Any]:
    """Who is signed in on this phone."""
    return people.me(context())
