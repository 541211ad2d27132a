"""What a season came to, from the records alone: winter proof, visits, litres, losses, decisions.

Plain sums. Litres are added by how they were known, never together with each other's doubt: what
was typed, timed at the hose, and poured until the overflow ran. No source; arithmetic.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from potrounds.domain.checklists import ListProgress
from potrounds.domain.visits import DecisionMark, StepMark, Visit

#: Litres given without a word on how they were measured.
UNSAID = "not-said"
#: How a planter leaves the town.
LOST = ("lost", "retired")


@dataclass(frozen=True)
class PlanterSeason:
    """One planter's season."""

    planter: str
    name: str
    site: str
    status: str
    winter: ListProgress
    visits: tuple[Visit, ...]
    steps: tuple[StepMark, ...]
    decisions: tuple[DecisionMark, ...]
    flags_up: tuple[str, ...] = ()


def planter_summary(one: PlanterSeason) -> dict[str, Any]:
    """One planter's line of the archive."""
    scores = [v.check_in.plants for v in one.visits if v.check_in.plants is not None]
    return {
        "id": one.planter,
        "name": one.name,
        "site": one.site,
        "status": one.status,
        "winter": {
            "state": one.winter.state,
            "done": one.winter.done,
            "of": one.winter.of,
            "missing": list(one.winter.missing),
            "plug_place": plug_place(one.winter),
            "steps": [
                {
                    "code": step.code,
                    "title": step.title,
                    "state": step.state,
                    "by": step.by,
                    "at": step.at.isoformat() if step.at else None,
                    "second": step.second,
                    "photos": len(step.photos),
                    "said": step.said,
                }
                for step in one.winter.steps
            ],
        },
        "visits": len(one.visits),
        "steps": len(one.steps),
        "litres": litres_by_how(one.visits),
        "overhead_l": round(sum(v.check_in.overhead_l or 0.0 for v in one.visits), 1),
        "plants_gone": bool(scores) and scores[-1] == 1,
        "flags_answered": len(one.decisions),
        "flags_settled": sum(mark.decision.decision == "settled" for mark in one.decisions),
        "flags_up": list(one.flags_up),
    }


def litres_by_how(visits: Iterable[Visit]) -> dict[str, float]:
    """Litres through the fill port by how they were known."""
    found: dict[str, float] = {}
    for visit in visits:
        litres = visit.check_in.litres_l
        if litres is not None:
            how = visit.check_in.litres_how or UNSAID
            found[how] = round(found.get(how, 0.0) + litres, 1)
    return found


def plug_place(winter: ListProgress) -> str | None:
    """Where the plug was put, at the bag or at the pull."""
    for code in ("bag-plug", "pull-plug"):
        step = winter.step(code)
        if step is not None and step.plug_place:
            return step.plug_place
    return None


def season_totals(lines: Sequence[dict[str, Any]]) -> dict[str, Any]:
    """All planters' lines together."""
    cared = [one for one in lines if one["status"] not in LOST]
    litres: dict[str, float] = {}
    for one in lines:
        for how, amount in one["litres"].items():
            litres[how] = round(litres.get(how, 0.0) + amount, 1)
    states = [one["winter"]["state"] for one in cared]
    return {
        "planters": len(cared),
        "proven": states.count("proven"),
        "unproven": states.count("unproven"),
        "under_way": states.count("under-way"),
        "not_begun": states.count("not-begun"),
        "visits": sum(one["visits"] for one in lines),
        "steps": sum(one["steps"] for one in lines),
        "litres": litres,
        "overhead_l": round(sum(one["overhead_l"] for one in lines), 1),
        "planters_lost": [one["name"] for one in lines if one["status"] in LOST],
        "plants_gone": [one["name"] for one in cared if one["plants_gone"]],
        "flags_answered": sum(one["flags_answered"] for one in lines),
        "flags_settled": sum(one["flags_settled"] for one in lines),
        "flags_up": sum(len(one["flags_up"]) for one in lines),
    }
