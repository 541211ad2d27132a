"""Visits from a paper book or another table, typed in a spreadsheet, as check-ins of the past.

Columns, in any order (* must be there and filled in): planter* (its name), day* (YYYY-MM-DD), time
(HH:MM by the town's clock; noon where empty), by (a person of the register, or empty), level
(empty, quarter, half, three-quarters, full), read_by (float, dipstick, sight-tube, lifted-cap),
litres_l or litres_gal (US gallons), litres_how (typed, hose-timer, to-overflow), overhead_l,
overflow (not-looked, dry, ran-while-filling, wet-on-arrival), plants_1_to_5, signs and done (words
of the check-in, with semicolons between), plug (in, out, missing, not-looked), feed_what,
feed_strength, note.

A record's id follows from planter, day, time and person alone, so the same file read in twice adds
nothing; a line that says something else about the same visit is refused, and put right in the app.
"""

from __future__ import annotations

import hashlib
import json
import re
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from potrounds.domain import records
from potrounds.services import changes, town
from potrounds.services.cells import BadCell, day_of, number_in, one_of, short_text
from potrounds.services.context import Context
from potrounds.services.table_file import Errors, Row, note_fault, read_table
from potrounds.store import derived, log, people, register
from potrounds.store.database import write_transaction
from potrounds.store.log import Sent
from potrounds.store.rows import name_key

LEVELS = {"empty": 0.0, "quarter": 0.25, "half": 0.5, "three-quarters": 0.75, "full": 1.0}
#: US liquid gallon: 231 cubic inches of 16.387064 mL each, exactly. NIST Handbook 44, Appendix C.
LITRES_A_GALLON = 3.785411784
MOST_ROWS = 5000
MOST_LITRES = 500
REQUIRED = ("planter", "day")
CLOCK = re.compile(r"([01]?\d|2[0-3]):[0-5]\d")
NAMESPACE = uuid.uuid5(uuid.NAMESPACE_URL, "urn:potrounds:visits-from-a-table")
DEVICE = str(uuid.uuid5(NAMESPACE, "device"))
NOON = "12:00"


def _words(allowed: tuple[str, ...]) -> Callable[[str], list[str]]:
    one = one_of(allowed)
    return lambda cell: list(dict.fromkeys(one(part.strip()) for part in cell.split(";") if part))


def _level(cell: str) -> float:
    return LEVELS[one_of(tuple(LEVELS))(cell)]


def _gallons(cell: str) -> float:
    return round(number_in(0, 132, "gal")(cell) * LITRES_A_GALLON, 3)


def _clock(cell: str) -> str:
    if not CLOCK.fullmatch(cell):
        raise BadCell(f"{cell} is no time of day. Write hours and minutes, like 09:30.")
    return cell.rjust(5, "0")


def _score(cell: str) -> int:
    return int(one_of(("1", "2", "3", "4", "5"))(cell))


READERS: dict[str, Callable[[str], Any]] = {
    "planter": short_text(80),
    "day": day_of,
    "time": _clock,
    "by": short_text(80),
    "level": _level,
    "read_by": one_of(records.READ_BY),
    "litres_l": number_in(0, MOST_LITRES, "L"),
    "litres_gal": _gallons,
    "litres_how": one_of(records.LITRES_HOW),
    "overhead_l": number_in(0, MOST_LITRES, "L"),
    "overflow": one_of(records.OVERFLOW),
    "plants_1_to_5": _score,
    "signs": _words(records.SIGNS),
    "done": _words(records.DONE),
    "plug": one_of(records.PLUG),
    "feed_what": short_text(80),
    "feed_strength": short_text(80),
    "note": short_text(2000),
}
COLUMNS = tuple(READERS)
#: Columns that say when, where and by whom; the others say what was seen.
OUTSIDE = ("planter", "day", "time", "by")


@dataclass(frozen=True)
class Line:
    """A row as the record it becomes."""

    row: Row
    sent: Sent


def import_visits(ctx: Context, data: bytes, dry_run: bool) -> dict[str, Any]:
    """Add the visits of a file, or say what is wrong with every row of it.

    Returns: rows, `created` (would be, in a dry run), `there` already, errors by line and column.
    """
    errors: Errors = []
    rows = read_table(data, COLUMNS, REQUIRED, MOST_ROWS, errors)
    with write_transaction():
        lines = _lines(ctx, rows, errors)
        there = log.find_many(line.sent.id for line in lines)
        _judge_twice(lines, there, errors)
        errors.sort(key=lambda error: int(error["row"]))
        new = [] if errors else [line.sent for line in lines if line.sent.id not in there]
        if new and not dry_run:
            for sent in sorted(new, key=lambda one: (one.observed_at, one.id)):
                log.append(sent)
            derived.mark_stale(sent.planter for sent in new)
            changes.note(ctx, "visits", "table", "", {}, {"visits": len(new)})
    if new and not dry_run:
        changes.follow_up(ctx)
    known = 0 if errors else len(lines) - len(new)
    return {"rows": len(rows), "created": len(new), "there": known, "errors": errors}


