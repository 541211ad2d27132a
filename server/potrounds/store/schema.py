"""The schema's history: small steps, each in its own transaction, run once in this order."""

from __future__ import annotations

import secrets
from collections.abc import Callable

from peewee import CharField

from potrounds.store.database import db, write_transaction
from potrounds.store.tables import DERIVED, LOG, REGISTER, Counter, Setting, Table


class SchemaStep(Table):
    """A step that has been taken."""

    name = CharField(primary_key=True)

    class Meta:
        table_name = "schema_steps"


def first_tables() -> None:
    """All tables of the first release, and the number that counts records and cards."""
    db.create_tables([*REGISTER, *LOG, *DERIVED])
    Counter.create(name="seq", value=0)


def name_this_history() -> None:
    """A name for the server's life since it was set up or last restored; cursors carry it."""
    Setting.create(name="history", value=secrets.token_hex(6))


STEPS: tuple[Callable[[], None], ...] = (first_tables, name_this_history)


def bring_up_to_date() -> list[str]:
    """Take the steps that are missing; return their names."""
    with write_transaction():
        db.create_tables([SchemaStep])
    taken = []
    for step in STEPS:
        with write_transaction():
            if SchemaStep.get_or_none(name=step.__name__) is None:
                step()
                SchemaStep.create(name=step.__name__)
                taken.append(step.__name__)
    return taken
