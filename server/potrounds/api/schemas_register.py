"""The shapes of the register, of held records and of the public tag page."""

from __future__ import annotations

from potrounds.api.fields import (
    Choice,
    ClockTime,
    Conductivity,
    Day,
    Moment,
    MonthDay,
    Number,
    Sha256,
    Text,
    Truth,
    Whole,
)
from potrounds.api.fields_nested import ListOf, Several, Within
from potrounds.api.schemas import Answer, Ask
from potrounds.api.schemas_cards import GAUGES, SHAPES, STATUSES, UNITS, Night, Planting
from potrounds.api.schemas_changes import RegisterChange
from potrounds.api.schemas_people import NAME, RegisterInvite, RegisterPerson, RegisterPhone
from potrounds.api.schemas_place import Siting
from potrounds.domain.planter import SUNS, WINDS
from potrounds.domain.records import REPORT_WHAT

MOST_PLANTERS = 500
PLANTS = 40


class SiteBody(Ask):
    name = Text(NAME, shortest=1)
    freeze_on = Day(null=True, optional=True, says="First night of frost to reckon with")


class SitePatch(Ask):
    name = Text(NAME, shortest=1, optional=True)
    freeze_on = Day(null=True, optional=True)


class RegisterSite(Answer):
    id = Text()
    name = Text()
    freeze_on = Day(null=True)
    version = Whole()


class PlantingBody(Ask):
    planted_on = Day(null=True, optional=True)
    plants = Several(Text(80, shortest=1), PLANTS)
    scheme = Text(NAME, null=True, optional=True)


class PlanterFacts(Ask):
    """What may be said of a planter, new or known, and may be left out."""

    shape = Choice(SHAPES, null=True, optional=True)
    gauge = Choice(GAUGES, optional=True)
    status = Choice(STATUSES, optional=True)
    installed_on = Day(null=True, optional=True)
    weight_moist_kg = Number(0, 5000, null=True, optional=True)
    weight_full_kg = Number(0, 5000, null=True, optional=True)
    mix_l = Number(1, 5000, null=True, optional=True, says="Potting mix, settled")
    top_area_m2 = Number(0.01, 20, null=True, optional=True, says="Mix open to the sky")
    canopy_m2 = Number(0.01, 40, null=True, optional=True, says="Ground the plants cover")
    sun = Choice(SUNS, optional=True)
    wind = Choice(WINDS, optional=True)
    rain_reaches = Truth(null=True, optional=True, says="Does rain reach the mix?")
    lat = Number(-90, 90, null=True, optional=True, says="WGS 84, north positive")
    lon = Number(-180, 180, null=True, optional=True, says="WGS 84, east positive")
    notes = Text(2000, optional=True)


class PlanterPatch(PlanterFacts):
    name = Text(NAME, shortest=1, optional=True)
    site = Text(40, shortest=1, optional=True, says="Id of a site")
    size = Text(40, shortest=1, optional=True)
    reservoir_l = Number(0.1, 2000, optional=True)
    picture = Sha256(null=True, optional=True)


class NewPlanter(PlanterFacts):
    name = Text(NAME, shortest=1)
    site = Text(40, shortest=1, says="Id of a site")
    size = Text(40, shortest=1)
    reservoir_l = Number(0.1, 2000)
    planting = Within(PlantingBody, null=True, optional=True)


class NewPlanters(Ask):
    planters = ListOf(NewPlanter, MOST_PLANTERS, least=1)


class RegisterPlanter(Answer):
    id = Text()
    name = Text()
    site = Text()
    size = Text()
    shape = Choice(SHAPES, null=True)
    reservoir_l = Number()
    gauge = Choice(GAUGES)
    status = Choice(STATUSES)
    installed_on = Day(null=True)
    weight_moist_kg = Number(null=True)
    weight_full_kg = Number(null=True)
    picture = Text(null=True)
    mix_l = Number(null=True)
    top_area_m2 = Number(null=True)
    canopy_m2 = Number(null=True)
    sun = Choice(SUNS)
    wind = Choice(WINDS)
    rain_reaches = Truth(null=True)
    lat = Number(null=True)
    lon = Number(null=True)
    notes = Text()
    version = Whole(says="Sent back as If-Match with a change")
    code = Text(null=True)
    old_codes = Several(Text())
    planting = Within(Planting, null=True)
    siting = Within(Siting, null=True, says="The latest siting check")


class PlantersMade(Answer):
    planters = ListOf(RegisterPlanter)


class NewTag(Ask):
    reason = Text(200, shortest=1)


def MailAddress() -> Text:
    """An address as mail servers take it, in plain letters (RFC 5321, Mailbox, without quotes)."""
    pattern = r"[A-Za-z0-9.!#$%&'*+/=?^_`{|}~-]{1,64}@[A-Za-z0-9-]{1,63}(\.[A-Za-z0-9-]{1,63})+"
    return Text(254, pattern=pattern, shape="a mail address like corin@town.example")


