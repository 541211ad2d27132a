"""What must hold whatever is told: properties of the filter and its forecast."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from potrounds.science import ensemble
from potrounds.science.ensemble import PlanterFacts, Q
from potrounds.science.evidence import CheckIns
from potrounds.science.season import Outlook, Season
from potrounds.science.water_balance import Flows, Stores, step_day, unaccounted
from potrounds.science.weather_ahead import Days, Normals

FIRST = date(2023, 5, 1)
PLANTED = date(2023, 3, 1)
NAN = float("nan")
RESERVOIR_L, MIX_L, TOP_M2 = 25.0, 100.0, 0.32
FEW = settings(max_examples=8, deadline=None, derandomize=True)
#: The filter counts in float32: 60 L are known to 4e-6 L, and a day takes some ten steps.
FLOAT32_L = 2e-4


def season(guesses: int = 384) -> Season:
    facts = [PlanterFacts("planter-0", MIX_L, RESERVOIR_L, TOP_M2, "full", "open", PLANTED)]
    months = [np.full(12, value) for value in (6.0, 24.0, 0.1, 4.0, 2.0)]
    return Season(facts, 45.0, Normals(*months), FIRST, guesses=guesses, draws=192)


def sky(day: date, count: int, warmer: float = 0.0, rain: float = 0.0) -> Days:
    low, high = np.full(count, 12.0 + warmer), np.full(count, 26.0 + warmer)
    return Days(day, low, high, np.full(count, rain), np.full(count, 2.0))


def told(level: float = NAN, litres: float = NAN, overflow: float = NAN) -> CheckIns:
    columns = [np.full((1, 1), one, np.float32) for one in (level, litres, overflow, NAN)]
    return CheckIns(np.array([0]), *columns)


def lived(days: int, visits: dict[int, CheckIns], rain: dict[int, float] | None = None) -> Season:
    """A season on the morning after so many days."""
    town = season()
    for number in range(days):
        day = FIRST + timedelta(number)
        town.begin_day(day, sky(day, 7))
        if number in visits:
            town.check_in(visits[number])
        town.end_day(sky(day, 1, rain=(rain or {}).get(number, 0.0)))
    day = FIRST + timedelta(days)
    town.begin_day(day, sky(day, 7))
    return town


def spread_of_use(town: Season) -> float:
    e = town.calibration.ensemble
    w = np.exp(e.log_weight[0] - e.log_weight[0].max())
    w /= w.sum()
    mean = np.sum(w * e.q[Q.USE, 0])
    return float(np.sqrt(np.sum(w * (e.q[Q.USE, 0] - mean) ** 2)))


VISITS = st.dictionaries(
    st.integers(2, 13),
    st.tuples(
        st.sampled_from([NAN, 0.0, 0.25, 0.5, 0.75, 1.0]),
        st.one_of(st.just(NAN), st.floats(0.0, 60.0)),
        st.sampled_from([NAN, 0.0, 1.0]),
    ).map(lambda values: told(*values)),
    max_size=4,
)


def ordered(out: Outlook) -> bool:
    return bool(0 <= out.p10[0] <= out.median[0] <= out.p90[0])


@FEW
@given(visits=VISITS, more_l=st.floats(0.5, 20.0))
def test_more_water_never_shortens_the_forecast(visits: dict[int, CheckIns], more_l: float) -> None:
    """The same guesses run through the same weather, so medians are compared without tolerance."""
    town = lived(14, visits)
    before = town.forecast()
    e = town.calibration.ensemble
    brim = RESERVOIR_L * np.exp(e.q[Q.CAPACITY])
    e.q[Q.RESERVOIR] = np.maximum(
        e.q[Q.RESERVOIR], np.minimum(e.q[Q.RESERVOIR] + more_l, brim)
    ).astype(np.float32)
    after = town.forecast()
    assert ordered(before)
    assert ordered(after)
    assert after.median[0] >= before.median[0]
    assert after.top_up_l[0] <= before.top_up_l[0]


@FEW
@given(visits=VISITS, warmer=st.floats(0.5, 12.0))
def test_a_hotter_forecast_never_lengthens_it(visits: dict[int, CheckIns], warmer: float) -> None:
    """Scenarios are drawn from one seed: warmer days move every one of them the same way.

    Compared as drawn: what keeps intervals honest spreads them about the median, which it keeps.
    """
    town = lived(14, visits)
    town.honest = False
    mild = town.forecast()
    town.begin_day(town.day, sky(town.day, 7, warmer=warmer))
    hot = town.forecast()
    assert hot.median[0] <= mild.median[0]
    assert hot.p10[0] <= mild.p10[0]
    assert hot.p90[0] <= mild.p90[0]
    assert hot.top_up_l[0] == mild.top_up_l[0]  # what is there today is not a matter of tomorrow


@FEW
@given(use=st.floats(0.0, 0.9), gap=st.integers(3, 6))
def test_exact_readings_narrow_what_is_believed(use: float, gap: int) -> None:
    """A planter of a known thirst is filled to its brim every few days, the litres true."""
    town, spreads = season(), []
    held = MIX_L * 0.245
    true = Stores(np.array(RESERVOIR_L), np.array(held))
    for number in range(48):
        day = FIRST + timedelta(number)
        town.begin_day(day, sky(day, 7))
        if number % gap == 0:
            room = RESERVOIR_L - float(true.reservoir)
            town.check_in(told(litres=max(room, 0.05) + 0.06 * RESERVOIR_L, overflow=1.0))
            true = Stores(np.array(RESERVOIR_L), true.mix)
        weather = sky(day, 1)
        et0 = float(town.memory.et0(weather, 2.0)[1, 0])
        town.end_day(weather)
        true, _ = step_day(
            true,
            mix_capacity=held,
            reservoir_capacity=RESERVOIR_L,
            demand=et0 * TOP_M2 * float(np.exp(use)),
            wick_rate=1.9,
        )
        if number in (0, 23, 47):
            spreads.append(spread_of_use(town))
    assert spreads[1] < 0.6 * spreads[0]
    assert spreads[2] < 1.15 * spreads[1]  # a season's use drifts, so it does not narrow for ever


@FEW
@given(visits=VISITS, rain=st.dictionaries(st.integers(0, 13), st.floats(0.0, 60.0), max_size=4))
def test_no_guess_makes_water_or_loses_it(
    visits: dict[int, CheckIns], rain: dict[int, float]
) -> None:
    """Every day of every guess, through the filter: what went in and out is the change."""
    worst = 0.0

    def weighed(before: Stores, **more: Any) -> tuple[Stores, Flows]:
        nonlocal worst
        after, flows = step_day(before, **more)
        worst = max(worst, float(np.abs(unaccounted(before, after, flows)).max()))
        return after, flows

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ensemble, "step_day", weighed)
        town = lived(14, visits, rain)
        town.forecast()
    assert 0.0 < worst < FLOAT32_L


def test_a_town_without_any_weather_or_forecast_goes_by_the_normals_alone() -> None:
    town = season()
    for number in range(10):
        day = FIRST + timedelta(number)
        town.begin_day(day, None)
        if number == 5:
            town.check_in(told(0.5, 0.0))
        town.end_day(Days(day, *(np.array([NAN]) for _ in range(4))))
    town.begin_day(FIRST + timedelta(10), None)
    out = town.forecast()
    assert ordered(out)
    assert out.median[0] < 20  # half of 25 L, five days ago
