"""What a service needs to know of its surroundings: settings, clock, and who asks."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime

from argon2 import PasswordHasher

from potrounds.config import Clock, Settings


@dataclass(frozen=True)
class Caller:
    """The person and phone behind a request."""

    phone: str
    person: str
    name: str
    role: str
    device: str
    state: str = "active"
    ends: datetime | None = None

    @property
    def coordinates(self) -> bool:
        """Whether this is a coordinator with a working session."""
        return self.role == "coordinator" and self.state == "active"


@dataclass(frozen=True)
class Context:
    """The surroundings of one request or command. No caller: a passer-by, or the server itself."""

    settings: Settings
    clock: Clock
    caller: Caller | None = None
    address: str = ""
    hasher: PasswordHasher = field(default_factory=PasswordHasher)
    #: Numbers of the changes noted with this context, so that a screen can offer to undo them.
    noted: list[int] = field(default_factory=list, compare=False)

    def now(self) -> datetime:
        """The town's present moment."""
        return self.clock.now()

    @property
    def person(self) -> str | None:
        """The id of the person who asks."""
        return self.caller.person if self.caller else None

    def with_caller(self, caller: Caller | None) -> Context:
        """The same surroundings with somebody else asking."""
        return replace(self, caller=caller)
