"""Push: what becomes of each record of a batch. Named by the rules of the sync protocol."""

from __future__ import annotations

import json
import logging
import uuid
from datetime import timedelta

import pytest

from desk import Desk, record_id
from potrounds.services import assess, judge
from potrounds.services.refusal import Refusal
from potrounds.store import log


def outcomes(results: list[dict]) -> list[str]:
    return [result["outcome"] for result in results]


def test_R4_the_text_is_kept_byte_for_byte(desk: Desk) -> None:
    vera = desk.join("Vera")
    odd = vera.record(body={"note": "mañana 🌿 <script>'; DROP\u202e", "new_key": [1, 2]})
    text = odd.replace('": ', '" :  ')
    assert outcomes(vera.push(text)) == ["stored"]
    kept = log.find(record_id(text))
    assert kept is not None
    assert kept.text == text
    assert vera.own()[record_id(text)]["text"] == text


def test_R5_same_id_same_bytes_is_a_duplicate(desk: Desk) -> None:
    vera = desk.join("Vera")
    text = vera.record()
    first, second = vera.push(text, text)
    again = vera.push(text)[0]
    assert (first["outcome"], second["outcome"], again["outcome"]) == (
        "stored",
        "duplicate",
        "duplicate",
    )
    assert first["seq"] == second["seq"] == again["seq"]
    assert len(log.of_planter(desk.planter)) == 1


