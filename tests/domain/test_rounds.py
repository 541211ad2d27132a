"""Rounds in the domain: hours, keys, minutes learnt, and how a day's stops went."""

from __future__ import annotations

import random
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build import a_check_in, a_record, a_withdrawal
from potrounds.domain.records import Record, RoundMark, StopMark
from potrounds.domain.round_course import StopState, course
from potrounds.domain.rounds import Told, quarter_hours, read_round_key, round_key, way_min
from potrounds.domain.service_minutes import CheckedIn, minutes_a_stop

DAY = date(2026, 8, 10)
PEOPLE = ("u-ana", "u-ben", "u-cy")
ANA, BEN, CY = (round_key(DAY, person) for person in PEOPLE)


# --- hours and keys ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("minutes", "told"),
    [(0, 0), (7.4, 0), (7.5, 15), (15, 15), (22.4, 15), (22.5, 30), (52.5, 60), (-3, 0)],
)
def test_hours_to_the_quarter_half_up(minutes: float, told: int) -> None:
    """Common practice, no source: the town's own rule, the same for everybody."""
    assert quarter_hours(minutes) == told


def test_a_key_reads_back() -> None:
    assert read_round_key(ANA) == (DAY, "u-ana")
    for wrong in ("", "round-", "round-2026-02-30-u-ana", "round-2026-08-10", "p-ferry001"):
        assert read_round_key(wrong) is None


def test_a_long_way_is_driven() -> None:
    """80 m a minute on foot, 250 m a minute by vehicle: judgement of the table of paces."""
    assert way_min("foot", 800, 1500) == 10
    assert way_min("foot", 2500, 1500) == 10


# --- minutes a stop ------------------------------------------------------------------------------


def walk(*stops: tuple[str, float], device: str = "phone") -> list[CheckedIn]:
    """Check-ins so many minutes after each other."""
    at, found = datetime(2026, 8, 1, 8, tzinfo=UTC), []
    for planter, minutes in stops:
        at += timedelta(minutes=minutes)
        found.append(CheckedIn(planter, device, at))
    return found


def no_way(one: str, other: str) -> float:
    return 0.0


def test_without_visits_the_prior_stands() -> None:
    assert minutes_a_stop([], no_way) == (5.0, {})


def test_many_visits_outweigh_the_prior_and_a_break_does_not_count() -> None:
    """Twenty stops of 9 minutes and a lunch: the median by hand is 9."""
    seen = walk(*[(f"p-{at % 5}", 9.0) for at in range(21)], ("p-0", 90.0))
    town, own = minutes_a_stop(seen, no_way)
    assert town == 9.0
    assert own["p-1"] == 9.0


def test_the_way_between_is_taken_off() -> None:
    seen = walk(*[(f"p-{at % 5}", 9.0) for at in range(30)])
    town, _ = minutes_a_stop(seen, lambda one, other: 2.0)
    assert town == 7.0


def test_two_phones_do_not_share_a_gap() -> None:
    seen = walk(("p-0", 0.0), ("p-1", 30.0)) + walk(("p-2", 5.0), device="other")
    _, own = minutes_a_stop(seen, no_way)
    assert set(own) == {"p-1"}


# --- how a day went ------------------------------------------------------------------------------


def a_stop(what: str, planter: str, on: str, by: str, hour: int, **body: object) -> Record:
    mark = StopMark(on, what, **body)  # type: ignore[arg-type]
    return a_record("stop", mark, planter=planter, by=by, hour=hour)


def a_mark(what: str, on: str, by: str, minute: int, **body: object) -> Record:
    at = datetime(2026, 8, 10, 9, tzinfo=UTC) + timedelta(minutes=minute)
    mark = RoundMark(on, what, **body)  # type: ignore[arg-type]
    return a_record("round", mark, planter="town", by=by, observed_at=at)


TOLD = (
    Told(DAY, "u-ana", ("p-1", "p-2")),
    Told(DAY, "u-ben", ("p-3",)),
)


def stops(*records: Record) -> dict[str, StopState]:
    return {one.planter: one for one in course(DAY, TOLD, records, PEOPLE).stops}


def test_a_check_in_does_a_stop_whoever_made_it() -> None:
    visit = a_record("check-in", {"level": 0.5}, planter="p-1", by="Ben")
    found = stops(visit)["p-1"]
    assert (found.state, found.person, found.by) == ("done", "u-ana", "Ben")


def test_a_phone_with_a_wrong_clock_says_the_round_by_name() -> None:
    late = a_record(
        "check-in", {"level": 0.5, "round": ANA}, planter="p-1", by="Ana", on=date(2026, 8, 12)
    )
    assert stops(late)["p-1"].state == "done"


def test_a_check_in_on_the_round_that_nobody_planned_joins_it() -> None:
    found = stops(a_record("check-in", {"round": BEN}, planter="p-9", by="Ben"))["p-9"]
    assert (found.state, found.person, found.told_to) == ("done", "u-ben", None)


