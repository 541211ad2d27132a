"""Days, seasons, freezes and weights."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from build import a_calendar, a_forecast, a_low
from potrounds.domain.calendar import FREEZE_C, Site, TownCalendar, local_day, season_year
from potrounds.domain.planter import lifting_caution


def test_a_day_is_the_towns_own() -> None:
    # 23:30 on the 3rd in Chicago (UTC-5 in summer) is already the 4th in UTC
    late = datetime(2026, 8, 4, 4, 30, tzinfo=UTC)
    assert local_day(late, "America/Chicago") == date(2026, 8, 3)
    assert local_day(late, "UTC") == date(2026, 8, 4)
    # after the clocks went back, 1 November 2026, Chicago is UTC-6
    winter_time = datetime(2026, 11, 2, 5, 30, tzinfo=UTC)
    assert local_day(winter_time, "America/Chicago") == date(2026, 11, 1)
    far_east = datetime(2026, 8, 4, 6, 30, tzinfo=timezone(timedelta(hours=9)))
    assert local_day(far_east, "UTC") == date(2026, 8, 3)


def test_a_moment_without_a_zone_names_no_day() -> None:
    with pytest.raises(ValueError, match="zone"):
        local_day(datetime(2026, 8, 4), "UTC")


@pytest.mark.parametrize(
    ("day", "season"),
    [
        (date(2026, 10, 20), 2026),
        (date(2027, 1, 10), 2026),  # a plug pulled in January belongs to autumn's list
        (date(2027, 3, 14), 2026),
        (date(2027, 3, 15), 2027),
    ],
)
def test_a_season_runs_from_spring_to_spring(day: date, season: int) -> None:
    assert season_year(day, (3, 15)) == season
    assert a_calendar().list_season("winterization", day) == season


def test_start_up_may_begin_some_weeks_before_spring() -> None:
    calendar = a_calendar()
    assert calendar.list_season("start-up", date(2027, 2, 20)) == 2027
    assert calendar.list_active("start-up", date(2027, 2, 20))
    assert calendar.list_season("start-up", date(2026, 12, 20)) == 2026
    assert not calendar.list_active("start-up", date(2026, 12, 20))
    assert calendar.list_active("start-up", date(2026, 6, 1))


def test_winter_turns_with_the_half_of_the_world() -> None:
    north = a_calendar()
    assert north.is_winter(date(2026, 9, 15))
    assert north.is_winter(date(2027, 3, 14))
    assert not north.is_winter(date(2026, 9, 14))
    assert not north.is_winter(date(2027, 3, 15))
    south = TownCalendar(winter_from=(4, 15), spring_from=(9, 1))
    assert south.is_winter(date(2026, 7, 1))
    assert not south.is_winter(date(2026, 12, 24))
    assert south.season_year(date(2027, 5, 1)) == 2026


def test_the_winter_list_opens_early_when_a_freeze_is_forecast() -> None:
    september = date(2026, 9, 5)
    assert not a_calendar().list_active("winterization", september)
    early = a_calendar(nights=(a_forecast(-1, date(2026, 9, 9)),))
    assert early.list_active("winterization", september)
    assert early.list_active("winterization", date(2026, 10, 20))
    assert not early.list_active("winterization", date(2026, 6, 1))


def test_water_freezes_at_32_fahrenheit() -> None:
    # NWS Jackson: a freeze is a minimum of 32 degF; (32 - 32) x 5/9 = 0 degC
    assert FREEZE_C == (32 - 32) * 5 / 9
    assert a_low(0.0, date(2026, 10, 20)).is_freeze()
    assert not a_low(0.1, date(2026, 10, 20)).is_freeze()


def test_the_freeze_to_reckon_with_is_the_surest_one_known() -> None:
    today = date(2026, 10, 20)
    expected = a_calendar(freeze_on=date(2024, 10, 28))
    assert expected.next_freeze(None, today).date == date(2026, 10, 28)
    assert expected.next_freeze("s-ferry001", today).source == "site date"
    assert expected.next_freeze("s-elsewhere", today) is None
    typed = a_calendar(date(2024, 10, 28), (a_forecast(-2, date(2026, 10, 25)),))
    assert typed.next_freeze(None, today).source == "typed forecast"
    assert typed.next_freeze(None, today).date == date(2026, 10, 25)
    seen = a_calendar(nights=(a_forecast(-2, date(2026, 10, 25)), a_low(-1, date(2026, 10, 19))))
    assert seen.next_freeze(None, today).source == "recorded low"
    assert a_calendar().next_freeze(None, today) is None


def test_the_earliest_site_speaks_for_the_town() -> None:
    sites = (Site("a", "A", date(2026, 11, 2)), Site("b", "B", date(2026, 10, 26)), Site("c", "C"))
    calendar = TownCalendar(sites=sites)
    assert calendar.expected_freeze(None, date(2026, 10, 1)) == date(2026, 10, 26)
    assert calendar.expected_freeze("c", date(2026, 10, 1)) is None


def test_a_sites_date_comes_round_every_season() -> None:
    calendar = a_calendar(freeze_on=date(2024, 2, 29))
    assert calendar.expected_freeze(None, date(2026, 10, 1)) == date(2027, 2, 28)
    assert calendar.expected_freeze(None, date(2027, 10, 1)) == date(2028, 2, 29)


def test_a_low_counts_only_in_the_cold_half_it_fell_in() -> None:
    january = a_low(-12, date(2026, 1, 14))
    calendar = a_calendar(nights=(january,))
    assert calendar.recorded_freeze(date(2026, 2, 1)) == january
    assert calendar.recorded_freeze(date(2026, 6, 1)) is None
    assert calendar.recorded_freeze(date(2026, 10, 1)) is None
    assert calendar.recorded_freeze(date(2026, 2, 1), after=date(2026, 1, 20)) is None


def test_a_night_is_not_known_before_it_was_typed_or_had_passed() -> None:
    typed = a_forecast(-2, date(2026, 10, 25), known_on=date(2026, 10, 20))
    calendar = a_calendar(nights=(typed, a_low(-3, date(2026, 10, 26))))
    assert calendar.freeze_within(date(2026, 10, 19), 7) is None
    assert calendar.freeze_within(date(2026, 10, 20), 7) == typed
    assert calendar.recorded_freeze(date(2026, 10, 25)) is None
    assert calendar.recorded_freeze(date(2026, 10, 26)) is not None


def test_a_forecast_freeze_that_passed_without_a_recorded_low_is_remembered() -> None:
    forecast = a_forecast(-2, date(2026, 10, 18))
    today = date(2026, 10, 20)
    assert a_calendar(nights=(forecast,)).passed_forecast(today) == forecast
    mild = a_calendar(nights=(forecast, a_low(1.5, date(2026, 10, 18))))
    assert mild.passed_forecast(today) is None
    assert mild.recorded_freeze(today) is None


@pytest.mark.parametrize(
    ("mass_kg", "words"),
    [
        # NIOSH 94-110: load constant 23 kg (51 lb) for one person, ideal lift
        (12.0, None),
        (23.0, None),
        (24.0, "About 24 kg. Two people"),
        (46.0, "About 46 kg. Two people"),
        (140.0, "Not a lift by hand"),
        (None, "Weight not on record"),
    ],
)
def test_what_one_person_may_lift(mass_kg: float | None, words: str | None) -> None:
    said = lifting_caution(mass_kg)
    assert said is None if words is None else words in (said or "")
