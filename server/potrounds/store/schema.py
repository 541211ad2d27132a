"""The schema's history: small steps, each in its own transaction, run once in this order."""

from __future__ import annotations

import secrets
from collections.abc import Callable

from peewee import CharField
from playhouse.migrate import (  # type: ignore[import-untyped]
    PostgresqlMigrator,
    SqliteMigrator,
    migrate,
)

from potrounds.store.database import db, is_sqlite, write_transaction
from potrounds.store.tables import (
    DERIVED,
    LOG,
    REGISTER,
    Card,
    Change,
    Counter,
    Phone,
    Planter,
    Setting,
    Table,
    Weather,
)
from potrounds.store.tables_place import LowsOfYear, SitePlan, SitingCheck
from potrounds.store.tables_plan import PLANTING
from potrounds.store.tables_push import PUSH
from potrounds.store.tables_review import REVIEW
from potrounds.store.tables_rounds import ROUNDS
from potrounds.store.tables_season import SEASON
from potrounds.store.tables_undo import ChangeKept


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


def water_of_planters() -> None:
    """Weather, and what the water balance has to know of each planter.

    A database made today has both already, as the first step makes the tables as they are now.
    """
    db.create_tables([Weather])
    add_columns(Planter, "mix_l", "top_area_m2", "canopy_m2", "sun", "wind", "rain_reaches")


def taps_crew_and_rounds() -> None:
    """Taps, who goes out when, ways paced out, rounds as told, and links of the calendar."""
    db.create_tables([*ROUNDS])


def lows_and_siting() -> None:
    """A station's daily lows, where each planter stands, and what was measured around it."""
    db.create_tables([LowsOfYear, SitingCheck])
    add_columns(Planter, "lat", "lon")


def lists_and_seasons() -> None:
    """The coordinator's editions of the lists, and closed seasons."""
    db.create_tables(SEASON)


def add_columns(table: type[Table], *names: str) -> None:
    """Add those columns of a table that its older form does not have."""
    told = table._meta
    there = {column.name for column in db.get_columns(told.table_name)}
    fields = [told.fields[name] for name in names]
    migrator = SqliteMigrator(db.obj) if is_sqlite() else PostgresqlMigrator(db.obj)
    migrate(
        *(
            migrator.add_column(told.table_name, field.column_name, field)
            for field in fields
            if field.column_name not in there
        )
    )


def planting_and_assets() -> None:
    """Sizes, planting schemes, and planters as assets."""
    db.create_tables(PLANTING)


def changes_by_what_they_changed() -> None:
    """An index on what a change is about: every card asks for the changes of its planter."""
    told = Change._meta
    if not any(index.columns == ["ref"] for index in db.get_indexes(told.table_name)):
        migrator = SqliteMigrator(db.obj) if is_sqlite() else PostgresqlMigrator(db.obj)
        migrate(migrator.add_index(told.table_name, ("ref",), False))


def site_plans() -> None:
    """Plan pictures with their known points; cards are made anew to say where planters stand."""
    db.create_tables([SitePlan])
    Card.update(stale=True).execute()


def what_the_review_needs() -> None:
    """What phones say they hold, gaps answered for, and when somebody last looked."""
    db.create_tables(REVIEW)


def undo_of_changes() -> None:
    """Which changes were made together, what an undo took back, and the values it needs."""
    db.create_tables([ChangeKept])
    add_columns(Change, "act", "undoes")


def when_passwords_were_typed() -> None:
    """When the person behind a session last typed their password."""
    add_columns(Phone, "confirmed_at")


def pushes() -> None:
    """Where phones take pushes, what waits for them, and what was told."""
    db.create_tables(PUSH)


STEPS: tuple[Callable[[], None], ...] = (
    first_tables,
    name_this_history,
    water_of_planters,
    planting_and_assets,
    lows_and_siting,
    lists_and_seasons,
    taps_crew_and_rounds,
    changes_by_what_they_changed,
    site_plans,
    what_the_review_needs,
    undo_of_changes,
    when_passwords_were_typed,
    pushes,
)


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
