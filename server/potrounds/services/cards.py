"""The planter's card: everything a phone keeps of one planter, made from state and flags."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from potrounds.domain.calendar import TownCalendar
from potrounds.domain.checklists import ListProgress, StepProgress
from potrounds.domain.fold import PlanterState
from potrounds.domain.planter import Planter
from potrounds.domain.records import LEVELS, CheckIn
from potrounds.domain.season_lists import season_list
from potrounds.domain.visits import DecisionMark, PlantingMark, ReportMark, StepMark, Visit
from potrounds.flags import ACTS, Flag
from potrounds.science.reservoir import top_up_range
from potrounds.services.cards_planting import (
    planting_next,
    planting_now,
    planting_seen,
    salt_seen,
)
from potrounds.services.care import Care
from potrounds.services.moments import day_text, stamp
from potrounds.services.site_plans_view import place_block
from potrounds.services.today import today_lines

MOST_VISITS = 8
PASSER_BY = "Passer-by"

Shown = Visit | StepMark | ReportMark | PlantingMark


@dataclass(frozen=True)
class Parts:
    """What the store knows of a planter beside its records."""

    site_name: str
    code: str | None
    old_codes: tuple[str, ...]
    picture: str | None
    notes: str
    photos: Mapping[str, str]
    names: Mapping[str, str]
    held: int


def planter_card(
    planter: Planter,
    state: PlanterState,
    flags: Sequence[Flag],
    calendar: TownCalendar,
    now: datetime,
    parts: Parts,
    care: Care,
) -> dict[str, Any]:
    """The card, without its number."""
    everything: list[Shown] = [*state.visits, *state.steps, *state.reports, *state.plantings]
    shown = sorted(everything, key=lambda one: (one.at, one.record), reverse=True)
    latest = shown[:MOST_VISITS]
    wanted = {record for flag in flags for record in flag.records}
    evidence = [one for one in shown[MOST_VISITS:] if _is_among(one, wanted)]
    today = calendar.local_day(now)
    return {
        **_from_register(planter, parts),
        "planting": planting_now(state.planting),
        "planned": planting_next(planter.planned, state.planting),
        "state": _state(state),
        "top_up": [_top_up(planter.reservoir_l, level) for level in LEVELS],
        "today": today_lines(planter, state, flags, calendar, today, care),
        "flags": [_flag(flag, parts.names) for flag in flags],
        "visits": [visit(one, parts.photos, calendar) for one in latest],
        "evidence": [visit(one, parts.photos, calendar) for one in evidence],
        "lists": {
            "winterization": list_card(
                state.winterization, calendar.list_active("winterization", today)
            ),
            "start_up": list_card(state.start_up, calendar.list_active("start-up", today)),
        },
        "assessed_at": stamp(now),
        "held_reports": parts.held,
    }


def _from_register(planter: Planter, parts: Parts) -> dict[str, Any]:
    return {
        "id": planter.id,
        "name": planter.name,
        "code": parts.code,
        "old_codes": list(parts.old_codes),
        "status": planter.status,
        "site": {"id": planter.site, "name": parts.site_name},
        "size": planter.size,
        "shape": planter.shape,
        "reservoir_l": planter.reservoir_l,
        "gauge": planter.gauge,
        "has_gauge": planter.has_gauge,
        "weight_moist_kg": planter.weight_moist_kg,
        "weight_full_kg": planter.weight_full_kg,
        "picture": parts.picture,
        "notes": parts.notes,
        "place": place_block(planter.lat, planter.lon),
    }


def _state(state: PlanterState) -> dict[str, Any]:
    level, plants, plug = state.level, state.plants, state.plug
    return {
        "level": level
        and {
            "value": level.value,
            "at": stamp(level.at),
            "by": level.by,
            "read_by": level.read_by,
            "record": level.record,
        },
        "plug": {"state": plug.state, "at": stamp(plug.at), "by": plug.by, "place": plug.place},
        "plants": plants
        and {
            "score": plants.score,
            "at": stamp(plants.at),
            "by": plants.by,
            "record": plants.record,
        },
        "last_visit": state.last_visit
        and {
            "at": stamp(state.last_visit.at),
            "by": state.last_visit.by,
            "record": state.last_visit.record,
        },
        "last_full": state.last_full
        and {"at": stamp(state.last_full.at), "by": state.last_full.by},
        "last_fed": state.last_fed
        and {
            "at": stamp(state.last_fed.at),
            "by": state.last_fed.by,
            "what": state.last_fed.what,
            "ppm_n": state.last_fed.ppm_n,
            "strength": state.last_fed.strength,
        },
        "last_winter_season": state.last_winter_season,
    }


def _top_up(reservoir_l: float, level: float) -> dict[str, Any]:
    litres = top_up_range(reservoir_l, level)
    return {
        "level": level,
        "litres_l": round(litres.litres_l, 1),
        "low_l": round(litres.low_l, 1),
        "high_l": round(litres.high_l, 1),
    }


def public_decision(mark: DecisionMark, names: Mapping[str, str]) -> dict[str, Any]:
    """What was decided of a flag, by whom and when."""
    decided = mark.decision
    return {
        "decision": decided.decision,
        "by": mark.by,
        "at": stamp(mark.at),
        "until": day_text(decided.until),
        "to": names.get(decided.to or "", decided.to),
        "note": decided.note or None,
    }


def _flag(flag: Flag, names: Mapping[str, str]) -> dict[str, Any]:
    mark = flag.decision
    decided = mark and {
        **public_decision(mark, names),
        "record": mark.record,
        "round": mark.decision.round,
        "why": mark.decision.why or None,
        "outdated": flag.outdated,
    }
    return {
        "code": flag.code,
        "name": flag.name,
        "act": ACTS[flag.code],
        "urgency": flag.urgency,
        "sentence": flag.sentence,
        "advice": flag.advice,
        "caution": flag.caution,
        "source": flag.source,
        "since": day_text(flag.since),
        "records": list(flag.records),
        "decision": decided,
        "quiet": flag.quiet,
    }


def _is_among(one: Shown, wanted: set[str]) -> bool:
    names = {one.record, one.correction} if isinstance(one, Visit) else {one.record}
    return bool(names & wanted)


def visit(one: Shown, photo_states: Mapping[str, str], calendar: TownCalendar) -> dict[str, Any]:
    """One line of the planter's history. A removed photo is not named any more."""
    seen, note, photos = _what_was_seen(one)
    kept = [sha for sha in photos if photo_states.get(sha) != "erased"]
    return {
        "record": one.record,
        "kind": _kind(one),
        "at": stamp(one.at),
        **_by_whom(one),
        "corrected": isinstance(one, Visit) and one.corrected,
        "level": seen.level,
        "read_by": seen.read_by,
        "litres_l": seen.litres_l,
        "litres_how": seen.litres_how,
        "overhead_l": seen.overhead_l,
        "overflow": seen.overflow,
        "plants": seen.plants,
        "signs": sorted(seen.signs),
        "done": sorted(seen.done),
        "plug": seen.plug,
        "ec": salt_seen(seen),
        "note": note,
        "photos": kept,
        "photo_state": {
            sha: "here" if photo_states.get(sha) == "here" else "on-its-way" for sha in kept
        },
        "step": _visit_step(one, calendar),
        "report": _visit_report(one),
        "planting": planting_seen(one),
    }


