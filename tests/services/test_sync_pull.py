"""Pull: cards and own records by one number, page by page, with nothing left out."""

from __future__ import annotations

from typing import Any

import pytest

from desk import Desk, Phone, record_id
from potrounds.services import assess
from potrounds.services.refusal import Refusal
from potrounds.store import database, derived, log, register, tables


def all_pages(phone: Phone, limit: int, since: str | None = None) -> list[dict[str, Any]]:
    """Everything from a cursor on, in pages of a size."""
    items: list[dict[str, Any]] = []
    while True:
        page = phone.pull(since, limit)
        items += page["items"]
        since = page["cursor"]
        if not page["more"]:
            return items


def test_a_first_pull_brings_the_town_and_every_planter(desk: Desk) -> None:
    vera = desk.join("Vera")
    page = vera.pull()
    what = [(item["what"], item.get(item["what"], {}).get("id")) for item in page["items"]]
    assert sorted(what) == sorted(
        [("town", "town"), ("planter", desk.planter), ("planter", desk.other_planter)]
    )
    assert page["more"] is False
    assert vera.pull(page["cursor"])["items"] == []


def test_R17_pages_of_any_size_bring_the_same_in_order(desk: Desk) -> None:
    vera = desk.join("Vera")
    vera.push(*(vera.record() for _ in range(7)), vera.record(planter="p-nowhere0"))
    whole = all_pages(vera, 200)
    assert len([item for item in whole if item["what"] == "record"]) == 8
    for limit in (1, 2, 3, 5):
        items = all_pages(vera, limit)
        assert items == whole
        numbers = [item["seq"] for item in items]
        assert numbers == sorted(numbers)


def test_R17_a_card_that_changes_moves_past_the_cursor(desk: Desk) -> None:
    vera = desk.join("Vera")
    cursor = vera.pull()["cursor"]
    text = vera.record(planter=desk.other_planter, body={"level": 0.0})
    vera.push(text)
    items = vera.pull(cursor)["items"]
    assert [item["what"] for item in items] == ["record", "planter"]
    assert items[1]["planter"]["id"] == desk.other_planter
    assert items[1]["planter"]["seq"] == items[1]["seq"]
    assert items[0]["record"]["id"] == record_id(text)


def test_nothing_moves_where_nothing_changed(desk: Desk) -> None:
    vera = desk.join("Vera")
    vera.push(vera.record())
    cursor = vera.pull()["cursor"]
    assess.assess_all(desk.ctx)
    assert vera.pull(cursor)["items"] == []


def test_a_person_pulls_their_own_records_only_on_every_phone(desk: Desk) -> None:
    vera, ines = desk.join("Vera"), desk.join("Ines")
    text = vera.record(body={"note": "key under the third stone"})
    vera.push(text)
    assert ines.own() == {}
    second = desk.phone_of(vera.person, "Vera")
    assert set(second.own()) == {record_id(text)}


def test_a_correction_brings_the_record_it_changed_anew(desk: Desk) -> None:
    vera, corin = desk.join("Vera"), desk.join("Corin", "coordinator")
    text = vera.record()
    vera.push(text)
    cursor = vera.pull()["cursor"]
    fix = corin.record("correction", body={"replaces": record_id(text), "check_in": {"level": 0.0}})
    corin.push(fix)
    records = [item["record"] for item in vera.pull(cursor)["items"] if item["what"] == "record"]
    assert [(one["id"], one["replaced_by"]) for one in records] == [
        (record_id(text), record_id(fix))
    ]


@pytest.mark.parametrize("since", ["", "x", ".", "abc.", "abc.1.2", "abc.-1", "abc.1e3", "abc.²"])
def test_B45_a_cursor_nobody_gave_is_refused(desk: Desk, since: str) -> None:
    with pytest.raises(Refusal) as refused:
        desk.join("Vera").pull(since)
    assert (refused.value.status, refused.value.slug) == (400, "bad-cursor")


def test_B45_a_cursor_of_another_history_or_the_future_is_told_so(desk: Desk) -> None:
    vera = desk.join("Vera")
    history = register.setting("history")
    for since in ("0123456789ab.1", f"{history}.999999"):
        with pytest.raises(Refusal) as refused:
            vera.pull(since)
        assert (refused.value.status, refused.value.slug) == (409, "other-history")


def test_a_planter_that_left_the_register_is_told_as_gone(desk: Desk) -> None:
    """No screen removes a planter; a repair by hand may."""
    vera = desk.join("Vera")
    cursor = vera.pull()["cursor"]
    tables.Planter.delete().where(tables.Planter.id == desk.other_planter).execute()
    assess.rebuild(desk.ctx)
    gone = [item for item in vera.pull(cursor)["items"] if item["what"] == "gone"]
    assert [item["id"] for item in gone] == [desk.other_planter]
    assess.rebuild(desk.ctx)
    assert derived.get(desk.other_planter).content is None


def test_an_interrupted_assessment_is_made_up_for(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    vera = desk.join("Vera")
    monkeypatch.setattr(assess, "assess_quietly", lambda ctx, keys: None)
    vera.push(vera.record(body={"level": 0.0}))
    monkeypatch.undo()
    assert desk.card()["state"]["level"] is None
    assert derived.stale_keys() == [desk.planter]
    assert assess.assess_stale(desk.ctx) == 1
    assert desk.card()["state"]["level"]["value"] == 0.0
    assert derived.stale_keys() == []


def test_a_rule_that_stumbles_costs_no_record(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    vera = desk.join("Vera")

    def stumble(*args: Any) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(assess, "raise_flags", stumble)
    (result,) = vera.push(vera.record())
    assert result["outcome"] == "stored"
    assert len(log.of_planter(desk.planter)) == 1
    assert derived.stale_keys() == [desk.planter]


def test_a_new_day_is_assessed_at_its_first_pull(desk: Desk) -> None:
    vera = desk.join("Vera")
    vera.push(vera.record(body={"level": 1.0}))
    cursor = vera.pull()["cursor"]
    desk.clock.tick(days=1)
    items = vera.pull(cursor)["items"]
    assert "town" in [item["what"] for item in items]
    assert next(item["town"]["today"] for item in items if item["what"] == "town") == "2026-05-05"
    desk.clock.tick(days=20)
    vera.pull(cursor)
    assert "not_visited" in [flag["code"] for flag in desk.card()["flags"]]


def test_rebuild_changes_nothing_but_numbers_and_stamps(desk: Desk) -> None:
    vera, corin = desk.join("Vera"), desk.join("Corin", "coordinator")
    for days in range(12):
        desk.clock.tick(days=2)
        vera.push(vera.record(body={"level": 0.25 * (days % 5), "litres_l": 4, "plants": 4}))
        corin.push(corin.record(planter=desk.other_planter, body={"signs": ["wilting"]}))
    vera.push(vera.record(body={"level": 0.0, "plants": 2, "signs": ["wilting"]}))
    corin.push(corin.record("decision", body={"flag": "running_dry", "decision": "seen"}))
    assess.assess_all(desk.ctx)

    def stripped() -> dict[str, Any]:
        return {
            card.key: {
                key: value
                for key, value in card.content.items()
                if key not in ("seq", "assessed_at")
            }
            for card in derived.all_cards()
        }

    before, number = stripped(), log.last_number()
    desk.clock.tick(minutes=1)
    assess.rebuild(desk.ctx)
    assert stripped() == before
    assert len(before) == 3
    assert before[desk.planter]["flags"], "a season without any flag would prove little"
    assert min(card.seq for card in derived.all_cards()) > number
    with database.connection():
        assert log.last_number() == number + 3
