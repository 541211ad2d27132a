"""The register's edits: all or nothing, no lost edit, and everything written down."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from desk import Desk
from potrounds.domain import tag_code
from potrounds.services import public, register, tags, town_settings
from potrounds.services.refusal import Refusal
from potrounds.store import derived


def refused(call: Any, *args: Any) -> Refusal:
    with pytest.raises(Refusal) as caught:
        call(*args)
    return caught.value


def a_body(desk: Desk, name: str, **more: Any) -> dict[str, Any]:
    return {"name": name, "site": desk.site, "size": "Small", "reservoir_l": 8.0, **more}


def test_a_batch_of_planters_is_made_whole_or_not_at_all(desk: Desk) -> None:
    before = register.overview(desk.ctx)
    bodies = [
        a_body(desk, "New 1"),
        a_body(desk, "ferry  LANDING 1"),
        a_body(desk, "New 1"),
        a_body(desk, "New 2", site="s-nowhere0"),
        a_body(desk, "New 3", weight_moist_kg=140.0, weight_full_kg=90.0),
    ]
    problem = refused(register.add_planters, desk.ctx, bodies)
    assert problem.status == 422
    assert [pointer for pointer, _ in problem.errors] == [
        "/planters/1/name",
        "/planters/2/name",
        "/planters/3/site",
        "/planters/4/weight_full_kg",
    ]
    assert register.overview(desk.ctx) == before
    made = register.add_planters(desk.ctx, [bodies[0], a_body(desk, "New 4")])
    assert [one["name"] for one in made] == ["New 1", "New 4"]
    assert derived.get(made[0]["id"]).content["name"] == "New 1"


def test_a_new_planter_has_a_tag_and_an_opaque_id(desk: Desk) -> None:
    made = register.one_planter(desk.planter)
    assert tag_code.is_valid(made["code"])
    assert made["id"].startswith("p-")
    assert made["code"].lower() not in made["id"]
    assert made["planting"] == {
        "planted_on": "2026-03-20",
        "plants": ["petunia"],
        "scheme": "summer",
    }


def test_F55_a_stale_version_overwrites_nothing(desk: Desk) -> None:
    version = register.one_planter(desk.planter)["version"]
    changed = register.change_planter(desk.ctx, desk.planter, {"notes": "one"}, version)
    assert (changed["notes"], changed["version"]) == ("one", version + 1)
    stale = refused(register.change_planter, desk.ctx, desk.planter, {"notes": "two"}, version)
    assert (stale.status, stale.slug) == (412, "stale-version")
    missing = refused(register.change_planter, desk.ctx, desk.planter, {"notes": "two"}, None)
    assert missing.status == 428
    assert register.one_planter(desk.planter)["notes"] == "one"
    unknown = refused(register.change_planter, desk.ctx, "p-nowhere0", {}, 1)
    assert unknown.status == 404


def test_F55_a_check_in_in_between_makes_no_version_stale(desk: Desk) -> None:
    version = register.one_planter(desk.planter)["version"]
    vera = desk.join("Vera")
    vera.push(vera.record())
    assert register.change_planter(desk.ctx, desk.planter, {"notes": "x"}, version)


def test_every_change_is_written_down_with_before_and_after(desk: Desk) -> None:
    corin = desk.join("Corin", "coordinator")
    register.change_planter(
        corin.ctx, desk.planter, {"notes": "moved", "name": "Ferry landing 1"}, 1
    )
    change = register.overview(desk.ctx)["changes"][0]
    assert (change["by"], change["what"], change["id"]) == ("Corin", "planter", desk.planter)
    assert change["before"] == {"notes": "", "version": 1}
    assert change["after"] == {"notes": "moved", "version": 2}
    assert change["at"] == "2026-05-04T08:00:00.000Z"


def test_a_change_of_site_or_name_is_judged_like_a_new_planter(desk: Desk) -> None:
    for body, slug in (
        ({"name": "Ferry landing 2"}, "name-taken"),
        ({"site": "s-nowhere0"}, "register"),
        ({"weight_moist_kg": 9.0, "weight_full_kg": 8.0}, "register"),
    ):
        assert refused(register.change_planter, desk.ctx, desk.planter, body, 1).slug == slug
    assert register.one_planter(desk.planter)["version"] == 1


def test_sites(desk: Desk) -> None:
    assert refused(register.add_site, desk.ctx, {"name": "FERRY landing"}).slug == "name-taken"
    changed = register.change_site(desk.ctx, desk.site, {"name": "Landing", "freeze_on": None}, 1)
    assert (changed["freeze_on"], changed["version"]) == (None, 2)
    assert desk.card()["site"]["name"] == "Landing"
    assert derived.get("town").content["sites"][0]["name"] == "Landing"
    assert refused(register.change_site, desk.ctx, desk.site, {"name": "X"}, 1).status == 412
    assert refused(register.change_site, desk.ctx, "s-nowhere0", {}).status == 404


def test_T5_a_replaced_tag_goes_on_pointing_at_its_planter(desk: Desk) -> None:
    old = register.one_planter(desk.planter)["code"]
    new = register.replace_tag(desk.ctx, desk.planter, "faded")
    assert new["code"] != old
    assert new["old_codes"] == [old]
    assert tags.tag_target(desk.ctx, old) == {"planter": desk.planter, "state": "replaced"}
    assert tags.tag_target(desk.ctx, new["code"])["state"] == "current"
    assert public.tag_page(desk.ctx, old)["state"] == "replaced"
    assert desk.card()["old_codes"] == [old]
    assert desk.card()["code"] == new["code"]


def test_a_later_planting_shows_from_its_day_on(desk: Desk) -> None:
    register.add_planting(
        desk.ctx, desk.planter, {"planted_on": date(2026, 9, 20), "plants": ["heather"]}
    )
    assert desk.card()["planting"]["plants"] == ["petunia"]
    desk.clock.tick(days=150)
    desk.join("Vera").pull()
    assert desk.card()["planting"]["plants"] == ["heather"]


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("https://Planters.Osier-Bend.example/", "https://planters.osier-bend.example"),
        ("https://planters.osier-bend.example:8443", "https://planters.osier-bend.example:8443"),
        ("http://localhost:8077", "http://localhost:8077"),
        ("http://127.0.0.1:8077", "http://127.0.0.1:8077"),
        (None, None),
    ],
)
def test_an_address_for_tags(desk: Desk, typed: str | None, kept: str | None) -> None:
    assert town_settings.change_settings(desk.ctx, {"tag_address": typed})["tag_address"] == kept
    assert derived.get("town").content["tag_address"] == kept


@pytest.mark.parametrize(
    "typed",
    [
        "http://planters.osier-bend.example",
        "https://planters.osier-bend.example/town",
        "https://planters.osier-bend.example?x=1",
        "https://planters.osier-bend.example#x",
        "https://somebody@planters.osier-bend.example",
        "https://",
        "https://two words.example",
        "https://planters.example:99999",
        "http://localhost.evil.example",
        "javascript:alert(1)",
        "planters.osier-bend.example",
        "https://[::1",
    ],
)
def test_no_address_for_tags(desk: Desk, typed: str) -> None:
    problem = refused(town_settings.change_settings, desk.ctx, {"tag_address": typed})
    assert (problem.status, problem.errors[0][0]) == (422, "/tag_address")


def test_settings_that_make_no_sense_change_nothing(desk: Desk) -> None:
    before = register.overview(desk.ctx)["settings"]
    for body in (
        {"winter_from": "02-30", "visit_days": 3},
        {"winter_from": "03-15", "visit_days": 3},
        {"zone": "Nowhere/Else", "visit_days": 3},
    ):
        assert refused(town_settings.change_settings, desk.ctx, body).status == 422
    assert register.overview(desk.ctx)["settings"] == before


def test_nights_are_set_changed_and_removed(desk: Desk) -> None:
    day = date(2026, 10, 30)
    typed = [
        {"date": day, "low_c": 2.0, "kind": "forecast"},
        {"date": day, "low_c": -1.0, "kind": "recorded"},
    ]
    assert len(register.put_nights(desk.ctx, typed)) == 2
    changed = register.put_nights(desk.ctx, [{**typed[0], "low_c": -3.0}])
    assert [one["low_c"] for one in changed if one["kind"] == "forecast"] == [-3.0]
    assert len(register.put_nights(desk.ctx, [{**typed[1], "low_c": None}])) == 1


def test_a_forecast_freeze_reaches_every_card_at_once(desk: Desk) -> None:
    desk.clock.tick(days=169)
    vera = desk.join("Vera")
    vera.push(vera.record(body={"plug": "in"}))
    tomorrow = (desk.clock.now()).date().replace(day=22)
    register.put_nights(desk.ctx, [{"date": tomorrow, "low_c": -2.0, "kind": "forecast"}])
    assert "drain_not_pulled" in [flag["code"] for flag in desk.card()["flags"]]


def test_a_sheet_of_tags_waits_for_the_towns_address(desk: Desk) -> None:
    assert refused(tags.sheet_tags, desk.ctx, None).slug == "no-tag-address"
    town_settings.change_settings(desk.ctx, {"tag_address": "https://osier-bend.example"})
    (first, _) = tags.sheet_tags(desk.ctx, None)
    code = register.one_planter(desk.planter)["code"]
    assert first == {
        "planter": desk.planter,
        "planter_name": "Ferry landing 1",
        "site_name": "Ferry landing",
        "code": code,
        "url": f"HTTPS://OSIER-BEND.EXAMPLE/T/{code}",
        "display": f"{code[:4]}-{code[4:8]}-{code[8:]}",
    }
    assert refused(tags.sheet_tags, desk.ctx, ["p-nowhere0"]).status == 404
