"""Photos over the web (R13)."""

from __future__ import annotations

import base64
import hashlib
import io

import pytest
from flask import Flask
from PIL import Image
from werkzeug.test import TestResponse

from speaking import Speaker, Town, assert_problem


def picture(colour: str = "green") -> bytes:
    """The bytes of a small JPEG."""
    out = io.BytesIO()
    Image.new("RGB", (64, 48), colour).save(out, "JPEG")
    return out.getvalue()


def sent(speaker: Speaker, data: bytes, sha: str | None = None, **headers: str) -> TestResponse:
    """PUT some bytes under their hash, or under another."""
    sha = sha or hashlib.sha256(data).hexdigest()
    return speaker.ask(
        "PUT", f"/photos/{sha}", data=data, content_type="image/jpeg", headers=headers
    )


@pytest.fixture
def named(volunteer: Speaker, town: Town) -> bytes:
    """A picture that a record of the volunteer names."""
    data = picture()
    body = {"photos": [hashlib.sha256(data).hexdigest()]}
    assert volunteer.push(volunteer.record(town.planter["id"], body=body))
    return data


def test_a_photo_comes_after_its_record(volunteer: Speaker) -> None:
    answer = sent(volunteer, picture("red"))
    assert (answer.status_code, answer.json["type"]) == (409, "/problems/record-first")


def test_sending_twice_is_the_same(volunteer: Speaker, named: bytes) -> None:
    first, second = sent(volunteer, named), sent(volunteer, named)
    assert (first.status_code, second.status_code) == (201, 200)
    assert (
        first.json
        == second.json
        == {
            "sha256": hashlib.sha256(named).hexdigest(),
            "state": "here",
        }
    )


def test_content_digest_is_checked(volunteer: Speaker, named: bytes) -> None:
    """RFC 9530: sha-256=:base64:"""
    wrong = base64.b64encode(hashlib.sha256(b"other").digest()).decode()
    right = base64.b64encode(hashlib.sha256(named).digest()).decode()
    refused = sent(volunteer, named, **{"Content-Digest": f"sha-256=:{wrong}:"})
    assert (refused.status_code, refused.json["type"]) == (422, "/problems/digest")
    assert sent(volunteer, named, **{"Content-Digest": f"sha-256=:{right}:"}).status_code == 201


def test_B61_other_bytes_than_the_hash_says(volunteer: Speaker, named: bytes) -> None:
    sha = hashlib.sha256(named).hexdigest()
    altered = named[:-3] + bytes([named[-3] ^ 1]) + named[-2:]
    answer = sent(volunteer, altered, sha)
    assert (answer.status_code, answer.json["type"]) == (422, "/problems/digest")
    assert volunteer.get(f"/photos/{sha}").status_code == 404


def test_a_photo_is_served_clean_and_sealed(volunteer: Speaker, named: bytes) -> None:
    sent(volunteer, named)
    for size in ("small", "full"):
        answer = volunteer.get(f"/photos/{hashlib.sha256(named).hexdigest()}?size={size}")
        assert answer.status_code == 200
        assert answer.content_type == "image/jpeg"
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert answer.headers["Content-Security-Policy"] == "sandbox"
        assert answer.headers["Cache-Control"] == "private, no-cache"
        Image.open(io.BytesIO(answer.data)).load()


def test_opened_alone_a_photo_is_a_download(volunteer: Speaker, named: bytes) -> None:
    sent(volunteer, named)
    path = f"/photos/{hashlib.sha256(named).hexdigest()}"
    answer = volunteer.get(path, headers={"Sec-Fetch-Dest": "document"})
    assert answer.headers["Content-Disposition"].startswith("attachment")


def test_T15_nobody_else_sees_a_photo(volunteer: Speaker, passer_by: Speaker, named: bytes) -> None:
    sent(volunteer, named)
    assert passer_by.get(f"/photos/{hashlib.sha256(named).hexdigest()}").status_code == 401


def test_a_size_that_is_none(volunteer: Speaker) -> None:
    assert volunteer.get(f"/photos/{'a' * 64}?size=huge").status_code == 400


def test_B63_three_hundred_photos_in_a_minute(volunteer: Speaker) -> None:
    answers = [sent(volunteer, b"x") for _ in range(130)]
    refused = [answer for answer in answers if answer.status_code == 429]
    assert len(refused) == 10
    assert 0 < int(refused[0].headers["Retry-After"]) <= 61


def test_erasing_is_for_who_took_it_and_for_coordinators(
    app: Flask, town: Town, volunteer: Speaker, named: bytes
) -> None:
    sha = hashlib.sha256(named).hexdigest()
    sent(volunteer, named)
    assert volunteer.get(f"/photos/{sha}").status_code == 200
    assert_problem(volunteer.delete(f"/photos/{'f' * 64}"), 404, "no-such-photo")
    assert volunteer.delete(f"/photos/{sha}").status_code == 204
    assert volunteer.get(f"/photos/{sha}").status_code == 404
    corin = town.speaker(app.test_client(), "Corin")
    assert corin.delete(f"/photos/{sha}").status_code == 204
    other = Speaker(app.test_client(), town.clock)
    other.join(town.invite(name="Omar"), "Omar")
    assert_problem(other.delete(f"/photos/{sha}"), 403, "not-your-photo")


def test_a_photo_is_asked_for_anew_each_time_and_costs_no_bytes_then(
    volunteer: Speaker, named: bytes
) -> None:
    """RFC 9110, 13.1.2: If-None-Match with the tag that was given is answered 304."""
    sha = hashlib.sha256(named).hexdigest()
    sent(volunteer, named)
    first = volunteer.get(f"/photos/{sha}")
    again = volunteer.get(f"/photos/{sha}", headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")


def test_a_saved_outbox_is_for_coordinators(
    app: Flask, town: Town, volunteer: Speaker, coordinator: Speaker
) -> None:
    """R30, over the web: photos go one by one, as each may be large."""
    phone = town.speaker(app.test_client(), "Vera")
    asked = {"records": [{"text": phone.record(town.planter["id"])}]}
    assert_problem(volunteer.post("/sync/outbox-file", asked), 403, "coordinator-only")
    answer = coordinator.post("/sync/outbox-file", asked)
    assert answer.status_code == 200, answer.text
    assert answer.json["results"][0]["outcome"] == "stored"
    two = [{"sha256": "a" * 64, "base64": "AAAA"}] * 2
    assert coordinator.post("/sync/outbox-file", {"records": [], "photos": two}).status_code == 400
