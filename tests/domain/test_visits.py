"""Corrections and withdrawals: what stands, whatever the order of arrival (R3, R12, F53)."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from build import (
    a_check_in,
    a_correction,
    a_decision,
    a_record,
    a_report,
    a_step,
    a_withdrawal,
)
from potrounds.domain.records import Correction, Record, Withdrawal
from potrounds.domain.visits import effective, fate, standing


def levels(*records: Record) -> list[float | None]:
    return [visit.check_in.level for visit in effective(records)]


def test_a_correction_replaces_and_keeps_the_first_id_time_and_author() -> None:
    first = a_check_in(level=1, days_ago=3, by="Kofi")
    correction = a_correction(first, level=0.25)
    (visit,) = effective([first, correction])
    assert visit.check_in.level == 0.25
    assert (visit.record, visit.correction, visit.corrected) == (first.id, correction.id, True)
    assert (visit.at, visit.by, visit.person) == (first.observed_at, "Kofi", "u-kofi")


def test_F53_a_correction_may_arrive_before_its_original() -> None:
    first = a_check_in(level=1, days_ago=3)
    correction = a_correction(first, level=0.25)
    assert effective([correction, first]) == effective([first, correction])
    assert effective([correction]) == ()


def test_the_latest_correction_wins_and_not_the_last_to_arrive() -> None:
    first = a_check_in(level=1, days_ago=5)
    early = a_correction(first, level=0.5, days_ago=-1)
    late = a_correction(first, level=0.25, days_ago=-2)
    assert levels(late, early, first) == [0.25]
    assert fate([first, early, late], first.id).replaced_by == late.id
    assert fate([first, early, late], early.id).replaced_by == late.id
    assert fate([first, early, late], late.id).replaced_by is None


def test_of_corrections_at_one_moment_the_higher_number_wins_then_the_higher_id() -> None:
    first = a_check_in(level=1, days_ago=5)
    low = a_correction(first, level=0.5, n=8, id="c-1")
    high = a_correction(first, level=0.25, n=9, id="c-0")
    assert levels(first, high, low) == [0.25]
    same = a_correction(first, level=0.75, n=9, id="c-2")
    assert levels(same, first, high, low) == [0.75]


def test_a_correction_of_a_correction_ends_at_the_check_in() -> None:
    first = a_check_in(level=1, days_ago=5)
    second = a_correction(first, level=0.5)
    third = a_correction(second, level=0.25, by=first.author_name)
    assert levels(third, second, first) == [0.25]


def test_a_withdrawn_check_in_is_gone_and_its_correction_with_it() -> None:
    first = a_check_in(level=1, days_ago=5)
    correction = a_correction(first, level=0.5)
    assert levels(first, a_withdrawal(first), correction) == []
    assert fate([first, a_withdrawal(first)], first.id).withdrawn


def test_a_withdrawn_correction_brings_back_what_stood_before() -> None:
    first = a_check_in(level=1, days_ago=5)
    correction = a_correction(first, level=0.5)
    assert levels(first, correction, a_withdrawal(correction)) == [1]


def test_B37_a_loop_of_corrections_changes_nothing() -> None:
    first = a_check_in(level=1, days_ago=5)
    loop_a = a_record("correction", Correction("c-b", first.body), id="c-a")  # type: ignore[arg-type]
    loop_b = a_record("correction", Correction("c-a", first.body), id="c-b")  # type: ignore[arg-type]
    itself = a_record("correction", Correction("c-c", first.body), id="c-c")  # type: ignore[arg-type]
    assert levels(loop_a, first, loop_b, itself) == [1]


def test_B36_nobody_changes_what_another_saw() -> None:
    first = a_check_in(level=1, days_ago=5, by="Ines")
    assert levels(first, a_correction(first, level=0, by="Kofi")) == [1]
    assert levels(first, a_withdrawal(first, by="Kofi")) == [1]
    report = a_report("dry")
    assert len(standing([report, a_withdrawal(report, by="")]).reports) == 1


def test_a_coordinator_may_put_right_or_take_back_anyones() -> None:
    first = a_check_in(level=1, days_ago=5, by="Ines")
    correction = a_correction(first, level=0.5, by="Pilar", coordinator=True)
    assert levels(first, correction) == [0.5]
    assert effective([first, correction])[0].by == "Ines"
    assert levels(first, a_withdrawal(first, by="Pilar", coordinator=True)) == []
    report = a_report("dry")
    gone = a_withdrawal(report, by="Pilar", coordinator=True)
    assert standing([report, gone]).reports == ()


def test_T12_using_anothers_id_displaces_nothing() -> None:
    first = a_check_in(level=1, days_ago=5, by="Ines", id="r-same")
    forged = a_check_in(level=0, days_ago=6, by="Kofi", id="r-same")
    gone = a_withdrawal(forged, by="Kofi")
    assert sorted(levels(first, forged)) == [0, 1]
    assert levels(forged, gone, first) == [1]
    assert fate([first, forged, gone], "r-same", author="u-ines").withdrawn is False
    assert fate([first, forged, gone], "r-same", author="u-kofi").withdrawn is True


def test_steps_and_decisions_can_be_withdrawn_too() -> None:
    step = a_step("flush", days_ago=2)
    decision = a_decision("running_dry", "seen")
    stands = standing([step, decision])
    assert (len(stands.steps), len(stands.decisions)) == (1, 1)
    stands = standing([a_withdrawal(step), step, decision, a_withdrawal(decision)])
    assert (stands.steps, stands.decisions) == ((), ())


def test_a_withdrawal_is_final_and_one_of_the_unknown_waits() -> None:
    first = a_check_in(level=1, days_ago=5)
    gone = a_withdrawal(first)
    assert levels(first, gone, a_withdrawal(gone)) == []
    lost = a_record("withdrawal", Withdrawal("r-unknown"))
    assert levels(first, lost) == [1]
    assert fate([first], "r-unknown").withdrawn is False


def test_the_order_is_that_of_the_field() -> None:
    old, new = a_check_in(level=0.5, days_ago=4), a_check_in(level=1, days_ago=2)
    assert levels(new, old) == [0.5, 1]
    twin_a = replace(old, id="r-a", device="a", n=2)
    twin_b = replace(old, id="r-b", device="a", n=1)
    twin_c = replace(old, id="r-c", device="0", n=3)
    twins = effective([twin_a, twin_b, twin_c])
    assert [visit.record for visit in twins] == ["r-c", "r-b", "r-a"]


def test_a_day_is_taken_in_the_towns_zone() -> None:
    late = a_check_in(level=1, hour=3)
    (visit,) = effective([late], "America/Chicago")
    assert visit.day == late.observed_at.date() - timedelta(days=1)


PEOPLE = ("Ines", "Kofi", "Maud")


@st.composite
def tangles(draw: st.DrawFn) -> list[Record]:
    """Check-ins by several people, with corrections and withdrawals of anything by anyone."""
    records: list[Record] = []
    for number in range(draw(st.integers(1, 10))):
        by, hour = draw(st.sampled_from(PEOPLE)), draw(st.integers(0, 23))
        when = {"by": by, "hour": hour, "id": f"r-{number}", "n": draw(st.integers(0, 3))}
        what = draw(st.sampled_from(["check-in", "correction", "withdrawal"]))
        level = draw(st.sampled_from([0.0, 0.25, 0.5, 0.75, 1.0]))
        aim = f"r-{draw(st.integers(0, 9))}"
        if what == "check-in":
            records.append(a_check_in(level=level, **when))
        elif what == "correction":
            body = {"replaces": aim, "check_in": {"level": level}}
            records.append(a_record("correction", body, **when))
        else:
            records.append(a_record("withdrawal", {"replaces": aim}, **when))
    return records


@settings(deadline=None)
@given(records=tangles(), seed=st.integers(0, 2**16))
def test_R12_any_order_of_arrival_and_any_repeat_give_the_same(
    records: list[Record], seed: int
) -> None:
    shuffled = records + records[: len(records) // 2]
    random.Random(seed).shuffle(shuffled)
    assert standing(shuffled) == standing(records)


@settings(deadline=None)
@given(records=tangles())
def test_T11_no_tangle_of_others_changes_what_one_person_recorded(records: list[Record]) -> None:
    own = [record for record in records if record.author == "u-ines"]
    alone = effective(own)
    among = tuple(visit for visit in effective(records) if visit.person == "u-ines")
    links_of_others = {r.id for r in records if r.author != "u-ines"}
    through_others = [
        record
        for record in own
        if isinstance(record.body, Correction) and record.body.replaces in links_of_others
    ]
    if not through_others:
        assert among == alone
