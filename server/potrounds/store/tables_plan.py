"""Tables of the register for planting day and assets."""

from __future__ import annotations

from peewee import (
    BooleanField,
    CharField,
    DateField,
    FloatField,
    ForeignKeyField,
    IntegerField,
    TextField,
)

from potrounds.store.columns import JsonField
from potrounds.store.tables import Planter, Table


class PlanterSize(Table):
    """The inner measures of a size of planter; `name` and `shape` as planters name them."""

    id = CharField(primary_key=True)
    name = CharField()
    name_key = CharField()
    shape = CharField()
    top_a_cm = FloatField()
    top_b_cm = FloatField(null=True)
    bottom_a_cm = FloatField()
    bottom_b_cm = FloatField(null=True)
    depth_cm = FloatField()
    gap_cm = FloatField()
    empty_kg = FloatField(null=True)
    reservoir_l = FloatField()
    measured_again = BooleanField(default=False)
    version = IntegerField(default=1)

    class Meta:
        indexes = ((("name_key", "shape"), True),)


class Scheme(Table):
    """A planting scheme: which plants, in which role, how many."""

    id = CharField(primary_key=True)
    name = CharField()
    name_key = CharField(unique=True)
    plants = JsonField()
    version = IntegerField(default=1)


class PlannedPlanting(Table):
    """The scheme that a planter is to be planted by next."""

    planter = ForeignKeyField(Planter, primary_key=True, on_delete="CASCADE")
    scheme = ForeignKeyField(Scheme, on_delete="CASCADE")


class Asset(Table):
    """What is kept of a planter as a thing that was bought."""

    planter = ForeignKeyField(Planter, primary_key=True, on_delete="CASCADE")
    warranty = TextField(default="")
    warranty_until = DateField(null=True)
    condition = CharField(null=True)
    condition_note = TextField(default="")
    condition_on = DateField(null=True)
    inspect_on = DateField(null=True)
    version = IntegerField(default=1)


PLANTING = (PlanterSize, Scheme, PlannedPlanting, Asset)
