"""What a planting is made of: sizes of planters, schemes, materials, and the state of an asset."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from potrounds.domain.planter import ONE_PERSON_KG

ROLES = ("centre", "filler", "trailer")
CONDITIONS = ("sound", "worn", "damaged", "unfit")
#: Planters that are planted: those that stand outside, and those in store that will.
PLANTED_STATUSES = ("in-use", "stored")


@dataclass(frozen=True)
class PlanterSize:
    """Inner measures of a size. Round: `a` is the diameter; square: `a` is the side.

    `depth_cm` runs from the floor the mix stands on up to the rim; the mix ends `gap_cm` below it.
    """

    id: str
    name: str
    shape: str
    top_a_cm: float
    top_b_cm: float | None
    bottom_a_cm: float
    bottom_b_cm: float | None
    depth_cm: float
    gap_cm: float
    empty_kg: float | None
    reservoir_l: float
    measured_again: bool
    version: int


@dataclass(frozen=True)
class SchemePlant:
    """One kind of plant of a scheme: by count, or by spacing over the top or along the rim."""

    role: str
    name: str
    count: int | None = None
    spacing_cm: float | None = None


@dataclass(frozen=True)
class Scheme:
    """Plants by role, under a name."""

    id: str
    name: str
    plants: tuple[SchemePlant, ...]
    version: int


@dataclass(frozen=True)
class Bag:
    """A bag of mix as it is sold."""

    amount: float = 2.0
    unit: str = "ft3"
    moist_kg: float | None = None
    price: float | None = None


@dataclass(frozen=True)
class Feed:
    """Controlled-release feed. `label_g_l` is the label's own rate, where there is one.

    `share` of a rate for watering from above is used where plants drink from below: Arkansas
    Greenhouse Management Online 9.6 cuts liquid feed by 30 to 50 %; halving it is judgement.
    """

    name: str = ""
    percent_n: float | None = None
    months: float | None = None
    label_g_l: float | None = None
    share: float = 0.5
    in_shed_kg: float = 0.0
    price_kg: float | None = None


@dataclass(frozen=True)
class Vehicle:
    """What brings the material."""

    name: str = ""
    payload_kg: float | None = None
    room_l: float | None = None
    brings_water: bool = False


@dataclass(frozen=True)
class Stocked:
    """A plant or a spare part: how many are in the shed, how many shall be, what one costs."""

    name: str
    in_shed: int = 0
    keep: int = 0
    price: float | None = None


@dataclass(frozen=True)
class Trays:
    """How plants come."""

    plants: int = 12
    kg: float = 4.0
    room_l: float = 30.0


@dataclass(frozen=True)
class Materials:
    """Everything bought for planting day, what is in the shed of it, and the town's allowances.

    `settling`: 10 to 20 % more loose mix; `reserve`: common practice, no source. `mix_kg_l`: dry
    bulk density plus container capacity of a peat-bark mix, 0.15 + 0.55, Arkansas Unit 7.2.
    """

    bag: Bag = field(default_factory=Bag)
    bags_in_shed: int = 0
    settling: float = 0.15
    reserve: float = 0.10
    mix_kg_l: float = 0.70
    feed: Feed = field(default_factory=Feed)
    vehicle: Vehicle = field(default_factory=Vehicle)
    trays: Trays = field(default_factory=Trays)
    plants: tuple[Stocked, ...] = ()
    parts: tuple[Stocked, ...] = (Stocked("Drain plug"), Stocked("Washer"), Stocked("Wick"))
    currency: str = ""


@dataclass(frozen=True)
class Asset:
    """A planter as a thing that was bought: warranty, condition, when to look at it again."""

    planter: str
    warranty: str = ""
    warranty_until: date | None = None
    condition: str | None = None
    condition_note: str = ""
    condition_on: date | None = None
    inspect_on: date | None = None
    version: int = 0


@dataclass(frozen=True)
class Due:
    """Something of an asset that falls due, or is overdue when `days` is below 0."""

    planter: str
    what: str
    on: date
    days: int


def hands_for(mass_kg: float | None) -> str | None:
    """Who may lift an empty planter: "one", "two", or a "cart".

    Source: load constant 23 kg of the revised NIOSH lifting equation, as in lifting_caution.
    """
    if mass_kg is None:
        return None
    if mass_kg <= ONE_PERSON_KG:
        return "one"
    return "two" if mass_kg <= 2 * ONE_PERSON_KG else "cart"


#: Things are shown so long before they fall due. [days] Common practice, no source.
DUE_DAYS = 60
#: A warranty that ended longer ago is no news. [days] Common practice, no source.
ENDED_DAYS = 30


def falls_due(asset: Asset, today: date) -> list[Due]:
    """What of an asset is due soon: the end of its warranty, its next inspection."""
    found = []
    if asset.warranty_until and -ENDED_DAYS <= (asset.warranty_until - today).days <= DUE_DAYS:
        days = (asset.warranty_until - today).days
        found.append(Due(asset.planter, "warranty", asset.warranty_until, days))
    if asset.inspect_on and (asset.inspect_on - today).days <= DUE_DAYS:
        days = (asset.inspect_on - today).days
        found.append(Due(asset.planter, "inspection", asset.inspect_on, days))
    return found
