"""The planter, its site, and the town's calendar: what the register knows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from potrounds.domain.siting import ClearPath
from potrounds.domain.step_lists import Edition

Day = date  # beside a field that is called date

SHAPES = ("round", "square", "rectangular")
GAUGES = ("none", "float", "dipstick", "sight-tube")
SUNS = ("full", "part", "shade")
WINDS = ("sheltered", "open", "windy")
STATUSES = ("in-use", "stored", "retired", "lost")

# Water freezes at 0 degC; the US weather service calls 32 degF a freeze (handbook of its
# Jackson office). The date of 32 degF is the day by which the drain plug is out.
FREEZE_C = 0.0

# Lists are looked at this long before winter: early frosts do not wait for a date. Common
# practice, no source.
COLD_LEAD_DAYS = 45
# Start-up may be begun this long before spring_from. Common practice, no source.
EARLY_START_UP_DAYS = 60

# Load constant of the revised NIOSH lifting equation: the most that one person lifts under ideal
# conditions. [kg] NIOSH 94-110.
ONE_PERSON_KG = 23.0


@dataclass(frozen=True)
class Planting:
    """What grows in a planter this season."""

    planted_on: date
    plants: tuple[str, ...] = ()
    scheme: str = ""


@dataclass(frozen=True)
class Planter:
    """One self-watering planter, as the coordinator keeps it in the register."""

    id: str
    name: str
    site: str
    size: str = "Medium"
    shape: str | None = None
    reservoir_l: float = 16.0
    gauge: str = "none"
    status: str = "in-use"
    weight_moist_kg: float | None = None
    weight_full_kg: float | None = None
    installed: date | None = None
    planting: Planting | None = None
    tag_made: date | None = None
    mix_l: float | None = None
    top_area_m2: float | None = None
    canopy_m2: float | None = None
    sun: str = "full"
    wind: str = "open"
    rain_reaches: bool | None = None
    clear_path: ClearPath | None = None

    @property
    def has_gauge(self) -> bool:
        """Whether the level can be read without filling the planter."""
        return self.gauge != "none"


@dataclass(frozen=True)
class Site:
    """A place with planters. Only month and day of its expected first freeze matter."""

    id: str
    name: str
    freeze_on: date | None = None


@dataclass(frozen=True)
class Night:
    """The low of one night, named by the morning it ends on."""

    date: Day
    low_c: float
    kind: str
    known_on: Day | None = None

    def is_freeze(self) -> bool:
        """Whether water in the open freezes that night."""
        return self.low_c <= FREEZE_C

    def known_by(self, day: Day) -> bool:
        """Whether the town had this number on that day."""
        if self.known_on is not None:
            return self.known_on <= day
        return self.kind == "forecast" or self.date <= day


@dataclass(frozen=True)
class Freeze:
    """The freeze to reckon with: its day, and how it is known."""

    date: Day
    source: str
    night: Night | None = None


@dataclass(frozen=True)
class TownCalendar:
    """The town's zone, its nights, and when its winter and spring begin."""

    zone: str = "UTC"
    sites: tuple[Site, ...] = ()
    nights: tuple[Night, ...] = ()
    winter_from: tuple[int, int] = (9, 15)
    spring_from: tuple[int, int] = (3, 15)
    visit_days: int = 7
    crew_days: tuple[int, ...] = ()
    run_dry_risk: float = 0.1
    odds_on: date | None = None  # 10 % date of the first 32 degF; only month and day matter
    editions: tuple[Edition, ...] = ()
    closed: tuple[tuple[int, date], ...] = ()

    def local_day(self, at: datetime) -> date:
        """The town's own day at that moment."""
        return local_day(at, self.zone)

    def season_year(self, day: date) -> int:
        """Which season's lists a day belongs to; see season_year."""
        return season_year(day, self.spring_from)

    def list_season(self, list_name: str, day: date) -> int:
        """The season that a list worked on that day belongs to.

        The winter list of autumn 2026 stays the one of 2026 into the new year; the start-up list
        may be begun some weeks before spring, or as soon as the season was closed.
        """
        if list_name == "start-up":
            year = self.season_year(day + timedelta(days=EARLY_START_UP_DAYS))
            return year + any(year == one and day >= since for one, since in self.closed)
        return self.season_year(day)

    def list_active(self, list_name: str, day: date) -> bool:
        """Whether a list is in its season."""
        if list_name == "start-up":
            early = self.list_season(list_name, day) != self.season_year(day)
            return early or not self.is_winter(day)
        return self.is_winter(day) or (
            self.is_cold_half(day) and self.freeze_within(day, COLD_LEAD_DAYS) is not None
        )

    def next_crew_day(self, day: date) -> date | None:
        """The first day after that one on which a crew goes out; None where no days are set."""
        ahead = (day + timedelta(days=n) for n in range(1, 8))
        return next((one for one in ahead if one.weekday() in self.crew_days), None)

    def is_winter(self, day: date) -> bool:
        """From winter_from up to the day before spring_from, in either half of the world."""
        today, winter, spring = (day.month, day.day), self.winter_from, self.spring_from
        if winter <= spring:
            return winter <= today < spring
        return today >= winter or today < spring

    def is_cold_half(self, day: date) -> bool:
        """Winter, and the weeks before it in which an early freeze can come."""
        return self.is_winter(day) or self.is_winter(day + timedelta(days=COLD_LEAD_DAYS))

    def expected_freeze(self, site_id: str | None, day: date) -> date | None:
        """The site's own expected first freeze in the season of that day.

        Without a site: the earliest of all sites.
        """
        days = [
            _in_season(site.freeze_on, self.season_year(day), self.spring_from)
            for site in self.sites
            if site.freeze_on is not None and site_id in (None, site.id)
        ]
        return min(days, default=None)

    def odds_freeze(self, day: date) -> date | None:
        """The day by which it has frozen in one year of ten, in the season of that day."""
        if self.odds_on is None:
            return None
        return _in_season(self.odds_on, self.season_year(day), self.spring_from)

    def freeze_within(self, day: date, days: int) -> Night | None:
        """The first freezing night in the forecast from that day on, looking so many days ahead."""
        last = day + timedelta(days=days)
        return _first(
            night
            for night in self.nights
            if night.kind == "forecast"
            and night.is_freeze()
            and night.known_by(day)
            and day <= night.date <= last
        )

    def recorded_freeze(self, day: date, after: date = date.min) -> Night | None:
        """The first freeze recorded so far in the cold half that holds that day."""
        return _first(
            night
            for night in self._cold_half_nights(day)
            if night.kind == "recorded" and night.is_freeze() and after < night.date <= day
        )

    def passed_forecast(self, day: date, after: date = date.min) -> Night | None:
        """A night that was to freeze and is over, of which no low was ever recorded."""
        nights = self._cold_half_nights(day)
        recorded = {night.date for night in nights if night.kind == "recorded"}
        return _first(
            night
            for night in nights
            if night.kind == "forecast" and night.is_freeze() and after < night.date < day
            if night.date not in recorded
        )

    def _cold_half_nights(self, day: date) -> tuple[Night, ...]:
        """The nights known by that day, of the cold half it lies in; none in the warm half."""
        if not self.is_cold_half(day):
            return ()
        start = _cold_half_start(self, day)
        return tuple(night for night in self.nights if night.known_by(day) and night.date >= start)

    def next_freeze(self, site_id: str | None, day: date) -> Freeze | None:
        """The freeze to reckon with: recorded, else forecast, else by the odds, else by site."""
        recorded = self.recorded_freeze(day)
        if recorded:
            return Freeze(recorded.date, "recorded low", recorded)
        forecast = self.freeze_within(day, COLD_LEAD_DAYS)
        if forecast:
            return Freeze(forecast.date, "typed forecast", forecast)
        odds = self.odds_freeze(day)
        if odds:
            return Freeze(odds, "freeze odds")
        expected = self.expected_freeze(site_id, day)
        return Freeze(expected, "site date") if expected else None


