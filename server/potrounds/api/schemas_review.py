"""The shapes of the review: what needs a person beside the flags, and one's last look."""

from __future__ import annotations

from potrounds.api.fields import Choice, Moment, Text, Truth, Whole
from potrounds.api.fields_nested import ListOf, Several, Within
from potrounds.api.schemas import Answer, Ask, Open
from potrounds.api.schemas_people import SESSION_STATES
from potrounds.api.schemas_register import HeldItem
from potrounds.flags import URGENCIES

#: Flags of a town that one look can hold: ten for each of a thousand planters.
MOST_SEEN = 10_000


class Span(Answer):
    first = Whole()
    last = Whole()


class PhoneToAsk(Answer):
    device = Text()
    who = Text(says="Whose phone it is, or was")
    state = Choice(SESSION_STATES)
    last_heard = Moment()
    since = Moment(null=True, says="When the oldest it holds was made, as far as is known")
    records = Whole()
    photos = Whole()
    numbers = ListOf(Span, says="Numbers of its counter that are not here")
    sentence = Text()
    advice = Text()


class SeenFlag(Answer):
    planter = Text()
    flag = Text()
    name = Text()
    urgency = Choice(URGENCIES)
    quiet = Truth()


class Looked(Answer):
    at = Moment()
    seen = ListOf(SeenFlag)


class ReviewDesk(Answer):
    held = ListOf(HeldItem)
    phones = ListOf(PhoneToAsk, says="Whose owner should be asked for what has not arrived")
    looked = Within(Looked, null=True, says="The flags as the caller last left the review")


class SeenFlagBody(Ask):
    planter = Text(40, shortest=1)
    flag = Text(60, shortest=1)
    name = Text(80, shortest=1)
    urgency = Choice(URGENCIES)
    quiet = Truth()


class LookedBody(Ask):
    MOST_BYTES = 2 * 1024 * 1024

    seen = Several(Within(SeenFlagBody), MOST_SEEN)


class SpanBody(Ask):
    first = Whole(1)
    last = Whole(1)


class SettlePhone(Ask):
    numbers = Several(Within(SpanBody), 5000, says="As they were shown")


class PhoneSettled(Answer):
    device = Text()
    settled = Whole()


class HelloBody(Open):
    n_max = Whole(0, null=True, optional=True, says="The phone's last number")
    unsent = Whole(0, 1_000_000, says="Records it holds that were not confirmed")
    photos = Whole(0, 1_000_000, null=True, optional=True)
    oldest_s = Whole(0, null=True, optional=True, says="Age of the oldest of them in seconds")
    mended = Several(
        Whole(1), 200, null=True, optional=True, says="Refused numbers a later record put right"
    )


class HelloAnswer(Answer):
    server_time = Moment()
