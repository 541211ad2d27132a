"""The database: its pragmas, its steps, its one way to write, and what leaves it."""

from __future__ import annotations

import logging
import sqlite3
import threading
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from desk import Desk, open_desk
from potrounds.services import undo
from potrounds.store import (
    database,
    derived,
    ids,
    log,
    phone_work,
    planting,
    register,
    schema,
    tables,
)
from potrounds.store.tables_plan import PLANTING
from potrounds.store.tables_review import REVIEW


def pragma(name: str) -> object:
    return database.db.execute_sql(f"pragma {name}").fetchone()[0]


def test_every_connection_has_the_safe_pragmas(desk: Desk) -> None:
    expected = {"journal_mode": "wal", "synchronous": 2, "busy_timeout": 5000, "foreign_keys": 1}
    found: list[dict[str, object]] = []

    def look() -> None:
        with database.connection():
            found.append({name: pragma(name) for name in expected})

    look()
    thread = threading.Thread(target=look)
    thread.start()
    thread.join()
    assert found == [expected, expected]


def test_opening_again_takes_no_step_twice(desk: Desk) -> None:
    with database.connection():
        history = register.setting("history")
    database.open_database(desk.ctx.settings.database)
    with database.connection():
        assert schema.bring_up_to_date() == []
        assert register.setting("history") == history
        assert [row.name for row in schema.SchemaStep.select()] == [
            step.__name__ for step in schema.STEPS
        ]
        assert register.planter_exists(desk.planter)


def test_a_step_that_fails_leaves_nothing_and_is_tried_again(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def half() -> None:
        tables.Counter.create(name="half", value=1)
        raise ZeroDivisionError

    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, half))
    for _ in range(2):
        with pytest.raises(ZeroDivisionError):
            schema.bring_up_to_date()
        assert log.last_number("half") == 0


@pytest.mark.parametrize("url", ["sqlite://", "sqlite:///", "sqlite:///:memory:", "sqlite:x"])
def test_a_database_in_memory_is_refused(url: str) -> None:
    with pytest.raises(ValueError, match="in memory"):
        database.open_database(url)


def test_an_old_sqlite_is_told_in_the_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    for version, warned in (((3, 51, 2), True), ((3, 51, 3), False)):
        caplog.clear()
        monkeypatch.setattr(sqlite3, "sqlite_version_info", version)
        with caplog.at_level(logging.WARNING):
            database.open_database(f"sqlite:///{tmp_path / 'town.sqlite'}")
        database.shut()
        assert ("older than 3.51.3" in caplog.text) is warned


def test_a_write_is_whole_or_not_at_all_and_takes_the_lock_at_once(desk: Desk) -> None:
    other = sqlite3.connect(desk.ctx.settings.home / "town.sqlite", timeout=0)
    number = log.last_number()

    def fail_in_the_middle() -> None:
        with database.write_transaction():
            with pytest.raises(sqlite3.OperationalError, match="locked"):
                other.execute("begin immediate")
            assert log.take_number() == number + 1
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail_in_the_middle()
    other.execute("begin immediate").close()
    other.close()
    assert log.last_number() == number


def test_a_write_inside_a_write_joins_it(desk: Desk) -> None:
    number = log.last_number()

    def fail_after_the_inner_one() -> None:
        with database.write_transaction():
            with database.write_transaction():
                log.take_number()
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail_after_the_inner_one()
    assert log.last_number() == number


def test_moments_are_kept_in_utc_and_come_out_aware(desk: Desk) -> None:
    east = datetime(2026, 10, 25, 1, 30, 0, 120_000, timezone(timedelta(hours=9)))
    register.note_change(east, None, "x", "x", "", {}, {})
    raw = sqlite3.connect(desk.ctx.settings.home / "town.sqlite")
    (text,) = raw.execute("select at from change order by id desc").fetchone()
    raw.close()
    assert text == "2026-10-24 16:30:00.120000"
    assert register.last_changes(1)[0].at == east
    assert register.last_changes(1)[0].at.tzinfo is UTC
    with pytest.raises(ValueError, match="time zone"):
        register.note_change(datetime(2026, 1, 1), None, "x", "x", "", {}, {})


def test_ids_have_the_agreed_shape_and_are_not_guessable() -> None:
    made = {ids.short_id("p") for _ in range(1000)}
    assert len(made) == 1000
    assert all(len(one) == 10 and set(one[2:]) <= set(ids.CROCKFORD) for one in made)
    assert len({ids.new_secret() for _ in range(100)}) == 100


