"""From events to records: counters, ids, phones' clocks, batches, and the exact text of each."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any

import summer
import town
from events import ZONE, Event, later, local
from rounds import TOWN

SIGNAL = ("Station forecourt", "Market street")  # the other two sites have none
CLOCK = datetime.fromisoformat(town.CLOCK)
FEW_SECONDS = timedelta(milliseconds=340)
SERVER = "00000000-0000-4000-8000-000000000000"  # stands for the server in passers-by's reports
GONE = "p-ferry000"  # no longer in the register

Line = dict[str, Any]


def _uuid(bits: int, version: int) -> str:
    bits &= ~(0xF << 76) & ~(0x3 << 62)
    digits = f"{bits | version << 76 | 0x2 << 62:032x}"
    return "-".join((digits[:8], digits[8:12], digits[12:16], digits[16:20], digits[20:]))


def uuid7(at: datetime, rng: Random) -> str:
    """An id as a phone makes it: milliseconds by its own clock, then chance (RFC 9562)."""
    ms = max(0, round(at.timestamp() * 1000))
    return _uuid(ms << 80 | rng.getrandbits(80), 7)


def devices() -> dict[str, str]:
    """One phone a person."""
    rng = Random(f"{town.SEED}:phones")
    return {name: _uuid(rng.getrandbits(128), 4) for name in town.PEOPLE}


def stamp(at: datetime) -> str:
    return at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _wall(event: Event, at: datetime) -> datetime:
    """What the phone's clock said."""
    if event.key == summer.LOST_CLOCK:
        return datetime(1970, 1, 1, 1, 12, 9, 480000, ZONE)
    return at + (summer.FAST_BY if event.person == summer.FAST_PERSON else timedelta())


def _outings(own: list[Event]) -> Iterable[list[Event]]:
    """What one phone recorded on one way out."""
    batch: list[Event] = []
    for event in own:
        if batch and event.at - batch[-1].at > timedelta(minutes=75):
            yield batch
            batch = []
        batch.append(event)
    if batch:
        yield batch


def _send_times(outing: list[Event], rng: Random) -> list[datetime]:
    """When each record of an outing got through, never one before the one that came before it."""
    wait = rng.choices((rng.uniform(6, 50), rng.uniform(120, 300)), (7, 3))[0]
    home = min(later(outing[-1].at, wait), CLOCK - timedelta(minutes=4))
    home = max(home, outing[-1].at + timedelta(seconds=5))
    day = outing[0].at.astimezone(ZONE).date()
    if outing[0].person == summer.LATE_PERSON and summer.LATE_FROM <= day <= summer.LATE_TO:
        return [local(*summer.LATE_SENT)] * len(outing)
    times: list[datetime] = []
    for event in outing:
        quick = event.site in SIGNAL and event.key != summer.LOST_CLOCK
        own = event.at + timedelta(seconds=rng.uniform(2, 25)) if quick else home
        times.append(own)
    for i in range(len(times) - 2, -1, -1):  # what waits for its home lets nothing pass
        times[i] = min(times[i], home)
    for i in range(1, len(times)):
        times[i] = max(times[i], times[i - 1])
    return times


def _resolve(value: Any, ids: dict[str, str], shas: dict[str, str]) -> Any:
    if isinstance(value, dict):
        return {k: _resolve(v, ids, shas) for k, v in value.items()}
    if isinstance(value, list):
        return [_resolve(v, ids, shas) for v in value]
    if isinstance(value, str) and value.startswith("@person:"):
        return town.PEOPLE[value.removeprefix("@person:")][0]
    if isinstance(value, str) and value.startswith("@"):
        return ids[value[1:]]
    return value


ORDER = (
    "round",
    *("replaces", "check_in", "reason", "list", "season", "step", "outcome", "flag", "decision"),
    *("until", "to", "what", "text", "level", "read_by", "litres_l", "litres_how", "overhead_l"),
    *("overflow", "plants", "signs", "done", "feed", "plug", "second", "plug_place", "mix"),
    *("scheme", "retopped", "standing_water", "evidence", "photos", "note"),
)


def _body(event: Event, ids: dict[str, str], shas: dict[str, str]) -> dict[str, Any]:
    """The body in the order the phone writes it."""
    body = _resolve(event.body, ids, shas)
    if event.key in shas:
        body["photos"] = [shas[event.key]]
    if "check_in" in body:
        original = event.body["replaces"].removeprefix("@")
        if original in shas:
            body["check_in"]["photos"] = [shas[original]]
        inner = body["check_in"]
        body["check_in"] = {k: inner[k] for k in ORDER if k in inner}
    return {k: body[k] for k in ORDER if k in body}


def lines(events: list[Event], shas: dict[str, str]) -> list[Line]:
    """All records as they reached the server, in the order of their arrival."""
    phones: dict[str | None, str] = {None: SERVER}
    phones.update(devices())
    by_phone: dict[str | None, list[Event]] = defaultdict(list)
    for event in sorted(events, key=lambda e: (e.at, e.key)):
        by_phone[event.person].append(event)
    ids: dict[str, str] = {}
    drafts: list[tuple[Line, Event, datetime]] = []
    for person in sorted(by_phone, key=str):
        rng = Random(f"{town.SEED}:sending:{person}")
        n = 0
        for outing in _outings(by_phone[person]):
            times = _send_times(outing, rng) if person else [e.at for e in outing]
            for event, sent in zip(outing, times, strict=True):
                n += 2 if person == "Tomas" and n == 20 else 1  # his record 21 never arrives
                wall = _wall(event, event.at)
                ids[event.key] = uuid7(wall, rng)
                fast = summer.FAST_BY if person == summer.FAST_PERSON else timedelta()
                line = {
                    "author": town.PEOPLE[person][0] if person else None,
                    "device": phones[person],
                    "n": n,
                    "received_at": stamp(sent + FEW_SECONDS if person else sent),
                    "sent_at": stamp(sent + fast),
                    "expect": "held" if event.held else "stored",
                }
                drafts.append((line, event, wall))
    for line, event, wall in drafts:
        line["text"] = _text(line, event, wall, ids, shas)
    found = [line for line, _, _ in drafts]
    return sorted(found, key=lambda line: (line["received_at"], line["device"], line["n"]))


def _text(
    line: Line, event: Event, wall: datetime, ids: dict[str, str], shas: dict[str, str]
) -> str:
    """The text as the phone froze it."""
    known = town.PLANTERS.get(event.planter)
    record = {
        "v": 1,
        "id": ids[event.key],
        "kind": event.kind,
        "planter": known.id if known else TOWN if event.planter == TOWN else GONE,
        "device": line["device"],
        "n": line["n"],
        "wall": wall.astimezone(ZONE).isoformat(timespec="milliseconds"),
        "body": _body(event, ids, shas),
    }
    return json.dumps(record, ensure_ascii=False, separators=(",", ":"))
