"""What is known of work on a phone. Spans are checked against counting one by one."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from potrounds.domain.phone_work import (
    PhoneWork,
    advice,
    count,
    holes,
    sentence,
    spans_of,
    spoken_numbers,
)

NOW = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)


def work(arrived: set[int], silent: timedelta = timedelta(days=2), **more) -> PhoneWork:
    """A phone that was heard of, and sent its last record, so long ago."""
    return PhoneWork(spans_of(arrived), NOW - silent, NOW - silent, **more)


def day_of(moment: datetime):
    return moment.date()


@given(st.sets(st.integers(1, 40)), st.sets(st.integers(1, 40)), st.integers(1, 40))
def test_holes_are_what_counting_one_by_one_finds(
    arrived: set[int], settled: set[int], last: int
) -> None:
    found = holes([*spans_of(arrived), *spans_of(settled)], 1, last)
    plain = [n for n in range(1, last + 1) if n not in arrived and n not in settled]
    assert [n for first, end in found for n in range(first, end + 1)] == plain
    assert count(found) == len(plain)


def test_a_number_nobody_could_count_up_to_costs_nothing() -> None:
    claimed = work({1, 2**62}, n_max=2**62 + 5)
    assert claimed.missing == ((2, 2**62 - 1),)
    assert count(claimed.waiting) == 5


def test_numbers_are_spoken_as_people_say_them() -> None:
    assert spoken_numbers(spans_of({42})) == "42"
    assert spoken_numbers(spans_of({42, 43})) == "42 and 43"
    assert spoken_numbers(spans_of({42, 44, 45, 46, 50})) == "42, 44 to 46 and 50"


def test_a_gap_is_asked_after_once_the_phone_rests() -> None:
    """Common practice, no source: an hour."""
    assert work({1, 3}).needs_asking(NOW)
    assert not work({1, 3}, timedelta(minutes=59)).needs_asking(NOW)
    assert work({1, 3}, timedelta(minutes=60)).needs_asking(NOW)
    assert not work({1, 2, 3}).needs_asking(NOW)
    assert not work({1, 3}, settled=((2, 2),)).needs_asking(NOW)
    assert not work(set()).needs_asking(NOW)


def test_work_that_waits_is_asked_after_when_it_is_old_or_the_phone_silent() -> None:
    """Common practice, no source: a day."""
    fresh = {"n_max": 5, "unsent": 2, "since": NOW - timedelta(hours=3)}
    assert not work({1, 2, 3}, timedelta(minutes=5), **fresh).needs_asking(NOW)
    old = {**fresh, "since": NOW - timedelta(days=1)}
    assert work({1, 2, 3}, timedelta(minutes=5), **old).needs_asking(NOW)
    assert work({1, 2, 3}, timedelta(days=1), **fresh).needs_asking(NOW)
    assert not work({1, 2, 3, 4, 5}, n_max=5).needs_asking(NOW)
    assert work({1}, n_max=1, unsent=0, photos=2).needs_asking(NOW)
    settled = work({1, 2, 3}, settled=((4, 5),), **old)
    assert not settled.needs_asking(NOW)


def test_the_sentence_says_what_waits_and_what_never_came() -> None:
    both = work({1, 3}, n_max=5, unsent=3, photos=1, since=NOW - timedelta(days=3))
    assert sentence(both, day_of).replace("\N{NO-BREAK SPACE}", " ") == (
        "2 records and 1 photo wait on it since Friday 1 May. "
        "Record 2 of this phone never arrived, later ones did."
    )
    one = work({1}, n_max=2, unsent=1)
    assert sentence(one, day_of).replace("\N{NO-BREAK SPACE}", " ") == "1 record waits on it."


def test_the_advice_fits_what_can_still_be_done() -> None:
    gap = work({1, 3}, unsent=0)
    assert "thrown away" in advice(gap, "Wim", None, NOW)
    waiting = work({1}, n_max=2, unsent=1)
    assert "Send now" in advice(waiting, "Wim", None, NOW)
    assert "until Thursday 7 May" in advice(waiting, "Wim", NOW + timedelta(days=3), NOW)
    assert "new link" in advice(waiting, "Wim", NOW, NOW)
