"""Sizes that are questioned, schemes, materials, assets: no lost edit, all written down."""

from __future__ import annotations

from math import pi
from typing import Any

import pytest

from desk import Desk
from potrounds.services import assets, materials, plan_register, planter_history, register, town
from potrounds.services.refusal import Refusal
from potrounds.store import planting

ROUND: dict[str, Any] = {
    **{"name": "Medium", "shape": "round", "top_a_cm": 60, "bottom_a_cm": 45, "depth_cm": 50},
    **{"gap_cm": 0, "reservoir_l": 16},
}


def refused(call: Any, *args: Any) -> Refusal:
    with pytest.raises(Refusal) as caught:
        call(*args)
    return caught.value


def put(desk: Desk, **changes: Any) -> dict[str, Any]:
    return plan_register.put_size(desk.ctx, None, ROUND | changes, None)


def asked(desk: Desk, **changes: Any) -> str:
    problem = refused(plan_register.put_size, desk.ctx, None, ROUND | changes, None)
    assert (problem.status, problem.slug) == (422, "size-questioned")
    assert planting.sizes() == []
    return " ".join(why for _, why in problem.errors)


def test_a_size_says_what_it_holds(desk: Desk) -> None:
    """The handbook's frustum of 108.97 L, filled to the rim."""
    assert put(desk)["mix_l"] == 108.97
    assert put(desk, name="Flat", gap_cm=20)["mix_l"] < 108.97 * 30 / 50


def test_a_planter_without_litres_of_its_own_holds_what_its_size_was_measured_to_hold(
    desk: Desk,
) -> None:
    calendar = town.calendar()
    before = town.planters(calendar)[desk.planter]
    assert (before.mix_l, before.top_area_m2) == (None, None)
    put(desk, name=before.size)
    found = town.planters(calendar)[desk.planter]
    assert found.mix_l == pytest.approx(108.97, abs=0.005)
    assert found.top_area_m2 == pytest.approx(pi * 0.3**2)  # 60 cm across, filled to the rim
    version = register.one_planter(desk.planter)["version"]
    register.change_planter(desk.ctx, desk.planter, {"mix_l": 95.0}, version)
    assert town.planters(calendar)[desk.planter].mix_l == 95.0


def test_inches_typed_as_centimetres_are_questioned(desk: Desk) -> None:
    """60 x 45 x 50 cm is 23.6 x 17.7 x 19.7 in; 2.54^3 = 16.387."""
    said = asked(desk, top_a_cm=23.62, bottom_a_cm=17.72, depth_cm=19.69)
    assert "6.7 L of mix over a reservoir of 16 L" in said
    assert "Were inches typed as centimetres? In inches it would be 109 L." in said


def test_centimetres_typed_as_inches_are_questioned(desk: Desk) -> None:
    said = asked(desk, top_a_cm=152.4, bottom_a_cm=114.3, depth_cm=127)
    assert "Were centimetres typed as inches? It would be 109 L." in said


def test_a_size_measured_again_is_taken_as_it_is(desk: Desk) -> None:
    tiny = {"top_a_cm": 23.62, "bottom_a_cm": 17.72, "depth_cm": 19.69}
    asked(desk, **tiny)
    assert put(desk, **tiny, measured_again=True)["mix_l"] == pytest.approx(6.65, abs=0.01)


def test_lengths_no_planter_has_are_questioned(desk: Desk) -> None:
    assert "8 cm across is unusual" in asked(desk, bottom_a_cm=8)
    assert "500 cm deep is unusual" in asked(desk, depth_cm=500, reservoir_l=160)


def test_a_size_far_from_its_neighbours_is_questioned(desk: Desk) -> None:
    """Alone 2.1 L of mix a litre of reservoir would do; beside 6.8 it is questioned."""
    put(desk)
    put(desk, name="Large", shape="square", top_a_cm=60, bottom_a_cm=50, reservoir_l=22)
    shallow = {"name": "Low", "depth_cm": 16, "reservoir_l": 16}
    problem = refused(plan_register.put_size, desk.ctx, None, ROUND | shallow, None)
    assert "little beside your other sizes" in problem.errors[0][1]


