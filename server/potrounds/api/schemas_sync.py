"""The shapes of push, pull and photos (R6, R7, R13, R17)."""

from __future__ import annotations

from typing import Any

from potrounds.api.fields import Choice, Moment, Sha256, Text, Truth, Uuid, Whole
from potrounds.api.fields_nested import ListOf, Several, Within
from potrounds.api.schemas import Answer, Ask, Open, ProblemEntry
from potrounds.api.schemas_cards import PlanterCard, Town
from potrounds.api.schemas_rounds import RoundCard
from potrounds.domain import records
from potrounds.services.refusal import Refusal

PROTO = "sync/1"
MOST_ITEMS = 50
MOST_PUSH_BYTES = 256 * 1024
MOST_PULLED = 200
OUTCOMES = ("stored", "duplicate", "held", "later", "rejected")


class Hello(Open):
    cursor = Text(200, null=True, optional=True)
    n_max = Whole(0, null=True, optional=True)
    unsent = Whole(0, null=True, optional=True)


class PushRequest(Open):
    batch = Uuid()
    device = Uuid()
    client = Text(40, null=True, optional=True, says="Version of the app on the phone")
    sent_at = Moment(says="The phone's clock at the moment of sending (R12)")
    hello = Within(Hello, null=True, optional=True)
    items = Several(
        Text(), MOST_ITEMS, least=1, says="Each the frozen text of one record (RecordText)"
    )

    def refusal(self, data: Any, errors: list[tuple[str, str]]) -> Refusal:
        """A batch with too many items is too big; the phone halves it (R10)."""
        items = data.get("items") if isinstance(data, dict) else None
        if isinstance(items, list) and len(items) > MOST_ITEMS:
            detail = f"At most {MOST_ITEMS} items in one batch; this has {len(items)}."
            return Refusal(413, "too-many-items", "Too many items", detail)
        return super().refusal(data, errors)


class ItemProblem(Answer):
    type = Text()
    title = Text()
    detail = Text()
    errors = ListOf(ProblemEntry, optional=True)


class PushResult(Answer):
    id = Text(null=True, says="null where the text held no id")
    outcome = Choice(OUTCOMES)
    seq = Whole(optional=True)
    retry_after = Whole(optional=True, says="Seconds, with `later`")
    problem = Within(ItemProblem, optional=True)
    note = Text(optional=True)


class PushAnswer(Answer):
    proto = Choice((PROTO,))
    batch = Uuid()
    server_time = Moment()
    cursor = Text()
    safe_to_forget = Text(null=True)
    results = ListOf(PushResult, says="One per item, in the order of the items")


class PullQuery(Ask):
    since = Text(200, optional=True, says="Cursor of the last answer; absent from the start")
    limit = Whole(1, MOST_PULLED, optional=True, default=MOST_PULLED)


class OwnRecord(Answer):
    id = Text()
    seq = Whole()
    kind = Choice(records.KINDS)
    planter = Text()
    at = Moment()
    time_uncertain = Truth()
    outcome = Choice(("stored", "held"))
    replaced_by = Text(null=True)
    withdrawn = Truth()
    text = Text(says="The text as the phone froze it (R4)")


class PullItem(Answer):
    seq = Whole()
    what = Choice(("planter", "town", "record", "round", "gone", "erased"))
    planter = Within(PlanterCard, optional=True)
    town = Within(Town, optional=True)
    record = Within(OwnRecord, optional=True)
    round = Within(RoundCard, optional=True)
    id = Text(optional=True, says="With `gone`: planter or round; with `erased`: the photo")


class PullAnswer(Answer):
    proto = Choice((PROTO,))
    server_time = Moment()
    cursor = Text()
    more = Truth()
    items = ListOf(PullItem)


class FileRecord(Open):
    text = Text(64 * 1024, shortest=1, says="The text as the phone froze it (R4)")
    person = Text(40, null=True, optional=True, says="Whose it is, as the phone says")


class FilePhoto(Open):
    sha256 = Sha256()
    base64 = Text(2_900_000, shortest=1)


class OutboxPart(Open):
    MOST_BYTES = 3_000_000

    phone = Text(80, null=True, optional=True, says="What the phone is called")
    records = ListOf(FileRecord, MOST_ITEMS)
    photos = ListOf(FilePhoto, 1, optional=True)


class FilePhotoResult(Answer):
    sha256 = Sha256()
    outcome = Choice(("stored", "rejected"))
    detail = Text()


class OutboxTaken(Answer):
    server_time = Moment()
    results = ListOf(PushResult, says="One per record, in their order")
    photos = ListOf(FilePhotoResult)


class PhotoAnswer(Answer):
    sha256 = Sha256()
    state = Choice(("here",))


class PhotoQuery(Ask):
    size = Choice(("small", "full"), optional=True)
