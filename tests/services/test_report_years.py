"""The season report of a small town: hours, losses, and this season beside the last."""

from __future__ import annotations

import csv
import io

from desk import Desk
from potrounds.services import history_csv, records_csv, report_behind, report_view
from potrounds.services import register as services_register
from potrounds.store import register


def test_hours_are_those_of_rounds(desk: Desk) -> None:
    """By hand: 70 minutes are 75 to the quarter hour, half up; 90 put in by hand stay 90."""
    vera, omar = desk.join("Vera"), desk.join("Omar")
    for phone, body in ((vera, {"what": "started"}), (omar, {"what": "hours", "minutes": 90})):
        key = f"round-{desk.clock.now().date()}-{phone.person}"
        [result] = phone.push(phone.record("round", "town", body={"round": key, **body}))
        assert result["outcome"] == "stored"
    desk.clock.tick(minutes=70)
    key = f"round-{desk.clock.now().date()}-{vera.person}"
    vera.push(vera.record("round", "town", body={"round": key, "what": "ended"}))
    told = report_view.season(desk.ctx, None)["hours"]
    assert told["minutes"] == 75 + 90
    assert {one["person"]["name"]: one["minutes"] for one in told["people"]} == {
        "Vera": 75,
        "Omar": 90,
    }
    assert report_behind.behind(desk.ctx, None, "hours")["count"] == 3
    rows = list(csv.DictReader(io.StringIO(records_csv.export_records(desk.ctx))))
    assert [row["what"] for row in rows if row["kind"] == "round"] == ["started", "hours", "ended"]
    assert {row["stands"] for row in rows} == {"yes"}


def test_this_season_stands_beside_the_last(desk: Desk) -> None:
    """The season of 2025 begins on 15 March 2025; a visit on the day before is not in it."""
    register.change_planter(desk.planter, {"installed_on": None})
    name = register.planters([desk.planter])[0].name
    table = f"""planter,day,level,litres_l,litres_how
{name},2025-03-14,empty,1,typed
{name},2025-03-15,empty,2.5,typed
{name},2025-08-01,half,4,hose-timer
{name},2026-03-14,half,8,typed
{name},2026-03-15,half,16,typed
"""
    assert history_csv.import_visits(desk.ctx, table.encode(), dry_run=False)["created"] == 5
    told = report_view.season(desk.ctx, None)
    assert (told["year"], told["begins"], told["whole"]) == (2026, "2026-03-15", False)
    assert told["town"]["water"]["typed"] == 16
    before = told["before"]
    assert (before["year"], before["town"]["visits"]) == (2025, 3)
    assert before["town"]["water"]["typed"] == 10.5
    assert before["town"]["water"]["hose-timer"] == 4
    assert before["town"]["seen_empty_days"] == 1
    assert told["years"] == [2026, 2025, 2024]
    alone = report_view.season(desk.ctx, "2025")
    assert alone["town"] == before["town"]
    assert alone["until"] == "2026-03-14"
    assert alone["town"]["believed_empty_days"] is None  # not nought: nobody knows
    assert alone["cost"] is None


def test_a_planter_lost_this_season_is_a_loss_with_its_day(desk: Desk) -> None:
    row = register.planters([desk.planter])[0]
    services_register.change_planter(desk.ctx, row.id, {"status": "lost"}, version=row.version)
    told = report_view.season(desk.ctx, None)
    assert [(one["what"], one["day"]) for one in told["losses"]] == [
        ("lost", desk.clock.now().date().isoformat())
    ]
    assert told["town"]["losses"] == 1
