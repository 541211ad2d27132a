"""Builders, so that a test reads as a sentence: a_check_in(level=0.25, days_ago=3)."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from potrounds.domain.calendar import Night, Site, TownCalendar
from potrounds.domain.planter import Planter, Planting
from potrounds.domain.records import Decision, Record, Report, Withdrawal, body_from
from potrounds.domain.visits import Visit, effective
from potrounds.domain.water import Band, Look, Outlook, TopUpDay, Water
from potrounds.flags import RULES, Case, Evidence, Flag, apply_decisions, cases_of, raise_flags

TODAY = date(2026, 8, 10)  # a Monday in high summer
WINTER = date(2026, 10, 20)  # a Tuesday, some nights before the freeze
SPRING = date(2026, 4, 20)  # a Monday
SITE = "s-ferry001"
PLANTER = "p-ferry001"

_numbers = itertools.count(1)


def a_planter(**changes: Any) -> Planter:
    """A medium planter at the ferry landing that holds 16 L, in use and planted in May."""
    values: dict[str, Any] = {
        "id": PLANTER,
        "name": "Ferry landing 1",
        "site": SITE,
        "reservoir_l": 16.0,
        "weight_moist_kg": 140.0,
        "installed": date(2025, 4, 1),
        "planting": Planting(date(2026, 5, 12), ("petunia", "sweet potato")),
    }
    return Planter(**(values | changes))


def a_calendar(freeze_on: date | None = None, nights: tuple[Night, ...] = (), **changes: Any):
    """The town's calendar: winter from 15 September, spring from 15 March, a visit a week."""
    sites = (Site(SITE, "Ferry landing", freeze_on),)
    return TownCalendar(sites=sites, nights=nights, **changes)


def a_forecast(low_c: float, on: date, known_on: date | None = None) -> Night:
    """A low the coordinator typed from the forecast."""
    return Night(on, low_c, "forecast", known_on)


def a_low(low_c: float, on: date) -> Night:
    """A low that was recorded."""
    return Night(on, low_c, "recorded")


def a_record(
    kind: str,
    body: dict[str, Any] | Any,
    *,
    days_ago: float = 0,
    on: date | None = None,
    hour: int = 10,
    by: str = "Ines",
    id: str | None = None,
    coordinator: bool = False,
    **changes: Any,
) -> Record:
    """A record of any kind, seen so many days before TODAY or on a day, at an hour UTC."""
    number = next(_numbers)
    day = on or TODAY
    at = datetime.combine(day, time(hour), UTC) - timedelta(days=days_ago)
    values: dict[str, Any] = {
        "id": id or f"r-{number:06d}",
        "kind": kind,
        "planter": PLANTER,
        "body": body_from(kind, body) if isinstance(body, dict) else body,
        "observed_at": at,
        "author": f"u-{by.lower()}" if by else None,
        "author_name": by,
        "device": f"phone-{by.lower()}",
        "n": number,
        "extra": {"author_role": "coordinator"} if coordinator else {},
    }
    return Record(**(values | changes))


_WHEN = ("days_ago", "on", "hour", "by", "id", "coordinator", "time_uncertain", "n", "device")


