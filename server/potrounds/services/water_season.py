"""A town's season as the water balance reads it: facts, weather and check-ins out of the store."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from potrounds.domain.calendar import TownCalendar
from potrounds.domain.planter import Planter
from potrounds.domain.visits import Standing, StepMark, Visit, standing
from potrounds.science.ensemble import PlanterFacts
from potrounds.services import town, weather_record
from potrounds.services.weather_record import Month
from potrounds.store import log, register, weather
from potrounds.store.weather import WeatherRow

#: Where the register does not say: mix for a litre of reservoir, and the mix's depth. Judgement,
#: from the proportions of planters on sale for squares and streets.
MIX_FOR_RESERVOIR, MIX_DEPTH_M = 4.2, 0.31
READ_BY_HAND = ("dipstick", "lifted-cap")
MOST_REMEMBERED = 4000
STANDS_DAYS = 180  # a planting older than this at the season's start gives way to one to come


@dataclass(frozen=True)
class Told:
    """One check-in or filling step as the balance reads it; None where not told."""

    record: str
    day: date
    person: str | None
    level: float | None = None
    litres_l: float | None = None
    overflow: bool | None = None
    plants: int | None = None
    overhead_l: float = 0.0
    plug_out: bool | None = None
    trimmed: bool = False
    by_hand: bool = False  # read with a dipstick or by lifting the cap: nothing that can hang


@dataclass(frozen=True)
class Season:
    """Everything a replay depends on."""

    facts: tuple[PlanterFacts, ...]
    rain_reaches: tuple[bool | None, ...]
    latitude: float
    elevation_m: float
    usual: tuple[Month, ...]
    weather: tuple[WeatherRow, ...]  # every day from the first up to yesterday
    issued: dict[date, tuple[WeatherRow, ...]]
    told: dict[date, tuple[tuple[int, Told], ...]]  # by day: planter's place, what was told
    today: date
    forecast: tuple[WeatherRow, ...] = ()
    any_weather: bool = True
    names: tuple[str, ...] = ()
    plug_out: tuple[int, ...] = ()  # planters whose plug was out when the season began
    unsure: tuple[int, ...] = field(default=())  # check-ins whose time is only a claim
    estimated: tuple[bool, ...] = field(default=())  # sizes that the register does not say
    planted: dict[date, tuple[int, ...]] = field(default_factory=dict)  # anew since it began

    @property
    def first(self) -> date:
        """The season's first day."""
        return self.weather[0].date if self.weather else self.today


_remembered: dict[tuple[str, ...], tuple[tuple[Told, ...], int]] = {}


def read_season(calendar: TownCalendar, today: date) -> Season | None:
    """The season so far; None where nothing can be said without a latitude, or without planters."""
    latitude, elevation_m = weather_record.place()
    planters = [
        one
        for one in town.planters(calendar, None).values()
        if one.status == "in-use" and one.reservoir_l > 0
    ]
    if latitude is None or not planters:
        return None
    planters.sort(key=lambda one: one.id)
    told, unsure = _all_told(planters, calendar)
    rows = [row for row in weather.observed() if row.date < today]
    usual = weather_record.usual_year(_before_this_month(rows, today), latitude)
    first = _first_day(calendar, today, rows, told)
    last = today - timedelta(days=1)
    issued: dict[date, list[WeatherRow]] = {}
    for row in weather.forecasts(since=first):
        if row.issued_on and row.date >= row.issued_on:
            issued.setdefault(row.issued_on, []).append(row)
    by_day: dict[date, list[tuple[int, Told]]] = {}
    for place, several in enumerate(told):
        for one in several:
            if first <= one.day <= today:
                by_day.setdefault(one.day, []).append((place, one))
    beds = register.plantings([one.id for one in planters])
    began, anew = _plantings([beds.get(one.id, []) for one in planters], first, today)
    return Season(
        facts=tuple(facts_of(one, day) for one, day in zip(planters, began, strict=True)),
        rain_reaches=tuple(one.rain_reaches for one in planters),
        latitude=latitude,
        elevation_m=elevation_m,
        usual=usual,
        weather=tuple(weather_record.without_gaps(rows, first, last, usual)),
        issued={day: _unbroken(several, day) for day, several in issued.items()},
        told={day: tuple(several) for day, several in by_day.items()},
        today=today,
        forecast=_unbroken(weather_record.latest_forecast(today), today),
        any_weather=bool(rows),
        names=tuple(one.name for one in planters),
        plug_out=tuple(place for place, one in enumerate(told) if _plug_out_before(one, first)),
        unsure=tuple(unsure),
        estimated=tuple(one.mix_l is None or one.top_area_m2 is None for one in planters),
        planted=anew,
    )


def _before_this_month(rows: list[WeatherRow], today: date) -> list[WeatherRow]:
    """The days that what is usual rests on: it stands for a month, and the season with it."""
    return [row for row in rows if row.date < today.replace(day=1)]


