"""Towns drawn at random for the planner: planters, crew, tanks, and what was told."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from potrounds.domain.rounds import (
    CrewDay,
    CrewMember,
    Litres,
    Need,
    Plan,
    Position,
    Tap,
    Told,
)
from potrounds.science.walking import walking_m
from potrounds.services.round_order import Ground
from potrounds.services.round_planner import Inputs

TODAY = date(2026, 8, 10)  # a Monday
SLOW = settings(
    max_examples=50, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)


def a_need(number: int, left: int, life: int, litres_l: float, at: Position | None) -> Need:
    """A planter dry after `left` days, and `life` days after a fill, to the day."""

    def dry(days: int) -> tuple[float, ...]:
        return tuple(float(day > days) for day in range(40))

    return Need(
        f"p-{number:02d}",
        f"Planter {number:02d}",
        f"s-{number % 3}",
        f"Site {number % 3}",
        40.0,
        at,
        dry(left),
        dry(life),
        (Litres(litres_l, litres_l, litres_l),),
        40.0 / life,
        minutes=5.0,
    )


def ground(needs: tuple[Need, ...], taps: tuple[Tap, ...] = ()) -> Ground:
    """Straight lines between them all."""
    where = [one.position for one in needs] + [tap.position for tap in taps]
    ids = [one.planter for one in needs] + [tap.id for tap in taps]
    metres = walking_m(
        [at.lat if at else None for at in where],
        [at.lon if at else None for at in where],
        [*(one.site for one in needs), *(None for _ in taps)],
    )
    return Ground({one: at for at, one in enumerate(ids)}, metres, taps, placed=frozenset(ids))


def crew_days(members: tuple[CrewMember, ...]) -> tuple[CrewDay, ...]:
    """The days of two weeks on which any of them goes out."""
    ahead = [TODAY + timedelta(days=day) for day in range(28)]
    dates = [day for day in ahead if any(one.goes_out(day) for one in members)]
    return tuple(
        CrewDay(day, tuple(one for one in members if one.goes_out(day)), dates[at + 1])
        for at, day in enumerate(dates[:-1])
        if (day - TODAY).days < 14
    )


@st.composite
def towns(draw: st.DrawFn) -> Inputs:
    """A dozen planters at most, one tap, up to three people."""
    places = st.builds(
        Position,
        st.integers(0, 100).map(lambda one: 48.0 + one / 1e4),
        st.integers(0, 100).map(lambda one: 10.0 + one / 1e4),
    )
    needs = tuple(
        a_need(
            number,
            draw(st.integers(0, 20)),
            draw(st.integers(3, 14)),
            draw(st.sampled_from([4.0, 12.5, 40.0])),
            draw(st.one_of(st.none(), places)),
        )
        for number in range(draw(st.integers(1, 12)))
    )
    taps = (Tap("w-1", "Tap", None, Position(48.005, 10.005), 15.0),)
    members = tuple(
        CrewMember(
            f"u-{number}",
            f"Person {number}",
            tuple(sorted(draw(st.sets(st.integers(0, 6), min_size=1, max_size=3)))),
            draw(st.sampled_from([30, 90, 240])),
            draw(st.sampled_from(["foot", "cart", "vehicle"])),
            draw(st.sampled_from([None, 15.0, 60.0])),
        )
        for number in range(draw(st.integers(1, 3)))
    )
    return Inputs(TODAY, needs, crew_days(members), ground(needs, taps), turns=60)


def told_by(plan: Plan) -> tuple[Told, ...]:
    """The whole plan as it would be told."""
    return tuple(Told(one.day, one.member.person, one.planters) for one in plan.rounds())
