"""When a record was seen (R12): the arithmetic, and the order a phone's own counter demands."""

from __future__ import annotations

import itertools
from datetime import UTC, date, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from potrounds.services import moments

NOON = datetime(2026, 8, 10, 12, tzinfo=UTC)


def minutes(*values: float) -> list[datetime]:
    return [NOON + timedelta(minutes=value) for value in values]


@given(
    error_s=st.integers(-10 * 365 * 86_400, 10 * 365 * 86_400),
    age_s=st.integers(0, 90 * 86_400),
    network_s=st.floats(0, 60),
)
def test_a_constant_error_costs_no_more_than_the_network_takes(
    error_s: int, age_s: int, network_s: float
) -> None:
    error, age, network = (timedelta(seconds=one) for one in (error_s, age_s, network_s))
    seen = NOON - age - network
    wall, sent_at = seen + error, NOON - network + error
    reading = moments.observe(wall.isoformat(), sent_at, NOON, date(2020, 1, 1), "UTC")
    assert abs(reading.at - seen - network) < timedelta(milliseconds=1)
    assert reading.doubt == ""


def test_the_planters_first_day_is_a_day_of_the_towns_zone() -> None:
    """23:30 UTC on 31 March is 1 April already two hours further east."""
    wall = "2026-03-31T23:30:00Z"
    sent = received = NOON
    for zone, doubt in (("UTC", "before-planter"), ("Etc/GMT-2", "")):
        reading = moments.observe(wall, sent, received, date(2026, 4, 1), zone)
        assert reading.doubt == doubt


def test_without_the_phones_own_sending_time_there_is_no_reading() -> None:
    assert moments.observe("2026-08-10T10:00:00Z", None, NOON, None, "UTC").doubt == "unreadable"


def test_times_in_order_are_all_believed() -> None:
    assert moments.out_of_order([]) == set()
    assert moments.out_of_order(minutes(0)) == set()
    assert moments.out_of_order(minutes(0, 0, 1, 5, 5, 900)) == set()


def test_one_time_that_does_not_fit_is_found_wherever_it_stands() -> None:
    assert moments.out_of_order(minutes(1, 2, -1000, 3, 4)) == {2}
    assert moments.out_of_order(minutes(1, 2, 1000, 3, 4)) == {2}
    assert moments.out_of_order(minutes(-1000, 1, 2)) == set()
    assert moments.out_of_order(minutes(1, 2, 3, -1000)) == {3}
    assert moments.out_of_order(minutes(1000, 1, 2, 3)) == {0}


def test_what_slow_networks_do_is_no_contradiction() -> None:
    assert moments.out_of_order(minutes(0, 4, 1, 5)) == set()
    assert moments.out_of_order(minutes(0, 6.1, 1, 7)) != set()


@given(st.lists(st.integers(-50, 50), max_size=7))
def test_what_is_believed_never_goes_back_and_is_as_much_as_can_be(values: list[int]) -> None:
    """Against the definition, by trying every subset."""
    times = minutes(*(60 * value for value in values))
    kept = moments._longest_rising(times)
    chosen = [values[index] for index in kept]
    assert chosen == sorted(chosen)
    longest = max(
        len(some)
        for size in range(len(values) + 1)
        for some in itertools.combinations(values, size)
        if list(some) == sorted(some)
    )
    assert len(kept) == longest


def test_moments_and_days_as_text() -> None:
    east = datetime.fromisoformat("2026-10-20T10:42:10.123456+02:00")
    assert moments.stamp(east) == "2026-10-20T08:42:10.123Z"
    assert moments.stamp(None) is None
    assert moments.day_text(None) is None
    assert moments.read_moment(7) is None
    assert moments.read_moment(datetime(2026, 1, 1)) is None
