"""The shapes of a planter's whole history."""

from __future__ import annotations

from potrounds.api.fields import Choice, Day, Moment, Number, Text, Truth, Whole
from potrounds.api.fields_nested import ListOf, Several, Within
from potrounds.api.schemas import Answer, Named
from potrounds.api.schemas_cards import (
    PHOTO_STATES,
    SHAPES,
    STATUSES,
    URGENCIES,
    CardPlanting,
    FlagDecision,
    ListCard,
    PlanterChange,
    Visit,
)
from potrounds.api.schemas_report import FlagsSettled, SeasonQuery, WaterByHow
from potrounds.api.schemas_water import SURE, Litres, WaterDay
from potrounds.domain import records

MOST_VISITS = 100


class VisitsQuery(SeasonQuery):
    year = Text(4, pattern=r"^2[0-9]{3}$", shape="a year", optional=True, says="Begin at its end")
    before = Moment(optional=True, says="Go on with what was seen before this moment")
    most = Whole(1, MOST_VISITS, optional=True, default=30)


class CourseMark(Answer):
    """What one record says of the water."""

    record = Text()
    at = Moment()
    day = Day()
    unsure = Truth(says="Its time is only a claim")
    read_l = Number(null=True, says="Litres in the reservoir as read")
    given_l = Number(null=True, says="Litres through the fill port")
    overhead_l = Number(null=True)
    filled_to_l = Number(null=True, says="Litres in the reservoir after; null: not known")
    overflow = Choice(records.OVERFLOW)
    drained = Truth(says="The drain plug was seen out")


class CourseSky(Answer):
    date = Day()
    tmin_c = Number()
    tmax_c = Number()
    rain_mm = Number(null=True)


class CoursePlants(Answer):
    record = Text()
    at = Moment()
    day = Day()
    by = Text()
    unsure = Truth()
    score = Whole(1, 5, null=True)
    signs = Several(Choice(records.SIGNS))


class CourseWeek(Answer):
    first = Day()
    last = Day()
    visits = Whole()
    lowest_l = Number(null=True, says="Lowest reading, in litres")
    given_l = Number(says="Through the fill port, whole tenths")
    overhead_l = Number()
    unmeasured = Whole(says="Fills of which no amount was said")
    overflows = Whole(says="Visits on which the overflow ran while filling")
    rain_mm = Number(null=True)
    rain_days = Whole(says="Days of which the rain is known")
    tmax_c = Number(null=True)
    worst_plants = Whole(1, 5, null=True)
    signs = Several(Choice(records.SIGNS))


class CourseSeason(Answer):
    visits = Whole()
    steps = Whole()
    water = Within(WaterByHow)
    unmeasured_fills = Whole()
    seen_empty_days = Whole()
    marks = ListOf(CourseMark)
    believed = ListOf(WaterDay, says="Of the present season: the card's mornings, and ahead")
    as_of = Day(null=True, says="The morning `believed` was made on")
    sky = ListOf(CourseSky, says="Days on record, then the forecast; a gap is a gap")
    plants = ListOf(CoursePlants)
    weeks = ListOf(CourseWeek, says="Monday to Sunday, cut at the season's ends")


class UseBesideKind(Answer):
    as_of = Day()
    own_l_day = Within(Litres)
    kind_l_day = Number(null=True, says="What it would use if it were like its kind")
    percent = Whole(-100, null=True, says="Above (+) or below (-); 0: about the same")
    sure = Choice(SURE)


class CoursePhoto(Answer):
    sha = Text()
    at = Moment()
    day = Day()
    by = Text()
    record = Text()
    plants = Whole(1, 5, null=True)
    state = Choice(PHOTO_STATES)


class PlanterTag(Answer):
    code = Text()
    issued_at = Moment()
    retired_at = Moment(null=True)
    reason = Text()


CourseChange = PlanterChange.from_dict(
    {
        "what": Choice(("site", "status", "name", "size", "code", "position")),
        "metres": Number(null=True, says="How far it was moved over the ground"),
        "with": Text(null=True, says="The planter it changed places with"),
    },
    name="CourseChange",
)


class PlanterCourse(Named):
    site = Within(Named)
    status = Choice(STATUSES)
    size = Text()
    shape = Choice(SHAPES, null=True)
    reservoir_l = Number()
    installed_on = Day(null=True)
    year = Whole()
    begins = Day()
    until = Day()
    whole = Truth(says="Whether the season is over")
    years = Several(Whole(), says="Seasons there is anything of, newest first")
    made_at = Moment()
    season = Within(CourseSeason)
    use = Within(UseBesideKind, null=True, says="null: nothing can be said, or a past season")
    photos = ListOf(CoursePhoto, says="Of all seasons, oldest first")
    plantings = ListOf(CardPlanting, says="Newest first")
    lists = ListOf(ListCard, says="Both lists of each season, newest first")
    tags = ListOf(PlanterTag, says="The code in use first")
    changes = ListOf(CourseChange, says="Newest first")
    records = Whole(says="How much was recorded here in all seasons")


class PlanterVisits(Answer):
    visits = ListOf(Visit, says="Newest first")
    count = Whole(says="How many there are in all")
    first = Moment(null=True, says="The oldest of all")
    before = Moment(null=True, says="Where to go on; null: that was all")


class FlagRun(Answer):
    code = Text()
    name = Text()
    urgency = Choice(URGENCIES)
    since = Day()
    cleared = Day(null=True, says="First day not up; null: up at the end of the days told")
    days = Whole(says="Days it was up, so far")
    sentence = Text(says="As it stood on its first day")
    records = Several(Text(), says="Records it rested on then")
    cleared_by = Several(Text(), says="Records of the day it cleared; none: days alone did it")
    settled_days = Whole(null=True, says="Days until somebody settled it")
    decisions = ListOf(FlagDecision)


class PlanterFlags(Answer):
    year = Whole()
    whole = Truth()
    until = Day()
    settled = Within(FlagsSettled)
    runs = ListOf(FlagRun, says="Newest first")
    visits = ListOf(Visit, says="The records that the runs name")
