"""The planter as the register knows it, and what to say before it is lifted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from potrounds.domain.siting import ClearPath

SHAPES = ("round", "square", "rectangular")
GAUGES = ("none", "float", "dipstick", "sight-tube")
SUNS = ("full", "part", "shade")
WINDS = ("sheltered", "open", "windy")
STATUSES = ("in-use", "stored", "retired", "lost")

# Load constant of the revised NIOSH lifting equation: the most that one person lifts under ideal
# conditions. [kg] NIOSH 94-110.
ONE_PERSON_KG = 23.0


@dataclass(frozen=True)
class Planting:
    """What grows in a planter this season."""

    planted_on: date
    plants: tuple[str, ...] = ()
    scheme: str = ""
    counts: tuple[int | None, ...] = ()
    by: str | None = None  # who recorded it at the planter; None where the register says so
    record: str | None = None


@dataclass(frozen=True)
class Planned:
    """What the register says will grow here next: by a day still to come, or by a scheme."""

    plants: tuple[str, ...]
    scheme: str = ""
    counts: tuple[int | None, ...] = ()


@dataclass(frozen=True)
class Planter:
    """One self-watering planter, as the coordinator keeps it in the register."""

    id: str
    name: str
    site: str
    size: str = "Medium"
    shape: str | None = None
    reservoir_l: float = 16.0
    gauge: str = "none"
    status: str = "in-use"
    weight_moist_kg: float | None = None
    weight_full_kg: float | None = None
    installed: date | None = None
    planting: Planting | None = None
    planned: Planned | None = None
    tag_made: date | None = None
    mix_l: float | None = None
    top_area_m2: float | None = None
    canopy_m2: float | None = None
    sun: str = "full"
    wind: str = "open"
    rain_reaches: bool | None = None
    clear_path: ClearPath | None = None
    lat: float | None = None  # WGS84, degrees
    lon: float | None = None

    @property
    def has_gauge(self) -> bool:
        """Whether the level can be read without filling the planter."""
        return self.gauge != "none"


def lifting_caution(mass_kg: float | None) -> str | None:
    """What to say before anyone lifts so many kilograms, or None where one person may.

    Source: load constant 23 kg of the revised NIOSH lifting equation (NIOSH 94-110); above twice
    that, two people are no answer either. That a pot of unknown weight is treated as too heavy is
    common practice, no source.
    """
    if mass_kg is None:
        return "Weight not on record. Treat it as too heavy: a cart and two people, never one."
    if mass_kg <= ONE_PERSON_KG:
        return None
    if mass_kg <= 2 * ONE_PERSON_KG:
        return f"About {mass_kg:.0f} kg. Two people or a cart, never one."
    return f"About {mass_kg:.0f} kg. Not a lift by hand: a cart and two people, never one."