def test_R5_a_batch_sent_anew_is_assessed_before_it_is_answered(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its first try may be under way in another thread still, or have been killed."""
    vera = desk.join("Vera")
    text = vera.record()
    with monkeypatch.context() as first_try:
        first_try.setattr(assess, "assess_quietly", lambda ctx, keys: None)
        assert outcomes(vera.push(text)) == ["stored"]
    assert outcomes(vera.push(text)) == ["duplicate"]
    assert [one["record"] for one in desk.card()["visits"]] == [record_id(text)]


def test_R5_same_id_other_bytes_is_held_and_the_first_stays(desk: Desk) -> None:
    vera = desk.join("Vera")
    text = vera.record(body={"level": 0.25})
    other = text.replace("0.25", "0.75")
    assert outcomes(vera.push(text, other)) == ["stored", "held"]
    assert log.find(record_id(text)).text == text
    (held,) = log.waiting()
    assert (held.reason, held.sent.text) == ("conflict", other)
    assert outcomes(vera.push(other)) == ["held"], "the same second version is kept once"
    assert len(log.waiting()) == 1


def test_R5_nothing_is_revealed_about_somebody_elses_record(desk: Desk) -> None:
    vera, ines = desk.join("Vera"), desk.join("Ines")
    text = vera.record()
    vera.push(text)
    same = json.dumps({**json.loads(text), "device": ines.device})
    strangers = [ines.record(id=record_id(text)), same]
    unknown = ines.record(planter="p-00000000")
    for result in ines.push(*strangers):
        assert result["outcome"] == "held"
        assert set(result) == set(ines.push(unknown)[0])
        assert vera.person not in json.dumps(result)
        assert "Vera" not in json.dumps(result)
    assert log.find(record_id(text)).author == vera.person


def test_R5_the_very_bytes_of_somebody_else_are_no_duplicate(desk: Desk) -> None:
    """Two people on one phone: the second must not learn that the first sent this."""
    vera = desk.join("Vera")
    text = vera.record()
    vera.push(text)
    ines = desk.join("Ines")
    ines.device = vera.device
    ines.ctx = ines.ctx.with_caller(
        type(ines.ctx.caller)("ph-x", ines.person, "Ines", "volunteer", vera.device)
    )
    assert outcomes(ines.push(text)) == ["held"]


def test_R7_one_answer_per_item_in_their_order(desk: Desk) -> None:
    vera = desk.join("Vera")
    good, strange, last = vera.record(), vera.record(planter="p-unknown0"), vera.record()
    results = vera.push(good, "{cut", strange, good, last)
    assert outcomes(results) == ["stored", "rejected", "held", "duplicate", "stored"]
    assert [result["id"] for result in results] == [
        record_id(good),
        None,
        record_id(strange),
        record_id(good),
        record_id(last),
    ]
    assert results[1]["problem"]["type"] == "/problems/not-json"


def test_R7_numbers_rise_without_gaps_in_one_batch(desk: Desk) -> None:
    vera = desk.join("Vera")
    results = vera.push(*(vera.record() for _ in range(10)))
    numbers = [result["seq"] for result in results]
    assert numbers == list(range(numbers[0], numbers[0] + 10))


def test_R11_a_fault_of_ours_in_one_item_costs_the_others_nothing(
    desk: Desk, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    vera = desk.join("Vera")
    texts = [vera.record() for _ in range(5)]
    poisonous = record_id(texts[2])
    append = log.append

    def failing(sent: log.Sent, photos: list[str]) -> log.Sent:
        kept = append(sent, photos)
        if sent.id == poisonous:
            raise ZeroDivisionError("after half of it was written")
        return kept

    monkeypatch.setattr(log, "append", failing)
    with caplog.at_level(logging.CRITICAL):
        results = vera.push(*texts)
    assert outcomes(results) == ["stored", "stored", "later", "stored", "stored"]
    assert results[2]["retry_after"] > 0
    assert log.find(poisonous) is None, "what was half written is undone"
    monkeypatch.undo()
    assert outcomes(vera.push(*texts)) == [
        "duplicate",
        "duplicate",
        "stored",
        "duplicate",
        "duplicate",
    ]


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"planter": "p-nowhere0"}, "unknown-planter"),
        ({"v": 2}, "newer"),
        ({"kind": "weighing", "body": {"mass_kg": 20}}, "newer"),
        ({"device": str(uuid.uuid4())}, "other-device"),
    ],
)
def test_R8_held_is_preferred_to_rejected(desk: Desk, changes: dict, reason: str) -> None:
    vera = desk.join("Vera")
    text = vera.record(**changes)
    assert outcomes(vera.push(text)) == ["held"]
    (held,) = log.waiting()
    assert (held.reason, held.sent.text) == (reason, text)
    assert vera.own()[record_id(text)]["outcome"] == "held"


def test_R8_a_retired_planter_is_stored_with_a_note(desk: Desk) -> None:
    vera = desk.join("Vera")
    retired = desk.add_planter("Old trough", status="retired")
    (result,) = vera.push(vera.record(planter=retired))
    assert result["outcome"] == "stored"
    assert "retired" in result["note"]


def test_a_volunteer_decides_on_no_flag_and_nobody_writes_a_passer_bys_report(desk: Desk) -> None:
    vera, corin = desk.join("Vera"), desk.join("Corin", "coordinator")
    decision = {"flag": "running_dry", "decision": "seen"}
    report = {"what": "dry"}
    (mine,) = vera.push(vera.record("decision", body=decision))
    (theirs,) = corin.push(corin.record("decision", body=decision))
    (forged,) = corin.push(corin.record("report", body=report))
    assert (mine["outcome"], mine["problem"]["type"]) == (
        "rejected",
        "/problems/coordinator-only",
    )
    assert theirs["outcome"] == "stored"
    assert (forged["outcome"], forged["problem"]["type"]) == (
        "rejected",
        "/problems/server-only",
    )


def test_R15_an_ended_phone_is_heard_but_everything_is_held(desk: Desk) -> None:
    vera = desk.join("Vera")
    before = vera.record()
    vera.push(before)
    caller = vera.ctx.caller
    vera.ctx = vera.ctx.with_caller(type(caller)(**{**vars(caller), "state": "ended"}))
    late = [vera.record() for _ in range(50)]
    assert outcomes(vera.push(*late)) == ["held"] * 50
    assert outcomes(vera.push(before)) == ["duplicate"]
    assert {row.reason for row in log.waiting()} == {"ended"}
    with pytest.raises(Refusal) as refused:
        vera.pull()
    assert refused.value.status == 401


def test_R15_of_an_ended_phone_only_so_much_waits_and_the_rest_is_not_lost(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(judge, "MOST_OF_ENDED", 2)
    vera = desk.join("Vera")
    caller = vera.ctx.caller
    vera.ctx = vera.ctx.with_caller(type(caller)(**{**vars(caller), "state": "ended"}))
    texts = [vera.record() for _ in range(3)]
    said = vera.push(*texts)
    assert [one["outcome"] for one in said] == ["held", "held", "later"]
    assert said[2]["retry_after"] == 24 * 3600
    assert len(log.waiting()) == 2
    assert [one["outcome"] for one in vera.push(*texts)] == ["held", "held", "later"]


def test_T12_a_batch_of_another_device_is_refused_whole(desk: Desk) -> None:
    vera = desk.join("Vera")
    with pytest.raises(Refusal) as refused:
        vera.push(vera.record(), device=str(uuid.uuid4()))
    assert refused.value.status == 403
    assert log.of_planter(desk.planter) == []


def test_T12_the_author_is_the_sessions_whatever_the_text_claims(desk: Desk) -> None:
    vera, ines = desk.join("Vera"), desk.join("Ines")
    text = vera.record(author=ines.person, seq=1, received_at="2020-01-01T00:00:00Z")
    vera.push(text)
    kept = log.find(record_id(text))
    assert kept.author == vera.person
    assert kept.received_at == desk.clock.now()


def test_photos_named_by_unknown_kinds_are_read_with_care() -> None:
    sha = "ab" * 32
    assert judge.photos_named({"body": {"photos": [sha, 7, "no hash"]}}) == [sha]
    assert judge.photos_named({"body": {"check_in": {"photos": [sha]}}}) == [sha]
    for nonsense in ({}, {"body": None}, {"body": {"photos": sha}}, {"body": [sha]}):
        assert judge.photos_named(nonsense) == []


def test_R12_a_constant_error_of_the_phones_clock_cancels(desk: Desk) -> None:
    vera = desk.join("Vera", clock_error=timedelta(days=400))
    text = vera.record(ago=timedelta(hours=5))
    desk.clock.tick(hours=2)
    vera.push(text)
    kept = log.find(record_id(text))
    assert kept.observed_at == desk.clock.now() - timedelta(hours=7)
    assert kept.time_doubt == ""


@pytest.mark.parametrize(
    ("wall", "doubt"),
    [
        ("2026-02-30T10:00:00Z", "unreadable"),
        ("2026-05-04T25:00:00Z", "unreadable"),
        ("9999999-01-01T00:00:00Z", "unreadable"),
        ("2026-05-04T10:00:00", "unreadable"),
        ("", "unreadable"),
        ("0001-01-01T00:00:00+14:00", "unreadable"),
        ("0001-01-02T00:00:00Z", "before-planter"),
        ("1970-01-01T00:00:00Z", "before-planter"),
        ("2025-03-31T23:00:00Z", "before-planter"),
        ("2026-05-04T08:06:00Z", "future"),
        ("2027-05-04T08:00:00Z", "future"),
        ("2026-05-04T08:04:00Z", ""),
        ("2025-04-01T00:00:00Z", ""),
    ],
)
def test_R12_no_record_is_refused_for_its_date(desk: Desk, wall: str, doubt: str) -> None:
    vera = desk.join("Vera")
    text = vera.record(wall=wall)
    (result,) = vera.push(text)
    assert result["outcome"] == "stored"
    assert ("note" in result) == bool(doubt)
    kept = log.find(record_id(text))
    assert kept.time_doubt == doubt
    assert kept.observed_at <= desk.clock.now()
    if doubt in ("unreadable", "future"):
        assert kept.observed_at == desk.clock.now()


def test_R12_a_time_against_the_order_of_n_is_uncertain_in_any_order(desk: Desk) -> None:
    ages = (timedelta(days=5), timedelta(days=4), timedelta(days=30), timedelta(days=3))
    for first_to_last in (True, False):
        vera = desk.join(f"Vera {first_to_last}")
        texts = [vera.record(ago=ago) for ago in ages]
        for text in texts if first_to_last else reversed(texts):
            vera.push(text)
        doubts = [log.find(record_id(text)).time_doubt for text in texts]
        assert doubts == ["", "", "order", ""]


def test_R12_an_uncertain_time_decides_no_latest_level(desk: Desk) -> None:
    vera = desk.join("Vera")
    vera.push(vera.record(body={"level": 0.25}, ago=timedelta(days=1)))
    vera.push(vera.record(body={"level": 1.0}, wall="2031-05-04T08:00:00Z"))
    card = desk.card()
    assert card["state"]["level"]["value"] == 0.25
    assert card["visits"][0]["time_uncertain"]
