"""Check-ins that do not go together, shown firing and keeping quiet. Common practice, no source."""

from __future__ import annotations

import pytest

from build import a_check_in, a_correction, a_planter, a_step, a_withdrawal, raises, stays_quiet


def pair(one: dict, other: dict, days_ago: int = 1):
    """Two people's check-ins of one day, some hours apart."""
    return (
        a_check_in(hour=8, by="Ines", days_ago=days_ago, **one),
        a_check_in(hour=11, by="Kofi", days_ago=days_ago, **other),
    )


def test_check_ins_clash_raises_with_both_and_what_they_say() -> None:
    first, second = pair({"level": 1.0, "plants": 5}, {"level": 0.25, "plants": 2})
    evidence = raises("check_ins_clash", first, second)
    assert evidence.records == (first.id, second.id)
    assert evidence.sentence == (
        "On Sunday 9 August Ines and Kofi do not agree: the level full, then a quarter, "
        "plants thriving or failing."
    )


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ({"level": 0.25, "overflow": "ran-while-filling"}, {"level": 0.5}),
        ({"plants": 4}, {"plants": 2}),
        ({"plug": "in"}, {"plug": "out"}),
        ({"plug": "out"}, {"plug": "in"}),
    ],
)
def test_check_ins_clash_raises_for_each_thing_that_cannot_be(one: dict, other: dict) -> None:
    raises("check_ins_clash", *pair(one, other))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ({"level": 0.5}, {"level": 0.25}),  # a mark less: drunk, or read otherwise
        ({"level": 0.25, "litres_l": 8}, {"level": 1.0}),  # filled in between
        ({"level": 1.0, "plug": "out"}, {"level": 0.0}),  # it ran away
        ({"level": 0.0}, {"level": 1.0}),  # rose by itself: a rule of its own says so
        ({"plants": 4}, {"plants": 3}),
        ({"plug": "in"}, {"plug": "not-looked"}),
        ({"level": 0.5}, {"plants": 1}),
    ],
)
def test_check_ins_clash_stays_quiet_where_both_may_be_right(one: dict, other: dict) -> None:
    stays_quiet("check_ins_clash", *pair(one, other))


def test_check_ins_clash_stays_quiet_of_one_person_of_two_days_and_once_looked_again() -> None:
    first, second = pair({"plants": 5}, {"plants": 2})
    stays_quiet("check_ins_clash", first)
    stays_quiet("check_ins_clash", first, a_check_in(hour=11, by="Ines", days_ago=1, plants=2))
    stays_quiet("check_ins_clash", first, a_check_in(by="Kofi", plants=2))
    stays_quiet("check_ins_clash", first, second, a_check_in(by="Wim", plants=2))
    stays_quiet("check_ins_clash", first, second, a_withdrawal(second, by="Kofi"))
    stays_quiet("check_ins_clash", first, second, a_correction(second, plants=5, by="Kofi"))
    stays_quiet("check_ins_clash", first, second, planter=a_planter(status="retired"))
    stays_quiet("check_ins_clash", *pair({"plants": 5}, {"plants": 2}, days_ago=15))


def test_check_ins_clash_stays_quiet_when_a_step_moved_the_plug() -> None:
    first, second = pair({"plug": "in"}, {"plug": "out"})
    pulled = a_step("pull-plug", hour=10, days_ago=1, by="Kofi")
    raises("check_ins_clash", first, second)
    stays_quiet("check_ins_clash", first, pulled, second)
