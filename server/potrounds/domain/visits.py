"""The records as they now stand: corrections and withdrawals applied, in the order of the field.

Nothing here depends on the order of arrival (R12): a correction may come before its original, a
withdrawal before what it takes back, and a record may come twice.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from potrounds.domain.calendar import local_day
from potrounds.domain.records import (
    CheckIn,
    Correction,
    Decision,
    PlantingDone,
    Record,
    Report,
    StepDone,
    Withdrawal,
)


@dataclass(frozen=True)
class Visit:
    """A check-in as it now stands; `record` stays the id of the original."""

    record: str
    correction: str | None
    by: str
    person: str | None
    at: datetime
    time_uncertain: bool
    day: date
    device: str
    n: int
    check_in: CheckIn
    planter: str = ""

    @property
    def corrected(self) -> bool:
        """Whether its author, or a coordinator, has put it right since."""
        return self.correction is not None

    @property
    def ran_over(self) -> bool:
        """Whether the planter was filled until the overflow ran: the one sure full mark."""
        seen = self.check_in.overflow == "ran-while-filling"
        return seen or self.check_in.litres_how == "to-overflow"

    @property
    def water_given(self) -> bool:
        """Whether water went in through the fill port."""
        return (self.check_in.litres_l or 0) > 0 or self.ran_over

    @property
    def looked_over(self) -> bool:
        """Whether the plants or the pot were looked at, so that a sign not named was not there."""
        return self.check_in.plants is not None or bool(self.check_in.signs)


@dataclass(frozen=True)
class StepMark:
    """A checklist step somebody recorded."""

    record: str
    by: str
    person: str | None
    at: datetime
    time_uncertain: bool
    day: date
    device: str
    n: int
    step: StepDone


@dataclass(frozen=True)
class ReportMark:
    """A passer-by's report."""

    record: str
    at: datetime
    day: date
    report: Report


@dataclass(frozen=True)
class DecisionMark:
    """What a coordinator decided about a flag, and when."""

    record: str
    by: str
    person: str | None
    at: datetime
    day: date
    decision: Decision


@dataclass(frozen=True)
class PlantingMark:
    """A planting somebody recorded at the planter."""

    record: str
    by: str
    person: str | None
    at: datetime
    time_uncertain: bool
    day: date
    device: str
    n: int
    planting: PlantingDone


@dataclass(frozen=True)
class Standing:
    """All that still stands, each oldest first."""

    visits: tuple[Visit, ...] = ()
    steps: tuple[StepMark, ...] = ()
    reports: tuple[ReportMark, ...] = ()
    decisions: tuple[DecisionMark, ...] = ()
    plantings: tuple[PlantingMark, ...] = ()


@dataclass(frozen=True)
class Fate:
    """What became of one record."""

    replaced_by: str | None = None
    withdrawn: bool = False


def effective(records: Iterable[Record], zone: str = "UTC") -> tuple[Visit, ...]:
    """The check-ins as they now stand, oldest first."""
    return standing(records, zone).visits


def standing(records: Iterable[Record], zone: str = "UTC") -> Standing:
    """Everything that still stands, with corrections and withdrawals applied."""
    links = _Links(records)
    visits: list[Visit] = []
    steps: list[StepMark] = []
    reports: list[ReportMark] = []
    decisions: list[DecisionMark] = []
    plantings: list[PlantingMark] = []
    for record in links.in_order:
        if links.is_withdrawn(record):
            continue
        at, day = record.observed_at, local_day(record.observed_at, zone)
        who = (record.author_name, record.author)
        match record.body:
            case CheckIn():
                visits.append(_visit(record, links.correction_of(record), day))
            case StepDone() as step:
                steps.append(_step(record, step, day))
            case Report() as report:
                reports.append(ReportMark(record.id, at, day, report))
            case Decision() as decision:
                decisions.append(DecisionMark(record.id, *who, at, day, decision))
            case PlantingDone() as planting:
                plantings.append(_planting(record, planting, day))
            case _:
                pass
    return Standing(tuple(visits), tuple(steps), tuple(reports), tuple(decisions), tuple(plantings))


def unwithdrawn(records: Iterable[Record]) -> tuple[Record, ...]:
    """The records that nobody took back, each once, in the order of the field."""
    links = _Links(records)
    return tuple(record for record in links.in_order if not links.is_withdrawn(record))


