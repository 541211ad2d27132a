"""What lies behind each number of the season report."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from potrounds.domain.report import BEHIND, FlagRun, Line
from potrounds.domain.rounds import read_round_key
from potrounds.domain.season_summary import LOST
from potrounds.flags import RULES
from potrounds.services.context import Context
from potrounds.services.moments import day_text, stamp
from potrounds.services.refusal import Refusal
from potrounds.services.report import Span, lines_of, span_of
from potrounds.store import derived, log, people

HOURS, FLAGS, CLEARED, STILL_UP, MEDIAN = "hours", "flags", "cleared", "still-up", "median"
LOSSES, EMPTY, AVOIDED = "losses", "believed-empty", "avoided"
PROVEN, NOT_PROVEN = "proven", "not-proven"
OF_FLAGS = (FLAGS, CLEARED, STILL_UP, MEDIAN)
FIGURES = (
    *(*BEHIND, HOURS, CLEARED, STILL_UP, MEDIAN, LOSSES),
    *(EMPTY, AVOIDED, PROVEN, NOT_PROVEN),
)


def behind(
    ctx: Context,
    named: str | None,
    of: str,
    planter: str | None = None,
    site: str | None = None,
    flag: str | None = None,
    person: str | None = None,
) -> dict[str, Any]:
    """What a number was made of: its records, oldest first, and its parts where those are others.

    flag: the code of one kind of flag; person: whose hours

    Raises: Refusal 404 for a season that has not begun; 422 for a number that rests on none.
    """
    if of not in FIGURES:
        detail = f"Ask for one of: {', '.join(FIGURES)}."
        raise Refusal(422, "no-such-figure", "No such figure", detail, [("/of", detail)])
    span = span_of(ctx, named)
    lines = [
        line
        for line in lines_of(ctx, span)
        if planter in (None, line.season.planter) and site in (None, line.site)
    ]
    ids = list(dict.fromkeys(_ids(lines, span, of, flag, person)))
    amounts = {
        one.record: one.tenths / 10
        for line in lines
        for one in line.poured
        if of == f"water-{one.how}"
    }
    names = {one.id: one.name for one in people.people()}
    planters = {line.season.planter: line.season.name for line in lines}
    rows = [
        {
            "record": sent.id,
            "kind": sent.kind,
            "planter": {"id": sent.planter, "name": planters.get(sent.planter, sent.planter)},
            "at": stamp(sent.observed_at),
            "by": names.get(sent.author or "", ""),
            "litres_l": amounts.get(sent.id),
            "note": _note(sent),
        }
        for sent in sorted(_found(ids), key=lambda one: (one.observed_at, one.seq))
    ]
    parts = sorted(
        _parts(lines, of, flag), key=lambda one: (one["day"] or "", one["planter"]["name"])
    )
    count = len(rows) if of in BEHIND or of == HOURS else len(parts)
    return {"year": span.year, "of": of, "count": count, "records": rows, "parts": parts}


def _runs(line: Line, of: str, flag: str | None) -> list[FlagRun]:
    """The runs of flags that a number counts."""
    return [
        run
        for run in line.flags
        if flag in (None, run.code) and (of == FLAGS or (run.cleared is None) == (of == STILL_UP))
    ]


def _parts(lines: Sequence[Line], of: str, flag: str | None) -> Iterator[dict[str, Any]]:
    """What a number counts where that is no record: runs of flags, days believed, planters."""
    for line in lines:
        if of in OF_FLAGS:
            for run in _runs(line, of, flag):
                yield _part(line, run.since, RULES[run.code].name, run.cleared, run.days)
        elif of == LOSSES:
            for loss in line.losses:
                yield _part(line, loss.day, loss.what)
        elif of in (EMPTY, AVOIDED) and line.dry:
            for day in line.dry.empty if of == EMPTY else line.dry.avoided:
                yield _part(line, day, of)
        elif of in (PROVEN, NOT_PROVEN):
            state, gone = line.season.winter.state, line.season.status in LOST
            if (state == "proven" and not gone) == (of == PROVEN):
                yield _part(line, None, line.season.status if gone else state)


def _part(
    line: Line, day: date | None, what: str, until: date | None = None, days: int | None = None
) -> dict[str, Any]:
    return {
        "planter": {"id": line.season.planter, "name": line.season.name},
        "day": day_text(day),
        "until": day_text(until),
        "days": days,
        "what": what,
    }


def _ids(
    lines: Sequence[Line], span: Span, of: str, flag: str | None, person: str | None
) -> Iterator[str]:
    if of == HOURS:
        yield from (
            sent.id
            for sent in log.of_planter(derived.TOWN)
            if (key := read_round_key(str(sent.body.get("round")))) is not None
            and span.first <= key[0] <= span.last
            and person in (None, key[1])
        )
    elif of in OF_FLAGS:
        runs = [run for line in lines for run in _runs(line, of, flag)]
        yield from (record for run in runs for record in run.records)
    elif of == LOSSES:
        yield from (one.record for line in lines for one in line.losses if one.record)
    elif of in BEHIND:
        yield from (record for line in lines for record in BEHIND[of](line))


def _found(ids: Sequence[str], at_once: int = 500) -> list[log.Sent]:
    found: list[log.Sent] = []
    for start in range(0, len(ids), at_once):
        found += log.find_many(ids[start : start + at_once]).values()
    return found


def _note(sent: log.Sent) -> str:
    body = sent.body
    inner = body.get("check_in") if sent.kind == "correction" else body
    said = inner.get("note") if isinstance(inner, dict) else None
    return str(said or body.get("reason") or "")
