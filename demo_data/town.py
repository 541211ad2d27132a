"""Osier Bend, the invented town of the demo: its sites, its people and its 24 planters."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from random import Random

from potrounds.domain import tag_code

SEED = 2026
NAME = "Osier Bend"
# A zone with summer time whose name is no place; the clocks go back the very night it freezes.
ZONE = "CET"
CLOCK = "2026-10-20T18:00:00Z"
LOADED_FROM = "2026-04-01T07:00:00Z"
SETTINGS = {
    "visit_days": 9,
    "winter_from": "11-01",
    "spring_from": "04-01",
    "tap_flow_l_min": 9.0,
    "crew_days": [2, 5],
    "tag_address": "https://planters.osier-bend.example",
    "feed_days": 14,
    "feed_what": "Water-soluble 20-10-20",
    "feed_percent_n": 20.0,
    "feed_ppm_n": 100.0,
    "feed_can_l": 10.0,
}

SITES = {  # name: (id, site's own date of the first freeze)
    "Ferry landing": ("s-ferry000", "2026-11-05"),
    "Station forecourt": ("s-stat0n00", "2026-10-29"),
    "Market street": ("s-market00", "2026-11-02"),
    "Library yard": ("s-yard0000", "2026-10-27"),
}
PEOPLE = {  # name: (id, role)
    "Pilar": ("u-p11ar000", "coordinator"),
    "Ines": ("u-1nes0000", "volunteer"),
    "Kofi": ("u-k0f10000", "volunteer"),
    "Joss": ("u-j0ss0000", "volunteer"),
    "Maud": ("u-mavd0000", "volunteer"),
    "Ruth": ("u-rvth0000", "volunteer"),
    "Tomas": ("u-t0mas000", "volunteer"),
    "Lotte": ("u-10tte000", "volunteer"),
}
RESERVOIR_L = {"Small": 10.0, "Medium": 16.0, "Large": 25.0}
MIX_L = {"Small": 62.0, "Medium": 104.0, "Large": 165.0}
WEIGHTS_KG = {"Small": (82, 92), "Medium": (140, 156), "Large": (215, 240)}
TOP_M2 = {"Small": 0.16, "Medium": 0.25, "Large": 0.4}
CANOPY_M2 = {"Small": 0.22, "Medium": 0.38, "Large": 0.6}
EXPOSURE = {
    "Ferry landing": 1.2,  # windy
    "Station forecourt": 1.3,  # paved and windy
    "Market street": 1.1,
    "Library yard": 0.85,  # part shade
}
SUN = {"Library yard": "part"}
WIND = {"Ferry landing": "windy", "Station forecourt": "windy", "Library yard": "sheltered"}
# Under an awning or the library's eaves: no rain on the mix.
COVERED = ("Market street 4", "Library yard 3", "Library yard 5")
TEAMS = {
    "Ferry landing": ("Ines", "Maud", "Tomas"),
    "Station forecourt": ("Joss", "Tomas", "Ruth"),
    "Market street": ("Kofi", "Lotte", "Maud"),
    "Library yard": ("Ruth", "Kofi", "Ines"),
}

_SUNNY = ("zonal pelargonium", "trailing verbena", "fountain grass")
_DRY = ("lavender", "garden thyme", "bidens")
_RED = ("scarlet sage", "french marigold", "sweet potato vine")
_BLUE = ("mealycup sage", "petunia", "edging lobelia")
_SHADE = ("coleus", "sweet potato vine", "fountain grass")
_PINK = ("zinnia", "petunia", "ivy-leaved pelargonium")
_LOW = ("petunia", "edging lobelia")
_GOLD = ("french marigold", "bidens", "blue fescue")

# site: (size, shape, gauge, plants) of its planters 1 to 6
_POTS: dict[str, list[tuple[str, str, str, tuple[str, ...]]]] = {
    "Ferry landing": [
        ("Medium", "round", "float", _SUNNY),
        ("Large", "rectangular", "dipstick", _DRY),
        ("Medium", "round", "float", _PINK),
        ("Small", "square", "none", _LOW),
        ("Medium", "round", "float", _BLUE),
        ("Small", "round", "none", _GOLD),
    ],
    "Station forecourt": [
        ("Medium", "square", "sight-tube", _RED),
        ("Large", "rectangular", "dipstick", _SUNNY),
        ("Medium", "square", "sight-tube", _GOLD),
        ("Small", "square", "none", _LOW),
        ("Large", "rectangular", "dipstick", _PINK),
        ("Medium", "square", "sight-tube", _BLUE),
    ],
    "Market street": [
        ("Large", "round", "none", _SUNNY),
        ("Medium", "round", "dipstick", _RED),
        ("Large", "round", "float", _PINK),
        ("Small", "round", "float", _LOW),
        ("Medium", "round", "none", _BLUE),
        ("Medium", "round", "dipstick", _GOLD),
    ],
    "Library yard": [
        ("Small", "round", "dipstick", _SHADE),
        ("Medium", "square", "none", _BLUE),
        ("Medium", "round", "dipstick", _SUNNY),
        ("Large", "rectangular", "float", _SHADE),
        ("Medium", "square", "dipstick", _DRY),
        ("Small", "round", "float", _LOW),
    ],
}
_NOTES = {
    "Ferry landing 4": "Stands nearest to the ramp: keep the boats' line clear.",
    "Station forecourt 2": "Tap behind the bicycle stand, with vacuum breaker.",
    "Market street 1": "No gauge: fill until the overflow runs.",
    "Market street 6": "Put out late in June after a new wick.",
    "Library yard 3": "Tap at the yard gate, with vacuum breaker.",
}
AUTUMN = {  # planter: (planted on, plants)
    "Market street 4": (date(2026, 9, 29), ("heather", "cyclamen", "ivy")),
    "Library yard 5": (date(2026, 8, 27), ("mealycup sage", "garden thyme", "blue fescue")),
}
PLANTED = {"Market street 6": date(2026, 6, 18), "Library yard 3": date(2026, 5, 12)}


@dataclass(frozen=True)
class Planter:
    """One planter as the register knows it, and what only the simulation knows."""

    id: str
    name: str
    site: str
    size: str
    shape: str
    gauge: str
    plants: tuple[str, ...]
    planted_on: date
    installed_on: date
    notes: str
    thirst: float  # this planter's use beside that of its kind

    @property
    def reservoir_l(self) -> float:
        return RESERVOIR_L[self.size]

    @property
    def rain_reaches(self) -> bool:
        return self.name not in COVERED

    def plants_on(self, day: date) -> tuple[str, ...]:
        if self.name in AUTUMN and day >= AUTUMN[self.name][0]:
            return AUTUMN[self.name][1]
        return self.plants


_PREFIX = {
    "Ferry landing": "p-ferry00",
    "Station forecourt": "p-stat000",
    "Market street": "p-market0",
    "Library yard": "p-yard000",
}


def _planters() -> dict[str, Planter]:
    rng = Random(f"{SEED}:planters")
    found = {}
    for site, pots in _POTS.items():
        for i, (size, shape, gauge, plants) in enumerate(pots, start=1):
            name = f"{site} {i}"
            found[name] = Planter(
                id=f"{_PREFIX[site]}{i}",
                name=name,
                site=site,
                size=size,
                shape=shape,
                gauge=gauge,
                plants=plants,
                planted_on=PLANTED.get(name, date(2026, 5, rng.randint(9, 16))),
                installed_on=date(rng.choice((2023, 2024)), 4, rng.randint(10, 28)),
                notes=_NOTES.get(name, ""),
                thirst=round(rng.uniform(0.85, 1.2), 2),
            )
    return found


PLANTERS = _planters()


def tag_codes() -> dict[str, list[str]]:
    """Give every planter its tag code, newest first; one tag has been replaced."""
    rng = Random(f"{SEED}:tags")
    codes = {name: [tag_code.new_code(rng)] for name in PLANTERS}
    codes["Station forecourt 1"].insert(0, tag_code.new_code(rng))
    return codes
