"""The one reader of JSON. What it lets through means the same to every reader of JSON."""

from __future__ import annotations

import json
import math
import re
from typing import Any

DEEPEST = 16
BIGGEST = 2**63 - 1
_STRING = re.compile(r'"(?:[^"\\]|\\.)*"', re.DOTALL)
_BRACKET = re.compile(r"[\[\]{}]")


class WireError(ValueError):
    """Text that is not the JSON we accept: a slug for programs and a sentence for a person."""

    def __init__(self, slug: str, title: str, detail: str) -> None:
        super().__init__(detail)
        self.slug, self.title, self.detail = slug, title, detail


def not_json(detail: str) -> WireError:
    """The refusal for text that is no JSON at all."""
    return WireError("not-json", "This is not JSON", detail)


def _check_depth(text: str) -> None:
    depth = 0
    for bracket in _BRACKET.finditer(_STRING.sub('""', text)):
        depth += 1 if bracket.group() in "[{" else -1
        if depth > DEEPEST:
            raise WireError(
                "too-deep", "Nested too deeply", f"At most {DEEPEST} levels of nesting are read."
            )


def _no_duplicates(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise WireError(
            "duplicate-key", "A key stands twice", f"The key {twice[:40]!r} stands twice."
        )
    return found


def _no_constant(name: str) -> Any:
    raise not_json(f"{name} is no number in JSON.")


def _whole(digits: str) -> int:
    if len(digits) > 20 or abs(int(digits)) > BIGGEST:
        detail = f"Whole numbers must be from -{BIGGEST} to {BIGGEST}."
        raise WireError("number-too-big", "Number out of range", detail)
    return int(digits)


def _finite(digits: str) -> float:
    number = float(digits)
    if not math.isfinite(number):
        raise WireError(
            "number-too-big", "Number out of range", f"{digits[:20]} is too large to be kept."
        )
    return number


def parse(text: str) -> Any:
    """Parse JSON text strictly.

    Raises: WireError for anything two readers could understand differently.
    """
    if text.startswith("\ufeff"):
        raise WireError("not-utf8", "Not plain UTF-8", "Send UTF-8 without a byte order mark.")
    if not text.strip():
        raise WireError("empty-body", "Nothing was sent", "The text is empty; send a JSON object.")
    _check_depth(text)
    try:
        return json.loads(
            text,
            object_pairs_hook=_no_duplicates,
            parse_constant=_no_constant,
            parse_int=_whole,
            parse_float=_finite,
        )
    except json.JSONDecodeError as error:
        raise not_json(f"{error.msg} at character {error.pos}.") from None
    except RecursionError:
        raise WireError("too-deep", "Nested too deeply", "Too many levels of nesting.") from None


def parse_bytes(data: bytes) -> Any:
    """Parse the bytes of a request body: UTF-8, no byte order mark, nothing else."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise WireError(
            "not-utf8", "Not plain UTF-8", f"Byte {error.start} is not part of UTF-8 text."
        ) from None
    return parse(text)


def unstorable(value: Any, pointer: str = "") -> str | None:
    """Give the pointer of the first text that no database can keep: a NUL or half a surrogate."""
    if isinstance(value, str):
        bad = any(sign == "\x00" or "\ud800" <= sign <= "\udfff" for sign in value)
        return pointer or "/" if bad else None
    if isinstance(value, dict):
        for key, inner in value.items():
            if unstorable(key):
                return pointer or "/"
            if found := unstorable(inner, f"{pointer}/{escaped(key)}"):
                return found
    if isinstance(value, list):
        for index, inner in enumerate(value):
            if found := unstorable(inner, f"{pointer}/{index}"):
                return found
    return None


def escaped(key: object) -> str:
    """One step of a JSON pointer (RFC 6901)."""
    return str(key).replace("~", "~0").replace("/", "~1")


def pointers(messages: Any, pointer: str = "") -> list[tuple[str, str]]:
    """Flatten marshmallow's nested messages into pairs of pointer and sentence."""
    if isinstance(messages, dict):
        return [
            pair
            for key, inner in messages.items()
            for pair in pointers(
                inner, pointer if key == "_schema" else f"{pointer}/{escaped(key)}"
            )
        ]
    if isinstance(messages, list):
        return [pair for inner in messages for pair in pointers(inner, pointer)]
    return [(pointer, str(messages))]
