"""Where the planters of the demo stand, and what was measured around some of them in April.

The positions lie in open water, far from any town: nothing here is a real place. Four sites some
hundred metres apart, six planters each along a path.
"""

from __future__ import annotations

from typing import Any

import town

from weather import LATITUDE

#: Site: its first planter, degrees north of LATITUDE and the degrees east; then the step to the
#: next planter.
_LINES = {
    "Ferry landing": ((0.0006, -38.0042), (0.00012, 0.00021)),
    "Station forecourt": ((0.0052, -38.0016), (-0.00009, 0.00024)),
    "Market street": ((0.0031, -38.0068), (0.00003, 0.00031)),
    "Library yard": ((0.0024, -37.9989), (0.00016, 0.00008)),
}
# across the path, along it, height of the rim, by size and shape. [cm]
_SIZES = {
    ("Small", "round"): (45.0, 45.0, 50.0),
    ("Small", "square"): (45.0, 45.0, 50.0),
    ("Medium", "round"): (60.0, 60.0, 55.0),
    ("Medium", "square"): (60.0, 60.0, 55.0),
    ("Large", "round"): (80.0, 80.0, 60.0),
    ("Large", "rectangular"): (50.0, 120.0, 60.0),
}
_PLACES: dict[str, dict[str, Any]] = {
    "Ferry landing 2": {"path_cm": 420, "from_kerb_cm": 45, "canopy_cm": 90, "plants_cm": 45},
    "Ferry landing 6": {"path_cm": 300, "from_kerb_cm": 0, "canopy_cm": 55, "slope_percent": 3.5},
    "Station forecourt 1": {
        **{"path_cm": 360, "from_kerb_cm": 30, "canopy_cm": 85, "plants_cm": 55},
        "things": [{"what": "bus-stop", "distance_cm": 240}],
    },
    "Station forecourt 4": {
        **{"path_cm": 260, "from_kerb_cm": 20, "canopy_cm": 60, "plants_cm": 25},
        "things": [
            {"what": "post", "distance_cm": 80, "from_kerb_cm": 210, "width_cm": 12},
            {"what": "tap", "distance_cm": 150},
        ],
    },
    "Market street 2": {
        **{"path_cm": 205, "from_kerb_cm": 35, "canopy_cm": 105, "plants_cm": 70},
        **{"trailing_cm": 30},
        "things": [
            {"what": "corner", "distance_cm": 410},
            {"what": "post", "distance_cm": 60, "from_kerb_cm": 0, "width_cm": 10},
        ],
    },
    "Market street 4": {
        **{"path_cm": 230, "from_kerb_cm": 20, "canopy_cm": 60, "plants_cm": 30},
        "things": [{"what": "door", "distance_cm": 130, "swing_cm": 95}],
    },
    "Library yard 4": {"path_cm": 280, "from_kerb_cm": 230, "canopy_cm": 80, "plants_cm": 60},
}
AT, BY = "2026-04-22T15:30:00Z", "u-p11ar000"
_UNSAID = ("needed_cm", "sight_leg_cm", "sight_height_cm")


def positions() -> dict[str, tuple[float, float]]:
    """Latitude and longitude of every planter by its id."""
    found = {}
    for planter in town.PLANTERS.values():
        (north, east), (lat_step, lon_step) = _LINES[planter.site]
        number = int(planter.name.rpartition(" ")[2]) - 1
        lat = LATITUDE + north + number * lat_step
        found[planter.id] = (round(lat, 6), round(east + number * lon_step, 6))
    return found


def checks() -> list[dict[str, Any]]:
    """The siting checks, with every fact named."""
    found = []
    for name, told in _PLACES.items():
        planter = town.PLANTERS[name]
        width, length, rim = _SIZES[planter.size, planter.shape]
        facts = {"width_cm": width, "length_cm": length, "rim_cm": rim}
        facts |= {"plants_cm": 0.0, "trailing_cm": 0.0, "slope_percent": 0.0}
        facts |= {key: float(value) for key, value in told.items() if key != "things"}
        things = [
            {"from_kerb_cm": None, "width_cm": 0.0, "swing_cm": None, **thing}
            for thing in told.get("things", ())
        ]
        whole = {**facts, **dict.fromkeys(_UNSAID), "things": things}
        found.append({"planter": planter.id, "at": AT, "by": BY, "facts": whole})
    return found


def siting_json() -> dict[str, Any]:
    """The content of siting.json."""
    return {"positions": positions(), "checks": checks()}