def local_day(at: datetime, zone: str) -> date:
    """The day at the site when it was that moment: the one place that decides a day.

    Raises: ValueError when the moment carries no zone, as such a moment names no day.
    """
    if at.tzinfo is None:
        raise ValueError("a moment without a zone has no day")
    return at.astimezone(ZoneInfo(zone)).date()


def season_year(day: date, spring_from: tuple[int, int]) -> int:
    """The season a day belongs to, named by the year of its spring.

    A season runs from spring_from to the day before the next one, so that a plug pulled in
    January still belongs to the winter list begun in autumn.
    """
    return day.year if (day.month, day.day) >= spring_from else day.year - 1


def lifting_caution(mass_kg: float | None) -> str | None:
    """What to say before anyone lifts so many kilograms, or None where one person may.

    Source: load constant 23 kg of the revised NIOSH lifting equation (NIOSH 94-110); above twice
    that, two people are no answer either. That a pot of unknown weight is treated as too heavy is
    common practice, no source.
    """
    if mass_kg is None:
        return "Weight not on record. Treat it as too heavy: a cart and two people, never one."
    if mass_kg <= ONE_PERSON_KG:
        return None
    if mass_kg <= 2 * ONE_PERSON_KG:
        return f"About {mass_kg:.0f} kg. Two people or a cart, never one."
    return f"About {mass_kg:.0f} kg. Not a lift by hand: a cart and two people, never one."


def _first(nights: Iterable[Night]) -> Night | None:
    return min(nights, key=lambda night: (night.date, night.low_c), default=None)


def _on(year: int, month: int, day: int) -> date:
    """That day of the year; 29 February falls on the 28th where there is none."""
    try:
        return date(year, month, day)
    except ValueError:
        return date(year, month, 28)


def _in_season(expected: date, season: int, spring_from: tuple[int, int]) -> date:
    """The same month and day within the given season."""
    in_first_year = (expected.month, expected.day) >= spring_from
    return _on(season if in_first_year else season + 1, expected.month, expected.day)


def season_start(calendar: TownCalendar, season: int) -> date:
    """The day on which a season begins: spring_from of its year."""
    return _on(season, *calendar.spring_from)


def winter_start(calendar: TownCalendar, season: int) -> date:
    """The day on which the winter of a season begins."""
    return _in_season(_on(2024, *calendar.winter_from), season, calendar.spring_from)


def _cold_half_start(calendar: TownCalendar, day: date) -> date:
    """The day on which the cold half that holds this day began."""
    return winter_start(calendar, calendar.season_year(day)) - timedelta(days=COLD_LEAD_DAYS)
