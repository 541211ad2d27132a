"""Reading one record out of a push: its frozen text in, its parsed form or a refusal out."""

from __future__ import annotations

import re
from typing import Any

from marshmallow import ValidationError

from potrounds.api import wire
from potrounds.api.schemas_records import BODIES, RecordText
from potrounds.domain.records import VERSIONS
from potrounds.services.refusal import ItemRefused

_ENVELOPE = RecordText()
_BODIES = {kind: shape() for kind, shape in BODIES.items()}
_ID = re.compile(r'"id"\s*:\s*"([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})"')
_TITLE = "This record cannot be read"


def _refused(slug: str, errors: list[tuple[str, str]], record_id: str | None) -> ItemRefused:
    where, why = errors[0]
    return ItemRefused(slug, _TITLE, f"{where}: {why}" if where else why, errors, record_id)


def _parsed(text: str, glimpsed: str | None) -> dict[str, Any]:
    try:
        data = wire.parse(text)
    except wire.WireError as error:
        raise ItemRefused(
            error.slug, error.title, error.detail, [("", error.detail)], glimpsed
        ) from None
    if not isinstance(data, dict):
        raise _refused("not-an-object", [("", "A record is one JSON object.")], glimpsed)
    if where := wire.unstorable(text) or wire.unstorable(data):
        why = "Text may hold neither a NUL character nor half a surrogate pair."
        raise _refused("unstorable-text", [(where, why)], glimpsed)
    return data


def read_item(text: str) -> dict[str, Any]:
    """Read the text of one record, judging its shape and never its sense.

    A version or kind of the future is only read as far as its envelope, so that it can be held for
    a person (R8, R23). A clock is a claim: no record is refused for what stands in `wall` (R12).

    Raises: ItemRefused naming each field and what it may hold.
    """
    glimpse = _ID.search(text)
    glimpsed = glimpse.group(1) if glimpse else None
    data = _parsed(text, glimpsed)
    if not isinstance(data.get("wall"), str):
        data = {**data, "wall": ""}
    errors = _envelope_errors(data)
    if errors:
        raise _refused("fields", errors, glimpsed)
    kind = data["kind"]
    if data["v"] in VERSIONS and kind in _BODIES:
        try:
            _BODIES[kind].load(data["body"])
        except ValidationError as error:
            found = wire.pointers(error.normalized_messages(), "/body")
            raise _refused("fields", found, data["id"]) from None
    return data


def _envelope_errors(data: dict[str, Any]) -> list[tuple[str, str]]:
    """What is wrong with the envelope. Any short word may be a kind of the future."""
    kind = data.get("kind")
    known = {**data, "kind": "check-in"} if isinstance(kind, str) and 0 < len(kind) <= 40 else data
    return wire.pointers(_ENVELOPE.validate(known))
