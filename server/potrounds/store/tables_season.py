"""Register tables of the season: the coordinator's editions of the lists, and closed seasons."""

from __future__ import annotations

from peewee import AutoField, BigIntegerField, CharField, IntegerField, TextField

from potrounds.store.columns import JsonField, UtcField
from potrounds.store.tables import Table


class ListEdition(Table):
    """A whole list as it was left at a moment. Never changed: the next edit is the next row."""

    id = AutoField()
    list = CharField()
    at = UtcField()
    by = CharField(null=True)
    steps = JsonField()

    class Meta:
        indexes = ((("list", "at"), False),)


class ClosedSeason(Table):
    """A season that was closed, with what it came to; open again where `reopened_at` is set."""

    year = IntegerField(primary_key=True)
    closed_at = UtcField()
    closed_by = CharField(null=True)
    closed_seq = BigIntegerField()
    summary = JsonField()
    reopened_at = UtcField(null=True)
    reopened_by = CharField(null=True)
    reason = TextField(default="")


SEASON = (ListEdition, ClosedSeason)
