"""The plan of planting day, every figure checked against arithmetic done by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from desk import Desk
from potrounds.domain.planting import Bag, Feed, Materials, Stocked, Trays, Vehicle
from potrounds.services import materials as register_of_materials
from potrounds.services import plan_register, planting_order, planting_plan, register
from potrounds.services.planting_order import Needs
from potrounds.services.refusal import Refusal

LONG: dict[str, Any] = {
    **{"name": "Long", "shape": "rectangular", "top_a_cm": 100, "top_b_cm": 40},
    **{"bottom_a_cm": 80, "bottom_b_cm": 30, "depth_cm": 45, "gap_cm": 0},
    **{"empty_kg": 30, "reservoir_l": 25},
}
PLANTS = [
    {"role": "centre", "name": "fountain grass", "count": 1},
    {"role": "filler", "name": "petunia", "spacing_cm": 20},
    {"role": "trailer", "name": "Petunia", "spacing_cm": 40},
]


def materials(desk: Desk, **changes: Any) -> None:
    now = register_of_materials.public()
    body = {key: value for key, value in now.items() if key != "version"} | changes
    register_of_materials.put(desk.ctx, body, now["version"])


@pytest.fixture
def planned(desk: Desk) -> Desk:
    """Four planters: two of the handbook's prismoid, two of which the sheet says nothing."""
    plan_register.put_size(desk.ctx, None, LONG, None)
    own = {"size": "Long", "shape": "rectangular", "reservoir_l": 25}
    first, second = desk.add_planter("Long 1", **own), desk.add_planter("Long 2", **own)
    scheme = {"name": "Blue", "plants": PLANTS, "planters": [first, second]}
    plan_register.put_scheme(desk.ctx, None, scheme, None)
    return desk


def of(plan: dict[str, Any], name: str) -> dict[str, Any]:
    return next(one for stop in plan["stops"] for one in stop["planters"] if one["name"] == name)


def test_one_planter_by_hand(planned: Desk) -> None:
    """142.5 L settled; with 15 % 163.875 L; 2 ft3 = 56.63 L a bag: 2.89 bags.

    0.33 x 6 / 0.16 = 12.375 lb/yd3 = 7.342 g/L, halved 3.671, times 142.5 = 523.1 g. Top
    4000 cm2 / 400 = 10 plants; rim 280 / 40 = 7. Moist 30 + 0.7 x 142.5 = 129.75 kg, full 154.75,
    with mix of 1 kg/L at most 30 + 142.5 + 25 = 197.5.
    """
    feed = {**register_of_materials.public()["feed"], "percent_n": 16, "months": 6}
    materials(planned, feed=feed)
    found = of(planting_plan.plan(planned.ctx, "all"), "Long 1")
    assert (found["mix_l"], found["mix_how"], found["bags"]) == (142.5, "size", 2.89)
    assert found["loose_l"] == pytest.approx(163.875, abs=0.006)
    assert [plant["count"] for plant in found["plants"]] == [1, 10, 7]
    assert found["feed_g"] == pytest.approx(523.1, abs=0.1)
    assert (found["moist_kg"], found["full_kg"]) == pytest.approx((129.75, 154.75), abs=0.06)
    assert found["most_kg"] == 197.5
    assert (found["first_fill_l"], found["weight_how"]) == (25, "reckoned")


def test_the_order_by_hand(planned: Desk) -> None:
    """327.75 L in bags of 2 ft3: 5.79, so 6; rounded each: 3 and 3. Two in the shed: 4 at 9.50.

    Petunias 2 x (10 + 7) = 34, a tenth more 37.4, so 38; 8 there, 30 at 0.90. 38 + 27 = 65.00.
    """
    bag = {"amount": 2, "unit": "ft3", "moist_kg": 20, "price": 9.5}
    stock = [{"name": "PETUNIA", "in_shed": 8, "keep": 0, "price": 0.9}]
    parts = [{"name": "Wick", "in_shed": 1, "keep": 4, "price": None}]
    materials(planned, bag=bag, bags_in_shed=2, plants=stock, parts=parts, currency="EUR")
    plan = planting_plan.plan(planned.ctx, "all")
    assert plan["bags"] == {**{"need": 6, "in_shed": 2, "buy": 4}, "if_each_rounded": 6, "cost": 38}
    assert [(one["name"], one["need"], one["buy"]) for one in plan["plants"]] == [
        ("fountain grass", 2, 3),
        ("petunia", 34, 30),
    ]
    assert (plan["parts"][0]["buy"], plan["cost"]) == (3, 65.0)
    assert plan["unpriced"] == ["fountain grass", "Wick"]
    assert plan["totals"]["first_fill_l"] == 82  # two of 25 L and two of 16 L


