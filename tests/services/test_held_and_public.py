"""What waits for a person, and what a passer-by may see and say."""

from __future__ import annotations

import json
from datetime import timedelta
from hashlib import sha256
from typing import Any

import pytest

from desk import Desk, a_photo, record_id
from potrounds.domain import tag_code
from potrounds.services import assess, held, public, register
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal
from potrounds.store import log


def refused(call: Any, *args: Any) -> Refusal:
    with pytest.raises(Refusal) as caught:
        call(*args)
    return caught.value


def at(desk: Desk, address: str) -> Context:
    return Context(desk.ctx.settings, desk.clock, address=address)


def code_of(desk: Desk) -> str:
    return str(register.one_planter(desk.planter)["code"])


# --- held ----------------------------------------------------------------------------------------


def test_a_held_record_is_shown_whole_and_taken_to_the_right_planter(desk: Desk) -> None:
    vera, corin, data = desk.join("Vera"), desk.join("Corin", "coordinator"), a_photo()
    sha = sha256(data).hexdigest()
    text = vera.record(
        planter="p-nowhere0", body={"level": 0.25, "photos": [sha]}, ago=timedelta(hours=3)
    )
    vera.push(text)
    (waiting,) = held.list_held(corin.ctx)
    assert (waiting["reason"], waiting["text"], waiting["by"]) == ("unknown-planter", text, "Vera")
    assert waiting["record"] == record_id(text)
    assert waiting["at"] == "2026-05-04T05:00:00.000Z"
    assert refused(held.settle_held, corin.ctx, waiting["id"], True).status == 422
    answer = held.settle_held(corin.ctx, waiting["id"], True, desk.planter)
    assert answer["taken"] is True
    card = desk.card()
    assert card["state"]["level"]["value"] == 0.25
    assert card["visits"][0]["by"] == "Vera"
    assert log.find(record_id(text)).text == text
    assert held.list_held(corin.ctx) == []
    assert vera.own()[record_id(text)]["outcome"] == "stored"
    assert vera.push(text)[0]["outcome"] == "duplicate"
    assert refused(held.settle_held, corin.ctx, waiting["id"], True).status == 404
    vera.put_photo(data)
    assert desk.card()["visits"][0]["photo_state"] == {sha: "here"}


def test_a_record_that_is_left_stays_kept_and_is_asked_about_no_more(desk: Desk) -> None:
    vera, corin = desk.join("Vera"), desk.join("Corin", "coordinator")
    text = vera.record(planter="p-nowhere0")
    vera.push(text)
    (waiting,) = held.list_held(corin.ctx)
    assert held.settle_held(corin.ctx, waiting["id"], False) == {
        "id": waiting["id"],
        "taken": False,
    }
    assert held.list_held(corin.ctx) == []
    assert log.held(waiting["id"]).sent.text == text
    assert vera.push(text)[0]["outcome"] == "held"
    assert held.list_held(corin.ctx) == []


def test_a_withdrawal_that_was_held_counts_once_it_is_taken(desk: Desk) -> None:
    vera, corin = desk.join("Vera"), desk.join("Corin", "coordinator")
    text = vera.record(body={"level": 1.0})
    vera.push(text)
    caller = vera.ctx.caller
    vera.ctx = vera.ctx.with_caller(type(caller)(**{**vars(caller), "state": "ended"}))
    vera.push(vera.record("withdrawal", body={"replaces": record_id(text)}))
    assert len(desk.card()["visits"]) == 1
    second = desk.phone_of(vera.person, "Vera")
    cursor = second.pull()["cursor"]
    (waiting,) = held.list_held(corin.ctx)
    held.settle_held(corin.ctx, waiting["id"], True)
    assert desk.card()["visits"] == []
    records = [item["record"] for item in second.pull(cursor)["items"] if "record" in item]
    assert {one["id"]: one["withdrawn"] for one in records}[record_id(text)] is True


@pytest.mark.parametrize("changes", [{"v": 7}, {"kind": "weighing"}])
def test_what_this_server_cannot_read_waits_for_a_newer_one(desk: Desk, changes: dict) -> None:
    vera = desk.join("Vera")
    vera.push(vera.record(**changes))
    (waiting,) = held.list_held(desk.ctx)
    assert refused(held.settle_held, desk.ctx, waiting["id"], True).slug == "not-takeable"


def test_a_second_version_of_an_id_never_takes_the_firsts_place(desk: Desk) -> None:
    vera = desk.join("Vera")
    text = vera.record(body={"level": 0.25})
    vera.push(text, text.replace("0.25", "0.75"))
    (waiting,) = held.list_held(desk.ctx)
    assert refused(held.settle_held, desk.ctx, waiting["id"], True).status == 409
    assert log.find(record_id(text)).text == text


