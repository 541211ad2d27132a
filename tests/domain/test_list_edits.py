"""A list edited in mid-season: what was done stays done and named, what was proven stays proven.

Common practice, no source: the rules are the town's own fairness to who has already done the work.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from build import PLANTER, SITE, WINTER, a_calendar, a_planter, a_step
from potrounds.domain.checklists import ListProgress, Where, progress
from potrounds.domain.fold import fold
from potrounds.domain.records import Record
from potrounds.domain.season_lists import list_begins, list_ends, season_list
from potrounds.domain.step_lists import (
    CORE,
    LISTS,
    START_UP,
    WINTERIZATION,
    Edition,
    SeasonList,
    Step,
)
from potrounds.domain.visits import standing

LATER = WINTER + timedelta(days=9)
CHOCK = Step("k-chock", "Chock the pot level", "A tilted pot keeps water.", "photo-or-second")
RODS = Step("k-rods", "Put the rod back in the van", "")


def an_edit(*steps: Step, on: date, hour: int = 20, name: str = "winterization") -> Edition:
    at = datetime(on.year, on.month, on.day, hour, tzinfo=UTC)
    return Edition(name, at, on, steps)


def winter(*records: Record, plan: SeasonList, where: Where | None = None) -> ListProgress:
    where = where or Where()
    return progress(standing(records).steps, "winterization", 2026, plan=plan, where=where)


def without(code: str) -> tuple[Step, ...]:
    return tuple(step for step in WINTERIZATION if step.code != code)


def proof() -> list[Record]:
    return [
        a_step("pull-plug", on=WINTER, second="Kofi"),
        a_step("bag-plug", on=WINTER, hour=11, plug_place="box 1"),
        a_step("second-look", on=LATER, standing_water=False),
    ]


def test_a_step_added_in_mid_season_is_open_for_who_is_not_proven_only() -> None:
    plan = SeasonList(
        WINTERIZATION, (an_edit(*WINTERIZATION, CHOCK, on=LATER + timedelta(days=1)),)
    )
    proven = winter(*proof(), plan=plan)
    assert proven.state == "proven"
    chock = proven.step("k-chock")
    assert (chock.state, chock.asked) == ("not-needed", True)
    assert chock.said == "Added on Friday 30 October, when this planter was proven: not asked."
    half = winter(*proof()[:2], plan=plan)
    assert half.step("k-chock").state == "todo"
    assert "Still to do: Chock the pot level" in half.missing
    look = a_step("second-look", on=LATER + timedelta(days=4), standing_water=False)
    assert winter(*proof()[:2], look, plan=plan).state == "unproven"
    done = a_step("k-chock", on=LATER + timedelta(days=4), photos=["a" * 64])
    assert winter(*proof()[:2], look, done, plan=plan).state == "proven"


def test_a_proven_planter_may_still_do_the_new_step_and_then_its_proof_counts() -> None:
    plan = SeasonList(
        WINTERIZATION, (an_edit(*WINTERIZATION, CHOCK, on=LATER + timedelta(days=1)),)
    )
    bare = a_step("k-chock", on=LATER + timedelta(days=2))
    assert winter(*proof(), bare, plan=plan).missing == (
        "A photo or a second person at “Chock the pot level”",
    )


def test_a_step_retired_in_mid_season_stays_shown_where_it_was_done() -> None:
    plan = SeasonList(WINTERIZATION, (an_edit(*without("flush"), on=LATER),))
    done = winter(a_step("flush", on=WINTER, by="Maud"), *proof(), plan=plan)
    flush = done.step("flush")
    assert (flush.state, flush.asked, flush.title) == ("done", False, "Flush outlet and overflow")
    assert (flush.by, flush.said) == (
        "Maud",
        "Retired on Thursday 29 October; what was recorded stays.",
    )
    assert done.of == 8
    assert winter(*proof(), plan=plan).step("flush") is None
    late = winter(a_step("flush", on=LATER + timedelta(days=3)), plan=plan)
    assert late.step("flush").state == "done", "a phone that did not know yet"


def test_a_retired_step_that_lacked_proof_holds_nothing_back() -> None:
    base = (*WINTERIZATION, CHOCK)
    bare = a_step("k-chock", on=WINTER)
    assert winter(bare, *proof(), plan=SeasonList(base)).state == "unproven"
    plan = SeasonList(base, (an_edit(*WINTERIZATION, on=LATER),))
    assert winter(bare, *proof(), plan=plan).state == "proven"


def test_a_step_keeps_the_name_and_the_proof_it_had_when_it_was_done() -> None:
    strict = replace(RODS, title="Rod and bucket in the van", proof="photo-or-second")
    plan = SeasonList((*WINTERIZATION, RODS), (an_edit(*WINTERIZATION, strict, on=LATER),))
    before = winter(a_step("k-rods", on=WINTER), *proof(), plan=plan)
    assert before.step("k-rods").title == "Put the rod back in the van"
    assert before.state == "proven", "proof asked for later takes nothing back"
    again = a_step("k-rods", on=LATER + timedelta(days=1))
    assert winter(a_step("k-rods", on=WINTER), again, *proof(), plan=plan).state == "proven"
    after = winter(again, *proof(), plan=plan)
    assert after.step("k-rods").title == "Rod and bucket in the van"
    assert after.state == "unproven"


def test_a_renamed_and_moved_core_step_still_carries_the_proof() -> None:
    moved = tuple(
        replace(step, title="Take the lower bolt out") if step.code == "pull-plug" else step
        for step in reversed(WINTERIZATION)
    )
    plan = SeasonList(moved)
    assert winter(plan=plan).next == "second-look"
    assert winter(plan=plan).step("pull-plug").title == "Take the lower bolt out"
    assert winter(*proof(), plan=plan).state == "proven"
    assert set(CORE) <= {step.code for steps in LISTS.values() for step in steps}


def test_a_record_of_an_unknown_step_is_shown_and_counts_nowhere() -> None:
    strange = a_step("wrap-in-fleece", on=WINTER, by="Ruth")
    shown = winter(strange, *proof(), plan=SeasonList(WINTERIZATION))
    fleece = shown.step("wrap-in-fleece")
    assert (fleece.title, fleece.by, fleece.asked) == ("wrap-in-fleece", "Ruth", False)
    assert fleece.said.startswith("Not on this season's list")
    assert (shown.state, shown.of) == ("proven", 9)
    assert winter(strange, plan=SeasonList(WINTERIZATION)).state == "not-begun"


@pytest.mark.parametrize(
    ("applies", "which", "asked"),
    [
        ("all", (), True),
        ("size", ("Large",), True),
        ("size", ("Small",), False),
        ("site", (SITE,), True),
        ("site", ("s-other",), False),
        ("planted", (), True),
    ],
)
def test_a_step_is_asked_of_whom_it_is_for(
    applies: str, which: tuple[str, ...], asked: bool
) -> None:
    step = replace(CHOCK, applies_to=applies, which=which)
    plan = SeasonList((*WINTERIZATION, step))
    found = winter(*proof(), plan=plan, where=Where(size="Large", site=SITE))
    assert (found.state == "unproven") is asked


def test_a_place_and_a_look_of_a_custom_step_are_judged_like_the_houses_own() -> None:
    place = Step("k-washers", "Put the spare washers away", "", "place")
    look = Step("k-look", "Look at the outlet again", "", "look")
    plan = SeasonList((*WINTERIZATION, place, look))
    done = [a_step("k-washers", on=WINTER, hour=12), a_step("k-look", on=WINTER, hour=13)]
    assert winter(*proof(), *done, plan=plan).missing == (
        "Where it is now: Put the spare washers away",
        "Still to do: Look at the outlet again",
    )
    right = [
        a_step("k-washers", on=WINTER, hour=14, plug_place="tin 3"),
        a_step("k-look", on=LATER),
    ]
    proven = winter(*proof(), *done, *right, plan=plan)
    assert proven.state == "proven"
    state = fold(a_planter(), [*proof(), *right], a_calendar(), datetime(2026, 11, 20, tzinfo=UTC))
    assert state.plug.place == "box 1", "the washers' tin is not the plug's place"


def test_a_season_has_the_list_as_it_stood_when_it_began() -> None:
    summer = an_edit(*without("mix"), on=date(2026, 7, 20))
    autumn = an_edit(*without("mix"), CHOCK, on=date(2026, 10, 25))
    calendar = a_calendar(editions=(autumn, summer))
    assert list_begins(calendar, "winterization", 2026) == date(2026, 8, 1)
    assert list_ends(calendar, "winterization", 2026) == date(2027, 3, 15)
    assert list_begins(calendar, "start-up", 2027) == date(2027, 1, 14)
    earlier = season_list(calendar, "winterization", 2025)
    assert (earlier.base, earlier.edits) == (WINTERIZATION, ())
    this = season_list(calendar, "winterization", 2026)
    assert (this.base, this.edits) == (without("mix"), (autumn,))
    assert this.step("mix").title == "Keep, skim or dump the mix", "a record of it has a name"
    after = season_list(calendar, "winterization", 2027)
    assert (after.base, after.edits) == ((*without("mix"), CHOCK), ())
    assert season_list(calendar, "start-up", 2027).base == START_UP


def test_the_fold_judges_by_the_seasons_own_list() -> None:
    edit = an_edit(*without("flush"), CHOCK, on=LATER + timedelta(days=1))
    calendar = a_calendar(editions=(edit,))
    records = [*proof(), a_step("flush", on=WINTER, hour=12)]
    now = datetime(2026, 11, 20, tzinfo=UTC)
    state = fold(a_planter(), records, calendar, now)
    assert state.winterization.state == "proven"
    assert state.winterization.step("flush").asked is False
    assert fold(a_planter(), records[:2], calendar, now).winterization.state == "unproven"
    assert state.planter == PLANTER


def test_two_edits_of_one_evening_count_in_their_order() -> None:
    first = an_edit(*WINTERIZATION, CHOCK, on=WINTER, hour=18)
    second = an_edit(*WINTERIZATION, on=WINTER, hour=19)
    plan = SeasonList(WINTERIZATION, (first, second))
    assert winter(plan=plan).of == 9
    between = a_step("k-chock", on=WINTER, hour=18)
    assert winter(between, plan=plan).step("k-chock").said.startswith("Retired on")
    back = SeasonList(WINTERIZATION, (first, second, an_edit(*WINTERIZATION, CHOCK, on=LATER)))
    assert winter(between, plan=back).step("k-chock").asked is True
