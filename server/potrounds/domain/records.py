"""One frozen dataclass per kind of record, made from the very text a phone froze at Save.

A record is never changed (R3). Its text is kept byte for byte (R4); what is parsed here is only a
reading of it, so a later version may read more out of an old text, never less.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

LEVELS = (0.0, 0.25, 0.5, 0.75, 1.0)
READ_BY = ("float", "dipstick", "sight-tube", "lifted-cap")
OVERFLOW = ("not-looked", "dry", "ran-while-filling", "wet-on-arrival")
LITRES_HOW = ("typed", "hose-timer", "to-overflow")
SIGNS = (
    "wilting",
    "yellowing",
    "soggy-mix",
    "dry-mix",
    "salt-crust",
    "pests",
    "broken",
    "vandalism",
    "bad-smell",
    "trailing-to-ground",
    "path-blocked",
    "tag-damaged",
)
DONE = ("fed", "trimmed", "deadheaded", "flushed", "cap-closed", "cleaned")
PLUG = ("in", "out", "missing", "not-looked")
LISTS = ("winterization", "start-up")
STEP_OUTCOMES = ("done", "not-needed")
MIX = ("keep", "skim", "dump")
DECISIONS = ("seen", "not-a-problem", "handed", "settled", "next-round")
REPORT_WHAT = ("dry", "wilting", "leaking", "damaged", "blocking", "other")
EC_METHODS = ("1:2", "saturated", "pour-through")
ROUND_WHAT = ("started", "ended", "hours")
STOP_WHAT = ("skipped", "handed", "added")
SKIP_REASONS = ("no-time", "no-water", "not-needed", "blocked", "hazard", "other")
KINDS = (
    *("check-in", "correction", "withdrawal", "step", "decision", "report", "planting"),
    *("round", "stop"),
)
VERSIONS = (1,)


@dataclass(frozen=True)
class CheckIn:
    """One visit as the volunteer saw it. Everything may be missing: nobody must guess."""

    level: float | None = None
    read_by: str | None = None
    litres_l: float | None = None
    litres_how: str | None = None
    overhead_l: float | None = None
    overflow: str = "not-looked"
    plants: int | None = None
    signs: frozenset[str] = frozenset()
    done: frozenset[str] = frozenset()
    feed_what: str | None = None
    feed_strength: str | None = None
    feed_ppm_n: float | None = None
    feed_l: float | None = None
    ec_method: str | None = None
    ec_ms_cm: float | None = None
    plug: str = "not-looked"
    photos: tuple[str, ...] = ()
    note: str = ""
    round: str | None = None


@dataclass(frozen=True)
class Correction:
    """The whole check-in again, as it should have been."""

    replaces: str
    check_in: CheckIn


@dataclass(frozen=True)
class Withdrawal:
    """A record its author takes back."""

    replaces: str
    reason: str = ""


@dataclass(frozen=True)
class StepDone:
    """One step of a checklist, done at one planter for one season."""

    list: str
    season: int
    step: str
    outcome: str = "done"
    level: float | None = None
    second: str | None = None
    plug_place: str | None = None
    mix: str | None = None
    standing_water: bool | None = None
    photos: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True)
class Decision:
    """What a coordinator decided about a flag, and the records the flag rested on then.

    With "next-round": the round it was put on, if one had been told (else the next that is
    planned), and what the flag said, so that whoever walks there knows why.
    """

    flag: str
    decision: str
    until: date | None = None
    to: str | None = None
    check_in: str | None = None
    evidence: tuple[str, ...] = ()
    note: str = ""
    round: str | None = None
    why: str = ""


@dataclass(frozen=True)
class Report:
    """A passer-by's word about a planter. No name, no account, no photo."""

    what: str
    text: str = ""


@dataclass(frozen=True)
class PlantingDone:
    """What somebody planted here: names, how many of each where counted, and the mix."""

    plants: tuple[str, ...] = ()
    counts: tuple[int | None, ...] = ()
    scheme: str = ""
    retopped: bool | None = None
    photos: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True)
class RoundMark:
    """A round begun or ended, or its minutes put right by hand. It belongs to no planter."""

    round: str
    what: str
    minutes: int | None = None
    note: str = ""


