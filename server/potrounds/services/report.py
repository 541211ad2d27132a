"""The season report: a season's figures for the town, its sites and planters, and what is behind.

Everything is computed from the records as they now stand, with the same rules for any season, so
that two seasons may be compared. Flags are replayed day by day; `report_days.py` keeps the days
that were judged, so that only new and changed ones are judged again.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from potrounds.domain import report as figures
from potrounds.domain.calendar import TownCalendar, season_start
from potrounds.domain.fold import fold_standing
from potrounds.domain.planter import Planter
from potrounds.domain.records import Record
from potrounds.domain.report import DryDays, FlagRun, Line
from potrounds.domain.season_summary import LOST, PlanterSeason
from potrounds.domain.visits import Standing, standing
from potrounds.flags import Case, cases_of
from potrounds.services import outside, seasons, town
from potrounds.services.context import Context
from potrounds.services.refusal import not_found
from potrounds.services.report_days import (
    Book,
    Ground,
    Judged,
    as_judged,
    book_of,
    ground_of,
    judge_days,
    keep,
)
from potrounds.services.water_outlook import TownWater, town_water
from potrounds.services.water_pass import mark_of
from potrounds.services.water_season import read_season
from potrounds.store import log, people, register
from potrounds.store.log_all import records_by_planter

#: Below this share of its reservoir a planter is believed empty. Judgement: what a wick leaves.
EMPTY_SHARE = 0.02


@dataclass(frozen=True)
class Span:
    """A season as far as it has gone."""

    year: int
    first: date
    last: date
    whole: bool


def span_of(ctx: Context, named: str | None) -> Span:
    """The season of a year, or the present one. Raises: Refusal 404 for one that has not begun."""
    calendar = town.calendar()
    today = calendar.local_day(ctx.now())
    year = seasons.year_of(named) if named else calendar.season_year(today)
    first, end = season_start(calendar, year), season_start(calendar, year + 1)
    if first > today:
        raise not_found("season")
    return Span(year, first, min(today, end - timedelta(days=1)), end <= today)


def any_records(calendar: TownCalendar, year: int) -> bool:
    """Whether anything at all was recorded in that season."""
    first, end = season_start(calendar, year), season_start(calendar, year + 1)
    return log.any_between(seasons.moment_of(calendar, first), seasons.moment_of(calendar, end))


def lines_of(ctx: Context, span: Span) -> list[Line]:
    """Every planter's season, by site and name."""
    sites = {site.id: site.name for site in register.sites()}
    around = _around(ctx, span)
    planters = town.planters(around.calendar, around.now)
    left = _left(around.calendar, planters)
    mark = _mark(around, planters, sites, left)
    if around.book.lines and around.book.lines[0] == mark:
        return list(around.book.lines[1])
    if around.water:
        around.water.prepare(list(planters))  # all at once costs little more than one
    records = dict(records_by_planter())
    found = []
    for planter in planters.values():
        later = planter.installed is not None and planter.installed > span.last
        own = records.get(planter.id, [])
        line = _line(planter, around, sites[planter.site], own, left.get(planter.id, []))
        away = later or line.season.status in LOST
        if not away or line.season.visits or line.losses:
            found.append(line)
    keep(ctx.settings.home, span.year)
    found.sort(key=lambda line: (sites[line.site], line.season.name))
    around.book.lines = (mark, tuple(found))
    return found


def _mark(
    around: _Around,
    planters: Mapping[str, Planter],
    sites: Mapping[str, str],
    left: Mapping[str, list[tuple[date, str]]],
) -> bytes:
    """A hash of all that a season's lines are made of: where it is as it was, so are they."""
    calendar, water = around.calendar, around.water
    told = (
        *(around.ground.base, calendar, around.span, calendar.local_day(around.now)),
        *(planters, sites, left, around.ground.outside, sorted(log.fingerprints().items())),
        *(register.setting("history"), sorted((one.id, one.name) for one in people.people())),
        water and mark_of(water.season),
    )
    return hashlib.sha256(repr(told).encode()).digest()


