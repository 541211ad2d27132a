"""Every record as a line of a table, and what became of it: the whole log for a spreadsheet.

One row a record. `counted_on` is the town's day it counts on, empty where it does not stand: a
check-in that was corrected is `corrected` and its correction stands in its place, on the day of
the check-in. Rounds stand under the planter `town`. Litres are as recorded; `body_json` is the body
as the phone froze it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import fields
from datetime import date
from typing import Any

from potrounds.domain.records import Record
from potrounds.domain.visits import Standing, fate, standing
from potrounds.services import town
from potrounds.services.context import Context
from potrounds.services.moments import stamp
from potrounds.services.table_file import write_table
from potrounds.store import log, register

HEAD = (
    "record_id",
    "kind",
    "planter_id",
    "planter",
    "site",
    "observed_at_utc",
    "counted_on",
    "stands",
    "time_uncertain",
    "by_id",
    "by",
    "device",
    "n",
    "received_at_utc",
    "replaces",
)
#: Keys of bodies that have a column of their own, and the column where its name says the unit.
PLAIN = (
    "read_by",
    "litres_how",
    "overflow",
    "plug",
    "list",
    "season",
    "step",
    "outcome",
    "second",
    "plug_place",
    "mix",
    "standing_water",
    "flag",
    "decision",
    "until",
    "to",
    "check_in",
    "round",
    "minutes",
    "scheme",
    "retopped",
    "ec_method",
    "ec_ms_cm",
    "what",
    "text",
    "reason",
    "note",
)
WITH_UNIT = {
    "level": "level_share",
    "litres_l": "litres_l",
    "overhead_l": "overhead_l",
    "plants": "plants_1_to_5",
}
LISTED = ("signs", "done", "photos", "evidence")
FEED = ("feed_what", "feed_strength")
COLUMNS = (*HEAD, *WITH_UNIT.values(), *PLAIN, *LISTED, *FEED, "body_json")


def export_records(
    ctx: Context, first: date | None = None, last: date | None = None, planter: str | None = None
) -> str:
    """All records, or those of some days or one planter, oldest first."""
    rows = [
        row
        for row, day in _rows(planter)
        if (first is None or day >= first) and (last is None or day <= last)
    ]
    return write_table(COLUMNS, rows)


def _rows(only: str | None) -> Iterator[tuple[list[Any], date]]:
    """Every record as cells with its day, planter by planter in the order of the register."""
    calendar = town.calendar()
    sites = {one.id: one.name for one in register.sites()}
    planters = {one.id: (one.name, sites[one.site]) for one in register.planters()}
    for key in log.planters_named():
        if only is not None and key != only:
            continue
        records = log.records_of(key)
        sent = {one.id: one for one in log.of_planter(key)}
        stands = standing(records, calendar.zone)
        counted = counted_days(stands)
        name, site = planters.get(key, (key, ""))
        for record in sorted(records, key=lambda one: (one.observed_at, one.seq)):
            day = counted.get(record.id) or calendar.local_day(record.observed_at)
            said = _fate(record, records, counted)
            on = day if said == "yes" else None
            yield _cells(record, sent[record.id], name, site, said, on), day


def counted_days(stands: Standing) -> dict[str, date]:
    """The day of each record that stands; of a corrected check-in its correction."""
    days = {visit.correction or visit.record: visit.day for visit in stands.visits}
    for field in fields(stands):
        if field.name != "visits":
            days.update({one.record: one.day for one in getattr(stands, field.name)})
    return days


def _fate(record: Record, records: list[Record], counted: dict[str, date]) -> str:
    if record.id in counted:
        return "yes"
    end = fate(records, record.id, record.author)
    if end.withdrawn:
        return "withdrawn"
    if end.replaced_by:
        return "corrected"
    return "no" if record.kind in ("correction", "withdrawal") else "yes"


def _cells(
    record: Record, sent: log.Sent, name: str, site: str, said: str, day: date | None
) -> list[Any]:
    body = sent.body
    shown = body.get("check_in") if record.kind == "correction" else body
    shown = shown if isinstance(shown, dict) else {}
    feed = shown.get("feed") or {}
    return [
        record.id,
        record.kind,
        record.planter,
        name,
        site,
        stamp(record.observed_at),
        day,
        said,
        record.time_uncertain,
        record.author,
        record.author_name,
        record.device,
        record.n,
        stamp(sent.received_at),
        sent.replaces,
        *(shown.get(key) for key in WITH_UNIT),
        *(shown.get(key) for key in PLAIN),
        *("; ".join(map(str, shown.get(key) or ())) for key in LISTED),
        feed.get("what"),
        feed.get("strength"),
        json.dumps(body, ensure_ascii=False, sort_keys=True),
    ]