def _plantings(
    beds: Sequence[Sequence[register.Planting]], first: date, today: date
) -> tuple[list[date | None], dict[date, tuple[int, ...]]]:
    """The planting each planter's season begins with, and those made since.

    Of plants that stood there before, only recent ones count: last summer's are gone by spring.
    """
    began: list[date | None] = []
    anew: dict[date, list[int]] = {}
    for place, several in enumerate(beds):
        days = [one.planted_on for one in several]
        before = [day for day in days if day <= first]
        since = [day for day in days if day > first]
        if before and (not since or (first - before[-1]).days <= STANDS_DAYS):
            began.append(before[-1])
        else:
            began.append(since.pop(0) if since else None)
        for day in since:
            if day <= today:
                anew.setdefault(day, []).append(place)
    return began, {day: tuple(places) for day, places in anew.items()}


def facts_of(planter: Planter, planted: date | None) -> PlanterFacts:
    """What the register says of a planter, sizes that are missing guessed from its reservoir."""
    mix_l = planter.mix_l or planter.reservoir_l * MIX_FOR_RESERVOIR
    area_m2 = planter.top_area_m2 or mix_l / 1000.0 / MIX_DEPTH_M
    return PlanterFacts(
        planter.id,
        mix_l,
        planter.reservoir_l,
        area_m2,
        planter.sun,
        planter.wind,
        planted,
        canopy_m2=planter.canopy_m2,
    )


def _first_day(
    calendar: TownCalendar, today: date, rows: list[WeatherRow], told: Sequence[tuple[Told, ...]]
) -> date:
    """The season's first day, or the first on which anything is known, if that is later."""
    month, day = calendar.spring_from
    begins = date(calendar.season_year(today), month, min(day, 28))
    known = [row.date for row in rows if row.date >= begins][:1]
    known += [one.day for several in told for one in several if one.day >= begins]
    return min(max(begins, min(known, default=today)), today)


def _plug_out_before(told: tuple[Told, ...], first: date) -> bool:
    """Whether the drain plug was last seen out before that day."""
    seen = [one.plug_out for one in told if one.day < first and one.plug_out is not None]
    return bool(seen) and seen[-1] is True


def _unbroken(rows: Sequence[WeatherRow], first: date) -> tuple[WeatherRow, ...]:
    """The forecast from its first day on, as far as no day is left out.

    Where it begins only on the morrow, that day stands in for the first.
    """
    by_day = {row.date: row for row in rows}
    morrow = by_day.get(first + timedelta(days=1))
    if morrow is not None:
        by_day.setdefault(first, replace(morrow, date=first))
    found: list[WeatherRow] = []
    while first + timedelta(days=len(found)) in by_day:
        found.append(by_day[first + timedelta(days=len(found))])
    return tuple(found)


def _all_told(
    planters: list[Planter], calendar: TownCalendar
) -> tuple[list[tuple[Told, ...]], list[int]]:
    """What was told of each planter, read again only where its records have changed."""
    history = str(register.setting("history"))
    marks = log.fingerprints()
    told, unsure = [], []
    if len(_remembered) > MOST_REMEMBERED:
        _remembered.clear()
    for planter in planters:
        key = (history, calendar.zone, planter.id, marks.get(planter.id, ""))
        if key not in _remembered:
            stands = standing(log.records_of(planter.id), calendar.zone)
            _remembered[key] = (told_of(stands), _unsure(stands))
        told.append(_remembered[key][0])
        unsure.append(_remembered[key][1])
    return told, unsure


def _unsure(stands: Standing) -> int:
    return sum(visit.time_uncertain for visit in stands.visits)


def told_of(stands: Standing) -> tuple[Told, ...]:
    """What the check-ins and steps say of water, in the order of the field.

    A record whose time is only a claim is left out: it may belong anywhere.
    """
    seen: list[Visit | StepMark] = [*stands.visits, *stands.steps]
    sure = sorted(
        (one for one in seen if not one.time_uncertain),
        key=lambda one: (one.at, one.device, one.n, one.record),
    )
    told = (_of_visit(one) if isinstance(one, Visit) else _of_step(one) for one in sure)
    return tuple(one for one in told if one is not None)


def _of_visit(visit: Visit) -> Told:
    seen = visit.check_in
    level, overflow = seen.level, None
    if visit.ran_over:
        overflow = True
    elif seen.overflow == "dry":
        overflow = False
    elif seen.overflow == "wet-on-arrival" and level is None:
        level = 1.0
    plug_out = {"in": False, "out": True, "missing": True}.get(seen.plug)
    litres_l = seen.litres_l
    if litres_l is None and seen.litres_how is None and not overflow:
        litres_l = 0.0  # a fill is one tap: who says nothing of one has given none
    return Told(
        visit.record,
        visit.day,
        visit.person,
        level,
        litres_l,
        overflow,
        seen.plants,
        seen.overhead_l or 0.0,
        plug_out,
        "trimmed" in seen.done,
        seen.read_by in READ_BY_HAND,
    )


def _of_step(mark: StepMark) -> Told | None:
    step = mark.step
    if step.outcome != "done":
        return None
    what = (step.list, step.step)
    plug_out = {("winterization", "pull-plug"): True, ("start-up", "plug-in"): False}.get(what)
    filled = True if what == ("start-up", "fill") else None
    if plug_out is None and filled is None and step.level is None:
        return None
    level = None if filled else step.level  # one told with the fill is that after it
    litres_l = None if level is None else 0.0
    return Told(mark.record, mark.day, mark.person, level, litres_l, filled, plug_out=plug_out)
