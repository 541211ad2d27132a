"""Tables of the register about the place: a station's lows, what was measured around a planter."""

from __future__ import annotations

from peewee import AutoField, CharField, ForeignKeyField, IntegerField

from potrounds.store.columns import JsonField, UtcField
from potrounds.store.tables import Planter, Table


class LowsOfYear(Table):
    """The station's daily lows of a calendar year [degC], 1 January first; null is missing."""

    year = IntegerField(primary_key=True)
    lows_c = JsonField()


class SitingCheck(Table):
    """What was measured around a planter, by whom. The latest counts, the others are history."""

    id = AutoField()
    planter = ForeignKeyField(Planter, backref="siting_checks", on_delete="CASCADE")
    at = UtcField()
    by = CharField(null=True)
    facts = JsonField()


class SitePlan(Table):
    """A plan picture of a site, or of the town, and the known points marked on it."""

    scope = CharField(primary_key=True)
    photo = CharField()
    width = IntegerField()
    height = IntegerField()
    points = JsonField()
    at = UtcField()
    by = CharField(null=True)
    version = IntegerField(default=1)
