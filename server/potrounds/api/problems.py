"""Every error as application/problem+json (RFC 9457): a stable type and a sentence for people."""

from __future__ import annotations

import json
import logging
from typing import Any

from flask import Flask, Response, request
from werkzeug.exceptions import HTTPException

from potrounds.api.wire import WireError
from potrounds.services.refusal import Refusal

LOG = logging.getLogger("potrounds")
CONTENT_TYPE = "application/problem+json"

SAID: dict[int, tuple[str, str, str]] = {
    400: ("bad-request", "This request cannot be read", "The request is not well formed."),
    404: ("not-found", "Nothing here", "There is nothing at this address."),
    405: ("wrong-method", "Not this method", "This address does not answer to this method."),
    408: ("too-slow", "The request took too long", "Send it again."),
    411: ("length-required", "Length needed", "Say the length of the body in Content-Length."),
    413: ("too-big", "Too much at once", "The body is larger than this address accepts."),
    414: ("address-too-long", "Address too long", "This address is too long."),
    415: ("wrong-type", "Not this kind of content", "This address does not accept that content."),
    431: ("headers-too-big", "Headers too large", "The headers of the request are too large."),
    500: ("server-fault", "The server failed", "Something went wrong here; nothing was lost."),
}


def answer(problem: dict[str, Any], headers: dict[str, str] | None = None) -> Response:
    """Make a response from a problem."""
    response = Response(json.dumps(problem, ensure_ascii=False), status=problem["status"])
    response.content_type = CONTENT_TYPE
    response.headers["Cache-Control"] = "no-store"
    for name, value in (headers or {}).items():
        response.headers[name] = value
    return response


def from_refusal(refusal: Refusal) -> Response:
    """A refusal that a service or this layer gave on purpose."""
    headers = {} if refusal.retry_after is None else {"Retry-After": str(refusal.retry_after)}
    return answer(refusal.problem(), headers)


def from_wire(error: WireError) -> Response:
    """A body that is not the JSON we accept."""
    return from_refusal(Refusal(400, error.slug, error.title, error.detail))


def from_http(error: HTTPException) -> Response:
    """An error of the framework: no such address, wrong method, body too big."""
    status = error.code or 500
    if status < 400:  # a redirect is no error
        return error.get_response()  # type: ignore[return-value]
    slug, title, detail = SAID.get(status, ("refused", error.name, error.description or error.name))
    headers = {}
    methods = getattr(error, "valid_methods", None)
    if status == 405 and methods:
        headers["Allow"] = ", ".join(sorted(methods))
        detail = f"This address answers to {headers['Allow']}."
    return from_refusal_with(Refusal(status, slug, title, detail), headers)


def from_refusal_with(refusal: Refusal, headers: dict[str, str]) -> Response:
    """A refusal with headers of its own."""
    response = from_refusal(refusal)
    response.headers.update(headers)
    return response


def from_fault(error: Exception) -> Response:
    """A fault of ours. The log gets the trace, the answer does not."""
    rule = request.url_rule.rule if request.url_rule else "no route"
    LOG.error("fault in %s %s", request.method, rule, exc_info=error)
    slug, title, detail = SAID[500]
    return from_refusal(Refusal(500, slug, title, detail))


def init_app(app: Flask) -> None:
    """Answer every error of this app as a problem."""
    app.register_error_handler(Refusal, from_refusal)
    app.register_error_handler(WireError, from_wire)
    app.register_error_handler(HTTPException, from_http)
    app.register_error_handler(Exception, from_fault)