def test_without_prices_no_cost_is_made_up(planned: Desk) -> None:
    plan = planting_plan.plan(planned.ctx, "all")
    assert plan["cost"] is None
    assert plan["unpriced"] == ["bags of mix", "fountain grass", "petunia"]
    assert (plan["feed"], plan["feed_g_l"], plan["trips"]) == (None, None, None)
    said = " ".join(plan["notes"])
    assert "No feed is reckoned" in said
    assert "No loads are reckoned: type the vehicle's payload" in said


def test_what_is_not_known_is_named_and_not_guessed(planned: Desk) -> None:
    plan = planting_plan.plan(planned.ctx, "all")
    assert plan["totals"]["mix_l"] == 285
    found = of(plan, "Ferry landing 1")
    assert (found["mix_l"], found["bags"], found["mix_how"]) == (None, None, "unknown")
    assert found["moist_kg"] is None
    said = " ".join(plan["notes"])
    assert "No measures for Ferry landing 1, Ferry landing 2" in said
    assert "No scheme for Ferry landing 1, Ferry landing 2" in said


def test_a_planters_own_litres_go_before_its_size_and_are_questioned(planned: Desk) -> None:
    """Litres of mix typed in gallons, or by a slip: 14 instead of 142."""
    own = {"size": "Long", "shape": "rectangular", "reservoir_l": 25, "mix_l": 14.0}
    planned.add_planter("Long 3", **own)
    planned.add_planter("Long 4", **{**own, "mix_l": 130.0, "weight_moist_kg": 150.0})
    plan = planting_plan.plan(planned.ctx, "all")
    assert (of(plan, "Long 3")["mix_l"], of(plan, "Long 3")["mix_how"]) == (14, "own")
    asked = [note for note in plan["notes"] if "on its sheet" in note]
    assert asked == [
        "Long 3: 14 L of mix on its sheet, 142 L by the measures of its size. Which is right?"
        " The plan takes the sheet."
    ]
    weighed = of(plan, "Long 4")
    assert weighed["most_kg"] is None
    assert (weighed["moist_kg"], weighed["full_kg"], weighed["weight_how"]) == (150, 175, "sheet")


def test_a_size_without_a_shape_is_taken_only_if_it_is_the_only_one(planned: Desk) -> None:
    planned.add_planter("Long 5", size="long", reservoir_l=25)
    assert of(planting_plan.plan(planned.ctx, "all"), "Long 5")["mix_l"] == 142.5
    square = {"shape": "square", "top_b_cm": None, "bottom_b_cm": None, "bottom_a_cm": 60}
    plan_register.put_size(planned.ctx, None, LONG | square | {"top_a_cm": 60}, None)
    assert of(planting_plan.plan(planned.ctx, "all"), "Long 5")["mix_l"] is None


def test_a_plan_for_a_site_and_for_a_planter(planned: Desk) -> None:
    yard = register.add_site(planned.ctx, {"name": "Yard"})["id"]
    away = {"site": yard, "size": "Long", "shape": "rectangular", "reservoir_l": 25}
    alone = planned.add_planter("Yard 1", **away)
    planned.add_planter("Yard 2", **away, status="lost")
    planned.add_planter("Yard 3", **away, status="stored")
    plan = planting_plan.plan(planned.ctx, yard)
    assert (plan["title"], plan["totals"]["planters"]) == ("Yard", 2)
    assert "In store, to be put out first: Yard 3." in plan["notes"]
    assert planting_plan.plan(planned.ctx, alone)["totals"]["mix_l"] == 142.5
    assert plan["notes"][-1].startswith("What is in the shed is deducted here in full.")
    whole = planting_plan.plan(planned.ctx, "all")
    assert not any("counted twice" in note for note in whole["notes"])
    assert [stop["site"]["name"] for stop in whole["stops"]] == ["Ferry landing", "Yard"]
    with pytest.raises(Refusal) as caught:
        planting_plan.plan(planned.ctx, "s-nowhere0")
    assert caught.value.status == 404


