"""The shapes of what a phone keeps: one card per planter, one for the town."""

from __future__ import annotations

from potrounds.api.fields import Choice, Day, Level, Moment, Number, Text, Truth, Whole
from potrounds.api.fields_nested import ListOf, OneOfEach, Several, Within
from potrounds.api.schemas import Answer, Named, PersonName
from potrounds.api.schemas_care import (
    EcSeen,
    Establishment,
    Feeding,
    Salts,
    StandingFeed,
    VisitPlanting,
)
from potrounds.api.schemas_place import FreezeOdds, FreezeRecord
from potrounds.api.schemas_rounds import Tap
from potrounds.api.schemas_season import TownList
from potrounds.api.schemas_site_plans import Place, SitePlan
from potrounds.api.schemas_water import Water
from potrounds.domain import records
from potrounds.domain.step_lists import PROOFS

STATUSES = ("in-use", "stored", "retired", "lost")
SHAPES = ("round", "square", "rectangular")
GAUGES = ("none", "float", "dipstick", "sight-tube")
URGENCIES = ("today", "this-week", "watch")
LIST_STATES = ("not-begun", "under-way", "unproven", "proven", "done")
UNITS = ("metric", "us")
PHOTO_STATES = ("here", "on-its-way")
STEP_STATES = ("todo", "done", "unproven", "not-needed")


class Planting(Answer):
    planted_on = Day(null=True)
    plants = Several(Text())
    scheme = Text(null=True)


class PlannedPlanting(Answer):
    plants = Several(Text())
    counts = Several(Whole(1, null=True), says="Beside `plants`; null: not counted")
    scheme = Text()


class CardPlanting(Planting):
    counts = Several(Whole(1, null=True), says="Beside `plants`; null: not counted")
    by = Text(null=True, says="Who recorded it at the planter; null: the register says so")
    record = Text(null=True)


class LevelSeen(Answer):
    value = Level(null=False)
    at = Moment()
    by = Text()
    read_by = Choice(records.READ_BY, null=True)
    record = Text()


class PlugState(Answer):
    state = Choice(("in", "out", "missing", "unknown"))
    at = Moment(null=True)
    by = Text(null=True)
    place = Text(null=True)


class PlantsSeen(Answer):
    score = Whole(1, 5)
    at = Moment()
    by = Text()
    record = Text()


class SeenVisit(Answer):
    at = Moment()
    by = Text()
    record = Text()


class SeenFull(Answer):
    at = Moment()
    by = Text()


class SeenFed(Answer):
    at = Moment()
    by = Text()
    what = Text(null=True)
    ppm_n = Number(null=True)
    strength = Text(null=True)


class PlanterState(Answer):
    level = Within(LevelSeen, null=True)
    plug = Within(PlugState)
    plants = Within(PlantsSeen, null=True)
    last_visit = Within(SeenVisit, null=True)
    last_full = Within(SeenFull, null=True)
    last_fed = Within(SeenFed, null=True)
    last_winter_season = Whole(null=True)


class TopUpMark(Answer):
    """What a reading at this mark means in litres to the overflow."""

    level = Level(null=False)
    litres_l = Number()
    low_l = Number()
    high_l = Number()


class TodayLine(Answer):
    code = Text()
    text = Text()


class FlagDecision(Answer):
    decision = Choice(records.DECISIONS)
    by = Text()
    at = Moment()
    until = Day(null=True)
    to = Text(null=True)
    note = Text(null=True)
    record = Text(optional=True, says="The decision's own record")
    round = Text(null=True, optional=True, says="With next-round: the round it was put on")
    why = Text(null=True, optional=True)
    outdated = Truth(optional=True, says="Something new was seen since, or it is more urgent now")


class FlagCard(Answer):
    code = Text()
    name = Text()
    act = Text(optional=True, says="What must be done, in few words: flags of one act go together")
    urgency = Choice(URGENCIES)
    sentence = Text()
    advice = Text()
    caution = Text(null=True)
    source = Text()
    since = Day()
    records = Several(Text())
    decision = Within(FlagDecision, null=True)
    quiet = Truth(says="Hidden by a decision")


class VisitStep(Answer):
    list = Choice(records.LISTS)
    code = Text()
    title = Text()
    outcome = Choice(records.STEP_OUTCOMES)


class VisitReport(Answer):
    what = Choice(records.REPORT_WHAT)
    text = Text()


