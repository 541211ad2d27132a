"""A season closes into an archive, and may be opened again. No record is ever touched by it."""

from __future__ import annotations

import json
import re
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from potrounds.domain.calendar import TownCalendar, season_start
from potrounds.domain.fold import fold_standing
from potrounds.domain.phone_work import count
from potrounds.domain.season_summary import PlanterSeason, planter_summary, season_totals
from potrounds.domain.visits import standing
from potrounds.services import changes, phone_work, town
from potrounds.services.context import Context
from potrounds.services.moments import day_text, stamp
from potrounds.services.refusal import Refusal, not_found
from potrounds.store import derived, log, people, register, seasons
from potrounds.store.database import write_transaction

#: A phone not heard of for so long may hold records. [days] Common practice, no source.
SILENT_DAYS = 2
YEAR = re.compile(r"2[0-9]{3}")
CARED_FOR = ("in-use", "stored")


def overview(ctx: Context) -> dict[str, Any]:
    """The season that can be closed with what is open in it, and those that were closed."""
    calendar = town.calendar()
    year = calendar.season_year(calendar.local_day(ctx.now()))
    names = _names()
    years = [year] if _is_open(year) else []
    earlier = year - 1
    if _is_open(earlier) and _has_records(calendar, earlier):
        years.append(earlier)
    return {
        "open": [_open_season(ctx, calendar, one) for one in years],
        "closed": [_head(one, names) for one in seasons.all_closed()],
    }


def _is_open(year: int) -> bool:
    row = seasons.closed(year)
    return row is None or row.reopened_at is not None


def _has_records(calendar: TownCalendar, year: int) -> bool:
    first, end = season_start(calendar, year), season_start(calendar, year + 1)
    return log.any_between(moment_of(calendar, first), moment_of(calendar, end))


def _open_season(ctx: Context, calendar: TownCalendar, year: int) -> dict[str, Any]:
    begins, ends = season_start(calendar, year), season_start(calendar, year + 1)
    left = _left_open(ctx, calendar, year)
    return {
        "year": year,
        "begins": day_text(begins),
        "ends": day_text(ends - timedelta(days=1)),
        "open_count": sum(len(some) for some in left.values()),
        **left,
    }


def _left_open(ctx: Context, calendar: TownCalendar, year: int) -> dict[str, list[Any]]:
    """What is not finished: drains without proof, flags nobody settled, phones that may hold."""
    unproven, flags = [], []
    now = season_now(ctx, calendar, year)
    sites = {site.id: site.name for site in register.sites()}
    for planter in town.planters(calendar, now).values():
        if planter.status not in CARED_FOR:
            continue
        stands = standing(log.records_of(planter.id), calendar.zone)
        winter = fold_standing(planter, stands, calendar, now).winterization
        named = {"id": planter.id, "name": planter.name, "site": sites[planter.site]}
        if not winter.proven:
            unproven.append({**named, "state": winter.state, "missing": list(winter.missing)})
        flags += [{**named, "flag": name} for name in _flags_up(planter.id)]
    return {
        "unproven": unproven,
        "flags": flags,
        "phones": _phones(ctx),
        "held": [
            {"id": one.id, "at": stamp(one.sent.observed_at), "reason": one.reason}
            for one in log.waiting()
        ],
    }


def _flags_up(planter: str) -> list[str]:
    card = derived.get(planter)
    flags = card.content["flags"] if card and card.content else []
    return [flag["name"] for flag in flags if not flag["quiet"]]


def _phones(ctx: Context) -> list[dict[str, Any]]:
    """Phones of which records are known to be missing, or that were silent for days.

    What lies unsent on a phone nobody can know; its counter shows gaps, and silence is silence.
    """
    names = _names()
    missing = {one.device: count(one.work.missing) for one in phone_work.installs()}
    silent_since = ctx.now() - timedelta(days=SILENT_DAYS)
    found = []
    for phone in people.phones():
        gaps = missing.get(phone.device, 0)
        if phone.state != "active" or (not gaps and phone.last_used >= silent_since):
            continue
        found.append(
            {
                "id": phone.id,
                "person": names.get(phone.person, ""),
                "last_heard": stamp(phone.last_used),
                "gaps": gaps,
            }
        )
    return found


def close(ctx: Context, named: str, open_seen: int) -> dict[str, Any]:
    """Close a season and keep what it came to.

    Raises: Refusal 409 when it is closed or has not begun, 412 when more is open than was seen.
    """
    year = year_of(named)
    with write_transaction():
        calendar = town.calendar()
        today = calendar.local_day(ctx.now())
        if season_start(calendar, year) > today:
            detail = f"The season of {year} begins on {season_start(calendar, year):%d.%m.%Y}."
            raise Refusal(409, "not-begun", "Not begun yet", detail)
        if not _is_open(year):
            detail = f"The season of {year} is closed already. Open it again to change that."
            raise Refusal(409, "closed", "Closed already", detail)
        left = _left_open(ctx, calendar, year)
        count = sum(len(some) for some in left.values())
        if count != open_seen:
            detail = "What is open has changed since you looked. Look again, then close."
            raise Refusal(412, "stale-version", "Changed in the meantime", detail)
        seasons.close(
            year,
            {
                "closed_at": ctx.now(),
                "closed_by": ctx.person,
                "closed_seq": log.last_number(),
                "summary": {**_summary(ctx, calendar, year), "left_open": left},
            },
        )
        changes.note(ctx, "season", str(year), str(year), {"closed": False}, {"closed": True})
        changes.town_changed(everything=True)
    changes.follow_up(ctx)
    return one(ctx, named)


