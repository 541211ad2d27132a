"""How a service says no: a status, a stable word, and a sentence a person can act on."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

#: JSON pointer to what is wrong, and what is wrong with it.
Fault = tuple[str, str]


class Refusal(Exception):
    """The whole request is refused; the api answers with problem+json."""

    def __init__(
        self,
        status: int,
        slug: str,
        title: str,
        detail: str,
        errors: Iterable[Fault] = (),
        retry_after: int | None = None,
    ) -> None:
        super().__init__(f"{slug}: {detail}")
        self.status = status
        self.slug = slug
        self.title = title
        self.detail = detail
        self.errors = list(errors)
        self.retry_after = retry_after

    def problem(self) -> dict[str, Any]:
        """The body of the answer."""
        return {
            "type": f"/problems/{self.slug}",
            "title": self.title,
            "status": self.status,
            "detail": self.detail,
            **_errors(self.errors),
        }


class ItemRefused(Exception):
    """One item of a batch is refused; the others go on (R11)."""

    def __init__(
        self,
        slug: str,
        title: str,
        detail: str,
        errors: Iterable[Fault] = (),
        id: str | None = None,
    ) -> None:
        super().__init__(f"{slug}: {detail}")
        self.slug = slug
        self.title = title
        self.detail = detail
        self.errors = list(errors)
        self.id = id

    def problem(self) -> dict[str, Any]:
        """The `problem` of the item's result."""
        return {
            "type": f"/problems/{self.slug}",
            "title": self.title,
            "detail": self.detail,
            "errors": [],
            **_errors(self.errors),
        }


def _errors(errors: list[Fault]) -> dict[str, Any]:
    if not errors:
        return {}
    return {"errors": [{"pointer": pointer, "detail": detail} for pointer, detail in errors]}


def not_found(what: str) -> Refusal:
    """The refusal for a thing of the register that is not there."""
    return Refusal(
        404, f"no-such-{what}", "Not in the register", f"There is no {what} with this id."
    )


def name_taken(name: str, pointer: str = "/name") -> Refusal:
    """The refusal of a second thing with the same name."""
    detail = f"There is already one called {name}."
    return Refusal(422, "name-taken", "This name is taken", detail, [(pointer, detail)])


def check_version(now: int, seen: int | None) -> None:
    """Refuse a change made from something else than what is there (F55)."""
    if seen is None:
        raise Refusal(
            428, "version-needed", "Version missing", "Send the version you saw as If-Match."
        )
    if now != seen:
        detail = "Somebody else changed this since you opened it. Look again, then change it."
        raise Refusal(412, "stale-version", "Changed in the meantime", detail)


def no_room(retry_after: int) -> Refusal:
    """The refusal of a batch that could not be written."""
    return Refusal(
        503,
        "store-unavailable",
        "The server cannot write",
        "Nothing of this batch was stored. Your records stay on the phone and are sent again.",
        retry_after=retry_after,
    )
