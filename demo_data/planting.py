"""What the demo town's planting day rests on: sizes, schemes, materials, shed, some assets."""

from __future__ import annotations

from typing import Any

import town

# name, shape, top a and b, bottom a and b, depth, empty kg; a gap of 3 cm under the rim
_SIZES = (
    ("Small", "round", 50, None, 40, None, 43, 17),
    ("Small", "square", 44, None, 36, None, 43, 17),
    ("Medium", "round", 60, None, 48, None, 48, 32),
    ("Medium", "square", 53, None, 43, None, 48, 32),
    ("Large", "round", 72, None, 60, None, 52, 46),
    ("Large", "rectangular", 104, 44, 90, 36, 46, 46),
)
# Role, plant, count or spacing in cm; a planter gets the scheme of what grew in it
_SCHEMES: dict[str, tuple[tuple[str, str, int | None, int | None], ...]] = {
    "Full sun": (
        ("centre", "fountain grass", 1, None),
        ("filler", "zonal pelargonium", None, 25),
        ("trailer", "trailing verbena", None, 30),
    ),
    "Dry": (
        ("centre", "lavender", 1, None),
        ("filler", "garden thyme", None, 22),
        ("trailer", "bidens", None, 35),
    ),
    "Red": (
        ("centre", "scarlet sage", 1, None),
        ("filler", "french marigold", None, 20),
        ("trailer", "sweet potato vine", None, 40),
    ),
    "Blue": (
        ("centre", "mealycup sage", 1, None),
        ("filler", "petunia", None, 25),
        ("trailer", "edging lobelia", None, 20),
    ),
    "Shade": (
        ("centre", "fountain grass", 1, None),
        ("filler", "coleus", None, 25),
        ("trailer", "sweet potato vine", None, 40),
    ),
    "Pink": (
        ("centre", "zinnia", 1, None),
        ("filler", "petunia", None, 25),
        ("trailer", "ivy-leaved pelargonium", None, 35),
    ),
    "Low": (("filler", "petunia", 3, None), ("trailer", "edging lobelia", None, 20)),
    "Gold": (
        ("centre", "blue fescue", 1, None),
        ("filler", "french marigold", None, 20),
        ("trailer", "bidens", None, 35),
    ),
}
_PRICES = {
    "fountain grass": 4.2,
    "zonal pelargonium": 2.1,
    "trailing verbena": 1.9,
    "lavender": 3.4,
    "garden thyme": 2.2,
    "bidens": 1.8,
    "scarlet sage": 1.2,
    "french marigold": 0.7,
    "sweet potato vine": 2.6,
    "mealycup sage": 1.6,
    "petunia": 0.9,
    "edging lobelia": 0.8,
    "coleus": 1.7,
    "zinnia": 1.1,
    "ivy-leaved pelargonium": 2.3,
}
_IN_SHED = {"garden thyme": 6, "blue fescue": 2}
_ASSETS = {
    "Ferry landing 2": {
        "warranty": "Shell against cracks, three years from delivery; not for frost damage.",
        "warranty_until": "2026-11-30",
    },
    "Station forecourt 5": {
        "condition": "damaged",
        "condition_note": "Chipped at the rim on the road side.",
        "condition_on": "2026-09-14",
        "inspect_on": "2026-11-10",
    },
    "Market street 6": {
        "condition": "worn",
        "condition_note": "New wick in June; fill cap loose.",
        "condition_on": "2026-06-18",
        "inspect_on": "2027-04-01",
    },
}


def _stocked(name: str, in_shed: int, keep: int, price: float | None) -> dict[str, Any]:
    return {"name": name, "in_shed": in_shed, "keep": keep, "price": price}


MATERIALS = {
    "bag": {"amount": 60, "unit": "L", "moist_kg": 22.5, "price": 9.8},
    "bags_in_shed": 4,
    "settling": 0.15,
    "reserve": 0.1,
    "mix_kg_l": 0.7,
    "feed": {
        "name": "Coated feed 16-9-12",
        "percent_n": 16,
        "months": 6,
        "label_g_l": None,
        "share": 0.5,
        "in_shed_kg": 2.5,
        "price_kg": 7.5,
    },
    "vehicle": {
        "name": "Flatbed of the works yard",
        "payload_kg": 750,
        "room_l": 2200,
        "brings_water": False,
    },
    "trays": {"plants": 10, "kg": 5.5, "room_l": 30},
    # The price of blue fescue is not known yet: the plan says so.
    "plants": [
        _stocked(name, _IN_SHED.get(name, 0), 0, _PRICES.get(name))
        for name in sorted({*_PRICES, *_IN_SHED})
    ],
    "parts": [
        _stocked("Drain plug", 2, 6, 1.4),
        _stocked("Washer", 11, 12, 0.3),
        _stocked("Wick", 5, 8, 2.9),
    ],
    "currency": "EUR",
}


def planting_json() -> dict[str, Any]:
    """All of it, by the names and ids the register has."""
    return {
        "sizes": [
            {
                "id": f"z-{name.lower()[:3]}{shape[:3]}00",
                "name": name,
                "shape": shape,
                "top_a_cm": top,
                "top_b_cm": width,
                "bottom_a_cm": bottom,
                "bottom_b_cm": low_width,
                "depth_cm": depth,
                "gap_cm": 3,
                "empty_kg": empty,
                "reservoir_l": town.RESERVOIR_L[name],
                "measured_again": False,
            }
            for name, shape, top, width, bottom, low_width, depth, empty in _SIZES
        ],
        "schemes": [
            {
                "id": f"m-{name.lower().replace(' ', '')}",
                "name": name,
                "plants": [
                    {"role": role, "name": plant, "count": count, "spacing_cm": spacing}
                    for role, plant, count, spacing in plants
                ],
                "planters": [
                    one.id
                    for one in town.PLANTERS.values()
                    if set(one.plants) == {plant for _, plant, _, _ in plants}
                ],
            }
            for name, plants in _SCHEMES.items()
        ],
        "materials": MATERIALS,
        "assets": {town.PLANTERS[name].id: kept for name, kept in _ASSETS.items()},
    }
