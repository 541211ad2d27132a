"""The two kinds of shape, and the small shapes that many others hold."""

from __future__ import annotations

from typing import Any

from marshmallow import EXCLUDE, RAISE, Schema

from potrounds.api.fields import Choice, Text, Whole
from potrounds.api.fields_nested import ListOf
from potrounds.services.refusal import Refusal

ROLES = ("volunteer", "coordinator")


class Ask(Schema):
    """A request: a key it does not know is refused, so that a misspelling is not lost."""

    MOST_BYTES = 256 * 1024

    class Meta:
        unknown = RAISE

    error_messages = {  # noqa: RUF012 - marshmallow's own way of setting them
        "unknown": "This key is not known here.",
        "type": "This must be an object in braces.",
    }


class Open(Schema):
    """What may grow: a record or a sync request of a later version. Unknown keys are ignored."""

    MOST_BYTES = Ask.MOST_BYTES

    class Meta:
        unknown = EXCLUDE

    error_messages = Ask.error_messages

    def refusal(self, data: Any, errors: list[tuple[str, str]]) -> Refusal:
        """What to answer when the request around the records is wrong."""
        return Refusal(400, "bad-batch", "The batch cannot be read", errors[0][1], errors)


class Answer(Schema):
    """What the server says; it may grow. It describes, and it picks the keys that leave."""

    class Meta:
        unknown = EXCLUDE


class ProblemEntry(Answer):
    pointer = Text(says="JSON pointer to the field (RFC 6901)")
    detail = Text()


class Problem(Answer):
    type = Text(says="/problems/<slug>")
    title = Text()
    status = Whole(400, 599)
    detail = Text(says="One sentence for a person")
    errors = ListOf(ProblemEntry, optional=True)


class Named(Answer):
    id = Text()
    name = Text()


class PersonName(Named):
    role = Choice(ROLES)
