"""The two stores: a hand-computed week, sanity tables, and properties that must always hold.

Source of the week and tables: computed by plain arithmetic from the stated figures; the rule that
a reservoir lasts about two weeks is common practice, no source.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from potrounds.science.water_balance import (
    Stores,
    plant_demand,
    rain_into_mix,
    step_day,
    top_up_to_brim,
    unaccounted,
)

MIX, BRIM = 40.0 - 16.0, 30.0  # available above the stress content; reservoir [L]
litres = st.floats(0.0, 60.0)
share = st.floats(0.0, 1.0)


def test_a_week_computed_by_hand():
    """Sm 40, Smin 16, R 30, Ac 0.50, Ao 0.28, K 0.9, f 0.7."""
    stores = Stores(np.array(BRIM), np.array(MIX))
    levels, overflow, rain, use = [], [], 0.0, 0.0
    for et0, mm in zip((5, 6, 5, 7, 4, 5, 6), (0, 0, 0, 0, 20, 60, 0), strict=True):
        stores, flows = step_day(
            stores,
            mix_capacity=MIX,
            reservoir_capacity=BRIM,
            demand=plant_demand(et0, 0.9, 0.50),
            rain=rain_into_mix(mm, 0.28, 0.7),
        )
        levels.append(float(stores.reservoir))
        overflow.append(float(flows.overflow))
        rain, use = rain + float(flows.rain), use + float(flows.use)
        assert stores.mix == pytest.approx(MIX)
    assert levels == pytest.approx([27.75, 25.05, 22.8, 19.65, 21.77, 27.75, 25.05])
    assert overflow == pytest.approx([0, 0, 0, 0, 0, 3.53, 0])
    assert (rain, use) == (pytest.approx(15.68), pytest.approx(17.1))


@pytest.mark.parametrize(
    ("et0", "factor", "canopy", "expected"),
    [(3, 0.8, 0.5, 1.2), (5, 1.0, 0.5, 2.5), (7, 1.3, 0.5, 4.6), (7, 1.3, 0.8, 7.3)],
)
def test_litres_a_day(et0, factor, canopy, expected):
    assert plant_demand(et0, factor, canopy) == pytest.approx(expected, abs=0.06)


def lasts(demand: float, reservoir: float = 30.0) -> int:
    stores, day = Stores(np.array(reservoir), np.array(20.0)), 0
    while stores.reservoir > 1e-9:
        stores, _ = step_day(stores, mix_capacity=20.0, reservoir_capacity=reservoir, demand=demand)
        day += 1
    return day


def test_about_two_weeks_and_four_days_when_hot():
    assert lasts(float(plant_demand(5, 0.8, 0.5))) == 15
    assert lasts(float(plant_demand(7, 1.3, 0.8))) == 5  # 4.1 days: gone on the fifth


@given(
    reservoir=litres,
    mix=litres,
    demand=litres,
    rain=litres,
    top_up=litres,
    leak=litres,
    limit=litres,
    rate=st.floats(0.0, 20.0),
    gain=st.floats(0.0, 2.0),
    slow=st.floats(0.05, 1.0),
    out=st.booleans(),
)
def test_mass_closes(reservoir, mix, demand, rain, top_up, leak, limit, rate, gain, slow, out):
    before = Stores(np.array(min(reservoir, BRIM)), np.array(min(mix, MIX)))
    after, flows = step_day(
        before,
        mix_capacity=MIX,
        reservoir_capacity=BRIM,
        demand=demand,
        rain=rain,
        top_up=top_up,
        leak=leak,
        wick_limit=limit,
        wick_rate=rate,
        wick_gain=gain,
        slows_below=slow,
        plug_out=out,
    )
    assert abs(float(unaccounted(before, after, flows, top_up))) < 1e-9
    assert -1e-12 <= after.reservoir <= BRIM + 1e-9
    assert after.mix >= -1e-12
    assert min(flows.use, flows.overflow, flows.drained, flows.wicked) >= -1e-12


@given(start=st.floats(2.0, 28.0), more=st.floats(0.0, 20.0), demand=st.floats(0.2, 8.0))
def test_more_water_never_shortens(start, more, demand):
    less, plenty = Stores(np.array(start), np.array(12.0)), Stores(np.array(start), np.array(12.0))
    plenty = Stores(np.minimum(plenty.reservoir + more, BRIM), plenty.mix)
    for _ in range(40):
        kinds = {
            "mix_capacity": MIX,
            "reservoir_capacity": BRIM,
            "demand": demand,
            "wick_rate": 0.2,
            "wick_gain": 1.7 / BRIM,
            "slows_below": 0.4,
        }
        less, _ = step_day(less, **kinds)
        plenty, _ = step_day(plenty, **kinds)
        assert plenty.reservoir >= less.reservoir - 1e-9


@given(start=st.floats(2.0, 28.0), demand=st.floats(0.2, 8.0), hotter=st.floats(1.0, 2.0))
def test_hotter_never_lengthens(start, demand, hotter):
    cool, hot = Stores(np.array(start), np.array(MIX)), Stores(np.array(start), np.array(MIX))
    for _ in range(40):
        kinds = {
            "mix_capacity": MIX,
            "reservoir_capacity": BRIM,
            "wick_rate": 0.2,
            "wick_gain": 1.7 / BRIM,
            "slows_below": 0.4,
        }
        cool, _ = step_day(cool, demand=demand, **kinds)
        hot, _ = step_day(hot, demand=demand * hotter, **kinds)
        assert hot.reservoir <= cool.reservoir + 1e-9


@given(short=st.floats(0.0, 20.0), demand=st.floats(0.0, 4.0), rate=st.floats(0.05, 6.0))
def test_a_day_of_the_wick_is_the_exact_solution(short, demand, rate):
    """dD/dt = demand - rate D for the mix's deficit D, here in 20,000 small steps."""
    deficit, steps = short, 20_000
    for _ in range(steps):
        deficit += (demand - rate * deficit) / steps
    after, flows = step_day(
        Stores(np.array(200.0), np.array(MIX - short)),
        mix_capacity=MIX,
        reservoir_capacity=200.0,
        demand=demand,
        wick_rate=rate,
    )
    assert flows.wicked == pytest.approx(short + demand - deficit, abs=2e-3)
    assert after.mix == pytest.approx(MIX - deficit, abs=2e-3)


def test_plug_out_leaves_nothing_in_the_reservoir():
    after, flows = step_day(
        Stores(np.array(20.0), np.array(MIX)),
        mix_capacity=MIX,
        reservoir_capacity=BRIM,
        demand=0.0,
        plug_out=True,
    )
    assert after.reservoir == 0.0
    assert flows.drained == pytest.approx(20.0)


def test_a_slow_wick_starves_plants_over_a_full_reservoir():
    stores = Stores(np.array(BRIM), np.array(MIX))
    for _ in range(30):
        stores, flows = step_day(
            stores, mix_capacity=MIX, reservoir_capacity=BRIM, demand=3.0, wick_limit=0.5
        )
    assert flows.shortfall > 2.0
    assert stores.reservoir > 0.4 * BRIM


def test_top_up_is_never_more_than_the_room():
    assert top_up_to_brim(12.0, 30.0) == 18.0
    assert top_up_to_brim(31.0, 30.0) == 0.0


@given(mm=st.floats(0, 100), area=st.floats(0.01, 2), reaches=st.floats(-1, 2))
def test_rain_is_a_litre_a_square_metre_at_most(mm, area, reaches):
    assert 0.0 <= rain_into_mix(mm, area, reaches) <= mm * area + 1e-12
