"""The day of a list's next step, said once: rounds are planned by it, and calendars show it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from potrounds.domain.calendar import TownCalendar

#: A step without a day of its own may wait so long for a visit made anyway. Common practice.
GRACE_DAYS = 7
#: Steps that look at what became of the one before: whoever comes earlier sees too little.
NOT_EARLIER = ("second-look", "no-drips")
TITLES = {"winterization": "Winterization", "start_up": "Start-up"}


@dataclass(frozen=True)
class StepDays:
    """From when to when a step of a list is due; `firm`: by a date, not by our grace."""

    code: str  # list and step
    title: str
    step: str
    earliest: date
    latest: date
    firm: bool
    why: str


def steps_due(card: Mapping[str, Any], calendar: TownCalendar, today: date) -> Iterator[StepDays]:
    """The next step of each list of a planter's card that is in its season, and every other open
    step with a day of its own. What was left of start-up is no matter once winter's list is on."""
    for name, title in TITLES.items():
        progress = card["lists"][name]
        if not progress["active"] or progress["next"] is None:
            continue
        if name == "start_up" and card["lists"]["winterization"]["active"]:
            continue
        begun = progress["state"] != "not-begun" or name == "winterization"
        if not begun and card["state"]["plug"]["state"] not in ("out", "missing"):
            continue
        freeze = None
        if name == "winterization":
            freeze = calendar.next_freeze(card["site"]["id"], today)
        for step in progress["steps"]:
            if step["code"] == progress["next"] or step.get("due"):
                code = f"{progress['list']}.{step['code']}"
                yield _days(code, title, step, today, freeze.date if freeze else None)


def _days(
    code: str, title: str, step: Mapping[str, Any], today: date, freeze: date | None
) -> StepDays:
    earliest, latest, why = today, today + timedelta(days=GRACE_DAYS), ""
    due = date.fromisoformat(step["due"]) if step.get("due") else None
    if due is not None:
        why = step.get("due_why") or ""
        latest = max(today, due)
        if step["code"] in NOT_EARLIER:
            earliest = latest
    before = None if freeze is None or freeze <= today else freeze - timedelta(days=1)
    if before is not None and earliest <= before < latest:
        latest = before
    firm = due is not None or latest == before
    return StepDays(code, title, step["title"], earliest, latest, firm, why)
