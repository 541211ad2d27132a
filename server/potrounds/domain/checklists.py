"""Winterization and start-up: the steps, and how far a planter has come with them.

The steps are common practice among people who keep self-watering planters; no published source.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from potrounds.domain.spoken import spoken_day
from potrounds.domain.visits import StepMark


@dataclass(frozen=True)
class Step:
    """One step of a list. `proof` says what makes it more than somebody's word."""

    code: str
    title: str
    why: str
    proof: str = "none"  # none | photo-or-second | place | look
    applies_to: str = "all"  # all | planted


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
PROVEN = {"winterization": "proven", "start-up": "done"}

# What a `look` must come after, and by at least one night.
LOOK_AFTER = {"second-look": "pull-plug", "no-drips": "fill"}

SETTLED = ("done", "not-needed")
BEFORE_PULL = ("stop-water", "read-level")

# What a proof step that was not begun leaves open.
NOT_BEGUN = {
    "pull-plug": "The drain plug is not pulled yet",
    "bag-plug": "Where the plug is now",
    "second-look": "Second look still to come",
    "no-drips": "A look for drips, a day after the fill",
}


@dataclass(frozen=True)
class StepProgress:
    """One step at one planter: the step, and who did it."""

    code: str
    title: str
    why: str
    proof: str
    state: str  # todo | done | unproven | not-needed
    by: str | None = None
    person: str | None = None
    at: datetime | None = None
    photos: tuple[str, ...] = ()
    second: str | None = None
    plug_place: str | None = None
    note: str = ""
    level: float | None = None
    record: str | None = None


@dataclass(frozen=True)
class ListProgress:
    """How far a planter has come with a season's list."""

    list: str
    season: int
    state: str  # not-begun | under-way | unproven | proven, or done for start-up
    done: int
    of: int
    next: str | None
    missing: tuple[str, ...]
    steps: tuple[StepProgress, ...]

    def step(self, code: str) -> StepProgress | None:
        """The step with that code."""
        return next((step for step in self.steps if step.code == code), None)


def step_of(list_name: str, code: str) -> Step | None:
    """The step with that code in that list."""
    return next((step for step in LISTS.get(list_name, ()) if step.code == code), None)


def progress(
    steps_done: tuple[StepMark, ...],
    list_name: str,
    season: int,
    *,
    planted: bool = True,
    put_back_at: datetime | None = None,
) -> ListProgress:
    """How far a list has come, from the steps that still stand, oldest first.

    `put_back_at`: when the plug was last seen in during this list's winter; a plug pulled before
    that is no longer pulled, nor has anything looked at before then been looked at.
    """
    marks: dict[str, list[StepMark]] = {step.code: [] for step in LISTS[list_name]}
    for mark in steps_done:
        if (mark.step.list, mark.step.season) != (list_name, season):
            continue
        undone = put_back_at is not None and mark.at <= put_back_at
        if undone and mark.step.step in ("pull-plug", "bag-plug", "second-look"):
            continue
        if mark.step.step in marks:
            marks[mark.step.step].append(mark)
    judged = [_judge(step, marks, planted) for step in LISTS[list_name]]
    steps = tuple(step for step, _ in judged)
    missing = tuple(word for _, word in judged if word)
    state = _state(list_name, steps, missing, begun=any(marks.values()))
    return ListProgress(
        list=list_name,
        season=season,
        state=state,
        done=sum(step.state in SETTLED for step in steps),
        of=len(steps),
        next=_next(steps),
        missing=missing if state != "not-begun" else (),
        steps=steps,
    )


def _next(steps: tuple[StepProgress, ...]) -> str | None:
    """The first step to do; once the plug is out, what belongs before it is past."""
    open_steps = [step.code for step in steps if step.state not in SETTLED]
    pulled = any(step.code == "pull-plug" and step.state != "todo" for step in steps)
    return next((code for code in open_steps if not (pulled and code in BEFORE_PULL)), None)


