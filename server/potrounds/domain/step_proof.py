"""What makes a step proven: a photo or a second person, the plug's place, a look on a later day.

Common practice, no source.
"""

from __future__ import annotations

from potrounds.domain.spoken import spoken_day
from potrounds.domain.step_lists import Step
from potrounds.domain.visits import StepMark

Marks = dict[str, list[StepMark]]

# What a `look` must come after, and by at least one night.
LOOK_AFTER = {"winterization": "pull-plug", "start-up": "fill"}

# What a proof step that was not begun leaves open.
NOT_BEGUN = {
    "pull-plug": "The drain plug is not pulled yet",
    "bag-plug": "Where the plug is now",
    "second-look": "Second look still to come",
    "no-drips": "A look for drips, a day after the fill",
}


def not_begun(step: Step) -> str | None:
    """What a step that wants proof and was not begun leaves open."""
    if step.proof == "none":
        return NOT_BEGUN.get(step.code)
    return NOT_BEGUN.get(step.code, f"Still to do: {step.title}")


def lacking(step: Step, list_name: str, done: list[StepMark], marks: Marks) -> str | None:
    """What a step that was done lacks to be proven."""
    match step.proof:
        case "photo-or-second":
            if _is_witnessed(done):
                return None
            at_plug = step.code == "pull-plug"
            what = "the plug" if at_plug else f"“{step.title}”"
            return f"A photo or a second person at {what}"
        case "place" if step.code == "bag-plug":
            return None if place_in(marks) else NOT_BEGUN[step.code]
        case "place":
            written = any(mark.step.plug_place for mark in done)
            return None if written else f"Where it is now: {step.title}"
        case "look":
            return _look_lacks(step, list_name, done[-1], marks)
        case _:
            return None


def _look_lacks(step: Step, list_name: str, look: StepMark, marks: Marks) -> str | None:
    """What the latest look lacks: it must come a night after, and have found nothing."""
    second = step.code == "second-look"
    if look.step.standing_water:
        found = "Standing water at the second look" if second else "Dripping when looked at"
        if step.code not in NOT_BEGUN:
            found = f"Something found: {step.title}"
        return f"{found} on {spoken_day(look.day)}: look again once it is put right"
    if second and look.step.standing_water is None:
        return "Whether water stood at the second look"
    if look.time_uncertain:
        return "A look on a day that is sure"
    after = marks.get(LOOK_AFTER[list_name], [])
    before = [mark for mark in after if mark.step.outcome == "done"]
    if before and look.day <= before[-1].day:
        return "Second look still to come, on a later day" if second else not_begun(step)
    return None


def place_in(marks: Marks) -> bool:
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
