"""The tables of rounds, and the step that brings an earlier database up to them."""

from __future__ import annotations

import sqlite3
from datetime import date
from pathlib import Path

from desk import Desk, open_desk
from potrounds.store import database, rounds
from potrounds.store.rounds import ToldRound

MONDAY, THURSDAY = date(2026, 5, 4), date(2026, 5, 7)


def test_an_earlier_database_gets_the_tables(tmp_path: Path) -> None:
    desk = open_desk(tmp_path)
    database.shut()
    # As the release before left them: none of these tables, and what it knew still there.
    with sqlite3.connect(tmp_path / "town.sqlite") as raw:
        for table in ("tap", "crew", "paced_way", "told_round", "calendar_link"):
            raw.execute(f"drop table {table}")
        raw.execute("delete from schema_steps where name = 'taps_crew_and_rounds'")
    raw.close()
    database.open_database(desk.ctx.settings.database)
    try:
        assert (rounds.taps(), rounds.crew(), rounds.told(MONDAY), rounds.links()) == ([],) * 4
        assert desk.card()["name"] == "Ferry landing 1"
    finally:
        database.shut()


def test_a_way_is_one_way_whichever_end_is_named_first(desk: Desk) -> None:
    with database.write_transaction():
        rounds.put_way("p-2", "p-1", 80.0)
        rounds.put_way("p-1", "p-2", 75.0)
    assert rounds.paced_ways() == {("p-1", "p-2"): 75.0}
    with database.write_transaction():
        rounds.put_way("p-2", "p-1", None)
    assert rounds.paced_ways() == {}


def test_telling_replaces_the_days_it_names_and_no_other(desk: Desk) -> None:
    def a_round(day: date, person: str) -> ToldRound:
        key = f"round-{day}-{person}"
        return ToldRound(key, day, person, {"stops": []}, desk.clock.now(), None)

    both = [a_round(MONDAY, "u-1"), a_round(THURSDAY, "u-1")]
    with database.write_transaction():
        rounds.tell(both, [MONDAY, THURSDAY])
        rounds.tell([a_round(MONDAY, "u-2")], [MONDAY])
    assert [(one.day, one.person) for one in rounds.told(MONDAY)] == [
        (MONDAY, "u-2"),
        (THURSDAY, "u-1"),
    ]


def test_a_tap_that_goes_takes_its_ways_and_starts_along(desk: Desk) -> None:
    phone = desk.join("Vera")
    with database.write_transaction():
        rounds.add_tap("w-1", {"name": "Quay tap"})
        rounds.put_way("w-1", desk.planter, 30.0)
        values = {"weekdays": [0], "minutes": 60, "mode": "foot", "away": [], "start_tap": "w-1"}
        rounds.put_member(phone.person, values)
        rounds.remove_tap("w-1")
    assert rounds.paced_ways() == {}
    (member,) = rounds.crew()
    assert member.start_tap is None
