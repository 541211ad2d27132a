"""How one kind of change is taken back: what stands now, and how the earlier state is written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from potrounds.services.context import Context
from potrounds.services.refusal import Refusal
from potrounds.store.register import Change

State = dict[str, Any]


def nothing_against(ctx: Context, change: Change, before: State, after: State) -> str | None:
    """For kinds of which every change can be taken back."""
    return None


def _no_thing(*_: Any) -> None:
    raise AssertionError("only things come and go; a way without a mark has neither")


@dataclass(frozen=True)
class Way:
    """The way back of one kind of change.

    now: ref -> the state as changes keep it, as plain JSON; None where the thing is not there
    put: writes the named values; None for a key takes that value away
    mark: a key that a thing has as long as it is in the register; none for what only has values
    add, remove: bring a thing back with what it was; take it off
    keys: the keys that belong to this kind; none for all
    kept_only: its lines are in people's words, so a change without kept values cannot go back
    against: in words, why this very change cannot be taken back; None when it can
    say: a value in people's words, where its key and the plain value would not do
    same: whether two values of a key are the same
    overrun: what of other things putting these values back would take away
    """

    now: Callable[[str], State | None]
    put: Callable[[Context, str, State], Any]
    mark: str | None = None
    add: Callable[[Context, str, State], Any] = _no_thing
    remove: Callable[[Context, str], Any] = _no_thing
    keys: tuple[str, ...] | None = None
    kept_only: bool = False
    against: Callable[[Context, Change, State, State], str | None] = nothing_against
    say: Callable[[str, Any], Any] = lambda key, value: value
    same: Callable[[str, Any, Any], bool] = lambda key, one, other: bool(one == other)
    overrun: Callable[[str, State], list[State]] = lambda ref, values: []

    def adds(self, before: State, after: State) -> bool:
        """Whether the change brought the thing into the register."""
        mark = self.mark
        return bool(mark) and before.get(mark) is None and after.get(mark) is not None

    def removes(self, before: State, after: State) -> bool:
        """Whether the change took the thing off the register."""
        return self.adds(after, before)

    def touched(self, before: State, after: State) -> list[str]:
        """The keys that the change set, of those that belong to its kind."""
        return [
            key
            for key in {**before, **after}
            if (self.keys is None or key in self.keys) and before.get(key) != after.get(key)
        ]


def stays(detail: str) -> Refusal:
    """The refusal of an undo that would break something."""
    return Refusal(409, "cannot-undo", "This cannot be undone", detail)
