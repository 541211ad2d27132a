"""A season closes into an archive: what is open is told, nothing is lost, late records are told.

Sums in the archive are plain additions, worked out by hand below; common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from desk import Desk, Phone
from potrounds.domain.planter import TownCalendar
from potrounds.services import assess, register, seasons
from potrounds.services.refusal import Refusal
from potrounds.store import database, derived, log, schema, tables_season

DECEMBER = datetime(2026, 12, 1, 9, 0, tzinfo=UTC)


@pytest.fixture
def desk(desk: Desk) -> Desk:
    """The town on 1 December, its coordinator at the desk."""
    desk.clock.moment = DECEMBER
    return replace(desk, ctx=desk.join("Corin", "coordinator").ctx)


def check_in(phone: Phone, days_ago: int, **body: Any) -> None:
    (result,) = phone.push(phone.record(body=body, ago=timedelta(days=days_ago)))
    assert result["outcome"] == "stored"


def step(phone: Phone, code: str, planter: str = "", **body: Any) -> None:
    body = {"list": "winterization", "season": 2026, "step": code, **body}
    phone.push(phone.record("step", planter, body=body))


def prove(desk: Desk, phone: Phone, planter: str = "") -> None:
    step(phone, "pull-plug", planter, second="Kofi", plug_place="box 1")
    desk.clock.tick(days=2)
    step(phone, "second-look", planter, standing_water=False)


def open_now(desk: Desk, year: int = 2026) -> dict[str, Any]:
    return next(one for one in seasons.overview(desk.ctx)["open"] if one["year"] == year)


def close(desk: Desk, year: int = 2026) -> dict[str, Any]:
    return seasons.close(desk.ctx, str(year), open_now(desk, year)["open_count"])


def test_what_is_open_is_told_before_closing(desk: Desk) -> None:
    vera, wim = desk.join("Vera"), desk.join("Wim")
    prove(desk, vera)
    step(wim, "pull-plug", desk.other_planter)
    next(wim.numbers)  # a record that is still on Wim's phone
    step(wim, "flush", desk.other_planter)
    vera.push(vera.record(planter="p-nobody"))
    left = open_now(desk)
    assert (left["begins"], left["ends"]) == ("2026-03-15", "2027-03-14")
    (drain,) = left["unproven"]
    assert (drain["name"], drain["state"]) == ("Ferry landing 2", "unproven")
    assert "A photo or a second person at the plug" in drain["missing"]
    assert {flag["name"] for flag in left["flags"]} <= {"Ferry landing 1", "Ferry landing 2"}
    assert "Drained, unproven" in [flag["flag"] for flag in left["flags"]]
    assert [one["reason"] for one in left["held"]] == ["unknown-planter"]
    counted = [len(left[key]) for key in ("unproven", "flags", "phones", "held")]
    assert left["open_count"] == sum(counted)


def test_a_phone_is_told_of_by_its_gaps_and_its_silence(desk: Desk) -> None:
    from potrounds.services import invites, people

    made = invites.create_invite(desk.ctx, {"role": "volunteer", "name": "Odile"}, "http://x")
    device = "01890a5d-ac96-774b-bcce-b302099a8057"
    people.join(desk.ctx, str(made["url"]).partition("#")[2], device, "Odile")
    assert open_now(desk)["phones"] == []
    odile = Phone(desk, desk.join("Odile 2").ctx, device)
    odile = replace(odile, ctx=odile.ctx.with_caller(replace(odile.ctx.caller, device=device)))
    check_in(odile, 0, level=0.5)
    next(odile.numbers)
    next(odile.numbers)
    check_in(odile, 0, level=0.5)
    (phone,) = open_now(desk)["phones"]
    assert (phone["person"], phone["gaps"]) == ("Odile", 2)
    desk.clock.tick(days=9)
    assert open_now(desk)["phones"][0]["last_heard"] == "2026-12-01T09:00:00.000Z"


def test_closing_keeps_what_the_season_came_to(desk: Desk) -> None:
    vera = desk.join("Vera")
    check_in(vera, 400, level=0.25, litres_l=99, litres_how="typed")  # the season before
    check_in(vera, 120, level=0.25, litres_l=8.5, litres_how="typed")
    check_in(vera, 110, level=0.5, litres_l=4, litres_how="hose-timer", overhead_l=2)
    check_in(vera, 100, litres_l=6.25, litres_how="typed", plants=4)
    check_in(vera, 90, litres_l=3, plants=1)
    prove(desk, vera)
    closed = close(desk)
    assert (closed["year"], closed["closed_by"], closed["late"]) == (2026, "Corin", [])
    totals = closed["totals"]
    assert totals["litres"] == {"typed": 14.8, "hose-timer": 4.0, "not-said": 3.0}
    assert (totals["visits"], totals["steps"], totals["overhead_l"]) == (4, 2, 2.0)
    assert (totals["planters"], totals["proven"], totals["not_begun"]) == (2, 1, 1)
    assert totals["plants_gone"] == ["Ferry landing 1"]
    line = closed["summary"]["planters"][0]
    assert (line["winter"]["state"], line["winter"]["plug_place"]) == ("proven", "box 1")
    pull = next(one for one in line["winter"]["steps"] if one["code"] == "pull-plug")
    assert (pull["by"], pull["second"], pull["state"]) == ("Vera", "Kofi", "done")
    assert closed["summary"]["left_open"]["unproven"][0]["name"] == "Ferry landing 2"


def test_closing_deletes_nothing_and_proves_nothing(desk: Desk) -> None:
    vera = desk.join("Vera")
    step(vera, "pull-plug")
    before = [one.text for one in log.of_planter(desk.planter)]
    close(desk)
    assert [one.text for one in log.of_planter(desk.planter)] == before
    assert desk.card()["lists"]["winterization"]["state"] == "unproven"
    with database.connection():
        assess.rebuild(desk.ctx)
    assert desk.card()["lists"]["winterization"]["state"] == "unproven"
    (change,) = [one for one in register.overview(desk.ctx)["changes"] if one["what"] == "season"]
    assert (change["id"], change["by"], change["after"]) == ("2026", "Corin", {"closed": True})


def test_the_next_season_opens_with_the_same_planters(desk: Desk) -> None:
    vera = desk.join("Vera")
    prove(desk, vera)
    assert desk.card()["lists"]["start_up"]["season"] == 2026
    close(desk)
    card = desk.card()
    assert (card["lists"]["start_up"]["season"], card["lists"]["start_up"]["active"]) == (
        2027,
        True,
    )
    assert (card["name"], card["status"]) == ("Ferry landing 1", "in-use")
    assert card["lists"]["winterization"]["state"] == "proven", "the plug's place stays readable"
    assert card["state"]["plug"]["place"] == "box 1"
    town = derived.get("town").content
    assert town["season"]["closed"] == [2026]
    day = DECEMBER.date()
    assert TownCalendar(closed=((2026, day),)).list_season("start-up", day) == 2027
    assert TownCalendar(closed=((2026, day),)).list_season("winterization", day) == 2026
    yesterday = day - timedelta(days=1)
    assert TownCalendar(closed=((2026, day),)).list_season("start-up", yesterday) == 2026


def test_a_late_record_lands_and_the_archive_says_so(desk: Desk) -> None:
    vera = desk.join("Vera")
    step(vera, "pull-plug", second="Kofi", plug_place="box 1")
    closed = close(desk)
    desk.clock.tick(days=200)  # in the season after
    check_in(vera, 0, level=0.5)
    body = {"list": "winterization", "season": 2026, "step": "second-look", "standing_water": False}
    vera.push(vera.record("step", body=body, ago=timedelta(days=190)))
    shown = seasons.one(desk.ctx, "2026")
    (late,) = shown["late"]
    assert (late["kind"], late["planter_name"], late["by"]) == ("step", "Ferry landing 1", "Vera")
    assert late["at"] < late["received_at"]
    assert shown["late_count"] == seasons.overview(desk.ctx)["closed"][0]["late_count"] == 1
    assert shown["summary"] == closed["summary"], "what was kept at closing stays as it was"


def test_a_season_is_opened_again_with_a_reason_and_closed_anew(desk: Desk) -> None:
    vera = desk.join("Vera")
    close(desk)
    prove(desk, vera)
    with pytest.raises(Refusal) as caught:
        seasons.reopen(desk.ctx, "2026", "  ")
    assert [at for at, _ in caught.value.errors] == ["/reason"]
    opened = seasons.reopen(desk.ctx, "2026", "Vera's phone was in the van")
    assert (opened["reason"], opened["reopened_by"]) == ("Vera's phone was in the van", "Corin")
    assert desk.card()["lists"]["start_up"]["season"] == 2026
    with pytest.raises(Refusal) as caught:
        seasons.reopen(desk.ctx, "2026", "again")
    assert caught.value.status == 409
    again = close(desk)
    assert (again["totals"]["proven"], again["late"], again["reopened_at"]) == (1, [], None)


def test_closing_is_refused_where_it_makes_no_sense(desk: Desk) -> None:
    count = open_now(desk)["open_count"]
    for year, seen, status in (
        ("2027", 0, 409),
        ("2026", count + 1, 412),
        ("1", 0, 404),
        ("99999999999999999999", 0, 404),
        ("next", 0, 404),
    ):
        with pytest.raises(Refusal) as caught:
            seasons.close(desk.ctx, year, seen)
        assert (year, caught.value.status) == (year, status)
    close(desk)
    with pytest.raises(Refusal) as caught:
        seasons.close(desk.ctx, "2026", 0)
    assert caught.value.status == 409
    for ask in (seasons.one, lambda ctx, year: seasons.reopen(ctx, year, "why")):
        with pytest.raises(Refusal) as caught:
            ask(desk.ctx, "2024")
        assert caught.value.status == 404


def test_the_season_before_can_still_be_closed_as_it_was(desk: Desk) -> None:
    vera = desk.join("Vera")
    prove(desk, vera)
    desk.clock.moment = datetime(2027, 4, 20, 9, 0, tzinfo=UTC)
    assert [one["year"] for one in seasons.overview(desk.ctx)["open"]] == [2027, 2026]
    body = {"list": "start-up", "season": 2027, "step": "plug-in"}
    vera.push(vera.record("step", body=body))
    closed = close(desk, 2026)
    assert closed["totals"]["proven"] == 1, "a plug back in in spring takes no proof from winter"
    assert closed["summary"]["planters"][0]["winter"]["plug_place"] == "box 1"


def test_an_earlier_database_gets_the_tables(desk: Desk) -> None:
    """As the step finds a database of the release before it."""
    with database.write_transaction():
        for table in tables_season.SEASON:
            table.drop_table()
        schema.SchemaStep.delete().where(schema.SchemaStep.name == "lists_and_seasons").execute()
    assert schema.bring_up_to_date() == ["lists_and_seasons"]
    assert seasons.overview(desk.ctx)["closed"] == []
    assert derived.get(desk.planter) is not None
