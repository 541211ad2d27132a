"""A planter's whole history for the coordinator: a season as a course of days, and all the rest.

Read from the records as they now stand each time it is asked for. What is believed of the water is
the card's; nothing is worked out a second time.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date, datetime, timedelta
from typing import Any

from potrounds.domain import planter as domain
from potrounds.domain import planter_course as course
from potrounds.domain import report as figures
from potrounds.domain.calendar import EARLY_START_UP_DAYS, TownCalendar, season_start
from potrounds.domain.fold import fold_standing
from potrounds.domain.season_lists import SkyDay, list_ends
from potrounds.domain.visits import PlantingMark, Standing, StepMark, Visit, standing
from potrounds.services import cards, planter_history, seasons, town, weather_record
from potrounds.services.context import Context
from potrounds.services.moments import day_text, stamp
from potrounds.services.refusal import not_found
from potrounds.services.report import Span, span_of
from potrounds.store import derived, log, people, photos, register, weather

#: A forecast is drawn so far ahead as the chart looks. [days]
AHEAD_DAYS = 14
#: Use this near to that of its kind is called like its kind, as on the phone.
LIKE_ITS_KIND = 0.05
Pictured = Visit | StepMark | PlantingMark


@dataclass(frozen=True)
class Planter:
    """A planter with everything that was recorded of it."""

    row: register.Planter
    planter: domain.Planter
    stands: Standing
    calendar: TownCalendar
    today: date

    @property
    def seen(self) -> list[Pictured]:
        """What people recorded there, in no order."""
        stands = self.stands
        return [*stands.visits, *stands.steps, *stands.plantings]

    @property
    def years(self) -> list[int]:
        """The seasons there is anything of, and the present one; newest first."""
        of = self.calendar.season_year
        return sorted({of(self.today), *(of(one.day) for one in self.seen)}, reverse=True)


def read(ctx: Context, planter_id: str) -> Planter:
    """A planter and its records. Raises: Refusal 404."""
    calendar, now = town.calendar(), ctx.now()
    found = town.planters(calendar, now, only=[planter_id]).get(planter_id)
    if found is None:
        raise not_found("planter")
    stands = standing(log.records_of(planter_id), calendar.zone)
    row = register.planter(planter_id)
    return Planter(row, found, stands, calendar, calendar.local_day(now))


def whole(ctx: Context, planter_id: str, year: str | None) -> dict[str, Any]:
    """A planter's history: one season day by day, and what goes through all seasons.

    Raises: Refusal 404 for no such planter, and for a season that has not begun.
    """
    one = read(ctx, planter_id)
    span = span_of(ctx, year)
    names = {person.id: person.name for person in people.people()}
    states = photos.states_at(planter_id)
    card = derived.get(planter_id)
    water = (card.content or {}).get("water") if card and not span.whole else None
    return {
        **_head(one),
        "year": span.year,
        "begins": day_text(span.first),
        "until": day_text(span.last),
        "whole": span.whole,
        "years": one.years,
        "made_at": stamp(ctx.now()),
        "season": _season(one, span, water),
        "use": _use(water),
        "photos": _photos(one, states),
        "plantings": _plantings(one),
        "lists": _lists(ctx, one),
        "tags": _tags(planter_id),
        "changes": planter_history.whole_history(one.row, names),
        "records": len(one.seen) + len(one.stands.reports),
    }


def _head(one: Planter) -> dict[str, Any]:
    row = one.row
    return {
        "id": row.id,
        "name": row.name,
        "site": {"id": row.site, "name": register.site(row.site).name},
        "status": row.status,
        "size": row.size,
        "shape": row.shape,
        "reservoir_l": row.reservoir_l,
        "installed_on": day_text(row.installed_on),
    }


def _season(one: Planter, span: Span, water: dict[str, Any] | None) -> dict[str, Any]:
    visits = [v for v in one.stands.visits if span.first <= v.day <= span.last]
    steps = [s for s in one.stands.steps if span.first <= s.day <= span.last]
    rows = weather.observed(span.first, span.last)
    sky = [SkyDay(row.date, row.tmin_c, row.tmax_c, row.rain_mm) for row in rows]
    capacity = one.row.reservoir_l
    series = water["series"] if water else []
    return {
        "visits": len(visits),
        "steps": len(steps),
        "water": {how: n / 10 for how, n in figures.water(figures.poured(visits)).items()},
        "unmeasured_fills": len(figures.unmeasured(visits)),
        "seen_empty_days": len(figures.seen_empty(visits)),
        "marks": [_mark(mark) for mark in course.water_marks(visits, steps, capacity)],
        "believed": [day for day in series if span.first.isoformat() <= day["date"]],
        "as_of": water["as_of"] if water else None,
        "sky": [*map(_sky, sky), *map(_sky, _ahead(one, span)[: AHEAD_DAYS + 1])],
        "plants": [_plants(mark) for mark in course.plants_marks(visits)],
        "weeks": [
            _week(week) for week in course.weeks(span.first, span.last, visits, sky, capacity)
        ],
    }


def _ahead(one: Planter, span: Span) -> list[SkyDay]:
    """The forecast from the morrow on; none for a season that is over."""
    if span.whole:
        return []
    return [
        SkyDay(row.date, row.tmin_c, row.tmax_c, row.rain_mm)
        for row in weather_record.latest_forecast(one.today + timedelta(days=1))
    ]


def _mark(mark: course.WaterMark) -> dict[str, Any]:
    return {**asdict(mark), "at": stamp(mark.at), "day": day_text(mark.day)}


def _plants(mark: course.PlantsMark) -> dict[str, Any]:
    return {**asdict(mark), "at": stamp(mark.at), "day": day_text(mark.day)}


def _sky(day: SkyDay) -> dict[str, Any]:
    return {**asdict(day), "date": day_text(day.date)}


def _week(week: course.Week) -> dict[str, Any]:
    told = asdict(week)
    return {
        **told,
        "first": day_text(week.first),
        "last": day_text(week.last),
        "given_l": told.pop("given_tenths") / 10,
        "overhead_l": told.pop("overhead_tenths") / 10,
    }


def _use(water: dict[str, Any] | None) -> dict[str, Any] | None:
    """Litres a day beside what it would use if it were like its kind, as the card has them."""
    if water is None or water["use_l_day"]["mid"] is None:
        return None
    mid, peers = water["use_l_day"]["mid"], water["peers"]
    return {
        "as_of": water["as_of"],
        "own_l_day": water["use_l_day"],
        "kind_l_day": round(mid / peers, 2) if peers else None,
        "percent": None if peers is None else _percent(peers),
        "sure": water["sure"],
    }


def _percent(peers: float) -> int:
    away = peers - 1
    return 0 if abs(away) < LIKE_ITS_KIND else round(100 * away)


def _photos(one: Planter, states: dict[str, str]) -> list[dict[str, Any]]:
    """Every photo there is, oldest first; one that was erased is not named any more."""
    found = {}
    for seen in sorted(one.seen, key=lambda seen: (seen.at, seen.record)):
        for sha in _pictures(seen):
            if states.get(sha) != "erased":
                found.setdefault(
                    sha,
                    {
                        "sha": sha,
                        "at": stamp(seen.at),
                        "day": day_text(seen.day),
                        "by": seen.by,
                        "record": seen.record,
                        "plants": seen.check_in.plants if isinstance(seen, Visit) else None,
                        "state": "here" if states.get(sha) == "here" else "on-its-way",
                    },
                )
    return list(found.values())


def _pictures(seen: Pictured) -> tuple[str, ...]:
    if isinstance(seen, Visit):
        return seen.check_in.photos
    return seen.step.photos if isinstance(seen, StepMark) else seen.planting.photos


def _plantings(one: Planter) -> list[dict[str, Any]]:
    """What the register plants here and what people planted, newest first."""
    told = [
        {
            "planted_on": day_text(row.planted_on),
            "plants": row.plants,
            "counts": [None] * len(row.plants),
            "scheme": row.scheme,
            "by": None,
            "record": None,
        }
        for row in register.plantings([one.row.id]).get(one.row.id, [])
    ]
    told += [
        {
            "planted_on": day_text(mark.day),
            "plants": list(mark.planting.plants),
            "counts": list(mark.planting.counts) or [None] * len(mark.planting.plants),
            "scheme": mark.planting.scheme,
            "by": mark.by,
            "record": mark.record,
        }
        for mark in one.stands.plantings
    ]
    return sorted(told, key=lambda row: str(row["planted_on"]), reverse=True)


def _lists(ctx: Context, one: Planter) -> list[dict[str, Any]]:
    """Both lists of each season, newest first; a start-up done ahead of its season too."""
    begun = {(mark.step.list, mark.step.season) for mark in one.stands.steps}
    wanted = {(name, year) for year in one.years for name in ("winterization", "start-up")}
    told = []
    for name, year in wanted | begun:
        if season_start(one.calendar, year) - timedelta(days=EARLY_START_UP_DAYS) > one.today:
            continue
        moment = min(ctx.now(), _last_moment(one.calendar, name, year))
        state = fold_standing(one.planter, one.stands, one.calendar, moment)
        list_ = state.winterization if name == "winterization" else state.start_up
        if list_.season == year:
            told.append(cards.list_card(list_, one.calendar.list_active(name, one.today)))
    return sorted(told, key=lambda card: (card["season"], card["list"]), reverse=True)


def _last_moment(calendar: TownCalendar, name: str, year: int) -> datetime:
    """The last at which a season's list was the one to work on: a start-up list gives way to the
    next one weeks before spring, or when the season is closed."""
    ends = [list_ends(calendar, name, year)]
    if name == "start-up":
        ends += [since for closed, since in calendar.closed if closed == year]
    return seasons.moment_of(calendar, min(ends)) - timedelta(microseconds=1)


def _tags(planter_id: str) -> list[dict[str, Any]]:
    """The code in use, then those before it."""
    return [
        {
            "code": tag.code,
            "issued_at": stamp(tag.issued_at),
            "retired_at": stamp(tag.retired_at),
            "reason": tag.reason,
        }
        for tag in reversed(register.tags([planter_id]).get(planter_id, []))
    ]