# --- public --------------------------------------------------------------------------------------


def test_T1_the_public_page_names_nobody_and_only_the_day(desk: Desk) -> None:
    vera = desk.join("Vera")
    vera.push(vera.record(body={"level": 0.5, "note": "key under the stone"}))
    page = public.tag_page(at(desk, "192.0.2.1"), code_of(desk))
    assert page == {
        "state": "current",
        "planter_name": "Ferry landing 1",
        "site_name": "Ferry landing",
        "town": "Osier Bend",
        "last_care_day": "2026-05-04",
        "plants": ["petunia"],
    }


def test_B64_a_code_is_found_however_it_is_typed_and_unknown_is_one_answer(desk: Desk) -> None:
    code = code_of(desk)
    typed = tag_code.display(code).lower().replace("0", "o").replace("1", "l")
    page = public.tag_page(desk.ctx, code)
    assert public.tag_page(desk.ctx, typed) == page
    wrong = ["", "x", "A" * 1000, tag_code.new_code(), code[:-1], "../../etc", "\x00"]
    problems = [refused(public.tag_page, desk.ctx, one).problem() for one in wrong]
    assert all(problem == problems[0] for problem in problems)
    assert problems[0]["status"] == 404


def test_a_report_is_a_record_by_nobody_and_reaches_the_card(desk: Desk) -> None:
    public.report(
        at(desk, "192.0.2.1"), code_of(desk), {"what": "leaking", "text": " At the\nseam "}
    )
    card = desk.card()
    assert card["visits"][0]["report"] == {"what": "leaking", "text": "At the seam"}
    assert "public_report_waiting" in [flag["code"] for flag in card["flags"]]
    (sent,) = log.of_planter(desk.planter)
    assert sent.author is None
    frozen = json.loads(sent.text)
    assert set(frozen) == {"v", "id", "kind", "planter", "device", "n", "wall", "body"}
    assert frozen["id"][14] == "7", "a UUID of version 7 (RFC 9562)"
    assert "192.0.2.1" not in sent.text


def test_B68_a_report_with_a_link_waits_for_a_person(desk: Desk) -> None:
    vera = desk.join("Vera")
    text = "Buy at HTTPS://shop.example"
    public.report(at(desk, "192.0.2.1"), code_of(desk), {"what": "other", "text": text})
    assert desk.card()["visits"] == []
    assert desk.card()["held_reports"] == 1
    (waiting,) = held.list_held(desk.ctx)
    assert (waiting["reason"], waiting["by"], waiting["kind"]) == ("public-report", None, "report")
    held.settle_held(vera.ctx, waiting["id"], True)
    assert desk.card()["visits"][0]["report"]["text"] == text
    assert desk.card()["held_reports"] == 0


def test_T2_one_address_may_report_five_times_an_hour(desk: Desk) -> None:
    code = code_of(desk)
    for number in range(5):
        public.report(at(desk, f"2001:db8::{number}"), code, {"what": "dry"})
    problem = refused(public.report, at(desk, "2001:db8::99"), code, {"what": "dry"})
    assert (problem.status, problem.retry_after) == (429, 3600)
    assert public.report(at(desk, "2001:db8:1::1"), code, {"what": "dry"})
    desk.clock.tick(hours=1)
    assert public.report(at(desk, "2001:db8::99"), code, {"what": "dry"})


def test_T2_one_tag_takes_twenty_a_day_and_the_town_two_hundred(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    codes = [code_of(desk)]
    codes += [register.one_planter(desk.add_planter(f"Row {n}"))["code"] for n in range(10)]
    monkeypatch.setattr(assess, "assess_quietly", lambda ctx, keys: None)
    received, waits = 0, []
    for number in range(25):
        for code in codes:
            address = f"198.51.{received % 250}.{number}"
            try:
                public.report(at(desk, address), code, {"what": "dry"})
                received += 1
            except Refusal as refusal:
                waits.append((refusal.status, refusal.retry_after))
    assert received == 200
    assert set(waits) == {(429, 24 * 3600)}
    assert max(len(log.of_planter(planter["id"])) for planter in planters(desk)) <= 20


def planters(desk: Desk) -> list[dict[str, Any]]:
    return list(register.overview(desk.ctx)["planters"])


def test_a_replaced_code_counts_with_its_planter(desk: Desk) -> None:
    old = code_of(desk)
    new = register.replace_tag(desk.ctx, desk.planter, "faded")["code"]
    for number in range(20):
        public.report(at(desk, f"198.51.100.{number}"), old, {"what": "dry"})
    assert refused(public.report, at(desk, "203.0.113.1"), new, {"what": "dry"}).status == 429
