"""Corrections and withdrawals: whose they may be, and that no order of arrival matters."""

from __future__ import annotations

import itertools
import uuid
from datetime import timedelta
from typing import Any

import pytest

from desk import Desk, Phone, record_id
from potrounds.services import assess
from potrounds.store import log


def a_correction(phone: Phone, of: str, level: float, **more: Any) -> str:
    body = {"replaces": of, "check_in": {"level": level, "plants": 3}}
    return phone.record("correction", body=body, **more)


def a_withdrawal(phone: Phone, of: str, **more: Any) -> str:
    return phone.record("withdrawal", body={"replaces": of}, **more)


def bare(card: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in card.items() if key not in ("seq", "assessed_at")}


def test_R3_a_correction_changes_what_the_card_says_and_not_the_record(desk: Desk) -> None:
    vera = desk.join("Vera")
    text = vera.record(body={"level": 1.0})
    vera.push(text)
    fixed = a_correction(vera, record_id(text), 0.25)
    vera.push(fixed)
    card = desk.card()
    assert card["state"]["level"]["value"] == 0.25
    assert [visit["corrected"] for visit in card["visits"]] == [True]
    assert log.find(record_id(text)).text == text
    assert vera.own()[record_id(text)]["replaced_by"] == record_id(fixed)


def test_R3_a_withdrawal_takes_a_record_off_the_card(desk: Desk) -> None:
    vera = desk.join("Vera")
    text = vera.record(body={"level": 1.0})
    vera.push(text)
    vera.push(a_withdrawal(vera, record_id(text)))
    assert desk.card()["visits"] == []
    assert desk.card()["state"]["level"] is None
    assert vera.own()[record_id(text)]["withdrawn"] is True


@pytest.mark.parametrize("change", [lambda *a: a_correction(*a, 0.0), a_withdrawal])
def test_B36_somebody_elses_record_is_not_theirs_to_change(desk: Desk, change: Any) -> None:
    vera, ines, corin = (
        desk.join("Vera"),
        desk.join("Ines"),
        desk.join("Corin", "coordinator"),
    )
    text = vera.record(body={"level": 1.0})
    vera.push(text)
    before = bare(desk.card())
    (result,) = ines.push(change(ines, record_id(text)))
    assert (result["outcome"], result["problem"]["type"]) == (
        "rejected",
        "/problems/not-your-record",
    )
    assert bare(desk.card()) == before
    (result,) = corin.push(change(corin, record_id(text)))
    assert result["outcome"] == "stored"
    assert bare(desk.card()) != before


def test_F53_a_change_that_comes_first_is_parked_and_applies_later(desk: Desk) -> None:
    vera = desk.join("Vera")
    text = vera.record(body={"level": 1.0}, ago=timedelta(hours=2))
    (result,) = vera.push(a_correction(vera, record_id(text), 0.0))
    assert result["outcome"] == "stored"
    assert desk.card()["visits"] == []
    vera.push(text)
    assert desk.card()["state"]["level"]["value"] == 0.0


def test_F53_a_stranger_cannot_park_a_change_for_somebody_elses_record(desk: Desk) -> None:
    vera, ines = desk.join("Vera"), desk.join("Ines")
    text = vera.record(body={"level": 1.0})
    (parked,) = ines.push(a_withdrawal(ines, record_id(text)))
    assert parked["outcome"] == "stored"
    vera.push(text)
    assert [visit["record"] for visit in desk.card()["visits"]] == [record_id(text)]
    own = vera.own()[record_id(text)]
    assert (own["replaced_by"], own["withdrawn"]) == (None, False)


def test_B37_a_circle_of_corrections_is_held(desk: Desk) -> None:
    vera = desk.join("Vera")
    one, two, three = (str(uuid.uuid4()) for _ in range(3))
    circle = [
        a_correction(vera, two, 0.0, id=one),
        a_correction(vera, three, 0.0, id=two),
        a_correction(vera, one, 0.0, id=three),
        a_correction(vera, "0" * 8, 0.0, id="0" * 8),
    ]
    assert [result["outcome"] for result in vera.push(*circle)] == [
        "stored",
        "stored",
        "held",
        "held",
    ]
    assert {row.reason for row in log.waiting()} == {"loop"}


def test_a_correction_stays_at_its_planter_and_with_its_kind(desk: Desk) -> None:
    vera = desk.join("Vera")
    step = vera.record("step", body={"list": "winterization", "season": 2026, "step": "pull-plug"})
    text = vera.record()
    vera.push(text, step)
    elsewhere = a_correction(vera, record_id(text), 0.0, planter=desk.other_planter)
    of_a_step = a_correction(vera, record_id(step), 0.0)
    assert [result["outcome"] for result in vera.push(elsewhere, of_a_step)] == ["held", "held"]
    assert [row.reason for row in log.waiting()] == ["other-planter", "other-kind"]


def a_busy_day(desk: Desk) -> tuple[Phone, list[str]]:
    """Five records of one phone: two visits, both put right, one taken back, and a step."""
    vera = desk.join("Vera")
    first = vera.record(body={"level": 0.0, "plants": 2}, ago=timedelta(days=3))
    second = vera.record(body={"level": 0.75, "litres_l": 3}, ago=timedelta(days=1))
    texts = [
        first,
        second,
        a_correction(vera, record_id(first), 0.25, ago=timedelta(hours=20)),
        a_withdrawal(vera, record_id(second), ago=timedelta(hours=19)),
        vera.record(
            "step",
            body={"list": "start-up", "season": 2026, "step": "inspect"},
            ago=timedelta(hours=1),
        ),
    ]
    return vera, texts


def test_F3_the_card_is_the_same_whatever_order_the_records_come_in(desk: Desk) -> None:
    """All 24 orders, each at a planter of its own, one record a batch."""
    vera, texts = a_busy_day(desk)
    texts = texts[:4]
    cards = set()
    for number, order in enumerate(itertools.permutations(texts)):
        planter = desk.add_planter(f"Row {number}", gauge="float")
        fresh = {record_id(text): str(uuid.uuid4()) for text in texts}
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(assess, "assess_quietly", lambda ctx, keys: None)
            for text in order:
                moved = text.replace(desk.planter, planter)
                for old, new in fresh.items():
                    moved = moved.replace(old, new)
                (result,) = vera.push(moved)
                assert result["outcome"] == "stored"
        assess.assess(desk.ctx, [planter])
        said = repr({**bare(desk.card(planter)), "id": "", "name": "", "code": ""})
        for old, new in fresh.items():
            said = said.replace(new, old)
        cards.add(said)
    assert len(cards) == 1


def test_F3_in_order_and_reversed_with_every_card_made_on_the_way(desk: Desk) -> None:
    vera, texts = a_busy_day(desk)
    vera.push(*texts)
    forward = bare(desk.card())
    moved = [text.replace(desk.planter, desk.other_planter) for text in reversed(texts)]
    fresh = {record_id(text): str(uuid.uuid4()) for text in texts}
    for text in moved:
        for old, new in fresh.items():
            text = text.replace(old, new)
        vera.push(text)
    backward = bare(desk.card(desk.other_planter))
    kinds = [(visit["kind"], visit["level"], visit["at"]) for visit in forward["visits"]]
    assert kinds == [(visit["kind"], visit["level"], visit["at"]) for visit in backward["visits"]]
    assert forward["state"]["level"]["value"] == backward["state"]["level"]["value"] == 0.25
