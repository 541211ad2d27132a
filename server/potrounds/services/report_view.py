"""The season report as it is shown, printed and saved."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from potrounds.domain import report as figures
from potrounds.domain.report import HOWS, FlagRun, Line
from potrounds.domain.season_summary import planter_summary
from potrounds.flags import RULES
from potrounds.services import planting_plan, round_cards, town
from potrounds.services.context import Context
from potrounds.services.moments import day_text, stamp
from potrounds.services.refusal import Refusal
from potrounds.services.report import Span, any_records, lines_of, span_of
from potrounds.services.table_file import write_table
from potrounds.store import register, seasons

COLUMNS = (
    "what",
    "site",
    "name",
    "water_hose_timer_l",
    "water_typed_l",
    "water_to_overflow_l",
    "water_not_said_l",
    "water_overhead_l",
    "fills_without_amount",
    "visits",
    "checklist_steps",
    "days_found_empty",
    "days_believed_empty",
    "days_kept_from_empty",
    "flags_raised",
    "flags_cleared",
    "flags_still_up",
    "flags_median_days",
    "decisions",
    "losses",
    "winter",
)


def season(ctx: Context, named: str | None) -> dict[str, Any]:
    """The report of a season. Raises: Refusal 404 for one that has not begun."""
    span = span_of(ctx, named)
    calendar = town.calendar()
    lines = lines_of(ctx, span)
    sites = [site for site in register.sites() if any(line.site == site.id for line in lines)]
    closed = seasons.closed(span.year)
    open_again = closed is not None and closed.reopened_at is not None
    return {
        "year": span.year,
        "begins": day_text(span.first),
        "until": day_text(span.last),
        "whole": span.whole,
        "made_at": stamp(ctx.now()),
        "closed_at": stamp(closed.closed_at) if closed and not open_again else None,
        "town": figures.figures(lines),
        "sites": [
            {
                "id": site.id,
                "name": site.name,
                **figures.figures([line for line in lines if line.site == site.id]),
            }
            for site in sites
        ],
        "planters": [_planter(line, {site.id: site.name for site in sites}) for line in lines],
        "flags": _flags(lines),
        "losses": _losses(lines),
        "believed": _believed(lines),
        "hours": _hours(span),
        "cost": _cost(ctx, span),
        "before": _before(ctx, span),
        "years": [
            year
            for year in range(span.year + 1, span.year - 11, -1)
            if _begun(ctx, year) and (year == span.year or any_records(calendar, year))
        ],
    }


def _begun(ctx: Context, year: int) -> bool:
    try:
        return bool(span_of(ctx, str(year)))
    except Refusal:
        return False


def _planter(line: Line, sites: dict[str, str]) -> dict[str, Any]:
    summary = planter_summary(line.season)
    steps = [step for step in summary["winter"]["steps"] if step["state"] == "done"]
    last = max(steps, key=lambda step: step["at"] or "", default=None)
    return {
        "id": line.season.planter,
        "name": line.season.name,
        "site": {"id": line.site, "name": sites[line.site]},
        "status": line.season.status,
        **figures.figures([line]),
        "proof": {
            "state": summary["winter"]["state"],
            "done": summary["winter"]["done"],
            "of": summary["winter"]["of"],
            "missing": summary["winter"]["missing"],
            "plug_place": summary["winter"]["plug_place"],
            "by": last["by"] if last else None,
            "second": next((step["second"] for step in steps if step["second"]), None),
            "photos": sum(step["photos"] for step in steps),
            "at": last["at"] if last else None,
        },
    }


def _flags(lines: Sequence[Line]) -> list[dict[str, Any]]:
    """Each kind of flag that was raised, the most frequent first."""
    by_code: dict[str, list[FlagRun]] = {}
    for line in lines:
        for run in line.flags:
            by_code.setdefault(run.code, []).append(run)
    told = [
        {"code": code, "name": RULES[code].name, **figures.settled(runs)}
        for code, runs in by_code.items()
    ]
    return sorted(told, key=lambda one: (-one["raised"], one["name"]))


def _losses(lines: Sequence[Line]) -> list[dict[str, Any]]:
    return [
        {
            "planter": {"id": line.season.planter, "name": line.season.name},
            "what": loss.what,
            "day": day_text(loss.day),
            "record": loss.record,
        }
        for line in lines
        for loss in line.losses
    ]


def _believed(lines: Sequence[Line]) -> dict[str, Any] | None:
    """From when to when the water balance keeps its mornings; None where it does not run."""
    dry = [line.dry for line in lines if line.dry is not None]
    if not dry:
        return None
    return {
        "from": day_text(min(one.first for one in dry)),
        "to": day_text(max(one.last for one in dry)),
        "planters": len(dry),
    }


def _hours(span: Span) -> dict[str, Any]:
    """Hours of rounds, each person's, from their beginnings and ends or put in by hand."""
    rows = round_cards.hours_of(town.calendar(), span.first, span.last, None)
    found: dict[str, dict[str, Any]] = {}
    for row in rows:
        whose = found.setdefault(
            row["person"]["id"], {"person": row["person"], "rounds": 0, "minutes": 0, "unsure": 0}
        )
        whose["rounds"] += 1
        whose["minutes"] += row["minutes"]
        whose["unsure"] += row["exact_min"] is None and not row["by_hand"]
    return {
        "minutes": sum(one["minutes"] for one in found.values()),
        "people": sorted(found.values(), key=lambda one: str(one["person"]["name"])),
    }


def _cost(ctx: Context, span: Span) -> dict[str, Any] | None:
    """What planting day costs as planned, at the prices typed; of past seasons none are kept."""
    if span.whole:
        return None
    plan = planting_plan.plan(ctx, planting_plan.ALL)
    return {key: plan[key] for key in ("cost", "unpriced", "currency")}


def _before(ctx: Context, span: Span) -> dict[str, Any] | None:
    """The season before, whole, by the same rules; None where nothing was recorded in it."""
    if not any_records(town.calendar(), span.year - 1):
        return None
    earlier = span_of(ctx, str(span.year - 1))
    told = figures.figures(lines_of(ctx, earlier))
    return {"year": earlier.year, "town": told, "minutes": _hours(earlier)["minutes"]}


# --- as a table ----------------------------------------------------------------------------------


def table(ctx: Context, named: str | None) -> str:
    """The report as CSV: a row a planter, a row a site, a row for the town."""
    told = season(ctx, named)
    rows = [_cells("planter", one["site"]["name"], one["name"], one) for one in told["planters"]]
    rows += [_cells("site", one["name"], "", one) for one in told["sites"]]
    rows.append(_cells("town", "", "", told["town"]))
    return write_table(COLUMNS, rows)


def _cells(what: str, site: str, name: str, told: dict[str, Any]) -> list[Any]:
    counts = told["winter"]
    winter = "; ".join(f"{count} {state}" for state, count in counts.items() if count)
    return [
        what,
        site,
        name,
        *(told["water"][how] for how in HOWS),
        told["unmeasured_fills"],
        told["visits"],
        told["steps"],
        told["seen_empty_days"],
        told["believed_empty_days"],
        told["avoided_days"],
        told["flags"]["raised"],
        told["flags"]["cleared"],
        told["flags"]["still_up"],
        told["flags"]["median_days"],
        told["decisions"],
        told["losses"],
        told["proof"]["state"] if what == "planter" else winter,
    ]
