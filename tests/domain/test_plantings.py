"""Plantings recorded at the planter, beside the register's own."""

from __future__ import annotations

from datetime import UTC, date, datetime
from itertools import permutations

from build import a_calendar, a_check_in, a_planter, a_record, a_withdrawal
from potrounds.domain.fold import PlanterState, fold
from potrounds.domain.planter import Planting
from potrounds.domain.records import Record, body_from

EVENING = datetime(2026, 8, 10, 20, tzinfo=UTC)
REGISTERED = date(2026, 5, 12)  # the builder's planting


def a_planting(**words: object) -> Record:
    when = {key: words.pop(key) for key in ("days_ago", "by", "time_uncertain") if key in words}
    plants = [{"name": "begonia", "count": 6}, {"name": "ivy"}]
    return a_record("planting", {"plants": plants, "scheme": "Shade", **words}, **when)


def the_state(*records: Record, planter: object = None, up_to: datetime = EVENING) -> PlanterState:
    return fold(planter or a_planter(), records, a_calendar(), up_to)  # type: ignore[arg-type]


def test_the_body_is_read_whole() -> None:
    body = {
        "plants": [{"name": "ivy", "count": 3}, {"name": "fern"}],
        "scheme": "Shade",
        "retopped": True,
        "note": "soft roots",
        "photos": ["a" * 64],
        "later": "ignored",
    }
    read = body_from("planting", body)
    assert read.plants == ("ivy", "fern")  # type: ignore[union-attr]
    assert read.counts == (3, None)  # type: ignore[union-attr]
    assert read.retopped is True  # type: ignore[union-attr]
    bare = body_from("planting", {})
    assert (bare.plants, bare.scheme, bare.retopped) == ((), "", None)  # type: ignore[union-attr]


def test_what_was_planted_here_is_what_grows_here() -> None:
    planted = a_planting(days_ago=5, by="Kofi")
    state = the_state(planted)
    assert state.planting == Planting(
        date(2026, 8, 5), ("begonia", "ivy"), "Shade", (6, None), "Kofi", planted.id
    )
    assert state.last_visit is not None
    assert state.last_visit.record == planted.id


def test_the_registers_planting_counts_where_it_is_later() -> None:
    before = a_planting(days_ago=120)
    state = the_state(before)
    assert state.planting is not None
    assert (state.planting.planted_on, state.planting.record) == (REGISTERED, None)
    # and of a planting the register only plans, the one in the ground counts
    ahead = a_planter(planting=Planting(date(2026, 9, 1), ("heather",)))
    planted = a_planting(days_ago=5)
    assert the_state(planted, planter=ahead).planting.record == planted.id  # type: ignore[union-attr]


def test_any_order_of_arrival_gives_one_planting() -> None:
    records = [a_planting(days_ago=30), a_planting(days_ago=5), a_check_in(plants=4, days_ago=6)]
    found = {the_state(*order).planting for order in permutations(records)}
    assert found == {the_state(*records).planting}
    assert found.pop().record == records[1].id  # type: ignore[union-attr]


def test_a_planting_taken_back_counts_for_nothing() -> None:
    planted = a_planting(days_ago=5)
    state = the_state(planted, a_withdrawal(planted))
    assert state.planting is not None
    assert state.planting.planted_on == REGISTERED


def test_a_time_that_is_only_a_claim_decides_nothing() -> None:
    state = the_state(a_planting(days_ago=5, time_uncertain=True))
    assert state.planting.planted_on == REGISTERED  # type: ignore[union-attr]
    assert len(state.plantings) == 1, "it is still told of"


def test_on_the_registers_own_day_it_lends_the_names_that_were_not_said() -> None:
    planter = a_planter(planting=Planting(date(2026, 8, 5), ("petunia",), "Summer"))
    bare = a_record("planting", {}, days_ago=5)
    state = the_state(bare, planter=planter)
    assert state.planting is not None
    assert (state.planting.plants, state.planting.scheme) == (("petunia",), "Summer")
    assert state.planting.record == bare.id


def test_plants_judged_before_are_gone() -> None:
    judged = a_check_in(plants=2, days_ago=9)
    assert the_state(judged).plants is not None
    assert the_state(judged, a_planting(days_ago=5)).plants is None
    assert the_state(judged, a_planting(days_ago=5), a_check_in(plants=5)).plants.score == 5  # type: ignore[union-attr]


def test_a_past_day_does_not_know_what_was_planted_later() -> None:
    state = the_state(a_planting(days_ago=5), up_to=datetime(2026, 8, 1, 20, tzinfo=UTC))
    assert state.planting is not None
    assert state.planting.planted_on == REGISTERED
