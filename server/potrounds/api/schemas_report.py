"""The shapes of the season report."""

from __future__ import annotations

from potrounds.api.fields import Choice, Day, Moment, Number, Text, Truth, Whole
from potrounds.api.fields_nested import ListOf, Several, Within
from potrounds.api.schemas import Answer, Ask, Named
from potrounds.domain.report import HOWS
from potrounds.services.report_behind import FIGURES

YEAR = r"^2[0-9]{3}$"


class SeasonQuery(Ask):
    year = Text(4, pattern=YEAR, shape="a year", optional=True, says="The present one if absent")


class BehindQuery(SeasonQuery):
    of = Choice(FIGURES, says="Which number")
    planter = Text(40, optional=True)
    site = Text(40, optional=True)
    flag = Text(60, optional=True, says="Code of one kind of flag")
    person = Text(40, optional=True, says="Whose hours")


WaterByHow = Answer.from_dict(
    {how: Number(says="Litres, whole tenths, exact") for how in HOWS}, name="WaterByHow"
)


class FlagsSettled(Answer):
    raised = Whole()
    cleared = Whole()
    still_up = Whole()
    median_days = Number(null=True, says="Days from raised to cleared")
    longest_days = Whole(null=True)


class WinterCounts(Answer):
    proven = Whole()
    unproven = Whole()
    under_way = Whole()
    not_begun = Whole()


class SeasonFigures(Answer):
    planters = Whole()
    water = Within(WaterByHow)
    unmeasured_fills = Whole()
    visits = Whole()
    steps = Whole()
    seen_empty_days = Whole(says="Planter-days on which somebody found the reservoir empty")
    believed_empty_days = Whole(null=True, says="Null: the water balance does not run")
    avoided_days = Whole(null=True, says="Planter-days a fill kept from being empty")
    flags = Within(FlagsSettled)
    decisions = Whole()
    losses = Whole()
    winter = Within(WinterCounts)


class SiteFigures(SeasonFigures):
    id = Text()
    name = Text()


class WinterProof(Answer):
    state = Text()
    done = Whole()
    of = Whole()
    missing = Several(Text())
    plug_place = Text(null=True)
    by = Text(null=True)
    second = Text(null=True)
    photos = Whole()
    at = Moment(null=True)


class PlanterFigures(SeasonFigures):
    id = Text()
    name = Text()
    site = Within(Named)
    status = Text()
    proof = Within(WinterProof)


class FlagKind(FlagsSettled):
    code = Text()
    name = Text()


class SeasonLoss(Answer):
    planter = Within(Named)
    what = Choice(("lost", "retired", "plants-gone"))
    day = Day()
    record = Text(null=True)


BelievedDays = Answer.from_dict(
    {"from": Day(), "to": Day(), "planters": Whole()}, name="BelievedDays"
)


class HoursOfPerson(Answer):
    person = Within(Named)
    rounds = Whole()
    minutes = Whole(says="Quarter hours, each round rounded half up")
    unsure = Whole(says="Rounds without sure times, counted as nothing")


class SeasonHours(Answer):
    minutes = Whole()
    people = ListOf(HoursOfPerson)


class SeasonCost(Answer):
    cost = Number(null=True, says="Of planting day as planned, at the prices typed")
    unpriced = Several(Text())
    currency = Text(null=True)


class SeasonBefore(Answer):
    year = Whole()
    town = Within(SeasonFigures)
    minutes = Whole()


class SeasonReport(Answer):
    year = Whole()
    begins = Day()
    until = Day()
    whole = Truth(says="Whether the season is over")
    made_at = Moment()
    closed_at = Moment(null=True)
    town = Within(SeasonFigures)
    sites = ListOf(SiteFigures)
    planters = ListOf(PlanterFigures)
    flags = ListOf(FlagKind)
    losses = ListOf(SeasonLoss)
    believed = Within(BelievedDays, null=True)
    hours = Within(SeasonHours)
    cost = Within(SeasonCost, null=True)
    before = Within(SeasonBefore, null=True)
    years = Several(Whole(), says="Seasons there is anything of, newest first")


class RecordBehind(Answer):
    record = Text()
    kind = Text()
    planter = Within(Named)
    at = Moment()
    by = Text()
    litres_l = Number(null=True)
    note = Text()


class PartBehind(Answer):
    planter = Within(Named)
    day = Day(null=True)
    until = Day(null=True, says="The day a flag was first not up")
    days = Whole(null=True)
    what = Text(says="Name of a flag, or a word for a loss or a winter's state")


class RecordsBehind(Answer):
    year = Whole()
    of = Text()
    count = Whole()
    records = ListOf(RecordBehind)
    parts = ListOf(PartBehind, says="What is counted where it is no record: flags, days, planters")
