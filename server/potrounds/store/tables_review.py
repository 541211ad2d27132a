"""Register tables of the review: what phones said they hold, gaps answered for, last looks."""

from __future__ import annotations

from peewee import AutoField, BigIntegerField, CharField, IntegerField

from potrounds.store.columns import JsonField, UtcField
from potrounds.store.tables import Table


class PhoneSaid(Table):
    """What a phone last said of its outbox, by its own counter (R2)."""

    device = CharField(primary_key=True)
    n_max = BigIntegerField(null=True)
    unsent = IntegerField(null=True)
    photos = IntegerField(default=0)
    since = UtcField(null=True)
    at = UtcField()


class GapSettled(Table):
    """Numbers of a phone somebody has answered for: they are asked after no more."""

    id = AutoField()
    device = CharField(index=True)
    first = BigIntegerField()
    last = BigIntegerField()
    at = UtcField()
    by = CharField(null=True)


class LookedAt(Table):
    """The flags as one person last left the review."""

    person = CharField(primary_key=True)
    at = UtcField()
    seen = JsonField()


REVIEW = (PhoneSaid, GapSettled, LookedAt)
