"""The shapes of records. They travel as text inside a push; the text itself is kept as it came."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError, validates_schema

from potrounds.api.fields import (
    Choice,
    Conductivity,
    Day,
    Level,
    Number,
    Sha256,
    Text,
    Truth,
    Uuid,
    Whole,
)
from potrounds.api.fields_nested import Free, Several, Within
from potrounds.api.schemas import Open
from potrounds.domain import records

NOTE = 2000
PHOTOS = 8
PLANTER = 40
ROUND_KEY = r"^round-[0-9]{4}-[0-9]{2}-[0-9]{2}-.+$"


def photos() -> Several:
    """The photos a record names, each once, by the hash of the bytes the phone will send (R13)."""
    return Several(Sha256(), PHOTOS, unique=True, null=True, optional=True)


def round_key(**more: Any) -> Text:
    """A person's round on a day: round-YYYY-MM-DD-<person>."""
    return Text(PLANTER + 20, pattern=ROUND_KEY, shape="a round, round-YYYY-MM-DD-person", **more)


class Feed(Open):
    what = Text(80, null=True, optional=True)
    strength = Text(80, null=True, optional=True)
    ppm_n = Number(1, 1000, null=True, optional=True, says="Parts per million of nitrogen")
    litres_l = Number(0, 500, null=True, optional=True, says="Water the feed was in")


class SaltReading(Open):
    method = Choice(records.EC_METHODS)
    ms_cm = Conductivity(says="mS/cm, never uS/cm")


class CheckInBody(Open):
    level = Level(optional=True)
    read_by = Choice(records.READ_BY, null=True, optional=True)
    litres_l = Number(0, 500, null=True, optional=True, says="Water through the fill port")
    litres_how = Choice(records.LITRES_HOW, null=True, optional=True)
    overhead_l = Number(0, 500, null=True, optional=True, says="Water from the top")
    overflow = Choice(records.OVERFLOW, null=True, optional=True)
    plants = Whole(1, 5, null=True, optional=True, says="1 dead or gone to 5 thriving")
    signs = Several(Choice(records.SIGNS), 12, unique=True, null=True, optional=True)
    done = Several(Choice(records.DONE), 6, unique=True, null=True, optional=True)
    feed = Within(Feed, null=True, optional=True)
    ec = Within(SaltReading, null=True, optional=True, says="A reading of the mix")
    plug = Choice(records.PLUG, null=True, optional=True)
    photos = photos()
    note = Text(NOTE, null=True, optional=True)
    round = round_key(null=True, optional=True, says="The round it was made on")


class CorrectionBody(Open):
    replaces = Uuid()
    check_in = Within(CheckInBody)


class WithdrawalBody(Open):
    replaces = Uuid()
    reason = Text(200, null=True, optional=True)


class StepBody(Open):
    list = Choice(records.LISTS)
    season = Whole(2000, 2999, says="The year the list belongs to")
    step = Text(60, shortest=1)
    outcome = Choice(records.STEP_OUTCOMES, null=True, optional=True)
    level = Level(optional=True)
    second = Text(80, null=True, optional=True, says="Name of the second person")
    plug_place = Text(80, null=True, optional=True)
    mix = Choice(records.MIX, null=True, optional=True)
    standing_water = Truth(null=True, optional=True)
    photos = photos()
    note = Text(NOTE, null=True, optional=True)


class DecisionBody(Open):
    flag = Text(60, shortest=1)
    decision = Choice(records.DECISIONS)
    until = Day(null=True, optional=True)
    to = Text(40, null=True, optional=True, says="Person it is handed to")
    check_in = Uuid(null=True, optional=True)
    evidence = Several(Uuid(), 50, unique=True, null=True, optional=True)
    round = round_key(null=True, optional=True, says="With next-round: the round it was put on")
    why = Text(500, null=True, optional=True, says="With next-round: what the flag said")
    note = Text(NOTE, null=True, optional=True)

    @validates_schema(skip_on_field_errors=True)
    def _handed_to_someone(self, data: dict[str, Any], **_: Any) -> None:
        if data["decision"] == "handed" and not data.get("to"):
            raise ValidationError("Name the person this is handed to.", "to")


class PlantedHere(Open):
    name = Text(80, shortest=1)
    count = Whole(1, 999, null=True, optional=True)


class PlantingRecordBody(Open):
    plants = Several(Within(PlantedHere), 40, null=True, optional=True)
    scheme = Text(80, null=True, optional=True)
    retopped = Truth(null=True, optional=True, says="Mix topped up to the mark")
    photos = photos()
    note = Text(NOTE, null=True, optional=True)


class ReportBody(Open):
    what = Choice(records.REPORT_WHAT)
    text = Text(500, null=True, optional=True)


class RoundBody(Open):
    round = round_key()
    what = Choice(records.ROUND_WHAT)
    minutes = Whole(0, 1440, null=True, optional=True, says="With hours: the minutes in all")
    note = Text(NOTE, null=True, optional=True)

    @validates_schema(skip_on_field_errors=True)
    def _hours_have_minutes(self, data: dict[str, Any], **_: Any) -> None:
        if data["what"] == "hours" and data.get("minutes") is None:
            raise ValidationError("Say how many minutes it was.", "minutes")


class StopBody(Open):
    round = round_key(says="The round it stood on; with added: the round it joins")
    what = Choice(records.STOP_WHAT)
    reason = Choice(records.SKIP_REASONS, null=True, optional=True)
    to = Text(40, null=True, optional=True, says="Person it is handed to")
    note = Text(NOTE, null=True, optional=True)

    @validates_schema(skip_on_field_errors=True)
    def _says_why_or_to_whom(self, data: dict[str, Any], **_: Any) -> None:
        if data["what"] == "skipped" and not data.get("reason"):
            raise ValidationError("Say why this stop is skipped.", "reason")
        if data["what"] == "handed" and not data.get("to"):
            raise ValidationError("Name the person this stop is handed to.", "to")


BODIES: dict[str, type[Open]] = {
    "check-in": CheckInBody,
    "correction": CorrectionBody,
    "withdrawal": WithdrawalBody,
    "step": StepBody,
    "decision": DecisionBody,
    "report": ReportBody,
    "planting": PlantingRecordBody,
    "round": RoundBody,
    "stop": StopBody,
}
SENT_BY_PHONES = tuple(kind for kind in BODIES if kind != "report")


class RecordText(Open):
    """What the text of a record holds once it is parsed."""

    v = Whole(1, says="Version of the record format")
    id = Uuid(says="UUIDv7 made on the phone at Save (R1)")
    kind = Choice(SENT_BY_PHONES)
    planter = Text(PLANTER, shortest=1, says='"town" for a round, which belongs to no planter')
    device = Uuid()
    n = Whole(0, says="Grows by one per record of this device (R2)")
    wall = Text(says="The phone's clock with its offset; a claim, never refused (R12)")
    body = Free(
        says="CheckInBody, CorrectionBody, WithdrawalBody, StepBody, DecisionBody, "
        "PlantingRecordBody, RoundBody or StopBody"
    )