def _split(words: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """What was seen, and when and by whom."""
    seen = {key: value for key, value in words.items() if key not in _WHEN}
    return seen, {key: value for key, value in words.items() if key in _WHEN}


def a_check_in(**words: Any) -> Record:
    """A check-in: what was seen beside when and by whom, e.g. level=0.25, days_ago=3, by="Kofi"."""
    body, when = _split(words)
    return a_record("check-in", body, **when)


def a_correction(of: Record, **words: Any) -> Record:
    """The whole check-in again, by its author unless another is named, a day after it."""
    body, when = _split(words)
    when = {"on": of.observed_at.date() + timedelta(days=1), "by": of.author_name} | when
    return a_record("correction", {"replaces": of.id, "check_in": body}, **when)


def a_withdrawal(of: Record, **when: Any) -> Record:
    """Its author, unless another is named, takes a record back."""
    when = {"by": of.author_name, "days_ago": 0} | when
    return a_record("withdrawal", Withdrawal(of.id, "wrong planter"), **when)


def a_step(code: str, list: str = "winterization", season: int = 2026, **words: Any) -> Record:
    """A checklist step done, e.g. a_step("pull-plug", on=WINTER, photos=[...])."""
    body, when = _split(words)
    return a_record("step", {"list": list, "season": season, "step": code, **body}, **when)


def a_report(what: str = "dry", text: str = "", **when: Any) -> Record:
    """A passer-by's report: no name."""
    return a_record("report", Report(what, text), **({"by": ""} | when))


def a_decision(flag: str, decision: str, about: tuple[Record, ...] = (), **words: Any) -> Record:
    """A coordinator's decision about a flag that rested on those records."""
    when = {key: words.pop(key) for key in _WHEN if key in words}
    body = Decision(flag, decision, evidence=tuple(one.id for one in about), **words)
    return a_record("decision", body, **({"by": "Pilar", "coordinator": True} | when))


def a_look(of: Record, mid: float, room_l: float = 0.0, spread: float = 0.1) -> Look:
    """A check-in as the water balance saw it: `mid` is how full it was believed to be."""
    (visit,) = effective([of])
    seen = visit.check_in
    room = room_l or 16.0 * (1 - mid)
    low, high = max(0.0, mid - spread), min(1.0, mid + spread)
    told = (seen.level, seen.litres_l, visit.ran_over)
    return Look(of.id, visit.day, visit.person, *told, mid, low, high, room)


def a_water(*looks: Look, days: float | None = None, **changes: Any) -> Water:
    """What is believed of a planter of 16 L on TODAY; `days`: how long the water lasts."""
    outlook = None
    if days is not None:
        chance = tuple(1.0 if day + 1 > days else 0.0 for day in range(40))
        band = Band(days, 0.7 * days, 1.5 * days)
        top = tuple(TopUpDay(TODAY + timedelta(n), 7.0, 6.0, 8.0) for n in range(15))
        outlook = Outlook(band, band, chance, top, Band(1.2, 1.0, 1.5), ())
    values: dict[str, Any] = {
        **{"as_of": TODAY, "capacity_l": 16.0, "level_l": Band(9.0, 8.0, 10.0)},
        **{"leak": 0.02, "wick": 0.01, "blocked": 0.0, "looks": looks, "outlook": outlook},
    }
    return Water(**(values | changes))


def a_visit(**words: Any) -> Visit:
    """A check-in as it stands."""
    return effective([a_check_in(**words)])[0]


def a_case(
    *records: Record,
    planter: Planter | None = None,
    calendar: TownCalendar | None = None,
    today: date = TODAY,
    water: Water | None = None,
) -> Case:
    """What a rule sees of those records on the evening of a day."""
    cases = the_cases(*records, planter=planter, calendar=calendar, today=today)
    return replace(cases(today), water=water)


def the_cases(
    *records: Record,
    planter: Planter | None = None,
    calendar: TownCalendar | None = None,
    today: date = TODAY,
):
    """The case of every day up to the evening of today."""
    now = datetime.combine(today, time(20), UTC)
    return cases_of(planter or a_planter(), records, calendar or a_calendar(), now)


def the_flags(*records: Record, today: date = TODAY, **around: Any) -> dict[str, Flag]:
    """The flags up today with their decisions, by code."""
    cases = the_cases(*records, today=today, **around)
    raised = apply_decisions(raise_flags(cases, today), cases(today).state.decisions, today)
    return {flag.code: flag for flag in raised}


def raises(code: str, *records: Record, **around: Any) -> Evidence:
    """The rule raises its flag on those records; gives the evidence."""
    evidence = RULES[code].judge(a_case(*records, **around))
    assert evidence is not None, f"{code} stayed quiet"
    assert evidence.records or evidence.numbers, f"{code} rests on nothing"
    known = {record.id for record in records}
    assert set(evidence.records) <= known, f"{code} names records that do not exist"
    return evidence


def stays_quiet(code: str, *records: Record, **around: Any) -> None:
    """The rule does not raise its flag on those records."""
    evidence = RULES[code].judge(a_case(*records, **around))
    assert evidence is None, f"{code} raised: {evidence}"
