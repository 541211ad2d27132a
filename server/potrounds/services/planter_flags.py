"""The flags of a planter through a season: when raised, on what, and what or who ended them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from potrounds.domain import report as figures
from potrounds.domain.planter_course import Ending, ending
from potrounds.domain.report import FlagRun
from potrounds.flags import RULES, Case
from potrounds.services import planter_course, planter_visits
from potrounds.services.cards import public_decision
from potrounds.services.context import Context
from potrounds.services.moments import day_text
from potrounds.services.report import runs_of, span_of
from potrounds.store import people, photos


def season(ctx: Context, planter_id: str, year: str | None) -> dict[str, Any]:
    """Every run of every flag in a season, newest first, by the rules of the season report.

    Raises: Refusal 404 for no such planter, and for a season that has not begun.
    """
    span = span_of(ctx, year)
    one = planter_course.read(ctx, planter_id)
    runs, case_at = runs_of(ctx, span, planter_id, one.stands)
    names = {person.id: person.name for person in people.people()}
    recorded = [(seen.day, seen.record) for seen in (*one.seen, *one.stands.reports)]
    first = {visit.correction: visit.record for visit in one.stands.visits if visit.correction}
    ends = [ending(_by_first(run, first), one.stands.decisions, recorded) for run in runs]
    wanted = {record for end in ends for record in (*end.run.records, *end.cleared_by)}
    told = [_told(end, case_at, span.last, names) for end in ends]
    return {
        "year": span.year,
        "whole": span.whole,
        "until": day_text(span.last),
        "settled": figures.settled(runs),
        "runs": told[::-1],
        "visits": planter_visits.of_records(one, wanted, photos.states_at(planter_id)),
    }


def _by_first(run: FlagRun, first: Mapping[str, str]) -> FlagRun:
    """The run with corrected check-ins under the ids they first had, as visits are listed."""
    return replace(run, records=tuple(first.get(one, one) for one in run.records))


def _told(
    end: Ending, case_at: Callable[[date], Case], last: date, names: Mapping[str, str]
) -> dict[str, Any]:
    run, rule = end.run, RULES[end.run.code]
    evidence = rule.judge(case_at(run.since))
    return {
        "code": run.code,
        "name": rule.name,
        "urgency": run.urgency,
        "since": day_text(run.since),
        "cleared": day_text(run.cleared),
        "days": _open_days(run, last),
        "sentence": evidence.sentence if evidence else "",
        "records": list(run.records),
        "cleared_by": list(end.cleared_by),
        "settled_days": end.settled_days,
        "decisions": [public_decision(mark, names) for mark in end.decisions],
    }


def _open_days(run: FlagRun, last: date) -> int:
    """Days from raised to cleared, or so far."""
    return ((run.cleared or last) - run.since).days
