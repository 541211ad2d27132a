"""A planter's history in a small town: pages, decisions, photos, tags, lists, moves."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from desk import Desk, a_photo
from potrounds.services import (
    assets,
    planter_course,
    planter_flags,
    planter_visits,
    register,
    seasons,
)
from potrounds.services.refusal import Refusal
from potrounds.store import database


def whole(desk: Desk) -> dict[str, Any]:
    return planter_course.whole(desk.ctx, desk.planter, None)


def test_moments_are_never_cut_by_a_page(desk: Desk) -> None:
    phone = desk.join("Vera")
    phone.push(*(phone.record(ago=timedelta(hours=n // 3)) for n in range(6)))
    first = planter_visits.visits(desk.ctx, desk.planter, None, None, 1)
    assert len(first["visits"]) == 3
    rest = planter_visits.visits(desk.ctx, desk.planter, None, first["before"], 1)
    assert len(rest["visits"]) == 3
    assert rest["before"] is None


def test_a_decision_and_a_corrected_check_in_are_told_with_their_run(desk: Desk) -> None:
    pilar, vera = desk.join("Pilar", "coordinator"), desk.join("Vera")
    dry = vera.record(body={"level": 0.0}, ago=timedelta(days=3))
    vera.push(dry)
    first = planter_visits.visits(desk.ctx, desk.planter, None, None, 1)["visits"][0]["record"]
    put_right = {"replaces": first, "check_in": {"level": 0.0, "note": "sure"}}
    vera.push(vera.record("correction", body=put_right, ago=timedelta(days=2)))
    flag = {"flag": "running_dry", "decision": "settled", "evidence": [], "note": "went there"}
    pilar.push(pilar.record("decision", body=flag, ago=timedelta(days=1)))
    vera.push(vera.record(body={"level": 1.0, "litres_l": 15.0}))
    told = planter_flags.season(desk.ctx, desk.planter, None)
    (run,) = [run for run in told["runs"] if run["code"] == "running_dry"]
    assert (run["days"], run["settled_days"], run["records"]) == (3, 2, [first])
    (decision,) = run["decisions"]
    assert (decision["by"], decision["note"]) == ("Pilar", "went there")
    last = planter_visits.visits(desk.ctx, desk.planter, None, None, 1)["visits"][0]
    assert run["cleared_by"] == [last["record"]]
    assert {visit["record"] for visit in told["visits"]} >= {first, last["record"]}
    assert next(v for v in told["visits"] if v["record"] == first)["corrected"]


def test_photos_of_all_seasons_oldest_first_without_erased_ones(desk: Desk) -> None:
    phone = desk.join("Vera")
    early, late = a_photo((640, 480)), a_photo((480, 640))
    first = phone.named_photo(early)
    assert phone.put_photo(early) == 201
    desk.clock.tick(days=400)
    second = phone.named_photo(late)
    told = whole(desk)["photos"]
    assert [(one["sha"], one["state"], one["by"]) for one in told] == [
        (first, "here", "Vera"),
        (second, "on-its-way", "Vera"),
    ]
    with database.write_transaction():
        database.db.execute_sql("update photo set state = 'erased' where sha = ?", (first,))
    assert [one["sha"] for one in whole(desk)["photos"]] == [second]


def test_plantings_of_register_and_people_newest_first(desk: Desk) -> None:
    phone = desk.join("Vera")
    phone.push(phone.record("planting", body={"plants": [{"name": "aster"}], "scheme": "autumn"}))
    told = whole(desk)["plantings"]
    assert [(one["planted_on"], one["by"], one["plants"]) for one in told] == [
        ("2026-05-04", "Vera", ["aster"]),
        ("2026-03-20", None, ["petunia"]),
    ]


def test_old_and_new_codes_with_days_and_reason(desk: Desk) -> None:
    old = register.one_planter(desk.planter)["code"]
    desk.clock.tick(days=2)
    new = register.replace_tag(desk.ctx, desk.planter, "scratched")["code"]
    told = whole(desk)["tags"]
    assert [(tag["code"], tag["retired_at"], tag["reason"]) for tag in told] == [
        (new, None, ""),
        (old, "2026-05-06T08:00:00.000Z", "scratched"),
    ]


def test_lists_of_each_season_stand_as_they_ended(desk: Desk) -> None:
    """A plug pulled in October 2026 and one not pulled in 2027: each in its own season."""
    phone = desk.join("Vera")
    step = {"list": "start-up", "season": 2026, "step": "fill", "outcome": "done"}
    phone.push(phone.record("step", body=step))
    desk.clock.tick(days=170)
    step = {"list": "winterization", "season": 2026, "step": "pull-plug", "outcome": "done"}
    phone.push(phone.record("step", body=step))
    desk.clock.tick(days=300)
    told = {(one["list"], one["season"]): one["state"] for one in whole(desk)["lists"]}
    assert told == {
        ("winterization", 2027): "not-begun",
        ("start-up", 2027): "not-begun",
        ("winterization", 2026): "unproven",
        ("start-up", 2026): "under-way",
    }


def states(desk: Desk) -> dict[tuple[str, int], str]:
    return {(one["list"], one["season"]): one["state"] for one in whole(desk)["lists"]}


def test_a_start_up_list_is_told_when_the_next_one_has_begun(desk: Desk) -> None:
    """Spring is on 15 March: from mid-January the list of 2027 is worked on, in season 2026."""
    phone = desk.join("Vera")
    step = {"list": "start-up", "season": 2026, "step": "fill", "outcome": "done"}
    phone.push(phone.record("step", body=step))
    desk.clock.tick(days=280)  # 8 February 2027
    assert states(desk)["start-up", 2026] == "under-way"
    assert ("start-up", 2027) not in states(desk)
    phone.push(phone.record("step", body={**step, "season": 2027}))
    assert states(desk)["start-up", 2026] == "under-way"
    assert states(desk)["start-up", 2027] == "under-way"


def test_a_season_closed_early_keeps_its_start_up_list(desk: Desk) -> None:
    desk.clock.tick(days=190)  # 10 November 2026
    told = seasons.overview(desk.ctx)["open"][0]
    seasons.close(desk.ctx, "2026", told["open_count"])
    desk.clock.tick(days=2)
    assert ("start-up", 2026) in states(desk)
    assert ("winterization", 2026) in states(desk)


def test_moves_and_swaps_are_told_with_metres_and_partner(desk: Desk) -> None:
    """A degree of latitude is 111.2 km on the IUGG sphere: 0.0001 degrees are 11.1 m."""
    mover = desk.join("Pilar", "coordinator").ctx
    desk.place(desk.planter, 46.5, -38.0)
    desk.clock.tick(hours=1)
    version = register.one_planter(desk.planter)["version"]
    register.change_planter(mover, desk.planter, {"lat": 46.5001, "lon": -38.0}, version)
    desk.clock.tick(hours=1)
    site = register.add_site(desk.ctx, {"name": "Quay"})["id"]
    other = desk.add_planter("Quay 1", site=site, lat=46.6, lon=-38.1)
    assets.swap(mover, desk.planter, other)
    told = [one for one in whole(desk)["changes"] if one["what"] in ("site", "position")]
    assert [(one["what"], one["old"], one["new"], one["metres"], one["with"]) for one in told] == [
        ("site", "Ferry landing", "Quay", None, "Quay 1"),
        ("position", "46.50000, -38.00000", "46.50010, -38.00000", 11.1, None),
        ("position", None, "46.50000, -38.00000", None, None),
    ]
    assert [one["by"] for one in told] == ["Pilar", "Pilar", "the server"]
    assert "position" not in {one["what"] for one in desk.card()["history"]}


def test_no_such_planter_and_no_such_season(desk: Desk) -> None:
    for ask in (planter_course.whole, planter_flags.season):
        with pytest.raises(Refusal, match="no-such-planter"):
            ask(desk.ctx, "p-nowhere0", None)
        with pytest.raises(Refusal, match="no-such-season"):
            ask(desk.ctx, desk.planter, "2027")