def test_the_label_goes_before_the_guideline() -> None:
    """2 lb/yd3 on a label is 1.187 g/L; all of it where the label speaks of sub-irrigation."""
    feed = Feed(percent_n=16, months=6, label_g_l=4.0, share=1.0)
    assert planting_plan.feed_rate(feed) == 4.0
    assert planting_plan.feed_rate(replace(feed, share=0.5)) == 2.0
    assert planting_plan.feed_rate(Feed(percent_n=16)) is None


NEEDS = Needs(600, (345.0, 345.0), 50.0, {"petunia": 25}, 2200.0)
TOLD = Materials(
    bag=Bag(60, "L", 22.5, 9.8),
    vehicle=Vehicle("Cart", 150, 500, True),
    trays=Trays(10, 5, 30),
    parts=(Stocked("Wick", 9, 4),),
)


def test_loads_by_hand() -> None:
    """690 L are 12 bags: six a trip (135 kg). 15 kg are left beside them: three trays fit in 15 kg.

    Three cans (60 kg) and 2.2 kg of feed make the third load.
    """
    made, note = planting_order.trips(NEEDS, TOLD)
    assert note == ""
    assert made is not None
    assert sum(trip["bags"] for trip in made) == 12
    assert sum(trip["trays"] for trip in made) == 3
    assert sum(trip["cans"] for trip in made) == 3
    assert sum(trip["mass_kg"] for trip in made) == pytest.approx(12 * 22.5 + 15 + 60 + 2.2)
    assert [trip["bags"] for trip in made] == [6, 6, 0]
    assert all(trip["mass_kg"] <= 150 for trip in made)


def test_a_bag_bigger_than_the_vehicle_is_said() -> None:
    small = replace(TOLD, vehicle=Vehicle("Barrow", 20, 500, False))
    made, note = planting_order.trips(NEEDS, small)
    assert made is None
    assert "one of the bags is 22.5 kg and 60 L, the vehicle takes 20 kg and 500 L" in note


def test_a_bag_bigger_than_all_planters_is_one_bag() -> None:
    big = replace(TOLD, bag=Bag(3, "ft3"))
    few = replace(NEEDS, each_loose_l=(20.0, 15.0))
    bags = planting_order.order(few, big)["bags"]
    assert (bags["need"], bags["if_each_rounded"]) == (1, 2)


def test_more_in_the_shed_than_needed_buys_nothing() -> None:
    full = replace(TOLD, bags_in_shed=40, feed=Feed(percent_n=16, months=6, in_shed_kg=9))
    order = planting_order.order(NEEDS, full)
    assert (order["bags"]["buy"], order["bags"]["cost"]) == (0, 0)
    assert (order["feed"]["buy_kg"], order["parts"][0]["buy"]) == (0, 0)


def test_the_lift_of_a_bag() -> None:
    """47 lb, 21.3 kg: RWL 18.8 lb = 8.5 kg, LI 2.5 (handbook). A guess where none was typed."""
    heavy = planting_order.order(NEEDS, replace(TOLD, bag=Bag(2, "ft3", 21.3)))["bag"]
    assert (heavy["limit_kg"], heavy["lifting_index"], heavy["risk"]) == (8.5, 2.5, "caution")
    guessed = planting_order.order(NEEDS, replace(TOLD, bag=Bag(2, "ft3")))["bag"]
    assert (guessed["mass_kg"], guessed["mass_how"]) == (21.2, "guessed")
    quarts = planting_order.order(NEEDS, replace(TOLD, bag=Bag(50, "dry-quart")))["bag"]
    assert quarts["litres_l"] == 55.06
