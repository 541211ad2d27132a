"""The season report: a season's figures for the town, its sites and planters, and what is behind.

Everything is computed from the records as they now stand, with the same rules for any season, so
that two seasons may be compared. Flags are replayed day by day, which takes a second for some
fifty planters; what was replayed is kept in memory until a record of the planter changes.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from potrounds.domain import report as figures
from potrounds.domain.calendar import TownCalendar, season_start
from potrounds.domain.fold import PlanterState, fold_standing
from potrounds.domain.outside import Outside
from potrounds.domain.planter import Planter
from potrounds.domain.records import Record
from potrounds.domain.report import DryDays, FlagRun, Line
from potrounds.domain.season_summary import LOST, PlanterSeason
from potrounds.domain.visits import standing
from potrounds.flags import RULES, Case, cases_of
from potrounds.services import outside, seasons, town
from potrounds.services.context import Context
from potrounds.services.refusal import not_found
from potrounds.services.water_outlook import TownWater, town_water
from potrounds.services.water_pass import mark_of
from potrounds.services.water_season import read_season
from potrounds.store import log, register

#: Below this share of its reservoir a planter is believed empty. Judgement: what a wick leaves.
EMPTY_SHARE = 0.02
MOST_REPLAYS = 2000
_replays: OrderedDict[bytes, tuple[FlagRun, ...]] = OrderedDict()


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
    around = _around(ctx, span)
    sites = {site.id: site.name for site in register.sites()}
    marks = log.fingerprints()
    found = []
    for planter in town.planters(around.calendar, around.now).values():
        key = f"{around.history} {marks.get(planter.id, '')}"
        later = planter.installed is not None and planter.installed > span.last
        line = _line(planter, around, sites[planter.site], key)
        away = later or line.season.status in LOST
        if not away or line.season.visits or line.losses:
            found.append(line)
    return sorted(found, key=lambda line: (sites[line.site], line.season.name))


def runs_of(
    ctx: Context, span: Span, planter_id: str
) -> tuple[tuple[FlagRun, ...], Callable[[date], Case]]:
    """A planter's flags through a season as the report counts them, and its case on any day.

    Raises: Refusal 404.
    """
    around = _around(ctx, span)
    planter = town.planters(around.calendar, around.now, only=[planter_id]).get(planter_id)
    if planter is None:
        raise not_found("planter")
    key = f"{around.history} {log.fingerprints().get(planter_id, '')}"
    case_at = _case_at(planter, log.records_of(planter_id), around)
    return _runs(_mark(planter, around, key), case_at, span), case_at


def _around(ctx: Context, span: Span) -> _Around:
    calendar = town.calendar()
    now = seasons.season_now(ctx, calendar, span.year)
    water = _water(calendar, now.date() if span.whole else calendar.local_day(now), span)
    history = str(register.setting("history"))
    return _Around(calendar, span, now, water, outside.days(span.last), history)


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
    outside: Outside
    history: str


def _case_at(planter: Planter, records: list[Record], around: _Around) -> Callable[[date], Case]:
    """The planter's case on any day; with its plug out nothing is believed, as on the card."""
    water_at = around.water.at(planter.id) if around.water else None
    seen = cases_of(planter, records, around.calendar, around.now, water_at, around.outside)

    def at(day: date) -> Case:
        case = seen(day)
        return replace(case, water=None) if _runs_out(case.state) else case

    return at


def _mark(planter: Planter, around: _Around, key: str) -> bytes:
    """A hash of all that a planter's flags through the season depend on."""
    water = around.water and mark_of(around.water.season)
    told = (key, planter, around.calendar, around.span, around.outside, water)
    return hashlib.sha256(repr(told).encode()).digest()


def _line(planter: Planter, around: _Around, site: str, key: str) -> Line:
    calendar, span, now, water = around.calendar, around.span, around.now, around.water
    records = log.records_of(planter.id)
    stands = standing(records, calendar.zone)
    state = fold_standing(planter, stands, calendar, now)
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
    case_at = _case_at(planter, records, around)
    left = [
        (calendar.local_day(change.at), str(change.after["status"]))
        for change in register.changes_of(planter.id)
        if "status" in change.after and "status" in change.before
    ]
    return Line(
        season,
        planter.site,
        figures.poured(visits),
        figures.unmeasured(visits),
        figures.seen_empty(visits),
        _runs(_mark(planter, around, key), case_at, span),
        figures.losses(visits, left, span.first, span.last),
        _dry(planter, water, case_at, span) if water else None,
    )


def _runs(mark: bytes, case_at: Callable[[date], Case], span: Span) -> tuple[FlagRun, ...]:
    """The flags of a planter's season, replayed once."""

    def up(day: date) -> Mapping[str, tuple[str, tuple[str, ...]]]:
        case = case_at(day)
        raised = {code: rule.judge(case) for code, rule in RULES.items()}
        return {
            code: (evidence.urgency or RULES[code].urgency, evidence.records)
            for code, evidence in raised.items()
            if evidence is not None
        }

    if mark not in _replays:
        _replays[mark] = figures.flag_runs(span.first, span.last, up)
        while len(_replays) > MOST_REPLAYS:
            _replays.popitem(last=False)
    return _replays[mark]


def _runs_out(state: PlanterState) -> bool:
    return state.drained or state.plug.state in ("out", "missing")


def _dry(
    planter: Planter, water: TownWater, case_at: Callable[[date], Case], span: Span
) -> DryDays | None:
    """What the balance says of the days it keeps, as far as the planter was to hold water."""
    places = [facts.key for facts in water.season.facts]
    if planter.id not in places:
        return None
    place = places.index(planter.id)
    levels = {}
    for day, told in sorted(water.morning.levels.items()):
        state = case_at(day).state
        if day >= span.first and not _runs_out(state):
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
