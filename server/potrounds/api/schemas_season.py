"""The shapes of the lists as the coordinator edits them, and of closed seasons."""

from __future__ import annotations

from potrounds.api.fields import Choice, Day, Moment, Number, Text, Truth, Whole
from potrounds.api.fields_nested import Free, ListOf, Several, Within
from potrounds.api.schemas import Answer, Ask, Named
from potrounds.domain.records import LISTS
from potrounds.domain.step_lists import APPLIES, PROOFS

TITLE = 80
WHY = 400
MOST_STEPS = 40
WHICH = 40


class StepAnswer(Answer):
    code = Text()
    title = Text()
    why = Text()
    proof = Choice(PROOFS)
    applies_to = Choice(APPLIES)
    which = Several(Text(), says="Sizes, or ids of sites")


class TownList(Answer):
    list = Choice(LISTS)
    season = Whole()
    version = Whole(says="How often it was edited")
    begins = Day(says="The first day on which this season's list is on the board")
    active = Truth()
    steps = ListOf(StepAnswer)


class EditedStep(StepAnswer):
    kept = Text(null=True, says="Why it cannot be retired; null: it can")
    new = Truth(says="Added since this season's list began")


class EditionBy(Answer):
    at = Moment()
    by = Text()


class ListEditor(Answer):
    list = Choice(LISTS)
    version = Whole(says="Sent back as If-Match with a change")
    season = Whole()
    begins = Day()
    begun = Truth(says="An edit now is one in mid-season")
    steps = ListOf(EditedStep)
    retired = ListOf(StepAnswer, says="Steps that may be put back by their code")
    editions = ListOf(EditionBy, says="Newest first")


class ListEditors(Answer):
    lists = ListOf(ListEditor)


class EditedStepBody(Ask):
    code = Text(60, shortest=1, null=True, optional=True, says="null: a new step")
    title = Text(TITLE)
    why = Text(WHY, null=True, optional=True)
    proof = Choice(PROOFS, optional=True)
    applies_to = Choice(APPLIES, optional=True)
    which = Several(Text(40, shortest=1), WHICH, optional=True)


class ListBody(Ask):
    steps = ListOf(
        EditedStepBody, MOST_STEPS, least=1, says="The whole list; who is left out retires"
    )


class ListTableQuery(Ask):
    open = Choice(("0", "1"), optional=True, says="1: only what is not proven")


class OpenDrain(Named):
    site = Text()
    state = Text()
    missing = Several(Text())


class OpenFlag(Named):
    site = Text()
    flag = Text()


class OpenPhone(Answer):
    id = Text()
    person = Text()
    last_heard = Moment()
    gaps = Whole(says="Records of it that are known to exist and did not arrive")


class OpenHeld(Answer):
    id = Text()
    at = Moment()
    reason = Text()


class LeftOpen(Answer):
    unproven = ListOf(OpenDrain)
    flags = ListOf(OpenFlag)
    phones = ListOf(OpenPhone)
    held = ListOf(OpenHeld)


class OpenSeason(LeftOpen):
    year = Whole()
    begins = Day()
    ends = Day()
    open_count = Whole(says="Sent back as open_seen when it is closed")


class SeasonTotals(Answer):
    planters = Whole()
    proven = Whole()
    unproven = Whole()
    under_way = Whole()
    not_begun = Whole()
    visits = Whole()
    steps = Whole()
    litres = Free(says="Litres by how they were known")
    overhead_l = Number()
    planters_lost = Several(Text())
    plants_gone = Several(Text())
    flags_answered = Whole()
    flags_settled = Whole()
    flags_up = Whole(says="Up when the season was closed")


class ClosedHead(Answer):
    year = Whole()
    closed_at = Moment()
    closed_by = Text()
    reopened_at = Moment(null=True)
    reopened_by = Text(null=True)
    reason = Text()
    late_count = Whole(says="Records that arrived after closing")
    totals = Within(SeasonTotals)


class Seasons(Answer):
    open = ListOf(OpenSeason)
    closed = ListOf(ClosedHead)


class ArchivedStep(Answer):
    code = Text()
    title = Text()
    state = Text()
    by = Text(null=True)
    at = Moment(null=True)
    second = Text(null=True)
    photos = Whole()
    said = Text(null=True)


class ArchivedWinter(Answer):
    state = Text()
    done = Whole()
    of = Whole()
    missing = Several(Text())
    plug_place = Text(null=True)
    steps = ListOf(ArchivedStep)


class ArchivedPlanter(Named):
    site = Text()
    status = Text()
    winter = Within(ArchivedWinter)
    visits = Whole()
    steps = Whole()
    litres = Free()
    overhead_l = Number()
    plants_gone = Truth()
    flags_answered = Whole()
    flags_settled = Whole()
    flags_up = Several(Text())


class Summary(Answer):
    totals = Within(SeasonTotals)
    planters = ListOf(ArchivedPlanter)
    left_open = Within(LeftOpen)


class LateRecord(Answer):
    record = Text()
    kind = Text()
    planter = Text()
    planter_name = Text()
    by = Text(null=True)
    at = Moment()
    received_at = Moment()


class ClosedSeason(ClosedHead):
    summary = Within(Summary)
    late = ListOf(LateRecord, says="Arrived after closing")


class CloseBody(Ask):
    open_seen = Whole(0, says="How much was open when it was shown")


class ReopenBody(Ask):
    reason = Text(400)
