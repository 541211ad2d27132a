"""Which flags were up on each day of a season, kept so that only new or changed days are judged.

A day of a planter is kept under a hash of all that its rules may look at: the planter, the town's
calendar with the nights known by then, what stands recorded up to its evening, what the balance
believed that morning, and the weather around a new planting. A late record, a correction or a
change in the register thus gives its days another hash, and nothing kept can be stale. What was
judged lies in `<home>/report` too, under a hash of the code of the rules; it may be deleted.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import logging
import os
import tempfile
from bisect import bisect_right
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import potrounds
from potrounds.domain.calendar import TownCalendar
from potrounds.domain.outside import Outside
from potrounds.domain.planter import Planter
from potrounds.domain.report import Line
from potrounds.domain.visits import Standing
from potrounds.flags import RULES, Case

logger = logging.getLogger(__name__)

Up = Mapping[str, tuple[str, tuple[str, ...]]]
#: The rules of new plantings look no further than this beyond the planting. [days]
PLANTING_DAYS = 60
NEW = timedelta(PLANTING_DAYS)
#: So many days newly judged are worth writing to the disk.
WORTH_KEEPING = 200
KEPT_SEASONS = 3
NOTHING: Up = {}


@dataclass(frozen=True)
class Judged:
    """A planter on a day: its flags, and whether its reservoir had run out through the plug."""

    up: Up
    drained: bool


@dataclass
class Book:
    """A season's days as judged: hash and outcome by planter and day."""

    days: dict[str, dict[str, tuple[str, Judged]]] = field(default_factory=dict)
    new: int = 0
    #: What the season came to, planter by planter, under a hash of all it was made of.
    lines: tuple[bytes, tuple[Line, ...]] | None = None


_books: dict[tuple[Path, int], Book] = {}


def forget() -> None:
    """Drop what is kept in memory."""
    _books.clear()


@dataclass(frozen=True)
class Ground:
    """What all planters' days share."""

    calendar: TownCalendar
    outside: Outside
    base: bytes
    nights: dict[date, bytes] = field(default_factory=dict)
    evenings: dict[date, datetime] = field(default_factory=dict)

    def evening(self, day: date) -> datetime:
        """The last moment of a day of the town, as moments are kept."""
        if day not in self.evenings:
            end = datetime.combine(day, time.max, ZoneInfo(self.calendar.zone))
            self.evenings[day] = end.astimezone(UTC)
        return self.evenings[day]

    def nights_by(self, day: date) -> bytes:
        """A hash of the nights known by a day."""
        if day not in self.nights:
            known = [night for night in self.calendar.nights if night.known_by(day)]
            self.nights[day] = hashlib.sha256(repr(known).encode()).digest()[:8]
        return self.nights[day]


def ground_of(calendar: TownCalendar, outside: Outside) -> Ground:
    """The ground of a report."""
    rest = repr((replace(calendar, nights=()), sorted(RULES)))
    return Ground(calendar, outside, hashlib.sha256(code_mark() + rest.encode()).digest())


@cache
def code_mark() -> bytes:
    """A hash of the code that judges."""
    home = Path(potrounds.__file__).parent
    mark = hashlib.sha256()
    for folder in ("domain", "flags", "science"):
        for file in sorted((home / folder).glob("*.py")):
            mark.update(file.name.encode() + file.read_bytes())
    return mark.digest()


def judge_days(
    book: Book,
    ground: Ground,
    planter: Planter,
    stands: Standing,
    case_at: Callable[[date], Case],
    believed: Callable[[date], bytes] | None,
    live: date,
) -> Callable[[date], Judged]:
    """A planter's days; `live` and later are judged each time, as their evening is still to come.

    believed: a hash of what the balance believed on a morning
    """
    key_of = _keys(ground, planter, stands, believed)
    kept = book.days.setdefault(planter.id, {})

    def on(day: date) -> Judged:
        if day >= live:
            return _judge(case_at(day))
        key, name = key_of(day), day.isoformat()
        found = kept.get(name)
        if found is None or found[0] != key:
            found = kept[name] = (key, _judge(case_at(day)))
            book.new += 1
        return found[1]

    return on


def as_judged(case: Case) -> Case:
    """The case as on the card: with its plug out nothing is believed of its water."""
    return replace(case, water=None) if _runs_out(case) else case


