"""The log read as a whole: every planter's records at once, for what looks at all of them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from potrounds.domain.records import Record
from potrounds.store.log import Sent, as_record
from potrounds.store.tables import LogEntry, Person


def records_by_planter() -> Iterator[tuple[str, list[Record]]]:
    """The records of every planter that has any, as `log.records_of` gives them for one.

    Read without the detour over model objects: there are tens of thousands.
    """
    names = {row.id: row.name for row in Person.select(Person.id, Person.name)}
    columns = [getattr(LogEntry, name) for name in Sent.__dataclass_fields__]
    query = LogEntry.select(*columns).order_by(LogEntry.planter, LogEntry.seq)
    rows = (Sent(*values) for values in query.tuples().iterator())
    for planter, some in groupby(rows, key=lambda row: row.planter):
        yield planter, [as_record(row, names.get(row.author or "", "")) for row in some]