def test_what_no_planter_can_be_is_refused_not_questioned(desk: Desk) -> None:
    for wrong, pointer in (
        ({"shape": "rectangular"}, "/top_b_cm"),
        ({"top_b_cm": 40}, "/top_b_cm"),
        ({"gap_cm": 50}, "/gap_cm"),
    ):
        body = ROUND | wrong | {"measured_again": True}
        problem = refused(plan_register.put_size, desk.ctx, None, body, None)
        assert (problem.status, problem.slug) == (422, "size")
        assert problem.errors[0][0] == pointer


def test_a_bottom_wider_than_the_top_is_allowed_and_said(desk: Desk) -> None:
    made = put(desk, top_a_cm=45, bottom_a_cm=60)
    assert made["mix_l"] == 108.97
    assert any("Wider at the bottom" in said for said in made["remarks"])
    assert any("wicks may not" in said for said in made["remarks"])


def test_F55_a_stale_version_overwrites_nothing(desk: Desk) -> None:
    made = put(desk)
    changed = plan_register.put_size(desk.ctx, made["id"], ROUND | {"depth_cm": 48}, 1)
    assert (changed["depth_cm"], changed["version"]) == (48, 2)
    for version, status in ((1, 412), (None, 428)):
        problem = refused(plan_register.put_size, desk.ctx, made["id"], ROUND, version)
        assert problem.status == status
    assert refused(plan_register.put_size, desk.ctx, "z-nowhere0", ROUND, 1).status == 404
    assert refused(put, desk).slug == "name-taken"
    plan_register.drop_size(desk.ctx, made["id"])
    told = [(one["what"], one["name"]) for one in register.overview(desk.ctx)["changes"][:3]]
    assert told == [("size", "Medium, round")] * 3
    assert planting.sizes() == []


def a_scheme(desk: Desk, **changes: Any) -> dict[str, Any]:
    plants = [{"role": "centre", "name": " sage ", "count": 1}]
    body = {"name": "Blue", "plants": plants, "planters": [desk.planter]} | changes
    return plan_register.put_scheme(desk.ctx, None, body, None)


def test_a_planter_has_one_scheme(desk: Desk) -> None:
    blue = a_scheme(desk, planters=[desk.planter, desk.other_planter])
    red = a_scheme(desk, name="Red")
    assert planting.planned() == {desk.planter: red["id"], desk.other_planter: blue["id"]}
    assert blue["plants"][0] == {
        **{"role": "centre", "name": "sage", "count": 1, "spacing_cm": None},
    }
    body = {"name": "Blue", "plants": blue["plants"], "planters": blue["planters"]}
    stale = refused(plan_register.put_scheme, desk.ctx, blue["id"], body, blue["version"])
    assert stale.status == 412  # it would have taken the planter back unseen
    plan_register.drop_scheme(desk.ctx, red["id"])
    assert planting.planned() == {desk.other_planter: blue["id"]}
    noted = [one for one in register.overview(desk.ctx)["changes"] if one["name"] == "Blue"]
    assert noted[0]["after"] == {"planters": ["Ferry landing 2"]}
    told = noted[-1]
    assert told["after"]["plants"] == ["sage (centre, 1)"]
    assert told["after"]["planters"] == ["Ferry landing 1", "Ferry landing 2"]


def test_a_scheme_that_cannot_be_counted_is_refused(desk: Desk) -> None:
    neither = [{"role": "filler", "name": "petunia"}]
    both = [{"role": "filler", "name": "petunia", "count": 2, "spacing_cm": 20}]
    for plants in (neither, both):
        problem = refused(lambda plants=plants: a_scheme(desk, plants=plants))
        assert problem.errors[0][0] == "/plants/0/count"
        assert "either a count or a spacing" in problem.errors[0][1]
    problem = refused(lambda: a_scheme(desk, planters=["p-nowhere0"]))
    assert problem.errors[0][0] == "/planters/0"
    assert planting.schemes() == []


