"""The tables, in three blocks that never mix: register, log, derived.

Times are naive UTC in the columns and aware outside; `columns.UtcField` is the one that knows.
"""

from __future__ import annotations

from peewee import (
    AutoField,
    BigIntegerField,
    BooleanField,
    CharField,
    DateField,
    FloatField,
    ForeignKeyField,
    IntegerField,
    Model,
    TextField,
)

from potrounds.store.columns import JsonField, UtcField
from potrounds.store.database import db


class Table(Model):
    """All tables live in the one database bound at start."""

    class Meta:
        database = db
        legacy_table_names = False


# --- register: edited by coordinators, with who and when -----------------------------------------


class Setting(Table):
    """One town-wide value by name."""

    name = CharField(primary_key=True)
    value = JsonField(null=True)


class Site(Table):
    """A place with planters."""

    id = CharField(primary_key=True)
    name = CharField()
    name_key = CharField(unique=True)
    freeze_on = DateField(null=True)
    version = IntegerField(default=1)


class Planter(Table):
    """A planter. Its tag and its planting are rows of their own: both come and go."""

    id = CharField(primary_key=True)
    name = CharField()
    name_key = CharField(unique=True)
    site = ForeignKeyField(Site, backref="planters", on_delete="RESTRICT")
    size = CharField()
    shape = CharField(null=True)
    reservoir_l = FloatField()
    gauge = CharField(default="none")
    status = CharField(default="in-use")
    installed_on = DateField(null=True)
    weight_moist_kg = FloatField(null=True)
    weight_full_kg = FloatField(null=True)
    picture = CharField(null=True)
    mix_l = FloatField(null=True)
    top_area_m2 = FloatField(null=True)
    canopy_m2 = FloatField(null=True)
    sun = CharField(default="full")
    wind = CharField(default="open")
    rain_reaches = BooleanField(null=True)
    lat = FloatField(null=True)
    lon = FloatField(null=True)
    notes = TextField(default="")
    version = IntegerField(default=1)
    made_at = UtcField()


class Tag(Table):
    """A printed code. A retired one goes on pointing at its planter."""

    code = CharField(primary_key=True)
    planter = ForeignKeyField(Planter, backref="tags", on_delete="CASCADE")
    issued_at = UtcField()
    retired_at = UtcField(null=True)
    reason = CharField(default="")


class Planting(Table):
    """What grows in a planter from a day on."""

    id = AutoField()
    planter = ForeignKeyField(Planter, backref="plantings", on_delete="CASCADE")
    planted_on = DateField()
    plants = JsonField()
    scheme = CharField(default="")


class Person(Table):
    """A volunteer or a coordinator; only coordinators have a password."""

    id = CharField(primary_key=True)
    name = CharField()
    name_key = CharField(unique=True)
    role = CharField()
    state = CharField(default="active")
    password = CharField(null=True)
    joined_at = UtcField()


class Phone(Table):
    """A session, which is a phone (or a browser) somebody joined with. The token is hashed."""

    id = CharField(primary_key=True)
    token = CharField(unique=True)
    person = ForeignKeyField(Person, backref="phones", on_delete="CASCADE")
    device = CharField(index=True)
    state = CharField(default="active")
    first_used = UtcField()
    last_used = UtcField()
    ends = UtcField()
    ended_at = UtcField(null=True)
    confirmed_at = UtcField(null=True)


class Invite(Table):
    """A link that lets one person join once. The secret is hashed."""

    id = CharField(primary_key=True)
    secret = CharField(unique=True)
    role = CharField()
    name = CharField()
    for_person = CharField(null=True)
    made_at = UtcField()
    made_by = CharField(null=True)
    expires_at = UtcField()
    used_at = UtcField(null=True)
    used_by = CharField(null=True)
    revoked_at = UtcField(null=True)


