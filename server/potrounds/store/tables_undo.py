"""What an undo needs of a change beyond what its line in the list of changes says."""

from __future__ import annotations

from peewee import ForeignKeyField

from potrounds.store.columns import JsonField
from potrounds.store.tables import Change, Table


class ChangeKept(Table):
    """A change's values as they were stored, where its line tells them in people's words."""

    change = ForeignKeyField(Change, primary_key=True, on_delete="CASCADE")
    before = JsonField()
    after = JsonField()