def _lines(ctx: Context, rows: list[Row], errors: Errors) -> list[Line]:
    calendar = town.calendar()
    zone = ZoneInfo(calendar.zone)
    planters = {name_key(one.name): one for one in register.planters()}
    persons = {name_key(one.name): one for one in people.people()}
    found = []
    for row in rows:
        before = len(errors)
        cells = _cells(row, errors)
        planter = planters.get(name_key(cells.get("planter", "")))
        person = persons.get(name_key(cells["by"])) if "by" in cells else None
        if "planter" in cells and planter is None:
            detail = f"There is no planter {cells['planter']}. Write its name as in the register."
            note_fault(errors, row.line, "planter", detail)
        if "by" in cells and person is None:
            detail = f"There is nobody called {cells['by']}. Add the person, or leave this empty."
            note_fault(errors, row.line, "by", detail)
        if "day" in cells and planter is not None:
            at = _moment(cells["day"], cells.get("time", NOON), zone)
            _judge_day(row, cells["day"], at, planter, ctx.now(), errors)
            if len(errors) == before:
                found.append(Line(row, _sent(ctx, cells, at, planter.id, person)))
    return found


def _cells(row: Row, errors: Errors) -> dict[str, Any]:
    """What the cells of a row say; what cannot be read is noted and left out."""
    cells: dict[str, Any] = {}
    before = len(errors)
    for column, cell in row.cells.items():
        if not cell and column in REQUIRED:
            note_fault(errors, row.line, column, "This has to be filled in.")
        if not cell:
            continue
        try:
            cells[column] = READERS[column](cell)
        except BadCell as bad:
            note_fault(errors, row.line, column, str(bad))
    if "litres_l" in cells and "litres_gal" in cells:
        note_fault(errors, row.line, "litres_gal", "Litres or gallons, not both.")
    if len(errors) == before and not set(cells) - set(OUTSIDE):
        note_fault(errors, row.line, None, "Nothing was seen on this visit. Fill in what was.")
    return cells


def _moment(day: date, clock: str, zone: ZoneInfo) -> datetime:
    return datetime.combine(day, time.fromisoformat(clock), zone).astimezone(UTC)


def _judge_day(
    row: Row,
    day: date,
    at: datetime,
    planter: register.Planter,
    now: datetime,
    errors: Errors,
) -> None:
    if at > now:
        note_fault(errors, row.line, "day", "This visit would be in the future.")
    if planter.installed_on and day < planter.installed_on:
        detail = f"{planter.name} stands there since {planter.installed_on} only."
        note_fault(errors, row.line, "day", detail)


def _sent(
    ctx: Context,
    cells: dict[str, Any],
    at: datetime,
    planter: str,
    person: people.Person | None,
) -> Sent:
    """The frozen text of a visit. Its number is its minute, so that it grows with its time."""
    by = person.id if person else ""
    body = {key: value for key, value in cells.items() if key not in OUTSIDE}
    if "litres_gal" in body:
        body["litres_l"] = body.pop("litres_gal")
    if "plants_1_to_5" in body:
        body["plants"] = body.pop("plants_1_to_5")
    feed = {key: body.pop(f"feed_{key}", None) for key in ("what", "strength")}
    if any(feed.values()):
        body["feed"] = feed
    wall = at.isoformat(timespec="milliseconds").replace("+00:00", "Z")
    record = {
        "v": 1,
        "id": str(uuid.uuid5(NAMESPACE, f"{planter} {wall} {by}")),
        "kind": "check-in",
        "planter": planter,
        "device": DEVICE,
        "n": int(at.timestamp()) // 60,
        "wall": wall,
        "body": body,
    }
    text = json.dumps(record, ensure_ascii=False, sort_keys=True)
    return Sent(
        id=str(record["id"]),
        v=1,
        kind="check-in",
        planter=planter,
        author=by or None,
        author_role=person.role if person else None,
        device=DEVICE,
        n=int(at.timestamp()) // 60,
        text=text,
        fingerprint=hashlib.sha256(text.encode()).hexdigest(),
        wall=wall,
        sent_at=None,
        received_at=ctx.now(),
        observed_at=at,
    )


def _judge_twice(lines: list[Line], there: dict[str, Sent], errors: Errors) -> None:
    """One visit is one line: twice in the file, or otherwise than before, it needs a person."""
    seen: dict[str, int] = {}
    for line in lines:
        known = there.get(line.sent.id)
        if line.sent.id in seen:
            detail = f"The same visit as in line {seen[line.sent.id]}. Write the time of each."
            note_fault(errors, line.row.line, "time", detail)
        elif known is not None and known.fingerprint != line.sent.fingerprint:
            detail = "This visit was read in before and said otherwise. Correct it in the app."
            note_fault(errors, line.row.line, None, detail)
        seen.setdefault(line.sent.id, line.row.line)
