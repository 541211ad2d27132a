"""The built app as files, and the headers of every answer."""

from __future__ import annotations

import gzip
from dataclasses import replace
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from potrounds.api.headers import ALWAYS
from potrounds.api.pages import TYPES
from potrounds.app import create_app
from potrounds.config import Settings
from speaking import Town

PAGE = "<title>Potrounds</title>"


@pytest.fixture
def built(settings: Settings) -> Path:
    """A built app with one file of every kind."""
    folder = settings.static
    assert folder is not None
    for suffix in TYPES:
        (folder / "assets" / f"x-1a2b{suffix}").write_bytes(b"0" * 50)
    (folder / "sw.js").write_text("// worker")
    (folder / "manifest.webmanifest").write_text("{}")
    (folder / "assets" / "x-1a2b.js.gz").write_bytes(gzip.compress(b"0" * 50))
    (folder / "index.html.gz").write_bytes(gzip.compress((folder / "index.html").read_bytes()))
    return folder


@pytest.mark.parametrize("path", ["/", "/join", "/planters", "/p/p-abc/check-in", "/settings"])
def test_every_route_of_the_client_is_the_page(client: FlaskClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 200
    assert PAGE in answer.text
    assert answer.headers["Cache-Control"] == "no-cache"
    assert answer.headers["Content-Type"] == "text/html; charset=utf-8"


@pytest.mark.parametrize("prefix", ["/t/", "/T/"])
def test_the_page_of_a_tag(client: FlaskClient, town: Town, prefix: str) -> None:
    known, unknown = client.get(prefix + town.planter["code"]), client.get(prefix + "NOTHING")
    assert (known.status_code, unknown.status_code) == (200, 404)
    assert PAGE in known.text
    assert PAGE in unknown.text
    for answer in (known, unknown):
        assert "noindex" in answer.headers["X-Robots-Tag"]


@pytest.mark.parametrize("suffix", TYPES)
def test_assets_are_kept_for_a_year(client: FlaskClient, built: Path, suffix: str) -> None:
    answer = client.get(f"/assets/x-1a2b{suffix}")
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == TYPES[suffix]
    assert answer.headers["Cache-Control"] == "public, max-age=31536000, immutable"


@pytest.mark.parametrize("path", ["/assets/gone-1.js", "/gone.js", "/assets/", "/assets/x-1a2b"])
def test_a_missing_file_is_never_the_page(client: FlaskClient, built: Path, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 404
    assert answer.content_type == "application/problem+json"


@pytest.mark.parametrize("path", ["/sw.js", "/manifest.webmanifest"])
def test_the_worker_is_asked_for_anew(client: FlaskClient, built: Path, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 200
    assert answer.headers["Cache-Control"] == "no-cache"


@pytest.mark.parametrize("path", ["/assets/x-1a2b.js", "/"])
def test_compressed_where_the_browser_can(client: FlaskClient, built: Path, path: str) -> None:
    plain = client.get(path)
    small = client.get(path, headers={"Accept-Encoding": "gzip, br"})
    assert "Content-Encoding" not in plain.headers
    assert small.headers["Content-Encoding"] == "gzip"
    assert plain.headers["Vary"] == small.headers["Vary"] == "Accept-Encoding"
    assert gzip.decompress(small.data) == plain.data
    assert plain.headers["Content-Type"] == small.headers["Content-Type"]


def test_unchanged_files_are_not_sent_again(client: FlaskClient, built: Path) -> None:
    tag = client.get("/sw.js").headers["ETag"]
    assert client.get("/sw.js", headers={"If-None-Match": tag}).status_code == 304


def test_robots_stay_out(client: FlaskClient) -> None:
    assert client.get("/robots.txt").text == "User-agent: *\nDisallow: /\n"


def test_without_a_build_there_is_a_sentence(
    settings: Settings, town: Town, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("potrounds.api.pages.static_folder", lambda app: None)
    app = create_app(replace(settings, static=None), town.clock)
    answer = app.test_client().get("/")
    assert answer.status_code == 503
    assert "npm run build" in answer.json["detail"]


@pytest.mark.parametrize("path", ["/", "/api/v1/me", "/api/v1/openapi.json", "/nothing.js"])
def test_every_answer_carries_the_headers(client: FlaskClient, path: str) -> None:
    answer = client.get(path)
    for name, value in ALWAYS.items():
        assert answer.headers[name] == value
    assert "Strict-Transport-Security" not in answer.headers


def test_https_is_told_to_stay(client: FlaskClient) -> None:
    answer = client.get("/", base_url="https://localhost")
    assert answer.headers["Strict-Transport-Security"].startswith("max-age=63072000")


def test_a_trusted_proxy_says_where_a_request_came_from(settings: Settings, town: Town) -> None:
    app: Flask = create_app(replace(settings, proxies=1), town.clock)
    headers = {"X-Forwarded-For": "192.0.2.7", "X-Forwarded-Proto": "https"}
    answer = app.test_client().get("/api/v1/me", headers=headers)
    assert "Strict-Transport-Security" in answer.headers
