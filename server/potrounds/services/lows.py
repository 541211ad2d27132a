"""A coordinator brings the station's record of daily lows as a table, or takes it away."""

from __future__ import annotations

from typing import Any

from potrounds.services import changes, town
from potrounds.services.context import Context
from potrounds.services.moments import stamp
from potrounds.services.refusal import Refusal
from potrounds.store import lows
from potrounds.store.database import write_transaction
from potrounds.weather.daily_lows import DailyLows, read_daily_lows
from potrounds.weather.source import Trouble

#: One record serves the whole town: stations are miles apart, a town's sites are not. A site that
#: freezes earlier than the town keeps its own date (`freeze_on`).
REF = "lows"


def import_lows(
    ctx: Context, data: bytes, unit: str | None, dry_run: bool, replace: bool
) -> dict[str, Any]:
    """Keep the lows of a table, or say what is wrong, line by line, and keep none.

    Days that are on record take the new low; `replace` takes all others away first.
    """
    today = town.calendar().local_day(ctx.now())
    try:
        found = read_daily_lows(data, unit, today)
    except Trouble as trouble:
        errors = [
            {"row": fault.row or 1, "column": fault.column, "detail": fault.detail}
            for fault in trouble.faults
        ]
        rows = max(0, len([line for line in data.splitlines() if line.strip()]) - 1)
        return {"rows": rows, "created": 0, "errors": errors}
    if not dry_run:
        _keep(ctx, found, replace)
    rows = len(found.lows_c) + found.empty
    return {"rows": rows, "created": len(found.lows_c), "errors": []}


def _keep(ctx: Context, found: DailyLows, replace: bool) -> None:
    days = list(found.lows_c)
    with write_transaction():
        kept = lows.by_year()
        if replace:
            lows.forget()
        lows.put(found.lows_c, found.station, stamp(ctx.now()), ctx.person)
        note = {
            "days": len(days),
            "from": str(days[0]),
            "to": str(days[-1]),
            "unit": found.unit,
            "station": found.station,
            "replaced": replace,
        }
        both = (kept, lows.by_year())
        changes.note(ctx, "lows", REF, found.station or "", {}, note, kept=both)
        changes.town_changed(everything=True)
    changes.follow_up(ctx)


def forget_lows(ctx: Context) -> None:
    """Take the record away. Raises: Refusal 404 where there is none."""
    with write_transaction():
        about = lows.about()
        if about is None:
            raise Refusal(404, "no-lows", "No record", "There is no record of lows to take away.")
        kept = lows.by_year()
        lows.forget()
        there = {"station": about.station or ""}
        both = (kept, lows.by_year())
        changes.note(ctx, "lows", REF, about.station or "", there, {}, kept=both)
        changes.town_changed(everything=True)
    changes.follow_up(ctx)
