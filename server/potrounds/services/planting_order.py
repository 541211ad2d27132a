"""What planting day needs as things to buy, to lift, to carry and to pay."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from potrounds.domain.planting import Materials, Stocked
from potrounds.science import lifting
from potrounds.science import planting as science
from potrounds.science.loads import Goods, TooBig
from potrounds.science.loads import trips as share_out
from potrounds.science.units import KG_PER_LB, litres
from potrounds.science.volumes import bags_to_order, whole_up
from potrounds.store.rows import name_key

#: A bag as it is lifted on planting day: off the ground with the hands under it, away from the
#: body because it is bulky, to a rim of 36 in, nothing to grip. Judgement.
BAG_LIFT: dict[str, Any] = {"hands_out_in": 18.0, "hands_up_in": 8.0, "move_in": 28.0,
                            "coupling": "poor"}  # fmt: skip
#: Water is carried in cans of so much. [L] Judgement.
CAN_L = 20.0
BAG, TRAY, CAN, FEED = "bags", "trays", "cans", "feed"


@dataclass(frozen=True)
class Needs:
    """What all planters of a plan need together."""

    mix_l: float
    each_loose_l: tuple[float, ...]
    water_l: float
    plants: dict[str, int]
    feed_g: float | None

    @property
    def loose_l(self) -> float:
        """Loose mix for all of them. [L]"""
        return sum(self.each_loose_l)


def bag_mass(told: Materials) -> tuple[float, str]:
    """What a bag weighs, and whether that was typed or guessed from its volume. [kg]"""
    if told.bag.moist_kg is not None:
        return told.bag.moist_kg, "typed"
    return litres(told.bag.amount, told.bag.unit) * science.BAGGED_MIX_KG_L, "guessed"


def order(needs: Needs, told: Materials) -> dict[str, Any]:
    """What to buy, less what the shed holds; what it costs as far as prices are typed."""
    lines: list[tuple[str, float, float | None]] = []
    bag_l = litres(told.bag.amount, told.bag.unit)
    needed = bags_to_order(needs.each_loose_l, bag_l)
    buy = max(0, needed - told.bags_in_shed)
    lines.append(("bags of mix", buy, told.bag.price))
    plants = _plants(needs, told)
    lines += [(one["name"], one["buy"], one["price"]) for one in plants]
    feed = _feed(needs, told)
    if feed:
        lines.append((feed["name"] or "feed", feed["buy_kg"], told.feed.price_kg))
    parts = [_part(part) for part in told.parts]
    lines += [(one["name"], one["buy"], one["price"]) for one in parts]
    cost, unpriced = _cost(lines)
    return {
        "bag": _bag(told, bag_l),
        "bags": {
            "need": needed,
            "in_shed": told.bags_in_shed,
            "buy": buy,
            "if_each_rounded": sum(whole_up(one / bag_l) for one in needs.each_loose_l),
            "cost": _line_cost(buy, told.bag.price),
        },
        "plants": plants,
        "feed": feed,
        "parts": parts,
        "cost": cost,
        "unpriced": unpriced,
        "currency": told.currency,
    }


def _bag(told: Materials, bag_l: float) -> dict[str, Any]:
    """A bag, and what the lifting equation says of it."""
    mass, how = bag_mass(told)
    limit_lb = lifting.multipliers(**BAG_LIFT).limit_lb
    index = lifting.lifting_index(mass / KG_PER_LB, limit_lb)
    return {
        "amount": told.bag.amount,
        "unit": told.bag.unit,
        "litres_l": round(bag_l, 2),
        "mass_kg": round(mass, 1),
        "mass_how": how,
        "limit_kg": round(limit_lb * KG_PER_LB, 1),
        "lifting_index": round(index, 1),
        "risk": lifting.how_risky(index),
    }


def _plants(needs: Needs, told: Materials) -> list[dict[str, Any]]:
    """Each kind of plant once, with the reserve, less what is there already."""
    stock = {name_key(one.name): one for one in told.plants}
    together: dict[str, tuple[str, int]] = {}
    for name, count in needs.plants.items():
        key = name_key(name)
        shown, before = together.get(key, (name, 0))
        together[key] = (shown, before + count)
    lines = []
    for key, (name, count) in sorted(together.items()):
        there = stock.get(key, Stocked(name))
        wanted = whole_up(count * (1 + told.reserve))
        buy = max(0, wanted - there.in_shed)
        lines.append(
            {
                "name": name,
                "need": count,
                "with_reserve": wanted,
                "in_shed": there.in_shed,
                "buy": buy,
                "price": there.price,
                "cost": _line_cost(buy, there.price),
            }
        )
    return lines


def _feed(needs: Needs, told: Materials) -> dict[str, Any] | None:
    if needs.feed_g is None:
        return None
    need_kg = needs.feed_g / 1000
    buy = whole_up(max(0.0, need_kg - told.feed.in_shed_kg) * 10) / 10
    return {
        "name": told.feed.name,
        "need_kg": round(need_kg, 3),
        "in_shed_kg": told.feed.in_shed_kg,
        "buy_kg": buy,
        "by_label": told.feed.label_g_l is not None,
        "share": told.feed.share,
        "cost": _line_cost(buy, told.feed.price_kg),
    }


def _part(part: Stocked) -> dict[str, Any]:
    buy = max(0, part.keep - part.in_shed)
    return {
        "name": part.name,
        "keep": part.keep,
        "in_shed": part.in_shed,
        "buy": buy,
        "price": part.price,
        "cost": _line_cost(buy, part.price),
    }


def _line_cost(count: float, price: float | None) -> float | None:
    return None if price is None else round(count * price, 2)


def _cost(lines: list[tuple[str, float, float | None]]) -> tuple[float | None, list[str]]:
    """The sum of what has a price, and the names of what is bought without one."""
    bought = [line for line in lines if line[1] > 0]
    priced = [count * price for _, count, price in bought if price is not None]
    unpriced = [name for name, _, price in bought if price is None]
    return (round(sum(priced), 2) if priced or not bought else None), unpriced


def trips(needs: Needs, told: Materials) -> tuple[list[dict[str, Any]] | None, str]:
    """The loads of the vehicle, or none and the sentence that says why."""
    payload, room = told.vehicle.payload_kg, told.vehicle.room_l
    if payload is None or room is None:
        return None, "No loads are reckoned: type the vehicle's payload and room under Materials."
    bag_l = litres(told.bag.amount, told.bag.unit)
    bags = bags_to_order(needs.each_loose_l, bag_l)
    trays = whole_up(sum(needs.plants.values()) / told.trays.plants)
    goods = [
        Goods(BAG, bags, bag_mass(told)[0], bag_l),
        Goods(TRAY, trays, told.trays.kg, told.trays.room_l),
    ]
    if needs.feed_g:
        goods.append(Goods(FEED, 1, needs.feed_g / 1000, needs.feed_g / 1000))
    if told.vehicle.brings_water:
        cans = whole_up(needs.water_l / CAN_L)
        goods.append(Goods(CAN, cans, CAN_L * science.WATER_KG_L, CAN_L))
    try:
        made = share_out(goods, payload, room)
    except TooBig as big:
        one = next(piece for piece in goods if piece.name == big.name)
        return None, (
            f"No loads are reckoned: one of the {one.name} is {one.each_kg:.1f} kg and"
            f" {one.each_l:.0f} L, the vehicle takes {payload:g} kg and {room:g} L. Type its"
            " figures again, or take a larger one."
        )
    return [
        {
            **{name: trip.pieces.get(name, 0) for name in (BAG, TRAY, CAN)},
            "mass_kg": round(trip.mass_kg, 1),
            "room_l": round(trip.volume_l, 1),
        }
        for trip in made
    ], ""
