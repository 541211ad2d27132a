"""What young plants, a wet sky and a forecast's spread stand for: common practice, no source."""

from datetime import date, timedelta

import numpy as np
import pytest

from potrounds.science.draws import even_normals
from potrounds.science.ensemble import (
    HEAD_START,
    RAIN_COVERED,
    RAIN_OPEN,
    WET_DAY_USE,
    growth_from,
    rain_share_logit,
    wet_day_use,
)
from potrounds.science.honesty import IntervalHonesty

FIRST = date(2026, 4, 15)


@pytest.mark.parametrize(("ago", "grows"), [(-9, -9), (0, 0), (10, 0), (21, 0), (60, 39)])
def test_weeks_before_the_season_hardly_count_for_growth(ago: int, grows: int):
    """Set out 60 days before, a planting is 39 on when the season begins; after it, it waits."""
    planted = FIRST - timedelta(days=ago)
    assert FIRST.toordinal() - growth_from(planted, FIRST) == grows
    assert HEAD_START == 21


def test_the_growth_of_a_planting_without_a_date_begins_with_the_season():
    assert growth_from(None, FIRST) == FIRST.toordinal()


def test_three_in_ten_planters_are_supposed_covered():
    z = even_normals(np.random.default_rng(0), 1, 20_000)
    logit = rain_share_logit(None, z)
    covered = z < -0.5244  # the normal's 30 % point, any table of the normal distribution
    assert covered.mean() == pytest.approx(0.3, abs=0.001)
    for part, (centre, spread) in ((covered, RAIN_COVERED), (~covered, RAIN_OPEN)):
        assert logit[part].mean() == pytest.approx(centre, abs=0.01)
        assert logit[part].std() == pytest.approx(spread, rel=0.02)
    asked = rain_share_logit(False, z)
    assert asked.mean() == pytest.approx(RAIN_COVERED[0], abs=0.01)


def test_wet_leaves_spare_some_of_the_plants_own_water():
    assert wet_day_use(np.array([0.0, 0.2, 0.3, 9.0])) == pytest.approx(
        [1.0, 1.0, WET_DAY_USE, WET_DAY_USE]
    )
    assert float(wet_day_use(4.0)) == pytest.approx(WET_DAY_USE)


def test_a_spread_keeps_the_median_and_the_order_and_never_ends_the_horizon():
    honesty = IntervalHonesty(2)
    days = np.array([[1.0, 2.0, 4.0, 6.0, 9.0], [10.0, 20.0, 30.0, 35.0, np.inf]], np.float32)
    spread = honesty.spread(days)
    assert spread[:, 2] == pytest.approx(days[:, 2])
    assert (np.diff(spread, axis=1) > 0).all()
    assert np.isinf(spread[1, -1]) or spread[1, -1] > 35.0
    kept = [np.log(spread[n, 3] / spread[n, 2]) / np.log(days[n, 3] / days[n, 2]) for n in (0, 1)]
    assert kept[0] > kept[1]  # a few days ahead keep more of their spread than a month ahead
