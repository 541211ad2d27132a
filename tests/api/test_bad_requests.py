"""Hostile and broken addresses, queries and headers, each named by its number among them."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from speaking import Speaker, Town, assert_problem


@pytest.mark.parametrize(
    "query",
    [
        "since=1&since=2",
        "limit=0",
        "limit=-1",
        "limit=1000000",
        "limit=abc",
        "limit=1.5",
        "since=%00",
        "sinse=1",
    ],
)
def test_B44_B46_query(volunteer: Speaker, query: str) -> None:
    answer = volunteer.get(f"/sync/pull?{query}")
    assert answer.status_code == 400, answer.text
    assert answer.content_type == "application/problem+json"


def test_B46_names_the_limits(volunteer: Speaker) -> None:
    problem = volunteer.get("/sync/pull?limit=0").json
    assert "from 1 to 200" in problem["errors"][0]["detail"]


@pytest.mark.parametrize(
    ("since", "status"),
    [
        ("garbage", 400),
        ("-1", 400),
        ("other.3", 409),
        ("future", 409),
        ("ab.-3", 400),
    ],
)
def test_B45_cursor(volunteer: Speaker, since: str, status: int) -> None:
    if since == "future":
        since = volunteer.get("/sync/pull").json["cursor"].partition(".")[0] + ".999999"
    answer = volunteer.get("/sync/pull", query_string={"since": since})
    assert_problem(answer, status, "bad-cursor" if status == 400 else "other-history")


@pytest.mark.parametrize(
    "path",
    [
        "/../etc/passwd",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/a%00b",
        "/x" * 3000,
        "/api/v1/%2e%2e",
        "/api/v1/photos/../../town.sqlite",
        "/assets/../town.sqlite",
        "/assets/%2e%2e/%2e%2e/town.sqlite",
        "/town.sqlite",
        "/assets/nothing.js",
    ],
)
def test_B47_paths(client: FlaskClient, path: str) -> None:
    assert_problem(client.get(path), 404, "not-found")


@pytest.mark.parametrize("sha", ["A" * 64, "a" * 63, "..", "a" * 65, "g" * 64])
def test_B62_hash_of_a_photo(volunteer: Speaker, sha: str) -> None:
    answer = volunteer.ask("PUT", f"/photos/{sha}", data=b"x", content_type="image/jpeg")
    assert_problem(answer, 400, "bad-hash")


@pytest.mark.parametrize("code", ["1", "0" * 1000, "0O1IL", "%00", "🌱", "0000-0000-00x"])
def test_B64_unknown_tag_codes_look_alike(passer_by: Speaker, code: str) -> None:
    problem = assert_problem(passer_by.get(f"/public/tags/{code}"), 404, "no-such-tag")
    other = passer_by.get("/public/tags/ZZZZZZZZZZZ").json
    assert problem == other


@pytest.mark.parametrize(("text", "status"), [("x" * 501, 422), (7, 422), ("ok", 201)])
def test_B68_public_report(passer_by: Speaker, town: Town, text: Any, status: int) -> None:
    asked = {"what": "dry", "text": text}
    answer = passer_by.post(f"/public/tags/{town.planter['code']}/reports", asked)
    assert answer.status_code == status, answer.text


@pytest.mark.parametrize("host", ["evil.example", "localhost.evil.example", "", "[::1", "a b"])
def test_B69_host(client: FlaskClient, host: str) -> None:
    answer = client.get("/api/v1/me", headers={"Host": host})
    assert_problem(answer, 400, "unknown-host")


def test_B69_forwarded_address_is_not_believed(client: FlaskClient) -> None:
    """Without a proxy in the settings, the limit counts the true address."""
    answers = [
        client.get("/api/v1/public/tags/x", headers={"X-Forwarded-For": f"1.2.3.{last}"})
        for last in range(70)
    ]
    assert [answer.status_code for answer in answers].count(429) == 10


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "https://evil.example"},
        {"Origin": "null"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "none"},
        {"Sec-Fetch-Site": "same-origin", "Origin": "https://evil.example"},
    ],
)
def test_B70_writes_of_other_pages(volunteer: Speaker, headers: dict[str, str]) -> None:
    answer = volunteer.client.post("/api/v1/sign-out", headers=headers)
    assert_problem(answer, 403, "other-origin")


def test_B70_our_own_origin_may_write(volunteer: Speaker) -> None:
    answer = volunteer.client.post("/api/v1/sign-out", headers={"Origin": "http://localhost"})
    assert answer.status_code == 204


def test_B71_headers(app: Flask) -> None:
    client = app.test_client(use_cookies=False)
    answer = client.get("/api/v1/me", headers={"Cookie": "x=" + "y" * 20_000})
    assert_problem(answer, 431, "headers-too-big")
    many = {f"X-Number-{number}": "1" for number in range(200)}
    assert_problem(client.get("/api/v1/me", headers=many), 431, "headers-too-big")


def test_B72_multipart_with_many_parts(volunteer: Speaker) -> None:
    part = b'--x\r\nContent-Disposition: form-data; name="a"\r\n\r\n1\r\n'
    answer = volunteer.ask(
        "POST",
        "/sync/push",
        data=part * 3000 + b"--x--\r\n",
        content_type="multipart/form-data; boundary=x",
    )
    assert_problem(answer, 415, "wrong-type")
