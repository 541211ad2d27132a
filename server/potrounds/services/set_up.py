"""Sets up a town: its name, its zone and the coordinator who can then do the rest."""

from __future__ import annotations

from potrounds.services import people, town_settings
from potrounds.services.context import Context
from potrounds.store import people as store_people
from potrounds.store.database import write_transaction


def is_set_up() -> bool:
    """Whether somebody coordinates this town."""
    return any(person.role == "coordinator" for person in store_people.people())


def set_up(ctx: Context, town_name: str, zone: str, coordinator: str, password: str) -> None:
    """Name a new town and add its first coordinator.

    Raises: Refusal for a zone nobody knows, or a name or password that cannot be.
    """
    with write_transaction():
        asked = {"name": coordinator, "role": "coordinator", "password": password}
        people.add_person(ctx, asked)
        town_settings.change_settings(ctx, {"town_name": town_name.strip(), "zone": zone})