def _runs_out(case: Case) -> bool:
    return case.state.drained or case.state.plug.state in ("out", "missing")


def _judge(case: Case) -> Judged:
    drained = _runs_out(case)
    case = as_judged(case)
    raised = {code: rule.judge(case) for code, rule in RULES.items()}
    up = {
        code: (evidence.urgency or RULES[code].urgency, evidence.records)
        for code, evidence in raised.items()
        if evidence is not None
    }
    return Judged(up or NOTHING, drained)


def _keys(
    ground: Ground,
    planter: Planter,
    stands: Standing,
    believed: Callable[[date], bytes] | None,
) -> Callable[[date], str]:
    """The hash of a day, of all that its rules may look at."""
    some = (stands.visits, stands.steps, stands.reports, stands.decisions, stands.plantings)
    seen = sorted(((one.at, _identity(one)) for kind in some for one in kind), key=str)
    seen.sort(key=lambda one: one[0])
    moments = [at for at, _ in seen]
    chain = [hashlib.sha256(ground.base + repr(planter).encode()).digest()]
    for _, identity in seen:
        chain.append(hashlib.sha256(chain[-1] + identity.encode()).digest())
    planted = [one.day for one in stands.plantings]
    planted += [planter.planting.planted_on] if planter.planting else []
    around: dict[date, bytes] = {}

    def weather(first: date) -> bytes:
        if first not in around:
            days = [ground.outside.get(first + timedelta(n)) for n in range(-1, PLANTING_DAYS)]
            around[first] = hashlib.sha256(repr(days).encode()).digest()[:8]
        return around[first]

    def key_of(day: date) -> str:
        parts = [chain[bisect_right(moments, ground.evening(day))], ground.nights_by(day)]
        for first in planted:
            if first <= day <= first + NEW:
                parts.append(weather(first))
        if believed is not None:
            parts.append(believed(day))
        return hashlib.sha256(b"".join(parts)).hexdigest()[:16]

    return key_of


def _identity(seen: Any) -> str:
    """What names a record as it stands: records never change, so their ids say what they say."""
    return repr(
        (
            type(seen).__name__,
            seen.record,
            getattr(seen, "correction", None),
            seen.at,
            seen.day,
            getattr(seen, "time_uncertain", None),
        )
    )


# --- on the disk ---------------------------------------------------------------------------------


def book_of(home: Path, year: int) -> Book:
    """What was judged of a season, from memory or from the disk."""
    key = (home, year)
    if key not in _books:
        while len(_books) >= KEPT_SEASONS:
            _books.pop(next(iter(_books)))
        _books[key] = Book(_read(_file(home, year)))
    return _books[key]


def keep(home: Path, year: int) -> None:
    """Write down what was newly judged; where the disk refuses, the next start takes longer."""
    book = _books.get((home, year))
    if book is None or book.new < WORTH_KEEPING:
        return
    file = _file(home, year)
    told = {
        planter: {
            day: [key, judged.drained, {code: [u, *ids] for code, (u, ids) in judged.up.items()}]
            for day, (key, judged) in days.items()
        }
        for planter, days in book.days.items()
    }
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=file.parent, suffix=".part", delete=False) as part:
            part.write(gzip.compress(json.dumps(told).encode(), compresslevel=1))
        os.replace(part.name, file)
        book.new = 0
    except OSError as trouble:
        logger.warning("what was judged of %s could not be kept: %s", year, trouble)


def _file(home: Path, year: int) -> Path:
    return home / "report" / f"{year}.{code_mark().hex()[:16]}.json.gz"


def _read(file: Path) -> dict[str, dict[str, tuple[str, Judged]]]:
    """What the disk has; a file that is damaged is passed over, and written anew."""
    try:
        told = json.loads(gzip.decompress(file.read_bytes()))
        return {
            planter: {day: (key, _judged(drained, up)) for day, (key, drained, up) in days.items()}
            for planter, days in told.items()
        }
    except FileNotFoundError:
        return {}
    except (OSError, EOFError, ValueError, TypeError, AttributeError) as damage:
        logger.warning("what was judged of a season is judged anew: %s", damage)
        return {}


def _judged(drained: bool, up: dict[str, list[str]]) -> Judged:
    found = {code: (urgency, tuple(ids)) for code, (urgency, *ids) in up.items()}
    return Judged(found or NOTHING, bool(drained))