def test_the_last_hand_over_decides() -> None:
    first = a_stop("handed", "p-1", ANA, "Ana", 9, to="u-ben")
    second = a_stop("handed", "p-1", ANA, "Ana", 10, to="u-cy")
    for records in ((first, second), (second, first)):
        assert stops(*records)["p-1"].person == "u-cy"


def test_a_skip_by_who_no_longer_holds_the_stop_is_not_followed() -> None:
    handed = a_stop("handed", "p-1", ANA, "Ana", 9, to="u-ben")
    late_skip = a_stop("skipped", "p-1", ANA, "Ana", 10, reason="no-time")
    assert stops(handed, late_skip)["p-1"].state == "to-do"


def test_what_was_skipped_and_done_after_all_is_done() -> None:
    skip = a_stop("skipped", "p-1", ANA, "Ana", 9, reason="no-time")
    visit = a_record("check-in", {"level": 0.5}, planter="p-1", by="Cy", hour=11)
    assert stops(visit, skip)["p-1"].state == "done"


def test_a_hand_over_to_nobody_we_know_keeps_the_stop() -> None:
    assert stops(a_stop("handed", "p-1", ANA, "Ana", 9, to="u-gone"))["p-1"].person == "u-ana"


def test_one_that_is_added_while_another_holds_it_changes_hands() -> None:
    found = stops(a_stop("added", "p-3", CY, "Cy", 9))["p-3"]
    assert (found.person, found.handed_by, found.told_to) == ("u-cy", "Cy", "u-ben")


marks = st.lists(
    st.one_of(
        st.builds(
            a_stop,
            st.just("handed"),
            st.sampled_from(["p-1", "p-2", "p-3"]),
            st.sampled_from([ANA, BEN, CY]),
            st.sampled_from(["Ana", "Ben", "Cy"]),
            st.integers(6, 20),
            to=st.sampled_from(PEOPLE),
        ),
        st.builds(
            a_stop,
            st.sampled_from(["skipped", "added"]),
            st.sampled_from(["p-1", "p-2", "p-3", "p-4"]),
            st.sampled_from([ANA, BEN, CY]),
            st.sampled_from(["Ana", "Ben", "Cy"]),
            st.integers(6, 20),
            reason=st.just("other"),
        ),
        st.builds(
            a_check_in,
            level=st.just(0.5),
            hour=st.integers(6, 20),
            by=st.sampled_from(["Ana", "Ben", "Cy"]),
        ),
    ),
    max_size=12,
)


@given(marks, st.randoms(use_true_random=False))
def test_no_stop_is_lost_or_twice_in_any_order_of_arrival(
    records: list[Record], chance: random.Random
) -> None:
    records += [a_withdrawal(one) for one in records[::4]]
    shuffled = [*records, *records[:3]]  # some come twice
    chance.shuffle(shuffled)
    found = course(DAY, TOLD, records, PEOPLE)
    assert course(DAY, TOLD, shuffled, PEOPLE) == found
    planters = [one.planter for one in found.stops]
    assert len(planters) == len(set(planters))
    assert {"p-1", "p-2", "p-3"} <= set(planters)
    assert sum(len(found.of(person)) for person in PEOPLE) == len(planters)


def test_spans_add_up_and_are_rounded_once() -> None:
    """20 and 18 minutes are 38, told as 45; rounded each they would be 15 and 15."""
    records = [
        a_mark("started", ANA, "Ana", 0),
        a_mark("ended", ANA, "Ana", 20),
        a_mark("started", ANA, "Ana", 60),
        a_mark("ended", ANA, "Ana", 78),
    ]
    found = course(DAY, TOLD, records, PEOPLE).hours["u-ana"]
    assert (found.exact_min, found.minutes, found.under_way) == (38.0, 45, False)


def test_a_second_start_is_a_slip_of_the_thumb() -> None:
    records = [
        a_mark("started", ANA, "Ana", 0),
        a_mark("started", ANA, "Ana", 30),
        a_mark("ended", ANA, "Ana", 60),
        a_mark("ended", ANA, "Ana", 61),
    ]
    assert course(DAY, TOLD, records, PEOPLE).hours["u-ana"].exact_min == 60.0


def test_times_that_are_only_a_claim_give_no_hours() -> None:
    start, end = a_mark("started", ANA, "Ana", 0), a_mark("ended", ANA, "Ana", 60)
    doubtful = Record(**{**vars(start), "time_uncertain": True})
    found = course(DAY, TOLD, [doubtful, end], PEOPLE).hours["u-ana"]
    assert (found.minutes, found.exact_min) == (0, None)


def test_only_oneself_starts_and_a_coordinator_puts_hours_right() -> None:
    assert course(DAY, TOLD, [a_mark("started", ANA, "Ben", 0)], PEOPLE).hours == {}
    right = a_record("round", RoundMark(ANA, "hours", 50), planter="town", by="Pilar")
    assert course(DAY, TOLD, [right], PEOPLE).hours == {}
    right = Record(**{**vars(right), "extra": {"author_role": "coordinator"}})
    found = course(DAY, TOLD, [right], PEOPLE).hours["u-ana"]
    assert (found.minutes, found.by_hand) == (45, True)