def _state(
    list_name: str, steps: tuple[StepProgress, ...], missing: tuple[str, ...], *, begun: bool
) -> str:
    """The word for the whole list."""
    if not begun:
        return "not-begun"
    if list_name == "winterization":
        pull = next(step for step in steps if step.code == "pull-plug")
        if pull.state == "todo":
            return "under-way"
        return "unproven" if missing else "proven"
    if any(step.state == "todo" for step in steps):
        return "under-way"
    return "unproven" if missing else "done"


def _judge(
    step: Step, marks: dict[str, list[StepMark]], planted: bool
) -> tuple[StepProgress, str | None]:
    """One step's progress, and in plain words what its proof still lacks."""
    own = marks[step.code]
    done = [mark for mark in own if mark.step.outcome == "done"]
    blank = StepProgress(step.code, step.title, step.why, step.proof, "todo")
    if done:
        lacking = _lacking(step, done, marks)
        return _filled(blank, "unproven" if lacking else "done", done), lacking
    if own or (step.applies_to == "planted" and not planted):
        return _filled(blank, "not-needed", own), None
    known = step.proof == "place" and _place_in(marks)
    return blank, None if known else NOT_BEGUN.get(step.code)


def _lacking(step: Step, done: list[StepMark], marks: dict[str, list[StepMark]]) -> str | None:
    """What a step that was done lacks to be proven."""
    match step.proof:
        case "photo-or-second":
            return None if _is_witnessed(done) else "A photo or a second person at the plug"
        case "place":
            return None if _place_in(marks) else NOT_BEGUN[step.code]
        case "look":
            return _look_lacks(step, done[-1], marks)
        case _:
            return None


def _look_lacks(step: Step, look: StepMark, marks: dict[str, list[StepMark]]) -> str | None:
    """What the latest look lacks: it must come a night after, and have found nothing."""
    winter = step.code == "second-look"
    if look.step.standing_water:
        found = "Standing water at the second look" if winter else "Dripping when looked at"
        return f"{found} on {spoken_day(look.day)}: look again once it is put right"
    if winter and look.step.standing_water is None:
        return "Whether water stood at the second look"
    if look.time_uncertain:
        return "A look on a day that is sure"
    before = [mark for mark in marks[LOOK_AFTER[step.code]] if mark.step.outcome == "done"]
    if before and look.day <= before[-1].day:
        return "Second look still to come, on a later day" if winter else NOT_BEGUN[step.code]
    return None


def _place_in(marks: dict[str, list[StepMark]]) -> bool:
    """Whether anyone wrote down where the plug is, at the bag or at the pull."""
    held = marks.get("bag-plug", []) + marks.get("pull-plug", [])
    return any(mark.step.plug_place for mark in held)


def _is_witnessed(done: list[StepMark]) -> bool:
    """A photo, a second person named, or the step recorded by two people."""
    if any(mark.step.photos or _other(mark.step.second, mark.by) for mark in done):
        return True
    return len({mark.person for mark in done if mark.person}) > 1


def _other(second: str | None, by: str) -> bool:
    """Whether a named second person is somebody else than the author."""
    named = (second or "").strip().casefold()
    return bool(named) and named != by.strip().casefold()


def _filled(blank: StepProgress, state: str, marks: list[StepMark]) -> StepProgress:
    """The step with its newest record's author, and the photos of all its records."""
    if not marks:
        return replace(blank, state=state)
    last = marks[-1]
    photos = dict.fromkeys(photo for mark in marks for photo in mark.step.photos)
    return replace(
        blank,
        state=state,
        by=last.by,
        person=last.person,
        at=last.at,
        photos=tuple(photos),
        second=_newest(mark.step.second for mark in marks),
        plug_place=_newest(mark.step.plug_place for mark in marks),
        note=_newest(mark.step.note for mark in marks) or "",
        level=last.step.level,
        record=last.record,
    )


def _newest(words: Iterable[str | None]) -> str | None:
    """The last of them that says anything."""
    said = [word for word in words if word]
    return said[-1] if said else None
