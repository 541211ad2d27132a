"""Columns that hold what databases do not: a moment with its zone, and plain JSON."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any

from peewee import DateTimeField, TextField


def _quickly(value: Any) -> datetime | None:
    """A moment as SQLite writes it, far faster than by trying formats; None in another form."""
    if not isinstance(value, str):
        return None
    try:
        return datetime.fromisoformat(value)
    except ValueError:
        return None


class UtcField(DateTimeField):
    """A moment: aware outside, naive UTC in the column."""

    def db_value(self, value: datetime | None) -> Any:
        if isinstance(value, datetime):
            if value.tzinfo is None:
                raise ValueError("a moment without a time zone may not be stored")
            value = value.astimezone(UTC).replace(tzinfo=None)
        return super().db_value(value)

    def python_value(self, value: Any) -> datetime | None:
        moment = _quickly(value) or super().python_value(value)
        return moment.replace(tzinfo=UTC) if isinstance(moment, datetime) else moment


class JsonField(TextField):
    """Plain JSON in a text column, the same in every database."""

    def db_value(self, value: Any) -> Any:
        return None if value is None else json.dumps(value, ensure_ascii=False)

    def python_value(self, value: Any) -> Any:
        return None if value is None else json.loads(value)