def test_the_servers_own_record_ids_are_uuids_of_version_7() -> None:
    """Read by Python's uuid module; layout of RFC 9562, section 5.7."""
    import uuid

    now = datetime(2026, 5, 4, 8, 0, 0, 123_000, UTC)
    made = [uuid.UUID(ids.uuid7(now)) for _ in range(200)]
    assert {one.variant for one in made} == {uuid.RFC_4122}
    assert {one.version for one in made} == {7}
    assert {one.int >> 80 for one in made} == {int(now.timestamp() * 1000)}
    assert len(set(made)) == 200
    assert all(ids.UUID.fullmatch(str(one)) for one in made)


def test_a_card_moves_only_when_it_says_something_new(desk: Desk) -> None:
    with database.write_transaction():
        assert derived.save("x", {"a": 1, "assessed_at": "then"})
        first = derived.get("x")
        derived.mark_stale(["x"])
        assert "x" in derived.stale_keys()
        assert not derived.save("x", {"a": 1, "assessed_at": "now"})
        assert derived.get("x") == first
        assert "x" not in derived.stale_keys()
        assert derived.save("x", {"a": 2, "assessed_at": "now"})
        assert derived.get("x").seq == first.seq + 1
        assert derived.save("x", None)
        assert not derived.save("x", None)


def test_an_earlier_database_gains_planting_and_assets_and_loses_nothing(desk: Desk) -> None:
    """The tables that a release before planting day did not have are made; all else stays."""
    names = [table._meta.table_name for table in PLANTING]
    with database.connection():
        for name in reversed(names):
            database.db.execute_sql(f'drop table "{name}"')
        schema.SchemaStep.delete().where(
            schema.SchemaStep.name == schema.planting_and_assets.__name__
        ).execute()
        assert schema.bring_up_to_date() == [schema.planting_and_assets.__name__]
        assert set(names) <= set(database.db.get_tables())
        assert planting.sizes() == []
        assert planting.assets() == {}
        assert register.planter_exists(desk.planter)


def test_an_earlier_database_gains_the_index_of_its_changes(desk: Desk) -> None:
    """A card asks for the changes of its planter: they are looked up, not read through."""
    asked = "explain query plan select * from change where ref in ('x')"

    def plan() -> str:
        return " ".join(str(row[-1]) for row in database.db.execute_sql(asked))

    with database.connection():
        database.db.execute_sql('drop index "change_ref"')
        schema.SchemaStep.delete().where(
            schema.SchemaStep.name == schema.changes_by_what_they_changed.__name__
        ).execute()
        before = register.changes_of(desk.planter)
        assert "SCAN" in plan()
        assert schema.bring_up_to_date() == [schema.changes_by_what_they_changed.__name__]
        assert "USING INDEX change_ref" in plan()
        assert register.changes_of(desk.planter) == before
        assert before


def test_an_earlier_database_gains_what_the_review_needs(desk: Desk) -> None:
    """A release before had none of its tables; what was there stays as it was."""
    names = [table._meta.table_name for table in REVIEW]
    with database.connection():
        for name in names:
            database.db.execute_sql(f'drop table "{name}"')
        step = schema.what_the_review_needs.__name__
        schema.SchemaStep.delete().where(schema.SchemaStep.name == step).execute()
        assert schema.bring_up_to_date() == [step]
        assert set(names) <= set(database.db.get_tables())
        assert phone_work.said() == {}
        assert register.planter_exists(desk.planter)


def test_an_earlier_database_gets_what_an_undo_needs(tmp_path: Path) -> None:
    desk = open_desk(tmp_path)
    database.shut()
    with sqlite3.connect(tmp_path / "town.sqlite") as raw:
        raw.execute("drop table change_kept")
        for table, column in (("change", "act"), ("change", "undoes"), ("phone", "confirmed_at")):
            raw.execute(f"drop index if exists {table}_{column}")
            raw.execute(f"alter table {table} drop column {column}")
        steps = "('undo_of_changes', 'when_passwords_were_typed')"
        raw.execute(f"delete from schema_steps where name in {steps}")
    raw.close()
    database.open_database(desk.ctx.settings.database)
    try:
        (newest,) = register.last_changes(1)
        assert (newest.what, newest.act, newest.undoes) == ("planter", None, None)
        # A change of before is an act of its own, and goes back where its line says it all.
        looked = undo.look(desk.ctx, newest.id)
        assert (looked["possible"], len(looked["changes"])) == (True, 1)
        undo.undo(desk.ctx, newest.id, looked["mark"], overwrite=False)
        assert not register.planter_exists(desk.other_planter)
    finally:
        database.shut()
