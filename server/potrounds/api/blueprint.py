"""Blueprints whose arguments are read strictly, and the OpenAPI document they make."""

from __future__ import annotations

import http
import re
from collections.abc import Callable
from typing import Any, NoReturn

import flask_smorest
from apispec import APISpec
from flask import Flask, Request, request
from flask_smorest.utils import prepare_response
from marshmallow import Schema, ValidationError
from webargs.flaskparser import FlaskParser

from potrounds.api import problems, wire
from potrounds.api.fields import OPENAPI_TYPES, Whole
from potrounds.api.schemas import Ask, Open, Problem
from potrounds.services.refusal import Refusal


def read_body(most: int) -> bytes:
    """Read the body of the present request, at most so many bytes."""
    if request.headers.get("Content-Encoding", "identity").strip().lower() != "identity":
        raise Refusal(415, "wrong-type", "Not compressed", "Send the body as it is, uncompressed.")
    length = request.content_length
    if length is None and request.headers.get("Transfer-Encoding"):
        raise Refusal(411, *problems.SAID[411])
    if length is not None and length > most:
        raise too_big(most)
    data = bytearray()
    while part := request.stream.read(most + 1 - len(data)):  # a stream may give less than asked
        data += part
    if len(data) > most:
        raise too_big(most)
    return bytes(data)


def too_big(most: int) -> Refusal:
    """The refusal for a body over its limit, which it names."""
    return Refusal(413, "too-big", "Too much at once", f"At most {most // 1024} kB are accepted.")


def need_type(wanted: str) -> None:
    """Refuse a body that does not say it is of this kind."""
    if request.mimetype != wanted:
        raise Refusal(415, "wrong-type", "Not this kind of content", f"Send {wanted}.")


MOST_CSV_BYTES = 1024 * 1024


def take_table(
    importer: Callable[[bytes, bool], dict[str, Any]], asked: dict[str, Any]
) -> tuple[dict[str, Any], int]:
    """Hand the table in the present request to an importer: its report, and the status it earns.

    importer: takes the bytes and whether only to look; all or none of the table is kept
    """
    need_type("text/csv")
    dry_run = asked.get("dry_run") == "1"
    report = importer(read_body(MOST_CSV_BYTES), dry_run)
    if report["errors"]:
        return report, 422
    return report, 200 if dry_run else 201


class StrictParser(FlaskParser):
    """Reads bodies and query strings without guessing."""

    DEFAULT_UNKNOWN_BY_LOCATION: dict[str, str | None] = {}  # noqa: RUF012 - the schema decides

    def load_json(self, req: Request, schema: Ask | Open) -> Any:
        """The body as an object, or a refusal."""
        need_type("application/json")
        data = wire.parse_bytes(read_body(schema.MOST_BYTES))
        if not isinstance(data, dict):
            raise wire.WireError(
                "not-an-object", "Not an object", "The body must be one JSON object in braces."
            )
        return data

    def load_querystring(self, req: Request, schema: Schema) -> Any:
        """The query string with each name at most once, digits read as numbers where asked for."""
        found: dict[str, Any] = {}
        for name, values in req.args.lists():
            if len(values) > 1:
                raise Refusal(
                    400, "query-twice", "Asked twice", f"{name!r} stands twice in the address."
                )
            value: Any = values[0]
            whole = isinstance(schema.fields.get(name), Whole)
            found[name] = int(value) if whole and re.fullmatch(r"-?[0-9]{1,18}", value) else value
        return found

    def handle_error(
        self,
        error: ValidationError,
        req: Request,
        schema: Schema,
        *,
        error_status_code: int | None,
        error_headers: Any,
    ) -> NoReturn:
        """Name each field that is wrong and what it may hold."""
        by_place = error.normalized_messages()  # webargs puts the place it read from around them
        errors = [pair for messages in by_place.values() for pair in wire.pointers(messages)]
        if isinstance(schema, Open):
            raise schema.refusal(error.data, errors)
        raise refused_fields(error_status_code or 422, errors)


def refused_fields(status: int, errors: list[tuple[str, str]]) -> Refusal:
    """The refusal that lists the fields."""
    first = f"{errors[0][0]}: {errors[0][1]}" if errors else "See the list of errors."
    return Refusal(status, "fields", "Some fields cannot be accepted", first, errors)


class Blueprint(flask_smorest.Blueprint):
    """A blueprint that reads strictly."""

    ARGUMENTS_PARSER = StrictParser()

    def query(self, schema: type[Ask]) -> Callable[[Any], Any]:
        """Read the query string; what is wrong in it makes the request itself wrong (400)."""
        return self.arguments(schema, location="query", error_status_code=400)


class Api(flask_smorest.Api):
    """The OpenAPI document, with problem+json as the shape of every error."""

    ERROR_SCHEMA = Problem
    spec: APISpec

    def _register_error_handlers(self) -> None:
        """Leave errors to `problems`, which knows them all."""

    def _register_responses(self) -> None:
        for status in http.HTTPStatus:
            self._describe(status.name, status.phrase)
        self._describe(self.DEFAULT_ERROR_RESPONSE_NAME, "Any error")

    def _register_pagination_header(self) -> None:
        """Nothing here is paged by headers."""

    def _describe(self, name: str, phrase: str) -> None:
        response: dict[str, Any] = {"description": phrase, "schema": Problem}
        prepare_response(response, self.spec, problems.CONTENT_TYPE)
        self.spec.components.response(name, response, lazy=True)


def make_api(app: Flask, version: str) -> Api:
    """Prepare the OpenAPI 3.1 document of this app at /api/v1/openapi.json."""
    app.config.update(
        API_TITLE="Potrounds",
        API_VERSION=version,
        OPENAPI_VERSION="3.1.0",
        OPENAPI_URL_PREFIX="/api/v1",
        OPENAPI_JSON_PATH="openapi.json",
    )
    api = Api()
    for field_class, kind, shape in OPENAPI_TYPES:
        api.register_field(field_class, kind, shape)
    api.init_app(app)
    return api