class Visit(Answer):
    record = Text()
    kind = Choice(("check-in", "step", "report", "planting"))
    at = Moment()
    time_uncertain = Truth()
    by = Text(says='A name, or "Passer-by"')
    person = Text(null=True)
    corrected = Truth()
    level = Level()
    read_by = Choice(records.READ_BY, null=True)
    litres_l = Number(null=True)
    litres_how = Choice(records.LITRES_HOW, null=True)
    overhead_l = Number(null=True)
    overflow = Choice(records.OVERFLOW)
    plants = Whole(1, 5, null=True)
    signs = Several(Choice(records.SIGNS))
    done = Several(Choice(records.DONE))
    plug = Choice(records.PLUG)
    ec = Within(EcSeen, null=True)
    note = Text()
    photos = Several(Text())
    photo_state = OneOfEach(PHOTO_STATES, says="By hash")
    step = Within(VisitStep, null=True)
    report = Within(VisitReport, null=True)
    planting = Within(VisitPlanting, null=True)


class ListStep(Answer):
    code = Text()
    title = Text()
    why = Text()
    proof = Choice(PROOFS)
    state = Choice(STEP_STATES)
    by = Text(null=True)
    at = Moment(null=True)
    photos = Several(Text())
    second = Text(null=True)
    plug_place = Text(null=True)
    note = Text(null=True)
    asked = Truth(says="False: shown only because it was recorded (retired, or not known)")
    said = Text(null=True, says="Why it stands as it does, where that is not plain")
    due = Day(null=True)
    due_why = Text(null=True)


class ListCard(Answer):
    list = Choice(records.LISTS)
    season = Whole()
    active = Truth(says="True while its season lasts")
    state = Choice(LIST_STATES)
    done = Whole()
    of = Whole()
    next = Text(null=True)
    missing = Several(Text(), says="What proof is missing, in plain words")
    steps = ListOf(ListStep)


class PlanterLists(Answer):
    winterization = Within(ListCard)
    start_up = Within(ListCard)


class PlanterChange(Answer):
    at = Moment()
    by = Text()
    what = Choice(("site", "status", "name", "size", "code"))
    old = Text(null=True, says="A site by its name")
    new = Text(null=True)


class PlanterCard(Answer):
    id = Text()
    seq = Whole()
    name = Text()
    code = Text(null=True, says="The tag code in use")
    old_codes = Several(Text())
    status = Choice(STATUSES)
    site = Within(Named)
    size = Text()
    shape = Choice(SHAPES, null=True)
    reservoir_l = Number()
    gauge = Choice(GAUGES)
    has_gauge = Truth()
    weight_moist_kg = Number(null=True)
    weight_full_kg = Number(null=True)
    picture = Text(null=True)
    notes = Text()
    place = Within(Place, null=True, says="null: nobody gave it a position")
    planting = Within(CardPlanting, null=True)
    planned = Within(PlannedPlanting, null=True, says="What the register plants here next")
    state = Within(PlanterState)
    top_up = ListOf(TopUpMark)
    water = Within(Water, null=True, says="null: nothing can be said")
    establishment = Within(Establishment, null=True, says="null: roots are down, or no plants")
    feeding = Within(Feeding, null=True, says="null: the town has set no interval")
    salts = Within(Salts, null=True, says="null: no plants")
    today = ListOf(TodayLine)
    flags = ListOf(FlagCard)
    visits = ListOf(Visit, says="The last eight, newest first")
    evidence = ListOf(Visit, says="Visits that flags rest on and that are not among `visits`")
    lists = Within(PlanterLists)
    assessed_at = Moment()
    held_reports = Whole()
    history = ListOf(PlanterChange, says="Moved, stored, tagged anew; newest first")


class Night(Answer):
    date = Day()
    low_c = Number()
    kind = Choice(("recorded", "forecast"))


class Freeze(Answer):
    date = Day(null=True)
    source = Choice(("site date", "freeze odds", "typed forecast", "recorded low"), null=True)
    nights = ListOf(Night)


class Season(Answer):
    year = Whole()
    winter_from = Day()
    spring_from = Day()
    closed = Several(Whole(), says="Seasons that were closed")


class TownSite(Named):
    freeze_on = Day(null=True)


class Town(Answer):
    id = Choice(("town",))
    seq = Whole()
    name = Text()
    zone = Text()
    tag_address = Text(null=True)
    demo = Truth()
    today = Day()
    freeze = Within(Freeze)
    season = Within(Season)
    visit_days = Whole()
    sites = ListOf(TownSite)
    people = ListOf(PersonName)
    tap_flow_l_min = Number(null=True)
    units = Choice(UNITS)
    crew_days = Several(Whole(0, 6), says="Days of the week, Monday 0")
    checklists = ListOf(TownList, says="Both lists of the season, step by step")
    feeding = Within(StandingFeed)
    weather_notes = Several(Text(), says="What is odd or missing in the weather on record")
    taps = ListOf(Tap)
    plans = ListOf(SitePlan, says="Plan pictures of sites and of the town")
    freeze_odds = Within(FreezeOdds, null=True, says="null: no record, or too short a one")
    freeze_record = Within(FreezeRecord, null=True, says="null: nobody brought one")
    push_key = Text(null=True, says="What pushes are signed with; null: the town has them off")
