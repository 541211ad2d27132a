"""The shapes of planting day and of assets."""

from __future__ import annotations

from potrounds.api.fields import Choice, Day, Number, Text, Truth, Whole
from potrounds.api.fields_nested import ListOf, Several, Within
from potrounds.api.schemas import Answer, Ask
from potrounds.api.schemas_cards import SHAPES
from potrounds.api.schemas_people import NAME
from potrounds.domain.planting import CONDITIONS, ROLES
from potrounds.science.units import BAG_UNITS

MOST_PLANTS = 20
MOST_PLANTERS = 2000
MOST_STOCKED = 200
UNITS = tuple(BAG_UNITS)
LENGTH_CM = (1, 1000)
PRICE = (0, 1_000_000)


class SizeBody(Ask):
    name = Text(40, shortest=1, says="As the size of a planter is called")
    shape = Choice(SHAPES)
    top_a_cm = Number(*LENGTH_CM, says="Inside: diameter, side or length at the rim")
    top_b_cm = Number(*LENGTH_CM, null=True, optional=True, says="Width, rectangular only")
    bottom_a_cm = Number(*LENGTH_CM, says="Where the mix stands")
    bottom_b_cm = Number(*LENGTH_CM, null=True, optional=True)
    depth_cm = Number(1, 1000, says="From where the mix stands to the rim")
    gap_cm = Number(0, 100, null=True, optional=True, says="Rim above the mix; null: 3")
    empty_kg = Number(0, 5000, null=True, optional=True)
    reservoir_l = Number(0.1, 2000)
    measured_again = Truth(optional=True, says="Right although it looks unlikely")


class PlanterSize(Answer):
    id = Text()
    name = Text()
    shape = Choice(SHAPES)
    top_a_cm = Number()
    top_b_cm = Number(null=True)
    bottom_a_cm = Number()
    bottom_b_cm = Number(null=True)
    depth_cm = Number()
    gap_cm = Number()
    empty_kg = Number(null=True)
    reservoir_l = Number()
    measured_again = Truth()
    mix_l = Number(says="Settled mix by these measures")
    remarks = Several(Text())
    version = Whole(says="Sent back as If-Match with a change")


class SchemePlantBody(Ask):
    role = Choice(ROLES)
    name = Text(NAME, shortest=1, says="Species or common name")
    count = Whole(1, 1000, null=True, optional=True, says="Plants a planter, or a spacing")
    spacing_cm = Number(2, 300, null=True, optional=True, says="Trailers: along the rim")


class SchemePlant(Answer):
    role = Choice(ROLES)
    name = Text()
    count = Whole(null=True)
    spacing_cm = Number(null=True)


class SchemeBody(Ask):
    name = Text(NAME, shortest=1)
    plants = ListOf(SchemePlantBody, MOST_PLANTS, least=1)
    planters = Several(Text(40, shortest=1), MOST_PLANTERS, says="Ids of who gets it")


class PlantingScheme(Answer):
    id = Text()
    name = Text()
    plants = ListOf(SchemePlant)
    planters = Several(Text())
    version = Whole()


class BagBody(Ask):
    amount = Number(0.1, 5000, says="As printed on the bag")
    unit = Choice(UNITS)
    moist_kg = Number(0.1, 5000, null=True)
    price = Number(*PRICE, null=True)


class SlowFeedBody(Ask):
    name = Text(NAME)
    percent_n = Number(0.1, 100, null=True, says="Nitrogen, by weight")
    months = Number(0.5, 24, null=True, says="How long it lasts by its label")
    label_g_l = Number(0.01, 50, null=True, says="The label's own rate a litre of mix")
    share = Number(0.05, 1, says="Of that rate, for plants that drink from below")
    in_shed_kg = Number(0, 100_000)
    price_kg = Number(*PRICE, null=True)


class VehicleBody(Ask):
    name = Text(NAME)
    payload_kg = Number(0.1, 100_000, null=True)
    room_l = Number(0.1, 1_000_000, null=True)
    brings_water = Truth(says="In cans; else there is a tap at every stop")


class TraysBody(Ask):
    plants = Whole(1, 1000)
    kg = Number(0, 1000)
    room_l = Number(0, 10_000)


class StockedBody(Ask):
    name = Text(NAME, shortest=1)
    in_shed = Whole(0, 1_000_000)
    keep = Whole(0, 1_000_000, says="Spare parts: how many shall be in the shed")
    price = Number(*PRICE, null=True)


class MaterialsBody(Ask):
    bag = Within(BagBody)
    bags_in_shed = Whole(0, 1_000_000)
    settling = Number(0, 1, says="Extra loose mix, a share")
    reserve = Number(0, 1, says="Extra plants, a share")
    mix_kg_l = Number(0.1, 2, says="What a litre of moist mix weighs")
    feed = Within(SlowFeedBody)
    vehicle = Within(VehicleBody)
    trays = Within(TraysBody)
    plants = ListOf(StockedBody, MOST_STOCKED)
    parts = ListOf(StockedBody, MOST_STOCKED)
    currency = Text(10)


class MixBag(Answer):
    amount = Number()
    unit = Choice(UNITS)
    moist_kg = Number(null=True)
    price = Number(null=True)


class SlowFeed(Answer):
    name = Text()
    percent_n = Number(null=True)
    months = Number(null=True)
    label_g_l = Number(null=True)
    share = Number()
    in_shed_kg = Number()
    price_kg = Number(null=True)


class Vehicle(Answer):
    name = Text()
    payload_kg = Number(null=True)
    room_l = Number(null=True)
    brings_water = Truth()


class Trays(Answer):
    plants = Whole()
    kg = Number()
    room_l = Number()


class Stocked(Answer):
    name = Text()
    in_shed = Whole()
    keep = Whole()
    price = Number(null=True)


class Materials(Answer):
    bag = Within(MixBag)
    bags_in_shed = Whole()
    settling = Number()
    reserve = Number()
    mix_kg_l = Number()
    feed = Within(SlowFeed)
    vehicle = Within(Vehicle)
    trays = Within(Trays)
    plants = ListOf(Stocked)
    parts = ListOf(Stocked)
    currency = Text()
    version = Whole(says="0 until somebody typed any")


class AssetBody(Ask):
    warranty = Text(2000, optional=True, says="The terms, as typed")
    warranty_until = Day(null=True, optional=True)
    condition = Choice(CONDITIONS, null=True, optional=True)
    condition_note = Text(2000, optional=True)
    condition_on = Day(null=True, optional=True)
    inspect_on = Day(null=True, optional=True, says="The next look at it")


class Asset(Answer):
    planter = Text()
    warranty = Text()
    warranty_until = Day(null=True)
    condition = Choice(CONDITIONS, null=True)
    condition_note = Text()
    condition_on = Day(null=True)
    inspect_on = Day(null=True)
    version = Whole(says="0 while nothing is kept")


class AssetDue(Answer):
    planter = Text()
    what = Choice(("warranty", "inspection"))
    on = Day()
    days = Whole(-1_000_000, says="Below 0: so many days ago")


class SwapBody(Ask):
    other = Text(40, shortest=1, says="Id of the planter to change places with")


class PlanRegister(Answer):
    sizes = ListOf(PlanterSize)
    schemes = ListOf(PlantingScheme)
    materials = Within(Materials)
    assets = ListOf(Asset)
    due = ListOf(AssetDue, says="Soonest first")
