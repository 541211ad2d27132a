"""Turns table rows into the frozen dataclasses that leave the store."""

from __future__ import annotations

from typing import Any, TypeVar

from peewee import Model

T = TypeVar("T")


def as_dataclass(kind: type[T], row: Model | None) -> T:
    """A frozen copy of a row; a foreign key becomes the id it holds.

    Raises: LookupError when there is no row.
    """
    if row is None:
        raise LookupError(f"no such {kind.__name__.lower()}")
    names: Any = kind.__dataclass_fields__  # type: ignore[attr-defined]
    return kind(**{name: row.__data__[name] for name in names})


def name_key(name: str) -> str:
    """What makes two names the same: case and runs of spaces do not count."""
    return " ".join(name.split()).casefold()
