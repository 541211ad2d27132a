"""Lows by year, siting checks, and the step that brings an earlier database up to them."""

from __future__ import annotations

import sqlite3
from datetime import UTC, date, datetime
from pathlib import Path

from desk import Desk, open_desk
from potrounds.store import database, lows, register, site_plans, siting


def test_lows_are_kept_by_day_over_years_and_leap_days(desk: Desk) -> None:
    first = {date(2023, 12, 31): -1.5, date(2024, 2, 29): 0.0, date(2024, 12, 31): 2.25}
    with database.write_transaction():
        lows.put(first, "Osier Bend", None, None)
        mark = lows.about().mark  # type: ignore[union-attr]
        lows.put({date(2024, 2, 29): -3.0}, None, "2026-05-04T08:00:00.000Z", "u-1")
    assert lows.read() == {**first, date(2024, 2, 29): -3.0}
    about = lows.about()
    assert about
    assert about.mark != mark
    assert (about.station, about.by) == (None, "u-1")
    with database.write_transaction():
        lows.forget()
    assert (lows.read(), lows.about()) == ({}, None)


def test_checks_are_only_added_and_come_oldest_first(desk: Desk) -> None:
    for day in (2, 1, 3):
        at = datetime(2026, 5, day, tzinfo=UTC)
        with database.write_transaction():
            siting.add(desk.planter, at, None, {"path_cm": day})
    found = siting.checks([desk.planter, desk.other_planter])
    assert [one.facts["path_cm"] for one in found[desk.planter]] == [1, 2, 3]
    assert desk.other_planter not in found
    assert siting.checks([]) == {}


def test_an_earlier_database_gets_positions_and_the_tables(tmp_path: Path) -> None:
    desk = open_desk(tmp_path)
    database.shut()
    # The tables as they were before: no positions, no record of lows, no siting checks.
    with sqlite3.connect(tmp_path / "town.sqlite") as raw:
        raw.execute("drop table lows_of_year")
        raw.execute("drop table siting_check")
        for column in ("lat", "lon"):
            raw.execute(f"alter table planter drop column {column}")
        raw.execute("delete from schema_steps where name = 'lows_and_siting'")
    raw.close()
    database.open_database(desk.ctx.settings.database)
    try:
        planter = register.planter(desk.planter)
        assert (planter.name, planter.lat, planter.lon) == ("Ferry landing 1", None, None)
        assert (lows.read(), lows.about(), siting.checks()) == ({}, None, {})
    finally:
        database.shut()


def test_a_plan_picture_is_put_changed_and_forgotten(desk: Desk) -> None:
    at = datetime(2026, 5, 4, tzinfo=UTC)
    values = {"photo": "a" * 64, "width": 800, "height": 400, "points": [], "at": at, "by": "u-1"}
    with database.write_transaction():
        site_plans.put("town", values)
        site_plans.put("town", {"points": [{"x": 1.5}]})
    found = site_plans.plan("town")
    assert found
    assert (found.version, found.points, found.width) == (2, [{"x": 1.5}], 800)
    assert site_plans.plans() == [found]
    with database.write_transaction():
        site_plans.remove("town")
    assert (site_plans.plans(), site_plans.plan("town")) == ([], None)


def test_an_earlier_database_gets_plan_pictures(tmp_path: Path) -> None:
    desk = open_desk(tmp_path)
    database.shut()
    with sqlite3.connect(tmp_path / "town.sqlite") as raw:
        raw.execute("drop table site_plan")
        raw.execute("delete from schema_steps where name = 'site_plans'")
    raw.close()
    database.open_database(desk.ctx.settings.database)
    try:
        assert site_plans.plans() == []
        assert register.planter(desk.planter).name == "Ferry landing 1"
    finally:
        database.shut()