def runs_of(
    ctx: Context, span: Span, planter_id: str, stands: Standing
) -> tuple[tuple[FlagRun, ...], Callable[[date], Case]]:
    """A planter's flags through a season as the report counts them, and its case on any day.

    stands: what stands of all that was recorded of it
    Raises: Refusal 404.
    """
    around = _around(ctx, span)
    planter = town.planters(around.calendar, around.now, only=[planter_id]).get(planter_id)
    if planter is None:
        raise not_found("planter")
    case_at, on = _days(planter, stands, around)
    runs = figures.flag_runs(span.first, span.last, lambda day: on(day).up)
    keep(ctx.settings.home, span.year)
    return runs, lambda day: as_judged(case_at(day))


def _around(ctx: Context, span: Span) -> _Around:
    calendar = town.calendar()
    now = seasons.season_now(ctx, calendar, span.year)
    today = now.date() if span.whole else calendar.local_day(now)
    return _Around(
        calendar,
        span,
        now,
        _water(calendar, today, span),
        ground_of(calendar, outside.days(span.last)),
        book_of(ctx.settings.home, span.year),
    )


def _water(calendar: TownCalendar, today: date, span: Span) -> TownWater | None:
    """The water balance of the present season; of a past one nothing is kept."""
    return None if span.whole else town_water(read_season(calendar, today))


@dataclass(frozen=True)
class _Around:
    """What all lines of a report share."""

    calendar: TownCalendar
    span: Span
    now: datetime
    water: TownWater | None
    ground: Ground
    book: Book


def _days(
    planter: Planter, stands: Standing, around: _Around
) -> tuple[Callable[[date], Case], Callable[[date], Judged]]:
    """A planter's case on any day, and the day as judged."""
    water, now = around.water, around.now
    water_at = water.at(planter.id) if water else None
    case_at = cases_of(planter, stands, around.calendar, now, water_at, around.ground.outside)
    believed = water.past_mark(planter.id) if water else None
    live = around.calendar.local_day(now) if not around.span.whole else date.max
    return case_at, judge_days(around.book, around.ground, planter, stands, case_at, believed, live)


def _left(calendar: TownCalendar, planters: Iterable[str]) -> dict[str, list[tuple[date, str]]]:
    """When planters took another status, out of the register's changes, read at once for all."""
    found: dict[str, list[tuple[date, str]]] = {}
    for change in register.changes_of(*planters):
        if "status" in change.after and "status" in change.before:
            day = calendar.local_day(change.at)
            found.setdefault(change.ref, []).append((day, str(change.after["status"])))
    return found


def _line(
    planter: Planter,
    around: _Around,
    site: str,
    records: list[Record],
    left: list[tuple[date, str]],
) -> Line:
    span, water = around.span, around.water
    stands = standing(records, around.calendar.zone)
    state = fold_standing(planter, stands, around.calendar, around.now)
    visits = tuple(v for v in state.visits if span.first <= v.day <= span.last)
    season = PlanterSeason(
        planter.id,
        planter.name,
        site,
        planter.status,
        state.winterization,
        visits,
        tuple(s for s in state.steps if span.first <= s.day <= span.last),
        tuple(d for d in stands.decisions if span.first <= d.day <= span.last),
    )
    _, on = _days(planter, stands, around)
    return Line(
        season,
        planter.site,
        figures.poured(visits),
        figures.unmeasured(visits),
        figures.seen_empty(visits),
        figures.flag_runs(span.first, span.last, lambda day: on(day).up),
        figures.losses(visits, left, span.first, span.last),
        _dry(planter, water, on, span) if water else None,
    )


def _dry(
    planter: Planter, water: TownWater, on: Callable[[date], Judged], span: Span
) -> DryDays | None:
    """What the balance says of the days it keeps, as far as the planter was to hold water."""
    places = [facts.key for facts in water.season.facts]
    if planter.id not in places:
        return None
    place = places.index(planter.id)
    levels = {}
    for day, told in sorted(water.morning.levels.items()):
        if day >= span.first and not on(day).drained:
            levels[day] = float(told[0, place])
    if not levels:
        return None
    capacity = water.season.facts[place].reservoir_l
    fills = [
        (look.day, look.mid * capacity)
        for look in water.morning.looks.get(place, ())
        if look.litres_l or look.ran_over
    ]
    empty, kept = figures.avoided(levels, fills, EMPTY_SHARE * capacity)
    return DryDays(min(levels), max(levels), empty, kept)
