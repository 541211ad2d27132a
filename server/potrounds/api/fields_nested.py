"""Field types that hold others: lists with a limit, shapes inside shapes, free objects."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from marshmallow import Schema, ValidationError, fields

from potrounds.api.fields import Choice, described, options


class Several(fields.List):
    """A list with a limit, each value at most once where that is asked for."""

    def __init__(
        self,
        inner: fields.Field,
        most: int | None = None,
        *,
        least: int = 0,
        unique: bool = False,
        null: bool = False,
        optional: bool = False,
        says: str | None = None,
    ) -> None:
        self.most, self.least, self.unique = most, least, unique
        limits: dict[str, Any] = {"uniqueItems": True} if unique else {}
        if most is not None:
            limits["maxItems"] = most
        if least:
            limits["minItems"] = least
        super().__init__(inner, **options(null, optional, metadata=described(says, **limits)))

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> list[Any]:
        if not isinstance(value, list):
            raise ValidationError("This must be a list.")
        if self.most is not None and len(value) > self.most:
            raise ValidationError(f"At most {self.most} entries; this has {len(value)}.")
        if len(value) < self.least:
            raise ValidationError(f"At least {self.least} entries.")
        loaded = super()._deserialize(value, *args, **kwargs)
        if self.unique and len(set(loaded)) != len(loaded):
            raise ValidationError("Each entry may stand here only once.")
        return loaded

    def _serialize(self, value: Any, *args: Any, **kwargs: Any) -> Any:
        if isinstance(value, set | frozenset):
            value = sorted(value)
        return super()._serialize(value, *args, **kwargs)


def Within(
    shape: type[Schema] | Callable[[], Schema],
    *,
    null: bool = False,
    optional: bool = False,
    says: str | None = None,
) -> fields.Nested:
    """Another shape inside this one."""
    return fields.Nested(shape, **options(null, optional, metadata=described(says)))


def ListOf(shape: type[Schema], most: int | None = None, **more: Any) -> Several:
    """A list of another shape."""
    return Several(Within(shape), most, **more)


class Free(fields.Dict):
    """An object whose keys another place judges."""

    def __init__(self, *, optional: bool = False, says: str | None = None) -> None:
        super().__init__(**options(False, optional, metadata=described(says)))

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> Mapping[str, Any]:
        if not isinstance(value, dict):
            raise ValidationError("This must be an object in braces.")
        return value


class OneOfEach(fields.Dict):
    """An object with free keys whose values are each one of a few words."""

    def __init__(self, allowed: Iterable[str], *, says: str | None = None) -> None:
        super().__init__(
            keys=fields.String(),
            values=Choice(allowed),
            **options(False, False, metadata=described(says)),
        )
