"""Hostile and broken bodies, each named by its number in the list of bad inputs."""

from __future__ import annotations

from typing import Any

import pytest

from speaking import Speaker, assert_problem

DEEP = b'{"a":' * 100_000 + b"1" + b"}" * 100_000

WHOLE_BODIES: list[tuple[str, bytes, int, str]] = [
    ("B1 nothing", b"", 400, "empty-body"),
    ("B1 blanks", b" \n", 400, "empty-body"),
    ("B2 cut", b'{"batch": "x', 400, "not-json"),
    ("B3 no utf-8", b'{"batch": "\xff"}', 400, "not-utf8"),
    ("B4 byte order mark", b"\xef\xbb\xbf{}", 400, "not-utf8"),
    ("B4 utf-16", '{"batch": 1}'.encode("utf-16"), 400, "not-utf8"),
    ("B7 duplicate key", b'{"batch": 1, "batch": 2}', 400, "duplicate-key"),
    ("B8 NaN", b'{"batch": NaN}', 400, "not-json"),
    ("B9 Infinity", b'{"batch": -Infinity}', 400, "not-json"),
    ("B9 1e400", b'{"batch": 1e400}', 400, "number-too-big"),
    ("B10 2^63", b'{"batch": 9223372036854775808}', 400, "number-too-big"),
    ("B11 5,000 digits", b'{"batch": ' + b"9" * 5000 + b"}", 400, "number-too-big"),
    ("B12 too deep", DEEP[:200_000], 400, "too-deep"),
    ("B12 depth 17", b'{"a":' * 17 + b"1" + b"}" * 17, 400, "too-deep"),
    ("B13 array", b"[]", 400, "not-an-object"),
    ("B13 string", b'"x"', 400, "not-an-object"),
    ("B13 null", b"null", 400, "not-an-object"),
    ("B40 over 256 kB", b'{"a":"' + b"x" * 270_000 + b'"}', 413, "too-big"),
]


@pytest.mark.parametrize(
    ("body", "status", "slug"),
    [case[1:] for case in WHOLE_BODIES],
    ids=[case[0] for case in WHOLE_BODIES],
)
def test_whole_body(volunteer: Speaker, body: bytes, status: int, slug: str) -> None:
    answer = volunteer.ask("POST", "/sync/push", data=body, content_type="application/json")
    assert_problem(answer, status, slug)


@pytest.mark.parametrize(
    ("count", "status", "slug"),
    [
        (0, 400, "bad-batch"),
        (51, 413, "too-many-items"),
        (10_000, 413, "too-many-items"),
    ],
)
def test_B39_batch_size(volunteer: Speaker, count: int, status: int, slug: str) -> None:
    answer = volunteer.post("/sync/push", volunteer.envelope(*["{}"] * count))
    problem = assert_problem(answer, status, slug)
    assert count == 0 or "50" in problem["detail"]


@pytest.mark.parametrize(
    "wrong",
    [
        {"batch": 3},
        {"device": None},
        {"sent_at": "yesterday"},
        {"items": [1]},
        {"items": "x"},
        {"hello": {"unsent": -1}},
    ],
)
def test_a_bad_envelope_is_400(volunteer: Speaker, wrong: dict[str, Any]) -> None:
    asked = {**volunteer.envelope("{}"), **wrong}
    assert_problem(volunteer.post("/sync/push", asked), 400, "bad-batch")


def test_B40_chunked_without_length(volunteer: Speaker) -> None:
    answer = volunteer.ask(
        "POST",
        "/sync/push",
        data=b"{}",
        content_type="application/json",
        content_length=None,
        headers={"Transfer-Encoding": "chunked"},
        environ_overrides={"CONTENT_LENGTH": ""},
    )
    assert_problem(answer, 411, "length-required")


def test_B40_length_longer_than_body(volunteer: Speaker) -> None:
    answer = volunteer.ask(
        "POST",
        "/sync/push",
        data=b"{}",
        content_type="application/json",
        environ_overrides={"CONTENT_LENGTH": "50"},
    )
    assert_problem(answer, 400, "bad-request")


def test_B41_gzip_is_not_accepted(volunteer: Speaker) -> None:
    headers = {"Content-Encoding": "gzip"}
    answer = volunteer.post("/sync/push", {}, headers=headers)
    assert_problem(answer, 415, "wrong-type")


@pytest.mark.parametrize(
    "kind",
    [
        "text/plain",
        "application/x-www-form-urlencoded",
        "multipart/form-data; boundary=x",
        "",
    ],
)
def test_B42_only_json(volunteer: Speaker, kind: str) -> None:
    answer = volunteer.ask("POST", "/sync/push", data=b"{}", content_type=kind)
    assert_problem(answer, 415, "wrong-type")


@pytest.mark.parametrize("method", ["GET", "PUT", "TRACE", "DELETE"])
def test_B43_wrong_method(volunteer: Speaker, method: str) -> None:
    headers = {"X-HTTP-Method-Override": "POST"}
    answer = volunteer.ask(method, "/sync/push", headers=headers)
    assert_problem(answer, 405, "wrong-method")
    assert set(answer.headers["Allow"].split(", ")) == {"OPTIONS", "POST"}
