"""All tables at once, for the archive of a town: rows as plain JSON values, and back, exactly.

Cards are left out, as they are computed, and what pushes need: addresses of phones are secrets.
Moments are text in UTC, days are text, JSON stays JSON.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from peewee import DateField, Model, sort_models

from potrounds.store import schema  # brings in every table
from potrounds.store.columns import UtcField
from potrounds.store.database import db, is_sqlite, write_transaction
from potrounds.store.tables import DERIVED, Photo, Setting, Table
from potrounds.store.tables_push import PUSH

AT_ONCE = 200
Row = dict[str, Any]


class UnknownShape(ValueError):
    """Rows this server has no table or column for: they come from a newer one."""


def tables() -> list[str]:
    """The names of all tables that are kept, those that others point at first."""
    return [table._meta.table_name for table in _kept()]


def steps() -> list[str]:
    """The steps of the schema that this database has taken."""
    return [row.name for row in schema.SchemaStep.select().order_by(schema.SchemaStep.name)]


def known_steps() -> set[str]:
    """The steps of the schema that this server knows."""
    return {step.__name__ for step in schema.STEPS}


@contextmanager
def still() -> Iterator[None]:
    """A view of the database in which nothing moves, for as long as the block lasts."""
    if is_sqlite():
        with db.atomic():  # a reader of a WAL database keeps what it saw first
            db.execute_sql("select count(*) from counter")
            yield
    else:
        with write_transaction():
            yield


def rows(name: str) -> Iterator[Row]:
    """The rows of a table by its key, as JSON can hold them."""
    table = _by_name()[name]
    fields = table._meta.sorted_fields
    for values in table.select(*fields).order_by(table._meta.primary_key).tuples().iterator():
        yield {
            field.column_name: _told(field, value)
            for field, value in zip(fields, values, strict=True)
        }


def put(name: str, told: Iterable[Row]) -> int:
    """Add rows to a table, inside a write transaction; return how many.

    Raises: UnknownShape; ValueError for a value no column of ours can hold.
    """
    table = _by_name().get(name)
    if table is None:
        raise UnknownShape(name)
    fields = {field.column_name: field for field in table._meta.sorted_fields}
    count, some = 0, []
    for row in told:
        if set(row) - set(fields):
            raise UnknownShape(f"{name}.{min(set(row) - set(fields))}")
        some.append({fields[key].name: _read(fields[key], value) for key, value in row.items()})
        if len(some) == AT_ONCE:
            table.insert_many(some).execute()
            count, some = count + len(some), []
    if some:
        table.insert_many(some).execute()
    return count + len(some)


def empty(name: str) -> None:
    """Forget the rows of a table, before others are put in their place."""
    _by_name()[name].delete().execute()


def rename_history(name: str) -> None:
    """Begin a new history: phones pull from the beginning, and send again what they hold."""
    Setting.update(value=name).where(Setting.name == "history").execute()


def photo_names() -> list[str]:
    """The hashes of the photos that are here."""
    query = Photo.select(Photo.sha).where(Photo.state == "here").order_by(Photo.sha)
    return [row.sha for row in query]


def _kept() -> list[type[Model]]:
    there = set(db.get_tables())
    found = [
        table
        for table in _below(Table)
        if table._meta.table_name in there and table not in (*DERIVED, *PUSH, schema.SchemaStep)
    ]
    return list(sort_models(sorted(found, key=lambda table: str(table._meta.table_name))))


def _below(table: type[Model]) -> Iterator[type[Model]]:
    for one in table.__subclasses__():
        yield one
        yield from _below(one)


def _by_name() -> dict[str, type[Model]]:
    return {table._meta.table_name: table for table in _kept()}


def _told(field: Any, value: Any) -> Any:
    if value is None:
        return None
    if isinstance(field, UtcField):
        return value.astimezone(UTC).isoformat()
    return value.isoformat() if isinstance(field, DateField) else value


def _read(field: Any, value: Any) -> Any:
    if value is None:
        return None
    if isinstance(field, UtcField):
        return datetime.fromisoformat(value)
    return date.fromisoformat(value) if isinstance(field, DateField) else value


# --- copies of the database file -----------------------------------------------------------------


def copy_database(target: Path) -> None:
    """Copy the database, in use or not, to a new file. Source: SQLite's online backup API.

    Raises: FileExistsError; sqlite3.Error.
    """
    target.touch(exist_ok=False)
    copy = sqlite3.connect(target)
    try:
        db.connection().backup(copy)
        copy.execute("pragma journal_mode = delete")
    finally:
        copy.close()


def faults_of(file: Path) -> str | None:
    """What is wrong with a database file, or None: no database, damaged, or not one of ours."""
    try:
        with sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True) as copy:
            said = copy.execute("pragma integrity_check").fetchone()[0]
            if said != "ok":
                return f"it is damaged: {said.splitlines()[0]}"
            taken = {name for (name,) in copy.execute("select name from schema_steps")}
    except sqlite3.DatabaseError as error:
        return f"it is no database of Potrounds ({error})"
    finally:
        if "copy" in locals():
            copy.close()
    newer = taken - known_steps()
    return f"it was made by a newer Potrounds ({min(newer)})" if newer else None


def overwrite_database(source: Path) -> None:
    """Put a database file's content in place of all there is."""
    copy = sqlite3.connect(f"{source.absolute().as_uri()}?mode=ro", uri=True)
    try:
        copy.backup(db.connection())
    finally:
        copy.close()
    schema.bring_up_to_date()