class RegisterSettings(Answer):
    town_name = Text()
    zone = Text()
    tag_address = Text(null=True)
    visit_days = Whole()
    winter_from = MonthDay()
    spring_from = MonthDay()
    tap_flow_l_min = Number(null=True)
    units = Choice(UNITS)
    latitude = Number(null=True)
    elevation_m = Number(null=True)
    weather_url = Text(null=True, says="null: no forecast is fetched")
    run_dry_risk = Number(says="Visit before the chance of running dry passes this")
    crew_days = Several(Whole(0, 6), says="Days of the week a crew goes out, Monday 0")
    feed_days = Whole(null=True, says="null: nobody is asked to feed")
    feed_what = Text(null=True)
    feed_percent_n = Number(null=True)
    feed_ppm_n = Number(null=True)
    feed_can_l = Number(null=True)
    feed_ec_ms = Number(null=True, says="mS/cm the feed adds; null: guessed from its rate")
    tap_ec_ms = Number(null=True, says="mS/cm; null: salt is not added up")
    walking_factor = Number(says="Ways are so many times the straight line")
    far_m = Number(says="A way of so many metres is driven, not walked")
    digest_to = Several(Text(), says="Who gets a mail on days when something needs someone")
    freeze_nights = Whole(says="A freeze so many nights ahead is told at once")
    push_on = Truth(says="Whether phones may take pushes")
    push_quiet_from = Text(null=True, says="HH:MM; pushes wait from then")
    push_quiet_to = Text(null=True, says="HH:MM; until then")
    demo = Truth()


class SettingsPatch(Ask):
    town_name = Text(NAME, shortest=1, optional=True)
    zone = Text(64, shortest=1, optional=True)
    tag_address = Text(60, null=True, optional=True, says="https:// and the host of the tags")
    visit_days = Whole(1, 60, optional=True)
    winter_from = MonthDay(optional=True)
    spring_from = MonthDay(optional=True)
    tap_flow_l_min = Number(0.1, 200, null=True, optional=True)
    units = Choice(UNITS, optional=True)
    latitude = Number(-66, 66, null=True, optional=True, says="North positive, degrees")
    elevation_m = Number(-400, 5000, null=True, optional=True)
    weather_url = Text(2000, shortest=1, null=True, optional=True, says="null: off")
    run_dry_risk = Number(0.01, 0.5, optional=True)
    crew_days = Several(Whole(0, 6), 7, optional=True, says="Monday 0")
    feed_days = Whole(3, 90, null=True, optional=True, says="null: off")
    feed_what = Text(80, null=True, optional=True)
    feed_percent_n = Number(0.1, 100, null=True, optional=True)
    feed_ppm_n = Number(1, 1000, null=True, optional=True, says="In the water of the can")
    feed_can_l = Number(0.1, 500, null=True, optional=True)
    feed_ec_ms = Conductivity(null=True, optional=True)
    tap_ec_ms = Conductivity(null=True, optional=True)
    walking_factor = Number(1, 3, optional=True)
    far_m = Number(200, 20000, optional=True)
    digest_to = Several(MailAddress(), 10, unique=True, optional=True)
    freeze_nights = Whole(1, 7, optional=True)
    push_on = Truth(optional=True)
    push_quiet_from = ClockTime(null=True, optional=True, says="null: no quiet hours")
    push_quiet_to = ClockTime(null=True, optional=True, says="null: no quiet hours")


class Register(Answer):
    version = Whole()
    sites = ListOf(RegisterSite)
    planters = ListOf(RegisterPlanter)
    people = ListOf(RegisterPerson)
    invites = ListOf(RegisterInvite)
    phones = ListOf(RegisterPhone)
    settings = Within(RegisterSettings)
    nights = ListOf(Night)
    changes = ListOf(RegisterChange, says="The last fifty, newest first")


class ImportFault(Answer):
    row = Whole(says="Line of the file; the header is line 1")
    column = Text(null=True)
    detail = Text()


class ImportReport(Answer):
    rows = Whole()
    created = Whole()
    errors = ListOf(ImportFault)


class ImportQuery(Ask):
    dry_run = Choice(("0", "1"), optional=True)


class NightBody(Ask):
    date = Day()
    low_c = Number(-60, 60, null=True, says="null removes the night")
    kind = Choice(("recorded", "forecast"))


class NightsRequest(Ask):
    nights = ListOf(NightBody, 60, least=1)


class Nights(Answer):
    nights = ListOf(Night)


class TagSheetQuery(Ask):
    planters = Text(8000, optional=True, says='Ids with commas, or "all"')
    size = Choice(("small", "medium", "large"), optional=True)
    paper = Choice(("a4", "letter"), optional=True)


class HeldItem(Answer):
    id = Text()
    record = Text(null=True)
    reason = Text()
    text = Text()
    by = Text(null=True)
    at = Moment()
    planter = Text(null=True)
    kind = Text(null=True)


class HeldList(Answer):
    held = ListOf(HeldItem)


class HeldDecision(Ask):
    take = Truth()
    planter = Text(40, null=True, optional=True)


class HeldSettled(Answer):
    id = Text()
    taken = Truth()
    seq = Whole(null=True, optional=True)


class PublicTag(Answer):
    state = Choice(("current", "replaced"))
    planter_name = Text()
    site_name = Text()
    town = Text()
    last_care_day = Day(null=True)
    plants = Several(Text())


class PublicReport(Ask):
    what = Choice(REPORT_WHAT)
    text = Text(500, optional=True)


class ReportReceipt(Answer):
    received = Truth()
