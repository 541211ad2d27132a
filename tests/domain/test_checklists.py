"""Winterization and start-up: what is done, what is proven, and what is missing.

The steps and the proof they ask for are common practice, no source.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from build import WINTER, a_step, a_withdrawal
from potrounds.domain.checklists import ListProgress, Where, progress
from potrounds.domain.records import LISTS as RECORD_LISTS
from potrounds.domain.records import Record
from potrounds.domain.step_lists import LISTS, standard
from potrounds.domain.visits import standing

LATER = WINTER + timedelta(days=9)
PHOTO = ["a" * 64]


def winter(*records: Record, **around: Any) -> ListProgress:
    return progress(standing(records).steps, "winterization", 2026, **around)


def spring(*records: Record) -> ListProgress:
    return progress(standing(records).steps, "start-up", 2026)


def pulled(**words: Any) -> Record:
    return a_step("pull-plug", **({"on": WINTER, "by": "Maud", "photos": PHOTO} | words))


def bagged(**words: Any) -> Record:
    return a_step("bag-plug", **({"on": WINTER, "hour": 11, "plug_place": "Bag M2"} | words))


def looked(**words: Any) -> Record:
    return a_step("second-look", **({"on": LATER, "standing_water": False} | words))


@pytest.mark.parametrize("list_name", RECORD_LISTS)
def test_every_step_says_what_and_why_and_asks_for_a_known_proof(list_name: str) -> None:
    steps = LISTS[list_name]
    assert len({step.code for step in steps}) == len(steps)
    for step in steps:
        assert step.title.strip()
        assert step.why.strip()
        assert step.proof in ("none", "photo-or-second", "place", "look")
        assert step.applies_to in ("all", "planted")
        assert standard(list_name).step(step.code) is step
    assert standard(list_name).step("no-such-step") is None
    assert standard("no-such-list").step("flush") is None


def test_nothing_recorded_is_not_begun() -> None:
    list_progress = winter()
    assert (list_progress.state, list_progress.done, list_progress.of) == ("not-begun", 0, 9)
    assert (list_progress.next, list_progress.missing) == ("stop-water", ())
    assert list_progress.step("no-such-step") is None


def test_steps_before_the_plug_are_under_way() -> None:
    list_progress = winter(
        a_step("stop-water", on=date(2026, 10, 2), by="Maud"),
        a_step("read-level", on=WINTER, level=0.25, photos=PHOTO),
    )
    assert (list_progress.state, list_progress.done) == ("under-way", 2)
    assert list_progress.next == "pull-plug"
    assert list_progress.step("stop-water").by == "Maud"
    assert list_progress.step("read-level").level == 0.25
    assert "The drain plug is not pulled yet" in list_progress.missing


def test_a_pulled_plug_alone_is_unproven() -> None:
    list_progress = winter(pulled(photos=[]))
    assert list_progress.state == "unproven"
    assert list_progress.step("pull-plug").state == "unproven"
    assert list_progress.missing == (
        "A photo or a second person at the plug",
        "Where the plug is now",
        "Second look still to come",
    )


@pytest.mark.parametrize(
    "proof",
    [
        [pulled(photos=PHOTO)],
        [pulled(photos=[], second="Kofi")],
        [pulled(photos=[]), pulled(photos=[], by="Kofi", hour=12)],
    ],
    ids=["photo", "second named", "two people recorded it"],
)
def test_a_photo_or_a_second_person_proves_the_plug(proof: list[Record]) -> None:
    assert winter(*proof).step("pull-plug").state == "done"
    assert winter(*proof, bagged(), looked()).state == "proven"


@pytest.mark.parametrize(
    "claim",
    [
        [pulled(photos=[], second="maud ")],
        [pulled(photos=[], second="  ")],
        [pulled(photos=[]), pulled(photos=[], hour=12)],
        [pulled(photos=[]), pulled(photos=[], by="Kofi", outcome="not-needed")],
    ],
    ids=["oneself named", "nobody named", "the same person twice", "the other did not do it"],
)
def test_ones_own_word_twice_proves_nothing(claim: list[Record]) -> None:
    assert winter(*claim, bagged(), looked()).state == "unproven"


def test_once_the_plug_is_out_what_belongs_before_it_is_past() -> None:
    assert winter(a_step("flush", on=WINTER)).next == "stop-water"
    assert winter(pulled()).next == "bag-plug"
    assert winter(pulled(), bagged()).next == "flush"
    assert winter(pulled(photos=[])).next == "pull-plug"


def test_the_plugs_place_must_be_written_down() -> None:
    assert winter(pulled(), bagged(plug_place=""), looked()).missing == ("Where the plug is now",)
    assert winter(pulled(plug_place="Bag M2"), looked()).state == "proven"
    assert winter(pulled(), bagged(), looked()).step("bag-plug").plug_place == "Bag M2"


def test_the_second_look_comes_a_night_after_and_finds_no_water() -> None:
    assert winter(pulled(), bagged()).missing == ("Second look still to come",)
    same_day = winter(pulled(), bagged(), looked(on=WINTER, hour=18))
    assert same_day.missing == ("Second look still to come, on a later day",)
    silent = winter(pulled(), bagged(), looked(standing_water=None))
    assert silent.missing == ("Whether water stood at the second look",)
    unsure = winter(pulled(), bagged(), looked(time_uncertain=True))
    assert unsure.missing == ("A look on a day that is sure",)
    assert winter(pulled(), bagged(), looked()).missing == ()


def test_standing_water_reopens_the_second_look() -> None:
    wet = looked(on=LATER + timedelta(days=5), standing_water=True)
    rest = [a_step(code, on=WINTER) for code in ("flush", "lift-plants", "mix", "cap-and-raise")]
    assert winter(pulled(), bagged(), looked(), *rest).next is None
    list_progress = winter(pulled(), bagged(), looked(), wet, *rest)
    assert list_progress.state == "unproven"
    assert list_progress.next == "second-look"
    assert "Standing water at the second look on Tuesday 3 November" in list_progress.missing[0]
    dry = looked(on=LATER + timedelta(days=8))
    assert winter(pulled(), bagged(), looked(), wet, dry).state == "proven"


def test_a_plug_put_back_voids_the_pull_and_the_look() -> None:
    back = datetime(2026, 11, 1, tzinfo=UTC)
    steps = (pulled(), bagged(), looked())
    assert winter(*steps, put_back_at=back).state == "not-begun"
    again = pulled(on=date(2026, 11, 2))
    assert winter(*steps, again, put_back_at=back).missing == (
        "Where the plug is now",
        "Second look still to come",
    )


def test_a_withdrawn_step_does_not_count() -> None:
    pull = pulled()
    gone = winter(pull, bagged(), looked(), a_withdrawal(pull, on=LATER))
    assert gone.state == "under-way"


def test_a_step_that_is_not_needed_counts_and_asks_no_proof() -> None:
    not_needed = a_step("lift-plants", on=WINTER, outcome="not-needed")
    list_progress = winter(not_needed)
    assert list_progress.step("lift-plants").state == "not-needed"
    assert list_progress.done == 1
    assert winter(where=Where(planted=False)).step("lift-plants").state == "not-needed"
    assert winter(where=Where(planted=True)).step("lift-plants").state == "todo"


def test_another_season_and_another_list_do_not_count() -> None:
    assert winter(pulled(season=2025), a_step("flush", list="start-up")).state == "not-begun"
    assert winter(a_step("no-such-step", on=WINTER)).state == "not-begun"


def spring_steps(*codes: str, day: int = 5) -> list[Record]:
    return [
        a_step(code, list="start-up", on=date(2026, 4, day), hour=8 + number)
        for number, code in enumerate(codes)
    ]


def test_start_up_is_done_when_every_step_is_and_nothing_drips() -> None:
    assert spring().state == "not-begun"
    begun = spring_steps("inspect", "flush", "moisten", "plug-in", "fill")
    assert spring(*begun).state == "under-way"
    assert spring(*begun).next == "no-drips"
    rest = spring_steps("plant", "water-from-above", day=6)
    at_once = a_step("no-drips", list="start-up", on=date(2026, 4, 5), hour=20)
    assert spring(*begun, *rest, at_once).state == "unproven"
    next_day = a_step("no-drips", list="start-up", on=date(2026, 4, 6), hour=20)
    assert spring(*begun, *rest, next_day).state == "done"
    dripping = a_step("no-drips", list="start-up", on=date(2026, 4, 8), standing_water=True)
    list_progress = spring(*begun, *rest, next_day, dripping)
    assert (list_progress.state, list_progress.next) == ("unproven", "no-drips")
    assert "Dripping" in list_progress.missing[0]