def test_materials_are_changed_from_the_version_that_was_read(desk: Desk) -> None:
    first = materials.public()
    assert first["version"] == 0
    body = {key: value for key, value in first.items() if key != "version"}
    body["bag"] = {"amount": 50, "unit": "dry-quart", "moist_kg": None, "price": 9.5}
    kept = materials.put(desk.ctx, body, 0)
    assert kept["bag"] == body["bag"]
    assert materials.read().bag.unit == "dry-quart"
    assert refused(materials.put, desk.ctx, body, 0).status == 412
    twice = body | {"parts": [*body["parts"], {**body["parts"][0], "name": "drain  PLUG"}]}
    assert refused(materials.put, desk.ctx, twice, 1).slug == "name-taken"
    change = register.overview(desk.ctx)["changes"][0]
    assert (change["what"], change["after"]["bag.unit"]) == ("materials", "dry-quart")
    assert "settling" not in change["after"]
    stocked = body | {"parts": [{"name": "Wick", "in_shed": 2, "keep": 6, "price": 1.5}]}
    materials.put(desk.ctx, stocked, 1)
    told = register.overview(desk.ctx)["changes"][0]["after"]
    assert told == {"Wick": "2 in the shed, 6 to keep, 1.5 each"}


def test_an_asset_is_kept_and_falls_due(desk: Desk) -> None:
    kept = {"warranty": "Three years", "warranty_until": "2026-06-01", "condition": "worn"}
    made = assets.put_asset(desk.ctx, desk.planter, kept, 0)
    assert (made["version"], made["warranty_until"]) == (1, "2026-06-01")
    changed = assets.put_asset(desk.ctx, desk.planter, {"inspect_on": "2026-05-10"}, 1)
    assert (changed["warranty"], changed["version"]) == ("Three years", 2)
    assert [(one["what"], one["days"]) for one in assets.overview(desk.ctx)["due"]] == [
        ("inspection", 6),
        ("warranty", 28),
    ]
    assert refused(assets.put_asset, desk.ctx, desk.planter, {}, 1).status == 412
    late = {"condition": "sound", "condition_on": "2026-05-05"}
    assert refused(assets.put_asset, desk.ctx, desk.planter, late, 2).errors[0][0] == (
        "/condition_on"
    )


def test_the_tag_and_the_history_stay_with_a_planter_that_moves(desk: Desk) -> None:
    yard = register.add_site(desk.ctx, {"name": "Library yard"})["id"]
    mover = desk.join("Pilar", "coordinator").ctx
    other = desk.add_planter("Yard 1", site=yard, sun="shade")
    code = register.one_planter(desk.planter)["code"]
    assets.swap(mover, desk.planter, other)
    one = register.one_planter(desk.planter)
    assert (one["site"], one["sun"], one["code"]) == (yard, "shade", code)
    assert register.one_planter(other)["site"] == desk.site
    register.change_planter(mover, desk.planter, {"status": "lost"}, one["version"])
    told = desk.card()["history"]
    assert [(line["what"], line["old"], line["new"], line["by"]) for line in told] == [
        ("status", "in-use", "lost", "Pilar"),
        ("site", "Ferry landing", "Library yard", "Pilar"),
    ]
    assert planter_history.history(other, {})[0]["new"] == "Ferry landing"
    again = refused(assets.swap, desk.ctx, other, desk.other_planter)
    assert "Give them positions first" in again.errors[0][1]
    assert refused(assets.swap, desk.ctx, other, "p-nowhere0").status == 404
    assert "which other" in refused(assets.swap, desk.ctx, other, other).errors[0][1]


def test_two_planters_of_one_site_change_places_where_their_places_differ(desk: Desk) -> None:
    shady = desk.add_planter("Ferry landing 3", sun="shade", lat=48.0001, lon=11.0)
    sunny = desk.add_planter("Ferry landing 4", sun="full", lat=48.0002, lon=11.0)
    assets.swap(desk.ctx, shady, sunny)
    assert register.one_planter(shady)["sun"] == "full"
    assert [register.one_planter(one)["lat"] for one in (shady, sunny)] == [48.0002, 48.0001]
    assert planter_history.last_moves([shady]).keys() == {shady}
    assert planter_history.history(shady, {}) == []  # it still stands at the same site
