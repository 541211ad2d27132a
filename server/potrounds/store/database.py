"""Opens the database by its address, and gives the two ways to touch it: a connection, a write.

SQLite has one writer. Every write goes through `write_transaction()`: inside this process writers
queue on a lock, between processes BEGIN IMMEDIATE makes SQLite's own waiting work. A deferred
BEGIN would fail at once as soon as two transactions that have read want to write.
"""

from __future__ import annotations

import logging
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from peewee import (
    Database,
    DatabaseProxy,
    DataError,
    IntegrityError,
    InterfaceError,
    OperationalError,
    SqliteDatabase,
)

log = logging.getLogger(__name__)

#: Versions before this one can, rarely, corrupt a WAL database when two connections write and
#: checkpoint at the same instant. https://www.sqlite.org/wal.html#walresetbug
SAFE_SQLITE = (3, 51, 3)
BUSY_TIMEOUT_MS = 5000
PRAGMAS = {
    "journal_mode": "wal",
    "busy_timeout": BUSY_TIMEOUT_MS,
    "synchronous": 2,  # FULL: an acknowledged record survives a power cut
    "foreign_keys": 1,
}
#: Any constant does; it only has to be the same in every process of one town.
ADVISORY_LOCK = 0x506F7452

#: The disk is full, the file is locked or gone: nothing was written.
Trouble = OperationalError
#: A row that the tables cannot hold: a key twice, a link to nothing, a value of the wrong kind.
Broken = (IntegrityError, DataError, InterfaceError)

db: Any = DatabaseProxy()
_writing = threading.RLock()
#: Touched by who holds the write lock only.
_in_mind: dict[str, Any] = {}


def open_database(url: str) -> None:
    """Bind the tables to the database at this address and bring its schema up to date."""
    from potrounds.store import schema

    shut()
    real = _sqlite(url) if url.startswith("sqlite:") else _by_url(url)
    db.initialize(real)
    with connection():
        schema.bring_up_to_date()


def _sqlite(url: str) -> SqliteDatabase:
    path = url.removeprefix("sqlite:///")
    if not path or path == url or path == ":memory:":
        raise ValueError(
            f"{url!r} is no file: a database in memory would be empty in every thread. "
            "Write sqlite:///folder/file.sqlite"
        )
    Path(path).parent.mkdir(parents=True, exist_ok=True)
    if sqlite3.sqlite_version_info < SAFE_SQLITE:
        log.warning(
            "SQLite %s is older than %s, which fixed a rare corruption of WAL databases. "
            "Run one server process only, and keep backups.",
            sqlite3.sqlite_version,
            ".".join(map(str, SAFE_SQLITE)),
        )
    return SqliteDatabase(path, pragmas=PRAGMAS, timeout=BUSY_TIMEOUT_MS / 1000)


def _by_url(url: str) -> Database:
    from playhouse.db_url import connect as connect_url  # type: ignore[import-untyped]

    real: Database = connect_url(url)
    return real


def shut() -> None:
    """Close this thread's connection, if any database is bound."""
    if db.obj is not None:
        close()


def connect() -> None:
    """Open this thread's connection; nothing happens when it is open."""
    db.connect(reuse_if_open=True)


def close() -> None:
    """Close this thread's connection. The last one to close checkpoints, hence the lock."""
    with _writing:
        if not db.is_closed():
            db.close()


@contextmanager
def connection() -> Iterator[None]:
    """A connection for the length of a block, for commands, threads and tests."""
    opened = db.is_closed()
    connect()
    try:
        yield
    finally:
        if opened:
            close()


@contextmanager
def write_transaction() -> Iterator[None]:
    """The one way to write: everything inside is committed together, or nothing is.

    A sequence number is taken inside this block only, so that numbers become visible in their
    own order (R17). Nested blocks join the outermost.
    """
    with _writing:
        if db.in_transaction():
            yield
            return
        with db.atomic(*_begin_arguments()):
            if not is_sqlite():
                db.execute_sql("select pg_advisory_xact_lock(%s)", (ADVISORY_LOCK,))
            _in_mind.clear()
            try:
                yield
            finally:
                _in_mind.clear()


def is_writing() -> bool:
    """Whether this thread is inside a transaction that others would wait for."""
    return bool(db.in_transaction())


def in_mind() -> dict[str, Any]:
    """What the present write transaction remembers from one of its steps to the next."""
    return _in_mind if is_writing() else {}


@contextmanager
def savepoint() -> Iterator[None]:
    """A part of a write that may fail alone; the transaction around it goes on."""
    with db.savepoint():
        yield


def is_sqlite() -> bool:
    """Whether the bound database is SQLite."""
    return isinstance(db.obj, SqliteDatabase)


def _begin_arguments() -> tuple[Any, ...]:
    return ("IMMEDIATE",) if is_sqlite() else ()
