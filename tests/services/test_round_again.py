"""Planning again, whatever the town: what people were told stays unless it must change, and every
change is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from hypothesis import assume, given
from hypothesis import strategies as st

from potrounds.domain.due import chance_dry
from potrounds.domain.round_changes import changes
from potrounds.domain.rounds import CrewDay, Need, Plan, Told
from potrounds.services.round_planner import Inputs, make_plan
from round_towns import SLOW, TODAY, told_by, towns


@st.composite
def news(draw: st.DrawFn) -> Inputs:
    """A town whose plan was told, after something has changed."""
    town = draw(towns())
    after = replace(town, told=told_by(make_plan(town)))
    for what in draw(st.sets(st.sampled_from(["hot", "away", "gone"]), max_size=2)):
        at = draw(st.integers(0, 20))
        if what == "hot":
            after = replace(after, needs=_hotter(after.needs, at % len(after.needs)))
        elif what == "gone" and len(after.needs) > 1:
            needs = [one for one in after.needs if one != after.needs[at % len(after.needs)]]
            after = replace(after, needs=tuple(needs))
        elif what == "away" and after.days:
            after = replace(after, days=_without_one(after.days, at))
    return after


def _hotter(needs: tuple[Need, ...], at: int) -> tuple[Need, ...]:
    """One of them will be dry tomorrow."""
    hot = replace(needs[at], dry_before=tuple(float(day > 1) for day in range(40)))
    return (*needs[:at], hot, *needs[at + 1 :])


def _without_one(days: tuple[CrewDay, ...], at: int) -> tuple[CrewDay, ...]:
    """Somebody cannot come on one day; a day on which nobody comes is none."""
    day = days[at % len(days)]
    left = replace(day, members=day.members[1:])
    found = tuple(left if one == day else one for one in days)
    return tuple(one for one in found if one.members)


def places(plan: Plan) -> dict[str, list[tuple[date, str]]]:
    """Days and persons of each planter's stops."""
    found: dict[str, list[tuple[date, str]]] = {}
    for one in plan.rounds():
        for planter in one.planters:
            found.setdefault(planter, []).append((one.day, one.member.person))
    return found


def first_told(told: tuple[Told, ...]) -> dict[str, tuple[date, str]]:
    """The first day and person each planter was told for."""
    found: dict[str, tuple[date, str]] = {}
    for one in sorted(told, key=lambda some: (some.day, some.person)):
        for planter in one.planters:
            found.setdefault(planter, (one.day, one.person))
    return found


@SLOW
@given(towns())
def test_without_news_nothing_that_was_told_changes(inputs: Inputs) -> None:
    """Where everybody had room. Who had none may find some in a second search, and that is said."""
    plan = make_plan(inputs)
    assume(not any(day.left_out for day in plan.days))
    told = told_by(plan)
    again = make_plan(replace(inputs, told=told))
    assert changes(again, told, {}, {}) == ()
    assert first_told(told_by(again)) == first_told(told)


@SLOW
@given(news())
def test_whatever_is_not_as_told_is_said_and_nothing_else(after: Inputs) -> None:
    again = make_plan(after)
    said = changes(again, after.told, {}, {})
    now, told = places(again), first_told(after.told)
    told_days = {one.day for one in after.told}
    moved = {key for key, place in told.items() if place not in now.get(key, [])}
    added = {
        key for key, some in now.items() if key not in told and any(d in told_days for d, _ in some)
    }
    assert {one.planter for one in said if one.what in ("moved", "dropped")} == moved
    assert {one.planter for one in said if one.what == "added"} == added
    assert all(one.sentence.endswith(".") and len(one.sentence) > 20 for one in said)


@SLOW
@given(news())
def test_what_was_told_moves_only_where_it_must(after: Inputs) -> None:
    """It is gone, its person or day is, it cannot wait, or others who cannot wait took its room."""
    again, told = make_plan(after), first_told(after.told)
    now, needs = places(again), {one.planter: one for one in after.needs}
    days = {one.day: one for one in after.days}
    left_out = {visit.need.planter for day in again.days for visit in day.left_out}
    for key, (day, person) in told.items():
        if (day, person) in now.get(key, []):
            continue
        there = days.get(day)
        forced = (
            key not in needs
            or there is None
            or person not in {one.person for one in there.members}
            or _too_late(needs[key], day, after)
            or key in left_out
            or _full(again, day, person)
        )
        assert forced, f"{key} told for {day} moved to {now.get(key)} for no reason"


def _too_late(need: Need, day: date, inputs: Inputs) -> bool:
    """Whether an earlier crew day is the last that is soon enough."""
    return any(
        chance_dry(need, None, TODAY, one.next_day) > inputs.risk
        for one in inputs.days
        if one.day < day
    )


def _full(plan: Plan, day: date, person: str) -> bool:
    """Whether a person's round has no room for one stop more, or was never begun for its sake."""
    mine = [one for one in plan.rounds() if (one.day, one.member.person) == (day, person)]
    return all(one.minutes + 5.0 > one.member.minutes for one in mine)
