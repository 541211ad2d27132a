"""What the filter must do whatever its settings: learn, hold steady, repeat itself exactly."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from potrounds.science.ensemble import LEAK, WELL, PlanterFacts, Q, use_of_place
from potrounds.science.evidence import CheckIns, gauge_likelihood
from potrounds.science.season import Season
from potrounds.science.weather_ahead import Days, Normals

FIRST = date(2023, 5, 1)
NORMALS = Normals(
    np.linspace(4, 4, 12),
    np.linspace(24, 24, 12),
    np.full(12, 0.02),
    np.full(12, 4.0),
    np.full(12, 2.0),
)
NAN = float("nan")


def facts(count=1, planted=date(2023, 3, 1)):
    return [
        PlanterFacts(f"planter-{i}", 100.0, 25.0, 0.32, "full", "open", planted)
        for i in range(count)
    ]


def season(count=1, **options):
    return Season(facts(count), 45.0, NORMALS, FIRST, guesses=512, draws=256, **options)


def sky(day, count, warmer=0.0):
    return Days(
        day,
        np.full(count, 12.0 + warmer),
        np.full(count, 26.0 + warmer),
        np.zeros(count),
        np.full(count, 2.0),
    )


def told(level=NAN, litres=NAN, overflow=NAN, plants=NAN, rows=(0,)):
    def column(value):
        return np.full((len(rows), 1), value, np.float32)

    return CheckIns(np.array(rows), column(level), column(litres), column(overflow), column(plants))


def run(town, days, visits=None, start=0):
    for i in range(start, start + days):
        day = FIRST + timedelta(i)
        town.begin_day(day, sky(day, 7))
        for visit in (visits or {}).get(i, ()):
            town.check_in(visit)
        town.end_day(sky(day, 1))
    day = FIRST + timedelta(start + days)
    town.begin_day(day, sky(day, 7))
    return town


def weights(town, planter=0):
    w = np.exp(town.calibration.ensemble.log_weight[planter])
    return w / w.sum()


def believed(town, quantity, planter=0):
    """Mean and spread of a quantity."""
    x, w = town.calibration.ensemble.q[quantity, planter], weights(town, planter)
    mean = float(np.sum(w * x))
    return mean, float(np.sqrt(np.sum(w * (x - mean) ** 2)))


def test_a_rebuild_gives_the_same_figures():
    visits = {3: [told(0.75, 0.0, 0.0, 5)], 9: [told(0.25, 18.0, 1.0, 5)]}
    a, b = (run(season(2), 14, visits).forecast() for _ in range(2))
    assert np.array_equal(a.median, b.median)
    assert np.array_equal(a.top_up_l, b.top_up_l)


def test_order_of_arrival_within_a_morning_does_not_matter():
    one, two = told(0.5, 10.0, 0.0, rows=(0,)), told(0.25, 20.0, 1.0, rows=(1,))
    a = run(season(2), 12, {6: [one, two]}).forecast()
    b = run(season(2), 12, {6: [two, one]}).forecast()
    assert np.array_equal(a.top_up_l, b.top_up_l)
    assert np.array_equal(a.median, b.median)


def test_exact_readings_narrow_the_use_factor():
    before = believed(season(), Q.USE)[1]
    fills = {i: [told(0.25, 17.0, 1.0, 5)] for i in range(5, 60, 6)}
    mean, after = believed(run(season(), 60, fills), Q.USE)
    assert after < 0.55 * before
    assert np.isfinite(mean)


def test_a_thirsty_planter_is_told_from_a_sparing_one():
    often = {i: [told(0.25, 18.0, 1.0, 5)] for i in range(3, 60, 3)}
    seldom = {i: [told(0.5, 12.0, 1.0, 5)] for i in range(10, 60, 10)}
    thirsty, sparing = (believed(run(season(), 60, v), Q.USE)[0] for v in (often, seldom))
    assert thirsty > sparing + 0.4


def test_overflow_seen_puts_the_reservoir_at_its_brim():
    town = run(season(), 8)
    town.check_in(told(0.5, 12.0, 1.0))
    e, w = town.calibration.ensemble, weights(town)
    filled = e.q[Q.RESERVOIR, 0] / (25.0 * np.exp(e.q[Q.CAPACITY, 0]))
    assert np.sum(w * (filled > 0.9)) > 0.9
    assert town.forecast().top_up_l[0] < 1.5


def test_empty_means_at_or_below_never_a_level():
    below = gauge_likelihood(
        np.zeros((1, 1), np.float32), np.array([[0.0, 0.02, 0.05]], np.float32), np.float32(0)
    )
    assert below[0, 0] >= below[0, 1] >= below[0, 2] > 0.6
    assert below[0, 0] / below[0, 2] < 1.4


def test_one_wrong_reading_does_not_poison():
    steady = {i: [told(0.5, 12.0, 1.0, 5)] for i in range(6, 50, 6)}
    wrong = dict(steady)
    wrong[30] = [told(0.0, 12.0 * 3.8, 0.0, 5)]  # empty, and gallons typed as litres
    good, bad = run(season(), 50, steady), run(season(), 50, wrong)
    assert believed(bad, Q.USE)[0] == pytest.approx(believed(good, Q.USE)[0], abs=0.2)
    assert np.isfinite(bad.forecast().median).all()


def test_more_water_never_shortens_and_hotter_never_lengthens():
    town = run(season(), 10, {4: [told(0.5, 5.0, 0.0)]})
    base = town.forecast()
    e = town.calibration.ensemble
    kept = e.q.copy()
    e.q[Q.RESERVOIR] = np.minimum(e.q[Q.RESERVOIR] + 5.0, 25.0 * np.exp(e.q[Q.CAPACITY]))
    assert town.forecast().median >= base.median
    e.q[:] = kept
    day = FIRST + timedelta(10)
    town.begin_day(day, sky(day, 7, warmer=8.0))
    assert town.forecast().median <= base.median


def test_falling_far_faster_than_learnt_raises_the_odds_of_a_leak():
    usual = {i: [told(0.5, 12.0, 1.0, 5)] for i in range(6, 60, 6)}
    town = run(season(), 60, usual)
    calm = town.calibration.fault_odds(town.day)[0, LEAK]
    gone = {i: [told(0.0, 24.0, 1.0, 5)] for i in (62, 64, 66)}
    town = run(town, 8, gone, start=60)
    odds = town.calibration.fault_odds(town.day)[0]
    assert calm < 0.1
    assert odds[LEAK] > 0.5
    assert odds[WELL] < 0.5


def test_days_without_weather_are_taken_as_normal():
    town = season()
    day = FIRST
    nothing = Days(day, *(np.array([NAN]) for _ in range(4)))
    for i in range(10):
        town.begin_day(day + timedelta(i), None)
        town.end_day(nothing)
    town.begin_day(day + timedelta(10), None)
    out = town.forecast()
    assert 0 < out.median[0] < 40
    assert out.p10 <= out.median <= out.p90


def test_weights_are_odds():
    town = run(season(3), 9, {5: [told(0.5, 9.0, 0.0, 4, rows=(0, 2))]})
    odds = town.calibration.fault_odds(town.day)
    assert np.all(odds >= 0)
    assert np.all(odds.sum(axis=1) <= 1.0001)


def test_one_gauge_stuck_leaves_the_use_as_it_was():
    fills = {i: [told(0.25, 18.0, 1.0, 5)] for i in range(5, 60, 5)}
    stuck = {i: [told(0.75, 18.0, 1.0, 5)] for i in range(5, 60, 5)}
    blind = {i: [told(NAN, 18.0, 1.0, 5)] for i in range(5, 60, 5)}
    free, hung, none = (run(season(), 60, v) for v in (fills, stuck, blind))
    assert hung.calibration.gauge.stuck[0] > 0.5
    assert free.calibration.gauge.stuck[0] < 0.5
    assert believed(hung, Q.USE)[0] == pytest.approx(believed(none, Q.USE)[0], abs=0.3)


def test_a_trim_on_record_lets_the_canopy_drop_at_that_visit():
    plain, cut = told(0.5, 12.0, 1.0, 5), told(0.5, 12.0, 1.0, 5)
    cut = CheckIns(
        cut.rows, cut.level, cut.litres, cut.overflow, cut.plants, np.ones((1, 1), np.float32)
    )
    before = {i: [told(0.5, 12.0, 1.0, 5)] for i in range(5, 50, 5)}
    a, b = (run(season(), 51, before | {50: [visit]}) for visit in (plain, cut))
    assert believed(b, Q.TRIM)[0] < believed(a, Q.TRIM)[0] - 0.1
    assert b.forecast().median[0] > a.forecast().median[0]


def test_a_new_planting_begins_its_growth_anew():
    town = run(season(), 50, {i: [told(0.25, 18.0, 1.0, 5)] for i in range(5, 50, 6)})
    grown = town.forecast().median[0]
    town.replant(np.array([0]))
    assert town.forecast().median[0] > grown + 1.0
    assert believed(town, Q.USE)[1] == pytest.approx(0.42, rel=0.3)


def test_a_measured_canopy_moves_the_use_part_of_the_way():
    one = facts()[0]
    wide, typed_in_feet = replace(one, canopy_m2=1.0), replace(one, canopy_m2=10.76)
    assert 0.1 < use_of_place(wide) - use_of_place(one) < np.log(1.0 / 0.32 / 1.6)
    assert use_of_place(typed_in_feet) - use_of_place(one) < 0.6


def after_fills(overflow: float, litres: float, days: int = 60):
    """A planter read half full every sixth day, filled each time by the same hand."""
    visits = {i: [told(0.5, litres, overflow, 5)] for i in range(5, days, 6)}
    return run(season(), days, visits)


def test_who_fills_to_the_brim_is_told_from_who_stops_short():
    """Half of 25 L is 12.5: one pours that until it runs, the other 7 L and never sees it run."""
    brim = believed(after_fills(1.0, 13.0), Q.BRIM)[0]
    short = believed(after_fills(0.0, 7.0), Q.BRIM)[0]
    assert brim > 1.0
    assert short < -0.5


def test_a_fill_that_may_be_either_is_taken_for_what_this_hand_does():
    """9 L told into about 12.5 L of room, no overflow seen: the planter's own habit decides."""
    stands = []
    for town in (after_fills(1.0, 13.0), after_fills(0.0, 7.0)):
        before = believed(town, Q.RESERVOIR)[0]
        town.check_in(told(0.5, 9.0, 0.0))
        assert believed(town, Q.RESERVOIR)[0] > before
        stands.append(believed(town, Q.RESERVOIR)[0])
    assert stands[0] > stands[1] + 1.0
