"""Photos on disk, named by the hash of the bytes that were sent; a row only once they lie safe.

Order (R13): temporary file on the same disk while hashing, clean copies beside it, fsync, rename,
fsync of the folder, then the row. A kill at any point leaves no half photo under a final name.
"""

from __future__ import annotations

import hashlib
import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Protocol

from potrounds.store import tables
from potrounds.store.pictures import NotAPhoto, Size, re_encode

CHUNK = 64 * 1024
SIZES = ("full", "small")


class Stream(Protocol):
    """What bytes can be read from."""

    def read(self, size: int, /) -> bytes: ...


@dataclass(frozen=True)
class Photo:
    """A photo that arrived."""

    sha: str
    state: str
    size_bytes: int
    width: int
    height: int


def path_of(folder: Path, sha: str, size: str) -> Path:
    """Where a clean copy lies."""
    return folder / sha[:2] / f"{sha}.{size}.jpg"


def find(sha: str) -> Photo | None:
    """The photo with this hash, here or removed."""
    row = tables.Photo.get_or_none(tables.Photo.sha == sha)
    return Photo(row.sha, row.state, row.size_bytes, row.width, row.height) if row else None


def is_named_by(sha: str, author: str) -> bool:
    """Whether a record of this person names the photo."""
    named = tables.PhotoNamed
    return bool(named.select().where(named.sha == sha, named.author == author).exists())


def author_of(sha: str) -> str | None:
    """A person whose record names the photo."""
    named = tables.PhotoNamed
    row = named.get_or_none((named.sha == sha) & named.author.is_null(False))
    return row.author if row else None


def is_known(sha: str) -> bool:
    """Whether any record named this photo, or it arrived."""
    named = tables.PhotoNamed
    return bool(named.select().where(named.sha == sha).exists()) or find(sha) is not None


def erased() -> dict[str, tuple[str | None, datetime]]:
    """Photos that were erased: who asked and when, by hash."""
    query = tables.Photo.select().where(tables.Photo.state == "erased")
    return {row.sha: (row.by, row.at) for row in query}


def mark_erased(sha: str, by: str | None, at: datetime) -> None:
    """What is left of an erased photo: hash, who, when. One that never arrived is refused then."""
    values = {"state": "erased", "size_bytes": 0, "width": 0, "height": 0}
    if tables.Photo.get_or_none(tables.Photo.sha == sha) is None:
        tables.Photo.create(sha=sha, by=by, at=at, **values)
    else:
        tables.Photo.update(by=by, at=at, **values).where(
            tables.Photo.sha == sha, tables.Photo.state != "erased"
        ).execute()


def files_of(folder: Path, sha: str) -> list[Path]:
    """The copies of a photo that lie on disk."""
    return [path for size in SIZES if (path := path_of(folder, sha, size)).exists()]


def remove_files(folder: Path, sha: str) -> None:
    """Remove the copies of a photo, and wait for the disk."""
    there = files_of(folder, sha)
    for path in there:
        path.unlink(missing_ok=True)
    if there:
        _fsync(there[0].parent)


def planters_of(sha: str) -> list[str]:
    """Planters whose stored records name a photo."""
    query = (
        tables.LogEntry.select(tables.LogEntry.planter)
        .join(tables.PhotoNamed, on=(tables.PhotoNamed.record == tables.LogEntry.id))
        .where(tables.PhotoNamed.sha == sha)
        .distinct()
    )
    return sorted(row.planter for row in query)


def states_at(planter: str) -> dict[str, str]:
    """here or erased, for the photos that a planter's records name and that ever arrived."""
    query = (
        tables.Photo.select(tables.Photo.sha, tables.Photo.state)
        .join(tables.PhotoNamed, on=(tables.PhotoNamed.sha == tables.Photo.sha))
        .join(tables.LogEntry, on=(tables.LogEntry.id == tables.PhotoNamed.record))
        .where(tables.LogEntry.planter == planter)
    )
    return {row.sha: row.state for row in query}


def take_in(folder: Path, sha: str, stream: Stream, length: int) -> tuple[Size, int]:
    """Bring the bytes of a photo safely to disk as two clean copies.

    Raises: NotAPhoto for the wrong length or hash, or bytes that are no photo of ours; OSError
    when the disk refuses. Nothing is left behind then.
    """
    incoming = folder / "incoming"
    incoming.mkdir(parents=True, exist_ok=True)
    with _temporary(incoming) as (raw, full, small):
        _receive(raw, sha, stream, length)
        size = re_encode(raw, full, small)
        _settle(folder, sha, {"full": full, "small": small})
    return size, path_of(folder, sha, "full").stat().st_size


def add(sha: str, size: Size, size_bytes: int, by: str | None, at: datetime) -> None:
    """The row of a photo whose files lie safe; one that is there already stays."""
    tables.Photo.insert(
        sha=sha,
        state="here",
        size_bytes=size_bytes,
        width=size.width,
        height=size.height,
        by=by,
        at=at,
    ).on_conflict_ignore().execute()


def sweep(folder: Path) -> int:
    """Remove what a killed process left in the incoming folder; call it at start only."""
    left = list((folder / "incoming").glob("*.part"))
    for path in left:
        path.unlink(missing_ok=True)
    return len(left)


@contextmanager
def _temporary(incoming: Path) -> Iterator[list[Path]]:
    stem = secrets.token_hex(8)
    paths = [incoming / f"{stem}.{part}.part" for part in ("raw", *SIZES)]
    try:
        yield paths
    finally:
        for path in paths:
            path.unlink(missing_ok=True)


def _receive(path: Path, sha: str, stream: Stream, length: int) -> None:
    """Write exactly `length` bytes while hashing them."""
    digest, left = hashlib.sha256(), length
    with path.open("xb") as out:
        while left:
            chunk = stream.read(min(CHUNK, left))
            if not chunk:
                raise NotAPhoto(
                    "length", f"Only {length - left} of {length} bytes arrived. Send it again."
                )
            digest.update(chunk)
            out.write(chunk)
            left -= len(chunk)
    if digest.hexdigest() != sha:
        raise NotAPhoto("digest", "The bytes are not those of this hash. Send it again.")


def _settle(folder: Path, sha: str, copies: dict[str, Path]) -> None:
    for copy in copies.values():
        _fsync(copy)
    home = path_of(folder, sha, "full").parent
    home.mkdir(exist_ok=True)
    for size, copy in copies.items():
        copy.replace(path_of(folder, sha, size))
    _fsync(home)
    _fsync(folder)


def _fsync(path: Path) -> None:
    """Ask the disk for certainty. Folders cannot be synced everywhere; there it is no fault."""
    if path.is_dir() and os.name == "nt":
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
