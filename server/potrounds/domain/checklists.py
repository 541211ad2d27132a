"""How far a planter has come with a season's list: what is done, proven, missing.

Proof by photo, second person and a later look is common practice, no source. What an edit of the
list means for those who are under way: a record is judged by the list as it stood when it was
made; a step added in mid-season is asked of planters not yet proven; one retired in mid-season
stays shown where it was done; a code nobody knows is shown as it came.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime

from potrounds.domain.spoken import spoken_day
from potrounds.domain.step_lists import SeasonList, Step, standard
from potrounds.domain.step_proof import Marks, lacking, not_begun, place_in
from potrounds.domain.visits import StepMark

PROVEN = {"winterization": "proven", "start-up": "done"}

SETTLED = ("done", "not-needed")
BEFORE_PULL = ("stop-water", "read-level")


@dataclass(frozen=True)
class StepProgress:
    """One step at one planter: the step, and who did it.

    `asked` is false for what is shown only because it was recorded: a retired step, an unknown
    one. `said` explains it, `due` and `due_why` say when to come.
    """

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
    asked: bool = True
    said: str | None = None
    due: date | None = None
    due_why: str | None = None


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

    @property
    def proven(self) -> bool:
        """Whether nothing is left to prove."""
        return self.state == PROVEN[self.list]


@dataclass(frozen=True)
class Where:
    """What decides which steps a planter has."""

    planted: bool = True
    size: str = ""
    site: str = ""

    def has(self, step: Step) -> bool:
        """Whether the step is for this planter."""
        return step.applies(self.planted, self.size, self.site)


def progress(
    steps_done: tuple[StepMark, ...],
    list_name: str,
    season: int,
    *,
    where: Where = Where(),
    put_back_at: datetime | None = None,
    plan: SeasonList | None = None,
) -> ListProgress:
    """How far a list has come, from the steps that still stand, oldest first.

    `put_back_at`: when the plug was last seen in during this list's winter; a plug pulled before
    that is no longer pulled, nor has anything looked at before then been looked at. `plan`: the
    list through this season with its edits; None: the list nobody has edited.
    """
    plan = plan or standard(list_name)
    own = [mark for mark in steps_done if (mark.step.list, mark.step.season) == (list_name, season)]
    marks: Marks = {code: [] for code in plan.codes()}
    strange: Marks = {}
    for mark in own:
        undone = put_back_at is not None and mark.at <= put_back_at
        if undone and mark.step.step in ("pull-plug", "bag-plug", "second-look"):
            continue
        marks.get(mark.step.step, strange.setdefault(mark.step.step, [])).append(mark)
    excused = _excused(plan, list_name, marks, where)
    judged = _judged(plan.now, plan, list_name, marks, where, excused)
    steps, missing = [step for step, _ in judged], tuple(word for _, word in judged if word)
    asked = tuple(steps)
    shown = [*steps, *_no_longer_asked(plan, marks), *_unknown(strange, plan)]
    state = _state(list_name, asked, missing, begun=any(marks.values()))
    return ListProgress(
        list=list_name,
        season=season,
        state=state,
        done=sum(step.state in SETTLED for step in asked),
        of=len(asked),
        next=_next(asked),
        missing=missing if state != "not-begun" else (),
        steps=tuple(shown),
    )


def _excused(plan: SeasonList, list_name: str, marks: Marks, where: Where) -> dict[str, date]:
    """Steps added in mid-season when the planter was proven already: not asked, and since when."""
    excused: dict[str, date] = {}
    before = plan.base
    for edit in plan.edits:
        new = {step.code for step in edit.steps} - {step.code for step in before}
        if new:
            then = {code: [m for m in all_ if m.at <= edit.at] for code, all_ in marks.items()}
            judged = _judged(before, plan, list_name, then, where, excused)
            missing = tuple(word for _, word in judged if word)
            steps = tuple(step for step, _ in judged)
            state = _state(list_name, steps, missing, begun=any(then.values()))
            if state == PROVEN[list_name]:
                excused |= dict.fromkeys(new, edit.day)
        before = edit.steps
    return excused


def _judged(
    steps: tuple[Step, ...],
    plan: SeasonList,
    list_name: str,
    marks: Marks,
    where: Where,
    excused: dict[str, date],
) -> list[tuple[StepProgress, str | None]]:
    """Each step's progress, and in plain words what its proof still lacks."""
    found: list[tuple[StepProgress, str | None]] = []
    for step in steps:
        since = excused.get(step.code)
        if since is not None and not marks[step.code]:
            said = f"Added on {spoken_day(since)}, when this planter was proven: not asked."
            blank = _blank(step, "not-needed")
            found.append((replace(blank, said=said), None))
            continue
        found.append(_judge(_as_recorded(step, plan, marks), list_name, marks, where))
    return found


def _as_recorded(step: Step, plan: SeasonList, marks: Marks) -> Step:
    """A step that was done keeps the name and the proof it had when it was first done."""
    done = [mark for mark in marks[step.code] if mark.step.outcome == "done"]
    return plan.step_at(step.code, done[0].at) or step if done else step


def _no_longer_asked(plan: SeasonList, marks: Marks) -> list[StepProgress]:
    """Steps retired in mid-season that were done before, or by a phone that did not know yet."""
    shown = []
    for step, since in plan.retired():
        own = marks[step.code]
        if not own:
            continue
        done = any(mark.step.outcome == "done" for mark in own)
        filled = _filled(_blank(_as_recorded(step, plan, marks)), "done", own)
        said = f"Retired on {spoken_day(since)}; what was recorded stays."
        state = "done" if done else "not-needed"
        shown.append(replace(filled, state=state, asked=False, said=said))
    return shown


def _unknown(strange: Marks, plan: SeasonList) -> list[StepProgress]:
    """Records of steps this season's list has not: kept, shown, and counted nowhere."""
    shown = []
    for code, own in strange.items():
        if own:
            step = plan.step(code) or Step(code, code, "")
            filled = _filled(_blank(step), "done", own)
            said = "Not on this season's list; the record is kept as it came."
            shown.append(replace(filled, asked=False, said=said))
    return shown


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


def _blank(step: Step, state: str = "todo") -> StepProgress:
    return StepProgress(step.code, step.title, step.why, step.proof, state)


def _judge(
    step: Step, list_name: str, marks: Marks, where: Where
) -> tuple[StepProgress, str | None]:
    """One step's progress, and in plain words what its proof still lacks."""
    own = marks[step.code]
    done = [mark for mark in own if mark.step.outcome == "done"]
    blank = _blank(step)
    if done:
        lacks = lacking(step, list_name, done, marks)
        return _filled(blank, "unproven" if lacks else "done", done), lacks
    if own or not where.has(step):
        return _filled(blank, "not-needed", own), None
    known = step.code == "bag-plug" and place_in(marks)
    return blank, None if known else not_begun(step)


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
