"""What a phone saved to a file comes in by the same rules as a push (R30)."""

from __future__ import annotations

import base64
import json
import uuid
from datetime import timedelta
from hashlib import sha256
from typing import Any

import pytest

from desk import Desk, Phone, a_photo, read_item, record_id
from potrounds.services import outbox_file, people
from potrounds.store import log, register
from potrounds.store import people as rows
from potrounds.store.database import write_transaction


@pytest.fixture
def corin(desk: Desk) -> Phone:
    return desk.join("Corin", "coordinator")


def joined(desk: Desk, name: str) -> Phone:
    """Somebody whose phone the server knows."""
    phone = desk.join(name)
    with write_transaction():
        now = desk.clock.now()
        rows.add_phone(
            f"ph-{uuid.uuid4().hex[:8]}",
            uuid.uuid4().hex,
            phone.person,
            phone.device,
            now,
            now + people.VOLUNTEER_LASTS,
        )
    return phone


def take_in(by: Phone, *texts: str, photos: tuple[bytes, ...] = (), **more: Any) -> dict[str, Any]:
    asked = {
        "phone": "Vera's old phone",
        "records": [{"text": text, **more} for text in texts],
        "photos": [
            {"sha256": sha256(one).hexdigest(), "base64": base64.b64encode(one).decode()}
            for one in photos
        ],
    }
    return outbox_file.take_in(by.ctx, asked, read_item)


def test_the_work_of_a_broken_phone_arrives_under_its_own_name(desk: Desk, corin: Phone) -> None:
    vera = joined(desk, "Vera")
    text = vera.record(body={"plants": 3}, ago=timedelta(hours=5))
    [result] = take_in(corin, text)["results"]
    assert result["outcome"] == "stored"
    kept = log.find(record_id(text))
    assert kept is not None
    assert (kept.text, kept.author) == (text, vera.person)
    assert kept.observed_at == desk.clock.now() - timedelta(hours=5)
    assert kept.time_doubt == ""
    assert desk.card()["visits"][0]["by"] == "Vera"
    [change] = [one for one in register.last_changes(5) if one.what == "outbox-file"]
    assert (change.by, change.after["records"]) == (corin.person, 1)


def test_twice_and_by_the_phone_too_is_one_record(desk: Desk, corin: Phone) -> None:
    vera = joined(desk, "Vera")
    text = vera.record()
    take_in(corin, text)
    assert take_in(corin, text)["results"][0]["outcome"] == "duplicate"
    assert vera.push(text)[0]["outcome"] == "duplicate"


def test_photos_come_after_their_records(desk: Desk, corin: Phone) -> None:
    vera, picture = joined(desk, "Vera"), a_photo()
    sha = sha256(picture).hexdigest()
    assert take_in(corin, photos=(picture,))["photos"][0]["outcome"] == "rejected"
    text = vera.record(body={"photos": [sha]})
    assert take_in(corin, text, photos=(picture,))["photos"][0]["outcome"] == "stored"
    assert desk.card()["visits"][0]["photos"] == [sha]
    spoilt = {"records": [], "photos": [{"sha256": sha, "base64": "###"}]}
    assert outbox_file.take_in(corin.ctx, spoilt, read_item)["photos"][0]["outcome"] == "rejected"


def test_one_bad_record_costs_no_other(desk: Desk, corin: Phone) -> None:
    vera = joined(desk, "Vera")
    stranger = desk.join("Nobody here")
    good = vera.record()
    said = take_in(corin, "no json", stranger.record(), good)["results"]
    assert [one["outcome"] for one in said] == ["rejected", "rejected", "stored"]
    assert "never joined" in said[1]["problem"]["detail"]


def test_the_files_word_for_a_person_counts_only_with_their_phone(desk: Desk, corin: Phone) -> None:
    vera, omar = joined(desk, "Vera"), joined(desk, "Omar")
    text = vera.record()
    take_in(corin, text, person=omar.person)
    kept = log.find(record_id(text))
    assert kept is not None
    assert kept.author == vera.person


def test_work_of_somebody_who_left_is_held(desk: Desk, corin: Phone) -> None:
    vera = joined(desk, "Vera")
    people.change_person(desk.ctx, vera.person, {"state": "ended"})
    text = vera.record()
    assert take_in(corin, text)["results"][0]["outcome"] == "held"
    assert [json.loads(one.sent.text)["id"] for one in log.waiting()] == [record_id(text)]
