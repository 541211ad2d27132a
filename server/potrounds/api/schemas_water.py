"""The shapes of weather, and of the water on a planter's card."""

from __future__ import annotations

from potrounds.api.fields import Choice, Day, Number, Text, Truth
from potrounds.api.fields_nested import ListOf, Several, Within
from potrounds.api.schemas import Answer, Ask
from potrounds.weather.source import LEAST_C, MOST_C, MOST_RAIN_MM, MOST_WIND_MS

SURE = ("well", "fairly", "guess")
MOST_DAYS = 800


class Litres(Answer):
    mid = Number(null=True)
    low = Number(null=True)
    high = Number(null=True)


class DaysAhead(Answer):
    """Days from the morning of `as_of`; null is later than the horizon of 40 days."""

    mid = Number(null=True)
    low = Number(null=True)
    high = Number(null=True)


class TopUpDay(Answer):
    date = Day()
    litres_l = Number()
    low_l = Number()
    high_l = Number()


class WaterDay(Answer):
    date = Day()
    mid = Number()
    low = Number()
    high = Number()
    ahead = Truth(says="Still to come")


class WaterMark(Answer):
    date = Day()
    kind = Choice(("reading", "fill", "full"))
    value_l = Number(says="Litres in the reservoir; of a fill, litres poured")


class Water(Answer):
    """What is believed of a planter's water; bands hold four out of five truths."""

    as_of = Day()
    weather = Choice(("observed", "forecast", "none"), says="What the days ahead rest on")
    level_l = Within(Litres)
    days_to_empty = Within(DaysAhead)
    days_to_stress = Within(DaysAhead)
    visit_by = Day(null=True)
    top_up = ListOf(TopUpDay, says="Litres to the brim each morning, nobody filling before")
    use_l_day = Within(Litres)
    peers = Number(null=True, says="Use beside that of planters like it")
    sentence = Text()
    sure = Choice(SURE)
    surer = Text(says="What would make it surer")
    doubts = Several(Text(), says="What in the records does not fit")
    series = ListOf(WaterDay)
    marks = ListOf(WaterMark)


class WeatherDayAnswer(Answer):
    date = Day()
    kind = Choice(("observed", "forecast"))
    issued_on = Day(null=True)
    tmin_c = Number()
    tmax_c = Number()
    rain_mm = Number(null=True)
    wind_ms = Number(null=True)
    source = Choice(("csv", "typed", "web", "filled"))


class WeatherNormal(Answer):
    tmin_c = Number()
    tmax_c = Number()
    wet_day_share = Number()
    rain_per_wet_day_mm = Number()
    wind_ms = Number()


class WeatherAnswer(Answer):
    days = ListOf(WeatherDayAnswer)
    normals = ListOf(WeatherNormal, null=True, says="January first")
    notes = Several(Text(), says="What is odd or missing, in words")


class WeatherKept(Answer):
    days = ListOf(WeatherDayAnswer)


WeatherQuery = Ask.from_dict(
    {  # `from` is a word of the language
        "from": Day(optional=True, says="First day"),
        "to": Day(optional=True, says="Last day"),
    },
    name="WeatherQuery",
)


class TypedDay(Ask):
    date = Day()
    tmin_c = Number(LEAST_C, MOST_C)
    tmax_c = Number(LEAST_C, MOST_C)
    rain_mm = Number(0, MOST_RAIN_MM, null=True, optional=True)
    wind_ms = Number(0, MOST_WIND_MS, null=True, optional=True, says="Mean at 2 m")


class TypedDays(Ask):
    days = ListOf(TypedDay, MOST_DAYS, least=1)


class NormalBody(Ask):
    tmin_c = Number(LEAST_C, MOST_C)
    tmax_c = Number(LEAST_C, MOST_C)
    wet_day_share = Number(0, 1)
    rain_per_wet_day_mm = Number(0, 100)
    wind_ms = Number(0, MOST_WIND_MS)


class NormalsBody(Ask):
    normals = ListOf(NormalBody, 12, least=12, null=True, says="null: from the days on record")
