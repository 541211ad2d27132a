"""Faults of ours are answered without a trace of our code."""

from __future__ import annotations

import pytest
from flask import Flask

from potrounds.services import people
from potrounds.store import database
from speaking import Speaker


@pytest.mark.parametrize(
    ("fault", "status", "slug"),
    [
        (KeyError("secret detail"), 500, "server-fault"),
        (RuntimeError("secret detail"), 500, "server-fault"),
        (database.Trouble("secret detail: disk I/O error"), 503, "storage-trouble"),
    ],
)
def test_a_fault_is_a_problem(
    volunteer: Speaker,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
    fault: Exception,
    status: int,
    slug: str,
) -> None:
    def fail(*_: object) -> None:
        raise fault

    monkeypatch.setattr(people, "me", fail)
    answer = volunteer.get("/me")
    assert (answer.status_code, answer.json["type"]) == (status, f"/problems/{slug}")
    assert answer.content_type == "application/problem+json"
    assert "secret detail" not in answer.text
    assert "secret detail" in caplog.text
    assert ("Retry-After" in answer.headers) == (status == 503)


def test_an_unknown_address_below_the_api(passer_by: Speaker, app: Flask) -> None:
    for method in ("GET", "POST", "DELETE"):
        answer = passer_by.ask(method, "/nothing")
        assert (answer.status_code, answer.content_type) == (404, "application/problem+json")
