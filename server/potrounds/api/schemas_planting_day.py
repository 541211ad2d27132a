"""The shapes of the plan of planting day."""

from __future__ import annotations

from potrounds.api.fields import Choice, Moment, Number, Text, Truth, Whole
from potrounds.api.fields_nested import ListOf, Several, Within
from potrounds.api.schemas import Answer, Ask, Named
from potrounds.api.schemas_cards import SHAPES, STATUSES
from potrounds.api.schemas_plan import UNITS
from potrounds.domain.planting import ROLES
from potrounds.science.lifting import CAUTION_INDEX

RISKS = ("fine", "caution", "high")


class PlanQuery(Ask):
    scope = Text(40, shortest=1, optional=True, says='"all", or the id of a site or planter')


class PlanPlant(Answer):
    role = Choice(ROLES)
    name = Text()
    count = Whole(says="0: no measures to count by")


class PlanPlanter(Answer):
    id = Text()
    name = Text()
    size = Text()
    shape = Choice(SHAPES, null=True)
    status = Choice(STATUSES)
    scheme = Text(null=True)
    mix_l = Number(null=True, says="Settled")
    mix_how = Choice(("own", "size", "unknown"), says="Its sheet, its size, or not known")
    loose_l = Number(null=True, says="With the allowance for settling")
    bags = Number(null=True, says="Not rounded: bags are rounded for the order")
    plants = ListOf(PlanPlant)
    feed_g = Number(null=True)
    first_fill_l = Number()
    empty_kg = Number(null=True)
    empty_by = Choice(("one", "two", "cart"), null=True, says="Who may lift it empty")
    moist_kg = Number(null=True)
    full_kg = Number(null=True)
    most_kg = Number(null=True, says="Full, with the heaviest mix; null where it was weighed")
    weight_how = Choice(("sheet", "reckoned", "unknown"))


class PlanStop(Answer):
    site = Within(Named)
    planters = ListOf(PlanPlanter)


class PlanTotals(Answer):
    planters = Whole()
    mix_l = Number()
    loose_l = Number()
    first_fill_l = Number()
    plants = Whole()
    feed_g = Number(null=True)


class PlanBag(Answer):
    amount = Number()
    unit = Choice(UNITS)
    litres_l = Number()
    mass_kg = Number()
    mass_how = Choice(("typed", "guessed"))
    limit_kg = Number(says="Recommended weight limit, revised NIOSH lifting equation")
    lifting_index = Number(says=f"Above {CAUTION_INDEX:g}: not one person alone")
    risk = Choice(RISKS)


class PlanBags(Answer):
    need = Whole()
    in_shed = Whole()
    buy = Whole()
    if_each_rounded = Whole(says="What rounding planter by planter would have come to")
    cost = Number(null=True)


class PlanPlantLine(Answer):
    name = Text()
    need = Whole()
    with_reserve = Whole()
    in_shed = Whole()
    buy = Whole()
    price = Number(null=True)
    cost = Number(null=True)


class PlanFeed(Answer):
    name = Text()
    need_kg = Number()
    in_shed_kg = Number()
    buy_kg = Number()
    by_label = Truth()
    share = Number()
    cost = Number(null=True)


class PlanPart(Answer):
    name = Text()
    keep = Whole()
    in_shed = Whole()
    buy = Whole()
    price = Number(null=True)
    cost = Number(null=True)


class PlanTrip(Answer):
    bags = Whole()
    trays = Whole()
    cans = Whole(says="Of 20 L")
    mass_kg = Number()
    room_l = Number()


class PlantingPlan(Answer):
    scope = Text()
    title = Text()
    made_at = Moment()
    settling = Number()
    reserve = Number()
    feed_g_l = Number(null=True)
    stops = ListOf(PlanStop)
    totals = Within(PlanTotals)
    bag = Within(PlanBag)
    bags = Within(PlanBags)
    plants = ListOf(PlanPlantLine)
    feed = Within(PlanFeed, null=True)
    parts = ListOf(PlanPart)
    cost = Number(null=True, says="Of what has a price")
    unpriced = Several(Text(), says="Bought, and without a price")
    currency = Text()
    trips = Several(Within(PlanTrip), null=True)
    notes = Several(Text())