class Night(Table):
    """A night's low, recorded or forecast, by the morning it ends."""

    id = AutoField()
    date = DateField()
    kind = CharField()
    low_c = FloatField()
    known_on = DateField(null=True)

    class Meta:
        indexes = ((("date", "kind"), True),)


class Weather(Table):
    """One day's weather: as it was, or as it was forecast on a day. Forecasts stay as issued."""

    id = AutoField()
    date = DateField()
    kind = CharField()
    issued_on = DateField(null=True)
    tmin_c = FloatField()
    tmax_c = FloatField()
    rain_mm = FloatField(null=True)
    wind_ms = FloatField(null=True)
    source = CharField()

    class Meta:
        indexes = ((("kind", "date"), False), (("kind", "issued_on"), False))


class Change(Table):
    """Who changed what in the register, when, from what to what.

    `act`: the first change of those made together; `undoes`: the act that this one took back.
    """

    id = AutoField()
    at = UtcField()
    by = CharField(null=True)
    what = CharField()
    ref = CharField(index=True)
    name = CharField(default="")
    before = JsonField()
    after = JsonField()
    act = IntegerField(null=True, index=True)
    undoes = IntegerField(null=True, index=True)


class Knock(Table):
    """A try that is limited (sign-in, public report), kept a day. Addresses are hashed."""

    id = AutoField()
    kind = CharField()
    key = CharField()
    at = UtcField()

    class Meta:
        indexes = ((("kind", "key", "at"), False),)


# --- log: only appended --------------------------------------------------------------------------


class Counter(Table):
    """Numbers taken inside the write lock only."""

    name = CharField(primary_key=True)
    value = BigIntegerField(default=0)


class SentRecord(Table):
    """What log and held share: the frozen text, whose it is, and its time as it was read."""

    seq = BigIntegerField(unique=True)
    v = BigIntegerField()
    kind = CharField()
    planter = CharField(index=True)
    author = CharField(null=True, index=True)
    author_role = CharField(null=True)
    device = CharField()
    n = BigIntegerField()
    text = TextField()
    fingerprint = CharField()
    wall = CharField()
    sent_at = UtcField(null=True)
    received_at = UtcField()
    observed_at = UtcField()
    time_doubt = CharField(default="")


class LogEntry(SentRecord):
    """A stored record. Rows are never changed; `time_doubt` alone is a judgement, and may be."""

    id = CharField(primary_key=True)
    replaces = CharField(null=True, index=True)

    class Meta:
        indexes = ((("device", "n"), False),)


class Held(SentRecord):
    """A record that needs a person first: kept whole, counted nowhere."""

    id = CharField(primary_key=True)
    record = CharField(index=True)
    reason = CharField()
    resolved = CharField(null=True)
    resolved_by = CharField(null=True)
    resolved_at = UtcField(null=True)


class PhotoNamed(Table):
    """A record's word that a photo belongs to it; without one no upload is accepted."""

    id = AutoField()
    sha = CharField(index=True)
    record = CharField(index=True)
    author = CharField(null=True)

    class Meta:
        indexes = ((("sha", "record"), True),)


class Photo(Table):
    """A photo that arrived: its re-encoded files lie in the photo folder under this hash."""

    sha = CharField(primary_key=True)
    state = CharField(default="here")
    size_bytes = IntegerField()
    width = IntegerField()
    height = IntegerField()
    by = CharField(null=True)
    at = UtcField()


# --- derived: may be wiped and rebuilt -----------------------------------------------------------


class Card(Table):
    """A finished card for the phones. `stale` asks for a new assessment; no content = gone."""

    key = CharField(primary_key=True)
    seq = BigIntegerField(index=True)
    stale = BooleanField(default=False)
    content = JsonField(null=True)


REGISTER = (
    Setting,
    Site,
    Planter,
    Tag,
    Planting,
    Person,
    Phone,
    Invite,
    Night,
    Weather,
    Change,
    Knock,
)
LOG = (Counter, LogEntry, Held, PhotoNamed, Photo)
DERIVED = (Card,)
