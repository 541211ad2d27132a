"""The ledger of erased photos: a file beside the database, one line a photo, only ever added to.

It outlives the database: whoever goes back to an older copy still knows what may not come back.
"""

from __future__ import annotations

import json
import os
from dataclasses import asdict, dataclass
from pathlib import Path

LEDGER = "erased-photos.jsonl"


@dataclass(frozen=True)
class Erased:
    """A photo that is gone for good: its hash, who asked, when."""

    sha: str
    by: str | None
    at: str


def read(path: Path) -> dict[str, Erased]:
    """All of a ledger by hash. A last line that a power cut left half is passed over."""
    found: dict[str, Erased] = {}
    if not path.is_file():
        return found
    for line in path.read_text("utf-8").splitlines():
        try:
            one = Erased(**json.loads(line))
        except (ValueError, TypeError):
            continue
        found.setdefault(one.sha, one)
    return found


def add(path: Path, entries: list[Erased]) -> None:
    """Write photos into a ledger that are not in it, and wait for the disk."""
    known = read(path)
    fresh = [one for one in entries if one.sha not in known]
    if not fresh:
        return
    whole = not path.is_file() or path.read_bytes().endswith(b"\n") or not path.stat().st_size
    text = "".join(json.dumps(asdict(one)) + "\n" for one in fresh)
    with path.open("a", encoding="utf-8") as out:
        out.write(text if whole else "\n" + text)
        out.flush()
        os.fsync(out.fileno())


def merge(source: Path, target: Path) -> None:
    """Add what one ledger knows to another."""
    add(target, list(read(source).values()))