@dataclass(frozen=True)
class StopMark:
    """A stop of a round skipped, handed to somebody, or added on site."""

    round: str
    what: str
    reason: str | None = None
    to: str | None = None
    note: str = ""


Body = (
    CheckIn
    | Correction
    | Withdrawal
    | StepDone
    | Decision
    | Report
    | PlantingDone
    | RoundMark
    | StopMark
)


@dataclass(frozen=True)
class Record:
    """A record with what the server knows of it: who sent it and when it was seen (R12)."""

    id: str
    kind: str
    planter: str
    body: Body
    observed_at: datetime
    seq: int = 0
    author: str | None = None
    author_name: str = ""
    device: str = ""
    n: int = 0
    time_uncertain: bool = False
    extra: dict[str, Any] = field(default_factory=dict, compare=False, hash=False)


def _strings(value: Any) -> tuple[str, ...]:
    return tuple(value or ())


def check_in_from(body: dict[str, Any]) -> CheckIn:
    """Read a check-in's body; unknown keys stay in the raw text and are ignored here."""
    feed, ec = body.get("feed") or {}, body.get("ec") or {}
    return CheckIn(
        level=body.get("level"),
        read_by=body.get("read_by"),
        litres_l=body.get("litres_l"),
        litres_how=body.get("litres_how"),
        overhead_l=body.get("overhead_l"),
        overflow=body.get("overflow") or "not-looked",
        plants=body.get("plants"),
        signs=frozenset(_strings(body.get("signs"))),
        done=frozenset(_strings(body.get("done"))),
        feed_what=feed.get("what"),
        feed_strength=feed.get("strength"),
        feed_ppm_n=feed.get("ppm_n"),
        feed_l=feed.get("litres_l"),
        ec_method=ec.get("method"),
        ec_ms_cm=ec.get("ms_cm"),
        plug=body.get("plug") or "not-looked",
        photos=_strings(body.get("photos")),
        note=body.get("note") or "",
        round=body.get("round"),
    )


def _step_from(body: dict[str, Any]) -> StepDone:
    return StepDone(
        list=body["list"],
        season=body["season"],
        step=body["step"],
        outcome=body.get("outcome") or "done",
        level=body.get("level"),
        second=body.get("second") or None,
        plug_place=body.get("plug_place") or None,
        mix=body.get("mix"),
        standing_water=body.get("standing_water"),
        photos=_strings(body.get("photos")),
        note=body.get("note") or "",
    )


def _decision_from(body: dict[str, Any]) -> Decision:
    until = body.get("until")
    return Decision(
        flag=body["flag"],
        decision=body["decision"],
        until=date.fromisoformat(until) if until else None,
        to=body.get("to"),
        check_in=body.get("check_in"),
        evidence=_strings(body.get("evidence")),
        note=body.get("note") or "",
        round=body.get("round"),
        why=body.get("why") or "",
    )


def _planting_from(body: dict[str, Any]) -> PlantingDone:
    plants = body.get("plants") or ()
    return PlantingDone(
        plants=tuple(one["name"] for one in plants),
        counts=tuple(one.get("count") for one in plants),
        scheme=body.get("scheme") or "",
        retopped=body.get("retopped"),
        photos=_strings(body.get("photos")),
        note=body.get("note") or "",
    )


def body_from(kind: str, body: dict[str, Any]) -> Body:
    """Read the body of a record of one of KINDS.

    Raises: ValueError for a kind this version does not know; KeyError for a missing required key.
    """
    match kind:
        case "check-in":
            return check_in_from(body)
        case "correction":
            return Correction(replaces=body["replaces"], check_in=check_in_from(body["check_in"]))
        case "withdrawal":
            return Withdrawal(replaces=body["replaces"], reason=body.get("reason") or "")
        case "step":
            return _step_from(body)
        case "decision":
            return _decision_from(body)
        case "report":
            return Report(what=body["what"], text=body.get("text") or "")
        case "planting":
            return _planting_from(body)
        case "round":
            return RoundMark(
                body["round"], body["what"], body.get("minutes"), body.get("note") or ""
            )
        case "stop":
            return StopMark(
                body["round"],
                body["what"],
                body.get("reason"),
                body.get("to"),
                body.get("note") or "",
            )
        case _:
            raise ValueError(f"a record of kind {kind!r} is newer than this server")