def _by_whom(one: Shown) -> dict[str, Any]:
    if isinstance(one, ReportMark):
        return {"time_uncertain": False, "by": PASSER_BY, "person": None}
    return {"time_uncertain": one.time_uncertain, "by": one.by, "person": one.person}


def _visit_report(one: Shown) -> dict[str, Any] | None:
    if not isinstance(one, ReportMark):
        return None
    return {"what": one.report.what, "text": one.report.text}


def _what_was_seen(one: Shown) -> tuple[CheckIn, str, tuple[str, ...]]:
    if isinstance(one, Visit):
        return one.check_in, one.check_in.note, one.check_in.photos
    if isinstance(one, StepMark):
        return CheckIn(level=one.step.level), one.step.note, one.step.photos
    if isinstance(one, PlantingMark):
        return CheckIn(), one.planting.note, one.planting.photos
    return CheckIn(), "", ()


def _kind(one: Shown) -> str:
    if isinstance(one, Visit):
        return "check-in"
    if isinstance(one, PlantingMark):
        return "planting"
    return "step" if isinstance(one, StepMark) else "report"


def _visit_step(one: Shown, calendar: TownCalendar) -> dict[str, Any] | None:
    if not isinstance(one, StepMark):
        return None
    plan = season_list(calendar, one.step.list, one.step.season)
    step = plan.step_at(one.step.step, one.at)
    return {
        "list": one.step.list,
        "code": one.step.step,
        "title": step.title if step else one.step.step,
        "outcome": one.step.outcome,
    }


def list_card(progress: ListProgress, active: bool) -> dict[str, Any]:
    """How far a list has come, step by step."""
    return {
        "list": progress.list,
        "season": progress.season,
        "active": active,
        "state": progress.state,
        "done": progress.done,
        "of": progress.of,
        "next": progress.next,
        "missing": list(progress.missing),
        "steps": [_step(step) for step in progress.steps],
    }


def _step(step: StepProgress) -> dict[str, Any]:
    return {
        "code": step.code,
        "title": step.title,
        "why": step.why,
        "proof": step.proof,
        "state": step.state,
        "by": step.by,
        "at": stamp(step.at),
        "photos": list(step.photos),
        "second": step.second,
        "plug_place": step.plug_place,
        "note": step.note or None,
        "asked": step.asked,
        "said": step.said,
        "due": day_text(step.due),
        "due_why": step.due_why,
    }