def reopen(ctx: Context, named: str, reason: str) -> dict[str, Any]:
    """Open a closed season again.

    Raises: Refusal 404, 409 when it is open, 422 without a reason.
    """
    why = " ".join(reason.split())
    if not why:
        detail = "Write why the season is opened again."
        raise Refusal(422, "reason", "A reason is needed", detail, [("/reason", detail)])
    year = year_of(named)
    with write_transaction():
        row = seasons.closed(year)
        if row is None:
            raise not_found("season")
        if row.reopened_at is not None:
            detail = f"The season of {year} is open."
            raise Refusal(409, "open", "It is open", detail)
        seasons.reopen(year, ctx.now(), ctx.person, why)
        after = {"closed": False, "reason": why}
        changes.note(ctx, "season", str(year), str(year), {"closed": True}, after)
        changes.town_changed(everything=True)
    changes.follow_up(ctx)
    return one(ctx, named)


def one(ctx: Context, named: str) -> dict[str, Any]:
    """A closed season as it was kept, and what arrived after closing. Raises: Refusal 404."""
    row = seasons.closed(year_of(named))
    if row is None:
        raise not_found("season")
    return {**_head(row, _names()), "summary": row.summary, "late": _late(row)}


def year_of(named: str) -> int:
    """A season by its year; anything else is no season."""
    if not YEAR.fullmatch(named):
        raise not_found("season")
    return int(named)


def _head(row: seasons.ClosedSeason, names: dict[str, str]) -> dict[str, Any]:
    return {
        "year": row.year,
        "closed_at": stamp(row.closed_at),
        "closed_by": names.get(row.closed_by or "", "the server"),
        "reopened_at": stamp(row.reopened_at),
        "reopened_by": names.get(row.reopened_by or "") if row.reopened_at else None,
        "reason": row.reason,
        "late_count": len(_late(row)),
        "totals": row.summary["totals"],
    }


def _late(row: seasons.ClosedSeason) -> list[dict[str, Any]]:
    """Records of the season that came after its closing: they count, and are told apart."""
    calendar, names = town.calendar(), _names()
    planters = {one.id: one.name for one in register.planters()}
    return [
        {
            "record": one.id,
            "kind": one.kind,
            "planter": one.planter,
            "planter_name": planters.get(one.planter, one.planter),
            "by": names.get(one.author or ""),
            "at": stamp(one.observed_at),
            "received_at": stamp(one.received_at),
        }
        for one in seasons.after(row.closed_seq)
        if _season_of(one, calendar) == row.year
    ]


def _season_of(record: seasons.LateRecord, calendar: TownCalendar) -> int:
    """The season a record belongs to: a step says so itself, anything else by its day."""
    if record.kind == "step":
        body = json.loads(record.text)["body"]
        if body.get("list") == "winterization":
            return int(body["season"])
    return calendar.season_year(calendar.local_day(record.observed_at))


def _summary(ctx: Context, calendar: TownCalendar, year: int) -> dict[str, Any]:
    now = season_now(ctx, calendar, year)
    sites = {site.id: site.name for site in register.sites()}
    lines = []
    for planter in town.planters(calendar, now).values():
        stands = standing(log.records_of(planter.id), calendar.zone)
        state = fold_standing(planter, stands, calendar, now)
        lines.append(
            planter_summary(
                PlanterSeason(
                    planter.id,
                    planter.name,
                    sites[planter.site],
                    planter.status,
                    state.winterization,
                    tuple(v for v in state.visits if calendar.season_year(v.day) == year),
                    tuple(s for s in state.steps if calendar.season_year(s.day) == year),
                    tuple(d for d in stands.decisions if calendar.season_year(d.day) == year),
                    tuple(_flags_up(planter.id)) if planter.status in CARED_FOR else (),
                )
            )
        )
    lines.sort(key=lambda line: (line["site"], line["name"]))
    return {"totals": season_totals(lines), "planters": lines}


def season_now(ctx: Context, calendar: TownCalendar, year: int) -> datetime:
    """This moment, or the season's last where it is over."""
    end = moment_of(calendar, season_start(calendar, year + 1)) - timedelta(microseconds=1)
    return min(ctx.now(), end)


def moment_of(calendar: TownCalendar, day: date) -> datetime:
    """The moment at which a day of the town begins."""
    return datetime.combine(day, time(), ZoneInfo(calendar.zone)).astimezone(UTC)


def _names() -> dict[str, str]:
    return {one.id: one.name for one in people.people()}
