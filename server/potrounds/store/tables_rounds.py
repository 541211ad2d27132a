"""The tables of rounds: taps, crew, ways paced out, what people were told, links of calendars.

All of it is register: coordinators write it. What happens on a round is in the log.
"""

from __future__ import annotations

from peewee import (
    AutoField,
    CharField,
    DateField,
    FloatField,
    ForeignKeyField,
    IntegerField,
    TextField,
)

from potrounds.store.columns import JsonField, UtcField
from potrounds.store.tables import Person, Site, Table


class Tap(Table):
    """Where water is to be had."""

    id = CharField(primary_key=True)
    name = CharField()
    name_key = CharField(unique=True)
    site = ForeignKeyField(Site, null=True, on_delete="RESTRICT")
    lat = FloatField(null=True)
    lon = FloatField(null=True)
    flow_l_min = FloatField(null=True)
    vacuum_breaker = CharField(default="unknown")
    opens = CharField(default="")
    notes = TextField(default="")
    version = IntegerField(default=1)


class Crew(Table):
    """How a person goes out: days of the week, minutes, what with, how much water."""

    person = ForeignKeyField(Person, primary_key=True, on_delete="CASCADE")
    weekdays = JsonField()
    minutes = IntegerField(default=120)
    mode = CharField(default="foot")
    tank_l = FloatField(null=True)
    start_tap = CharField(null=True)
    away = JsonField()
    version = IntegerField(default=1)


class PacedWay(Table):
    """Metres between two places as somebody paced them out; the smaller id stands first."""

    id = AutoField()
    one = CharField()
    other = CharField()
    metres = FloatField()

    class Meta:
        indexes = ((("one", "other"), True),)


class ToldRound(Table):
    """A person's round on a day, as it was told: the plan of that moment, kept whole."""

    key = CharField(primary_key=True)
    day = DateField(index=True)
    person = CharField()
    plan = JsonField()
    told_at = UtcField()
    told_by = CharField(null=True)


class CalendarLink(Table):
    """A secret address of the calendar. The secret is hashed; a revoked link stays on record."""

    id = CharField(primary_key=True)
    secret = CharField(unique=True)
    name = CharField()
    person = CharField(null=True)
    made_at = UtcField()
    made_by = CharField(null=True)
    revoked_at = UtcField(null=True)


ROUNDS = (Tap, Crew, PacedWay, ToldRound, CalendarLink)
