"""The shapes of care: establishment, feed and salts on a card, and the feed calculator."""

from __future__ import annotations

from potrounds.api.fields import Choice, Day, Moment, Number, Text, Truth, Whole
from potrounds.api.fields_nested import ListOf, Several, Within
from potrounds.api.schemas import Answer, Ask
from potrounds.domain.records import EC_METHODS

EC_WORDS = ("very-low", "low", "normal", "high", "very-high", "extreme")
DOSE_UNITS = ("g_l", "oz_100_gal", "g_can", "oz_can", "ml_can", "fl_oz_can")


class EcSeen(Answer):
    method = Choice(EC_METHODS)
    ms_cm = Number()


class VisitPlanting(Answer):
    plants = Several(Text())
    counts = Several(Whole(1, null=True))
    scheme = Text()
    retopped = Truth(null=True)


class Establishment(Answer):
    """A new planting the reservoir does not reach yet."""

    planted_on = Day()
    day = Whole(says="Days since it was planted")
    rooted_on = Day(says="Expected")
    water_by = Day()
    overdue_days = Whole()
    by_weather = Truth()
    sentence = Text()
    why = Text()


class Feeding(Answer):
    due = Day()
    hold = Text(null=True, says="Why not now")
    sentence = Text()


class SaltReadingSaid(EcSeen):
    word = Choice(EC_WORDS)
    sentence = Text()
    at = Moment()
    by = Text()
    record = Text()


class Salts(Answer):
    """Water and salt poured in since the mix was last washed."""

    since = Day()
    flushed = Truth(says="Whether that day is a flush")
    litres_l = Number()
    unmeasured = Whole(says="Fills without litres, left out")
    feeds = Whole()
    held_l = Number(says="Water the mix holds")
    estimated = Truth(says="The mix was guessed from the reservoir")
    rise_ms = Number(null=True, says="mS/cm; null: the tap's EC is not set")
    sentence = Text()
    flush_steps = Several(Text())
    reading = Within(SaltReadingSaid, null=True)


class Dose(Answer):
    can_l = Number()
    grams = Number()
    ounces = Number(says="Of weight")


class StandingFeed(Answer):
    """The town's feed with ready-made doses, for phones without signal."""

    every_days = Whole(null=True, says="null: the town has set no interval")
    least_days = Whole(says="Ask when a feed comes sooner than this after the last")
    what = Text(null=True)
    percent_n = Number(null=True)
    ppm_n = Number(null=True)
    can_l = Number(null=True)
    doses = ListOf(Dose)


class DoseGiven(Ask):
    amount = Number(0.001, 100000)
    unit = Choice(DOSE_UNITS)


class FeedQuestion(Ask):
    percent_n = Number(0.1, 100, says="First number of the label's analysis")
    ppm_n = Number(1, 10000, null=True, optional=True, says="Rate wanted; or give a dose")
    dose = Within(DoseGiven, null=True, optional=True)
    cut_percent = Number(0, 90, null=True, optional=True, says="Less, for a reservoir")
    can_l = Number(0.1, 2000, null=True, optional=True)
    injector = Number(1, 1000, null=True, optional=True, says="200 for 1:200")
    density_kg_l = Number(0.5, 2.5, null=True, optional=True, says="Of a liquid product")


class FeedAnswer(Answer):
    ppm_n = Number()
    grams_l = Number()
    ounces_100_gal = Number()
    can = Within(Dose)
    can_ml = Number(null=True)
    can_fluid_ounces = Number(null=True)
    stock_grams_l = Number(null=True)
    stock_ounces_gal = Number(null=True)
    notes = Several(Text())
