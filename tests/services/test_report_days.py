"""Days once judged are kept, and never stale: each report equals the one that judges all anew."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import UTC, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from desk import Desk, Phone, record_id
from potrounds.domain.fold import fold_standing
from potrounds.domain.folds import folds
from potrounds.domain.visits import standing
from potrounds.services import register, report_days, report_view, town, town_settings, weather
from potrounds.store import log
from potrounds.store.log_all import records_by_planter


def told(desk: Desk) -> dict[str, Any]:
    return report_view.season(desk.ctx, None)


def judged_anew(desk: Desk) -> dict[str, Any]:
    report_days.forget()
    shutil.rmtree(desk.ctx.settings.home / "report", ignore_errors=True)
    return told(desk)


@pytest.fixture
def vera(desk: Desk) -> Phone:
    """A season of visits: dry, soggy, wilting and well, with a bad tag in May."""
    desk.clock.moment = datetime(2026, 9, 20, 9, tzinfo=UTC)
    vera = desk.join("Vera")
    for days in range(150, 0, -6):
        body: dict[str, Any] = {"level": (0.0, 0.25, 1.0)[days % 3], "plants": 2 + days % 4}
        if days % 4 == 0:
            body["signs"] = ["wilting", "soggy-mix"]
        if days % 5 == 0:
            body |= {"litres_l": 9.5, "litres_how": "typed", "done": ["fed"]}
        vera.push(vera.record(ago=timedelta(days=days), body=body))
    return vera


def nights(desk: Desk, vera: Phone) -> None:
    low = {"date": "2026-09-21", "low_c": -3.0, "kind": "forecast"}
    town_settings.put_nights(desk.ctx, [low])


def late_visit(desk: Desk, vera: Phone) -> None:
    vera.push(vera.record(ago=timedelta(days=70), body={"level": 0.0, "plants": 1}))


def correction(desk: Desk, vera: Phone) -> None:
    first = vera.record(ago=timedelta(days=40), body={"level": 0.0})
    vera.push(first)
    body = {"replaces": record_id(first), "check_in": {"level": 1.0}, "reason": "Misread"}
    vera.push(vera.record(kind="correction", body=body))


def withdrawal(desk: Desk, vera: Phone) -> None:
    first = vera.record(ago=timedelta(days=33), body={"level": 0.0, "plants": 1})
    vera.push(first)
    told(desk)
    body = {"replaces": record_id(first), "reason": "Wrong planter"}
    vera.push(vera.record(kind="withdrawal", body=body))


def retired(desk: Desk, vera: Phone) -> None:
    version = register.one_planter(desk.planter)["version"]
    register.change_planter(desk.ctx, desk.planter, {"status": "stored"}, version)


def other_interval(desk: Desk, vera: Phone) -> None:
    town_settings.change_settings(desk.ctx, {"visit_days": 3})


def planting(desk: Desk, vera: Phone) -> None:
    register.add_planting(desk.ctx, desk.planter, {"planted_on": "2026-09-01", "plants": ["ivy"]})


def weather_comes(desk: Desk, vera: Phone) -> None:
    town_settings.change_settings(desk.ctx, {"latitude": 41.5})
    first = datetime(2026, 7, 1, tzinfo=UTC).date()
    days = [
        {"date": (first + timedelta(n)).isoformat(), "tmin_c": 14.0, "tmax_c": 31.0, "rain_mm": 0.0}
        for n in range(60)
    ]
    weather.put_days(desk.ctx, days)


def next_day(desk: Desk, vera: Phone) -> None:
    desk.clock.tick(days=1)


CHANGES = (
    *(nights, late_visit, correction, withdrawal, retired, other_interval, planting),
    *(weather_comes, next_day),
)


@pytest.mark.parametrize("change", CHANGES, ids=lambda one: one.__name__)
def test_nothing_kept_is_stale(
    desk: Desk, vera: Phone, change: Callable[[Desk, Phone], None]
) -> None:
    first = told(desk)
    assert first["town"]["flags"]["raised"] > 3
    assert told(desk) == first
    change(desk, vera)
    assert told(desk) == judged_anew(desk)


def test_what_was_judged_survives_a_restart_and_a_damaged_file(
    desk: Desk, vera: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(report_days, "WORTH_KEEPING", 1)
    first = told(desk)
    (file,) = (desk.ctx.settings.home / "report").glob("*.json.gz")
    report_days.forget()
    monkeypatch.setattr(report_days, "_judge", lambda case: report_days.Judged({}, False))
    again = told(desk)  # nothing but today is judged
    assert again["town"]["flags"]["cleared"] >= first["town"]["flags"]["cleared"]
    assert again["town"]["flags"]["raised"] == first["town"]["flags"]["raised"]
    monkeypatch.undo()
    file.write_bytes(file.read_bytes()[:100])
    report_days.forget()
    assert told(desk) == first


def test_a_day_shares_its_state_with_the_day_before_only_where_nothing_changes(
    desk: Desk, vera: Phone
) -> None:
    """folds against fold_standing, evening by evening."""
    planting(desk, vera)
    pilar = desk.join("Pilar", "coordinator")
    waits = {"flag": "running_dry", "decision": "not-a-problem", "until": "2026-08-20"}
    pilar.push(
        pilar.record(kind="decision", ago=timedelta(days=50), body={**waits, "evidence": []})
    )
    calendar = town.calendar()
    planter = town.planters(calendar)[desk.planter]
    stands = standing(log.records_of(desk.planter), calendar.zone)
    fold_to = folds(planter, stands, calendar)
    states = set()
    for back in range(260, -1, -1):
        day = calendar.local_day(desk.clock.now()) - timedelta(days=back)
        evening = datetime.combine(day, time.max, ZoneInfo(calendar.zone))
        state = fold_to(evening)
        assert state == fold_standing(planter, stands, calendar, evening), day
        states.add(id(state))
    assert len(states) < 60


def test_the_whole_log_reads_as_planter_by_planter(desk: Desk, vera: Phone) -> None:
    vera.push(vera.record(planter=desk.other_planter))
    found = dict(records_by_planter())
    assert set(found) == {desk.planter, desk.other_planter}
    for planter, records in found.items():
        assert records == log.records_of(planter)
