"""The strict reader of JSON, on its own."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from potrounds.api import wire

PLAIN = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-wire.BIGGEST, wire.BIGGEST)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=12,
)


@given(PLAIN)
def test_reads_what_the_standard_library_writes(value: Any) -> None:
    """Against Python's own json, which is outside this project."""
    assert wire.parse(json.dumps(value)) == value


@given(PLAIN)
def test_brackets_in_strings_are_no_depth(value: Any) -> None:
    text = json.dumps({"note": "[" * 40 + json.dumps(value)})
    assert wire.parse(text) == json.loads(text)


def test_sixteen_levels_are_read_and_seventeen_are_not() -> None:
    assert wire.parse("[" * 16 + "]" * 16)
    with pytest.raises(wire.WireError) as refused:
        wire.parse("[" * 17 + "]" * 17)
    assert refused.value.slug == "too-deep"


@given(st.binary(max_size=60))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    """Nothing but WireError comes out, whatever goes in."""
    try:
        found = wire.parse_bytes(data)
    except wire.WireError:
        return
    assert found == json.loads(data)


@pytest.mark.parametrize(
    ("value", "pointer"),
    [
        ({"a": {"b~/": ["x", "\x00"]}}, "/a/b~0~1/1"),
        ({"\ud800": 1}, "/"),
        ({"a": "plain"}, None),
    ],
)
def test_unstorable_text_is_found(value: Any, pointer: str | None) -> None:
    assert wire.unstorable(value) == pointer


def test_pointers_escape_as_in_rfc_6901() -> None:
    """RFC 6901 section 4: ~ becomes ~0 and / becomes ~1."""
    messages = {"a/b": {"m~n": {0: ["wrong"]}}, "_schema": ["odd"]}
    assert wire.pointers(messages) == [("/a~1b/m~0n/0", "wrong"), ("", "odd")]
