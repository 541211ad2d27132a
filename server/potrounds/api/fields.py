"""Field types that take exactly what they name: true is no number, "3" is no number.

A field is required and never null unless it says so, in a request and in an answer alike: that is
what makes the types generated for the phone exact.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from marshmallow import ValidationError, fields

BIGGEST = 2**63 - 1
UUID = r"^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$"
SHA256 = r"^[0-9a-f]{64}$"
MONTH_DAY = r"^(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"
CLOCK_TIME = r"^([01][0-9]|2[0-3]):[0-5][0-9]$"
REQUIRED = "This is missing."
NO_NULL = "This may not be null."
MESSAGES = {"required": REQUIRED, "null": NO_NULL}


def options(null: bool, optional: bool, **more: Any) -> dict[str, Any]:
    """What every field of ours says to marshmallow."""
    return {"required": not optional, "allow_none": null, "error_messages": MESSAGES, **more}


def described(says: str | None, **more: Any) -> dict[str, Any]:
    """What the OpenAPI document says about a field."""
    return ({"description": says} if says else {}) | more


def refuse_unstorable(text: str) -> None:
    """Refuse what no database can keep: a NUL, or half of a surrogate pair."""
    if "\x00" in text:
        raise ValidationError("Text may not hold a NUL character.")
    if any("\ud800" <= sign <= "\udfff" for sign in text):
        raise ValidationError("Text may not hold half a surrogate pair.")


class Text(fields.Field):
    """A string, kept as it was typed. Lengths are counted in code points."""

    def __init__(
        self,
        longest: int | None = None,
        *,
        shortest: int = 0,
        pattern: str | None = None,
        shape: str = "",
        null: bool = False,
        optional: bool = False,
        says: str | None = None,
    ) -> None:
        self.longest, self.shortest, self.shape = longest, shortest, shape
        self.pattern = re.compile(pattern) if pattern else None
        limits: dict[str, Any] = {}
        if longest is not None:
            limits["maxLength"] = longest
        if shortest:
            limits["minLength"] = shortest
        if pattern:
            limits["pattern"] = pattern
        super().__init__(**options(null, optional, metadata=described(says, **limits)))

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise ValidationError("This must be text in quotes.")
        refuse_unstorable(value)
        if self.longest is not None and len(value) > self.longest:
            raise ValidationError(f"At most {self.longest} characters; this has {len(value)}.")
        if len(value.strip()) < self.shortest:
            raise ValidationError(f"At least {self.shortest} characters that can be seen.")
        if self.pattern and not self.pattern.fullmatch(value):
            raise ValidationError(f"This must be {self.shape}.")
        return value


def Uuid(**more: Any) -> Text:
    """A UUID in lower case; upper case is folded nowhere."""
    return Text(36, pattern=UUID, shape="a UUID in lower case", **more)


def Sha256(**more: Any) -> Text:
    """The SHA-256 of some bytes as 64 lower case hexadecimal digits."""
    return Text(64, pattern=SHA256, shape="64 hexadecimal digits in lower case", **more)


def MonthDay(**more: Any) -> Text:
    """A day of every year, MM-DD."""
    return Text(5, pattern=MONTH_DAY, shape="a month and a day, MM-DD", **more)


def ClockTime(**more: Any) -> Text:
    """A time of every day, HH:MM."""
    return Text(5, pattern=CLOCK_TIME, shape="a time of day, HH:MM", **more)


def plain_number(value: Any) -> bool:
    """True for a JSON number; Python counts true as 1, the wire does not."""
    return isinstance(value, int | float) and not isinstance(value, bool)


class Number(fields.Float):
    """A finite number between limits."""

    def __init__(
        self,
        low: float | None = None,
        high: float | None = None,
        *,
        null: bool = False,
        optional: bool = False,
        says: str | None = None,
    ) -> None:
        self.low, self.high = low, high
        limits: dict[str, Any] = {}
        if low is not None:
            limits["minimum"] = low
        if high is not None:
            limits["maximum"] = high
        super().__init__(**options(null, optional, metadata=described(says, **limits)))

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> float:
        if not plain_number(value) or not math.isfinite(value):
            raise ValidationError("This must be a number, without quotes.")
        _in_range(value, self.low, self.high)
        return value

    def _serialize(self, value: Any, *args: Any, **kwargs: Any) -> Any:
        return value


class Conductivity(Number):
    """A reading of salt in mS/cm; one in uS/cm is a thousand times as big, and named as such."""

    MOST = 20.0

    def __init__(
        self, *, null: bool = False, optional: bool = False, says: str | None = None
    ) -> None:
        super().__init__(0, self.MOST, null=null, optional=optional, says=says)

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> float:
        if plain_number(value) and math.isfinite(value) and value > self.MOST:
            raise ValidationError(
                f"{value:g} mS/cm cannot be. A meter that shows {value:g} uS/cm means "
                f"{value / 1000:g} mS/cm."
            )
        return super()._deserialize(value, *args, **kwargs)


class Whole(fields.Integer):
    """A whole number between limits; 2.9 is not rounded and 3.0 is not accepted."""

    def __init__(
        self,
        low: int = 0,
        high: int = BIGGEST,
        *,
        null: bool = False,
        optional: bool = False,
        default: int | None = None,
        says: str | None = None,
    ) -> None:
        self.low, self.high = low, high
        limits = {"minimum": low} if high == BIGGEST else {"minimum": low, "maximum": high}
        chosen = options(null, optional, metadata=described(says, **limits))
        if default is not None:
            chosen["load_default"] = default
        super().__init__(**chosen)

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> int:
        if not isinstance(value, int) or isinstance(value, bool):
            raise ValidationError("This must be a whole number, without quotes.")
        _in_range(value, self.low, self.high)
        return value


def _in_range(value: float, low: float | None, high: float | None) -> None:
    if (low is not None and value < low) or (high is not None and value > high):
        least = "any" if low is None else f"{low:g}" if abs(low) < 1e6 else str(low)
        most = "any" if high is None else f"{high:g}" if abs(high) < 1e6 else str(high)
        raise ValidationError(f"This must be from {least} to {most}.")


class Truth(fields.Boolean):
    """true or false, nothing that only looks like it."""

    def __init__(
        self, *, null: bool = False, optional: bool = False, says: str | None = None
    ) -> None:
        super().__init__(**options(null, optional, metadata=described(says)))

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError("This must be true or false.")
        return value


class Choice(fields.Field):
    """One of a few words."""

    def __init__(
        self,
        allowed: Iterable[str],
        *,
        null: bool = False,
        optional: bool = False,
        says: str | None = None,
    ) -> None:
        self.allowed = tuple(allowed)
        metadata = described(says, enum=[*self.allowed, None] if null else list(self.allowed))
        super().__init__(**options(null, optional, metadata=metadata))

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> str:
        if not isinstance(value, str) or value not in self.allowed:
            raise ValidationError(f"This must be one of: {', '.join(self.allowed)}.")
        return value


class Level(Number):
    """A reservoir reading in quarters, 0 to 1."""

    MARKS = (0, 0.25, 0.5, 0.75, 1)

    def __init__(self, *, null: bool = True, optional: bool = False) -> None:
        super().__init__(null=null, optional=optional)
        self.metadata["enum"] = [*self.MARKS, None] if null else list(self.MARKS)

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> float:
        number = super()._deserialize(value)
        if number not in self.MARKS:
            raise ValidationError("This must be from 0 to 1, one of: 0, 0.25, 0.5, 0.75, 1.")
        return float(number)


class Moment(fields.Field):
    """A moment, ISO 8601 with its zone. It is checked here and handed on as the text it is."""

    def __init__(
        self, *, null: bool = False, optional: bool = False, says: str | None = None
    ) -> None:
        metadata = described(says, format="date-time")
        super().__init__(**options(null, optional, metadata=metadata))

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> str:
        try:
            moment = datetime.fromisoformat(value)
        except (TypeError, ValueError):
            raise ValidationError("This must be a moment like 2026-05-04T08:30:00Z.") from None
        if moment.tzinfo is None:
            raise ValidationError("This moment needs its zone, for example a Z at the end.")
        return value


class Day(fields.Field):
    """A calendar day in the town's zone, YYYY-MM-DD."""

    def __init__(
        self, *, null: bool = False, optional: bool = False, says: str | None = None
    ) -> None:
        super().__init__(**options(null, optional, metadata=described(says, format="date")))

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> str:
        try:
            if not re.fullmatch(r"\d{4}-\d{2}-\d{2}", value):
                raise ValueError(value)
            date.fromisoformat(value)
        except (TypeError, ValueError):
            raise ValidationError("This must be a day that exists, YYYY-MM-DD.") from None
        return value


OPENAPI_TYPES: tuple[tuple[type[fields.Field], str, str | None], ...] = (
    (Text, "string", None),
    (Choice, "string", None),
    (Moment, "string", "date-time"),
    (Day, "string", "date"),
)