def fate(records: Iterable[Record], record_id: str, author: str | None = None) -> Fate:
    """What became of a record: put right by which one, or taken back.

    Two people may by ill will use one id; `author` then says whose is meant.
    """
    links = _Links(records)
    for record in links.named(record_id):
        if author is not None and record.author != author:
            continue
        winner = links.winner_over(record)
        return Fate(winner.id if winner else None, links.is_withdrawn(record))
    return Fate()


def _order(record: Record) -> tuple[datetime, str, int, str, str]:
    """The order of the field: when it was seen, never when it arrived."""
    return (record.observed_at, record.device, record.n, record.id, record.author or "")


def _newest(record: Record) -> tuple[datetime, int, str]:
    return (record.observed_at, record.n, record.id)


def _may_change(changer: Record, target: Record) -> bool:
    """One's own record, or any record for a coordinator."""
    if changer.extra.get("author_role") == "coordinator":
        return True
    return target.author is not None and changer.author == target.author


def _visit(record: Record, correction: Record | None, day: date) -> Visit:
    body = correction.body if correction else record.body
    check_in = body.check_in if isinstance(body, Correction) else body
    assert isinstance(check_in, CheckIn)
    return Visit(
        record=record.id,
        correction=correction.id if correction else None,
        by=record.author_name,
        person=record.author,
        at=record.observed_at,
        time_uncertain=record.time_uncertain,
        day=day,
        device=record.device,
        n=record.n,
        check_in=check_in,
        planter=record.planter,
    )


def _mark(record: Record, day: date) -> dict[str, Any]:
    """What every mark says of its record."""
    return {
        "record": record.id,
        "by": record.author_name,
        "person": record.author,
        "at": record.observed_at,
        "time_uncertain": record.time_uncertain,
        "day": day,
        "device": record.device,
        "n": record.n,
    }


def _step(record: Record, step: StepDone, day: date) -> StepMark:
    return StepMark(**_mark(record, day), step=step)


def _planting(record: Record, planting: PlantingDone, day: date) -> PlantingMark:
    return PlantingMark(**_mark(record, day), planting=planting)


class _Links:
    """Who corrects and who withdraws what."""

    def __init__(self, records: Iterable[Record]) -> None:
        # The key of a record is author and id (a stranger cannot displace a record by using its
        # id); of two copies of one record the same is kept, whichever came first.
        unique: dict[tuple[str | None, str], Record] = {}
        for record in records:
            key = (record.author, record.id)
            if key not in unique or _order(record) < _order(unique[key]):
                unique[key] = record
        self.in_order = sorted(unique.values(), key=_order)
        self._by_id: dict[str, list[Record]] = {}
        for record in self.in_order:
            self._by_id.setdefault(record.id, []).append(record)
        self._withdrawn = {
            (target.author, target.id)
            for record in self.in_order
            if isinstance(record.body, Withdrawal)
            for target in self.named(record.body.replaces)
            if _may_change(record, target) and not isinstance(target.body, Withdrawal)
        }
        self._corrections: dict[tuple[str | None, str], list[Record]] = {}
        for record in self.in_order:
            if isinstance(record.body, Correction) and not self.is_withdrawn(record):
                for root in self._roots(record):
                    self._corrections.setdefault((root.author, root.id), []).append(record)

    def named(self, record_id: str) -> list[Record]:
        """The records with this id: one, unless two people used the same."""
        return self._by_id.get(record_id, [])

    def is_withdrawn(self, record: Record) -> bool:
        """Whether its author or a coordinator has taken it back."""
        return (record.author, record.id) in self._withdrawn

    def correction_of(self, check_in: Record) -> Record | None:
        """The correction that now stands for a check-in."""
        found = self._corrections.get((check_in.author, check_in.id), [])
        return max(found, key=_newest, default=None)

    def winner_over(self, record: Record) -> Record | None:
        """The correction that stands instead of this check-in or this earlier correction."""
        if isinstance(record.body, CheckIn):
            return self.correction_of(record)
        if isinstance(record.body, Correction):
            for root in self._roots(record):
                winner = self.correction_of(root)
                if winner is not None and winner is not record:
                    return winner
        return None

    def _roots(self, correction: Record) -> list[Record]:
        """The check-ins a correction ends at, through corrections of corrections."""
        roots: list[Record] = []
        seen: set[str] = {correction.id}
        ahead = [correction]
        while ahead:
            body = ahead.pop().body
            if not isinstance(body, Correction) or body.replaces in seen:
                continue  # a loop leads to no check-in
            seen.add(body.replaces)
            for target in self.named(body.replaces):
                if isinstance(target.body, CheckIn) and _may_change(correction, target):
                    roots.append(target)
                ahead.append(target)
        return roots
