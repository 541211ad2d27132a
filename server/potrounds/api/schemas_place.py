"""The shapes of the place: freeze dates of its record, and what stands around a planter."""

from __future__ import annotations

from potrounds.api.fields import Choice, Day, Moment, Number, Text, Truth, Whole
from potrounds.api.fields_nested import ListOf, Several, Within
from potrounds.api.schemas import Answer, Ask
from potrounds.domain.siting import THINGS
from potrounds.science.freeze_dates import CHANCES
from potrounds.weather.daily_lows import UNITS as LOW_UNITS

MOST_CM = 10_000
MOST_THINGS = 12
#: The day for each chance; null where it does not come so often.
_DAYS = {f"p{chance}": Day(null=True) for chance in CHANCES}


class SeenDays(Answer):
    year = Whole(says="The year the season begins in")
    fall = Several(Day(null=True), says="First day at or below 36, 32 and 28 °F")
    spring = Several(Day(null=True), says="Last day")


# Made from dicts: `from` is a word of the language, and nine chances are nine keys.
OddsDays = Answer.from_dict({**_DAYS}, name="OddsDays")
FreezeChance = Answer.from_dict(
    {
        "f": Whole(says="Threshold in degrees Fahrenheit"),
        "years": Whole(says="Whole seasons it rests on"),
        "share": Number(says="Of the seasons, those in which it came"),
        **_DAYS,
        "counted": Within(OddsDays, says="Counted off the record, without a curve (Weibull)"),
    },
    name="FreezeChance",
)
FreezeOdds = Answer.from_dict(
    {
        "years": Whole(),
        "from": Whole(),
        "to": Whole(),
        "method": Choice(("two-part-normal",)),
        "fall": ListOf(FreezeChance, says="As cold or colder earlier than the day, this season"),
        "spring": ListOf(FreezeChance, says="As cold or colder later than the day"),
        "observed": ListOf(SeenDays, says="The last ten seasons"),
    },
    name="FreezeOdds",
)


class LeftOut(Answer):
    year = Whole()
    what = Choice(("fall", "spring"))
    why = Text()


FreezeRecord = Answer.from_dict(
    {
        "station": Text(null=True),
        "brought_at": Moment(null=True),
        "brought_by": Text(null=True),
        "from": Day(),
        "to": Day(),
        "missing": Whole(says="Days without a low"),
        "southern": Truth(says="A season begins on 1 February, not on 1 August"),
        "too_few": Text(null=True, says="Why no odds are told"),
        "skipped": ListOf(LeftOut),
        "observed": ListOf(SeenDays),
    },
    name="FreezeRecord",
)


class LowsQuery(Ask):
    dry_run = Choice(("0", "1"), optional=True)
    unit = Choice(LOW_UNITS, optional=True, says="Of a column that is called TMIN only")
    replace = Choice(("0", "1"), optional=True, says="1: take the old record away first")


class ThingBody(Ask):
    what = Choice(THINGS)
    distance_cm = Number(0, MOST_CM, says="Along the path; of a corner, from the corner point")
    from_kerb_cm = Number(0, MOST_CM, null=True, optional=True, says="If it stands in the path")
    width_cm = Number(0, MOST_CM, null=True, optional=True)
    swing_cm = Number(0, 1000, null=True, optional=True, says="A door's leaf")


class SitingBody(Ask):
    path_cm = Number(1, MOST_CM, says="Width of the path, planter and all")
    from_kerb_cm = Number(0, MOST_CM, says="From the path's kerb side to the planter")
    width_cm = Number(1, MOST_CM, null=True, optional=True, says="Planter, across the path")
    length_cm = Number(1, MOST_CM, null=True, optional=True, says="Planter, along the path")
    rim_cm = Number(1, MOST_CM, says="Height of the rim")
    canopy_cm = Number(0, MOST_CM, null=True, optional=True, says="Full-grown plants, across")
    plants_cm = Number(0, MOST_CM, null=True, optional=True, says="Full grown, above the rim")
    trailing_cm = Number(0, MOST_CM, null=True, optional=True, says="Hanging below the rim")
    slope_percent = Number(-100, 100, null=True, optional=True)
    needed_cm = Number(30, MOST_CM, null=True, optional=True, says="The local code's clear width")
    sight_leg_cm = Number(30, MOST_CM, null=True, optional=True)
    sight_height_cm = Number(10, 1000, null=True, optional=True)
    things = ListOf(ThingBody, MOST_THINGS, optional=True)
    sure = Truth(optional=True, says="true: what was asked back is right as typed")


class Thing(Answer):
    what = Choice(THINGS)
    distance_cm = Number()
    from_kerb_cm = Number(null=True)
    width_cm = Number()
    swing_cm = Number(null=True)


class SitingFacts(Answer):
    path_cm = Number()
    from_kerb_cm = Number()
    width_cm = Number()
    length_cm = Number()
    rim_cm = Number()
    canopy_cm = Number()
    plants_cm = Number()
    trailing_cm = Number()
    slope_percent = Number()
    needed_cm = Number(null=True)
    sight_leg_cm = Number(null=True)
    sight_height_cm = Number(null=True)
    things = ListOf(Thing)


class SitingPlan(Answer):
    planter = Several(Number(), says="From and to, across the path from its kerb side [cm]")
    canopy = Several(Number())
    clear = Several(Number())
    clear_cm = Number()
    clear_words = Text()
    needed_cm = Number()


class SitingFinding(Answer):
    code = Text()
    state = Choice(("short", "ask", "ok"))
    sentence = Text()
    source = Text()


class Siting(Answer):
    at = Moment()
    by = Text()
    facts = Within(SitingFacts)
    plan = Within(SitingPlan)
    findings = ListOf(SitingFinding, says="What falls short first")
