"""The steps of winterization and start-up, and how a coordinator's edits of them count.

The steps are common practice among people who keep self-watering planters; no published source
but for their order, which follows season-end notes of makers and extension columns.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache

PROOFS = ("none", "photo-or-second", "place", "look")
APPLIES = ("all", "planted", "size", "site")


@dataclass(frozen=True)
class Step:
    """One step of a list. `proof` says what makes it more than somebody's word.

    `which` names the sizes, or the ids of the sites, that a step of "size" or "site" is for.
    """

    code: str
    title: str
    why: str
    proof: str = "none"
    applies_to: str = "all"
    which: tuple[str, ...] = ()

    def applies(self, planted: bool, size: str, site: str) -> bool:
        """Whether a planter has this step to do."""
        match self.applies_to:
            case "planted":
                return planted
            case "size":
                return size in self.which
            case "site":
                return site in self.which
            case _:
                return True


WINTERIZATION = (
    Step(
        "stop-water",
        "Stop feed and top-up",
        "Two to three weeks ahead: the plants drink the reservoir down, less water is left.",
    ),
    Step(
        "read-level",
        "Read and photograph the level",
        "Shows how much water has to run out.",
    ),
    Step(
        "pull-plug",
        "Pull the drain plug",
        "Stay until the water runs, then until it stops. "
        "A photo or a second person makes it proven.",
        proof="photo-or-second",
    ),
    Step(
        "bag-plug",
        "Bag the plug, write where it is",
        "Spring begins with finding the plug.",
        proof="place",
    ),
    Step(
        "flush",
        "Flush outlet and overflow",
        "Until the water comes clear: roots and mix block an outlet, and what stays in freezes.",
    ),
    Step(
        "lift-plants",
        "Lift plants and roots",
        "Rotting roots clog wick and outlet.",
        applies_to="planted",
    ),
    Step(
        "mix",
        "Keep, skim or dump the mix",
        "Salts gather in the top few centimetres; a full pot of wet mix heaves and cracks.",
    ),
    Step(
        "cap-and-raise",
        "Cap the port, raise the pot, outlet free",
        "Rain stays out and what gets in can leave.",
    ),
    Step(
        "second-look",
        "Second look after rain or thaw",
        "On a later day: no standing water. An outlet that blocks overnight is found here.",
        proof="look",
    ),
)

START_UP = (
    Step("inspect", "Look at shell, wick and port", "Frost shows as cracks; a torn wick is dead."),
    Step("flush", "Flush with the plug out", "Winter's dirt and salts leave by the outlet."),
    Step("moisten", "Re-top and moisten the mix", "A wick does not start in dry mix."),
    Step("plug-in", "Plug in, with a good washer", "A hard or split washer weeps all summer."),
    Step("fill", "Fill until the overflow runs", "Seen running: the overflow is free."),
    Step(
        "no-drips",
        "Look for drips after a day",
        "A slow leak shows only after 24 hours.",
        proof="look",
    ),
    Step("plant", "Plant", "Roots need mix that is moist all through."),
    Step(
        "water-from-above",
        "Water from above for 2 to 4 weeks",
        "Until roots reach the mix that the wick keeps moist.",
    ),
)

LISTS = {"winterization": WINTERIZATION, "start-up": START_UP}

#: The steps that proof and state rest on, and why they stay: they may be renamed and moved only.
CORE = {
    "pull-plug": "A planter counts as drained by this step and its proof.",
    "bag-plug": "It says where the plug is; spring begins with finding it.",
    "second-look": "Drained is proven only by a look on a later day.",
    "plug-in": "A planter is back in use by this step.",
    "fill": "The full mark of spring, and the day the look for drips counts from.",
    "no-drips": "A slow leak shows only a day after the fill.",
}


@dataclass(frozen=True)
class Edition:
    """A whole list as a coordinator left it at a moment; `day` is the town's day of it."""

    list: str
    at: datetime
    day: date
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class SeasonList:
    """A list through one season: as it stood when the season began, then each edit within it."""

    base: tuple[Step, ...]
    edits: tuple[Edition, ...] = ()
    others: tuple[Step, ...] = ()  # steps of other seasons, to name a record by

    @property
    def now(self) -> tuple[Step, ...]:
        """The list as it stands, or stood when the season ended."""
        return self.edits[-1].steps if self.edits else self.base

    def at(self, moment: datetime) -> tuple[Step, ...]:
        """The list that was in force at that moment."""
        held = [edit.steps for edit in self.edits if edit.at <= moment]
        return held[-1] if held else self.base

    def step_at(self, code: str, moment: datetime) -> Step | None:
        """A step as it was worded then; where it was not on the list, as it was at any time."""
        return find(self.at(moment), code) or self.step(code)

    def step(self, code: str) -> Step | None:
        """A step as last worded in this season, retired or not; else as any season had it."""
        for steps in (*(edit.steps for edit in reversed(self.edits)), self.base, self.others):
            found = find(steps, code)
            if found:
                return found
        return None

    def retired(self) -> tuple[tuple[Step, date], ...]:
        """Steps that were on the list this season and are no more, and since when."""
        gone: dict[str, tuple[Step, date]] = {}
        before = self.base
        for edit in self.edits:
            for step in before:
                if not find(edit.steps, step.code):
                    gone[step.code] = (step, edit.day)
            for step in edit.steps:
                gone.pop(step.code, None)
            before = edit.steps
        return tuple(gone.values())

    def codes(self) -> frozenset[str]:
        """Every step that was on the list this season."""
        every = (self.base, *(edit.steps for edit in self.edits))
        return frozenset(step.code for steps in every for step in steps)


def find(steps: tuple[Step, ...], code: str) -> Step | None:
    """The step with that code."""
    return next((step for step in steps if step.code == code), None)


@lru_cache
def standard(list_name: str) -> SeasonList:
    """The list as it is before any coordinator has changed it; empty for an unknown one."""
    return SeasonList(LISTS.get(list_name, ()))
