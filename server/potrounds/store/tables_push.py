"""The tables of pushes to phones: where to, what waits, and what was told.

None of it goes into the archive of a town: addresses of phones are secrets of the browser, and
belong to this server's key.
"""

from __future__ import annotations

from peewee import AutoField, CharField, ForeignKeyField, IntegerField, TextField

from potrounds.store.columns import UtcField
from potrounds.store.tables import Phone, Table


class PushAddress(Table):
    """Where the browser of a phone takes pushes, with its keys (RFC 8291). One a phone."""

    phone = ForeignKeyField(Phone, primary_key=True, on_delete="CASCADE")
    endpoint = TextField(unique=True)
    p256dh = CharField()
    auth = CharField()
    made_at = UtcField()


class PushNote(Table):
    """A push that waits. A newer one of the same tag takes its place."""

    id = AutoField()
    phone = ForeignKeyField(PushAddress, on_delete="CASCADE")
    tag = CharField()
    title = TextField()
    body = TextField()
    path = CharField()
    urgency = CharField()
    due_at = UtcField(index=True)
    expires_at = UtcField()
    tries = IntegerField(default=0)

    class Meta:
        indexes = ((("phone", "tag"), True),)


class PushTold(Table):
    """A flag that was pushed, for as long as it is up: nobody is told of it twice."""

    tag = CharField(primary_key=True)
    at = UtcField()


PUSH = (PushAddress, PushNote, PushTold)
