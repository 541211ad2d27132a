"""Reads the archive of a town back into an empty one. All of it is checked before a row is written.

Refused: no archive or a damaged one, a newer one, parts that the manifest does not name or names
otherwise, paths that lead elsewhere, and parts that swell beyond what they said.
"""

from __future__ import annotations

import hashlib
import json
import re
import secrets
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from potrounds.services import assess, erasure, set_up, water_outlook
from potrounds.services.archive import CHUNK, FORMAT, MANIFEST, VERSION, Progress
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal
from potrounds.store import database, photos, whole
from potrounds.store.database import write_transaction

PART = re.compile(r"tables/([a-z_]{1,60})\.jsonl|photos/([0-9a-f]{64})\.(full|small)\.jpg")
MOST_PARTS = 400_000
MOST_MANIFEST_BYTES = 128 * 1024 * 1024
MOST_TABLE_BYTES = 4 * 1024**3
MOST_PHOTO_BYTES = 16 * 1024**2
#: Text of ours packs about 1 to 10; a part that swells more was made to swell.
MOST_SWELLING, ALWAYS_ALLOWED = 200, 1024**2


@dataclass(frozen=True)
class Part:
    """One part, as the manifest names it."""

    name: str
    bytes: int
    sha256: str


def load(ctx: Context, source: Path, progress: Progress | None = None) -> dict[str, Any]:
    """Load an archive into an empty town, and compute the cards anew.

    Returns: rows and photos that were loaded, and photos that were missing when it was made.
    Raises: Refusal 409 when there is a town already, 422 with what is wrong with the file.
    """
    if not database.is_sqlite():
        detail = "A town is read in on SQLite only. For PostgreSQL use its own dump and restore."
        raise Refusal(409, "sqlite-only", "Only on SQLite", detail)
    if set_up.is_set_up():
        detail = "There is a town here already. Give POTROUNDS_HOME an empty folder, then import."
        raise Refusal(409, "town-there", "There is a town here", detail)
    try:
        with zipfile.ZipFile(source) as archive:
            manifest, parts = _manifest(archive)
            for done, part in enumerate(parts, start=1):
                _check(archive, part)
                if progress:
                    progress(done, 2 * len(parts))
            loaded = _load(ctx, archive, parts, progress)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError) as bad:
        raise _refused(f"it is damaged, or no archive of Potrounds ({bad})") from None
    water_outlook.forget()
    erasure.replay(ctx)
    assess.rebuild(ctx)
    return {**loaded, "missing_photos": len(manifest.get("missing_photos", []))}


def _refused(why: str) -> Refusal:
    detail = f"This file cannot be read in: {why}. Nothing was changed."
    return Refusal(422, "archive", "Not an archive that can be read in", detail)


# --- what the file says of itself ----------------------------------------------------------------


def _manifest(archive: zipfile.ZipFile) -> tuple[dict[str, Any], list[Part]]:
    """The manifest, after names and sizes have been compared with what is in the file."""
    entries = archive.infolist()
    names = [entry.filename for entry in entries]
    if len(names) != len(set(names)) or len(names) > MOST_PARTS:
        raise _refused("a part is in it twice, or it has too many parts")
    if MANIFEST not in names:
        raise _refused("it has no manifest, so it is no archive of Potrounds")
    manifest = _parsed(archive)
    _check_version(manifest)
    parts = _parts(manifest)
    told = {part.name for part in parts}
    if len(told) != len(parts) or told != set(names) - {MANIFEST}:
        other = min(told ^ (set(names) - {MANIFEST}), default="a part named twice")
        raise _refused(f"its manifest and its parts differ: {other[:80]!r}")
    by_name = {entry.filename: entry for entry in entries}
    for part in parts:
        _check_size(part, by_name[part.name])
    return manifest, sorted(parts, key=lambda part: part.name)


def _parsed(archive: zipfile.ZipFile) -> dict[str, Any]:
    with archive.open(MANIFEST) as file:
        data = file.read(MOST_MANIFEST_BYTES + 1)
    try:
        manifest = json.loads(data)
    except ValueError:
        raise _refused("its manifest cannot be read") from None
    if len(data) > MOST_MANIFEST_BYTES or not isinstance(manifest, dict):
        raise _refused("its manifest cannot be read")
    if manifest.get("format") != FORMAT:
        raise _refused("it is no archive of a town")
    return manifest


def _check_version(manifest: dict[str, Any]) -> None:
    version, steps = manifest.get("version"), manifest.get("steps")
    if not isinstance(version, int) or not isinstance(steps, list):
        raise _refused("its manifest is incomplete")
    newer = {str(step) for step in steps} - whole.known_steps()
    if version > VERSION or newer:
        by = str(manifest.get("made_by"))[:20]
        raise _refused(f"it was made by a newer Potrounds ({by}). Install that one first")


def _parts(manifest: dict[str, Any]) -> list[Part]:
    told = manifest.get("parts")
    found = []
    for one in told if isinstance(told, list) else [None]:
        if not isinstance(one, dict):
            raise _refused("its manifest is incomplete")
        name, count, sha = one.get("name"), one.get("bytes"), one.get("sha256")
        if not (isinstance(name, str) and isinstance(count, int) and isinstance(sha, str)):
            raise _refused("its manifest is incomplete")
        if not PART.fullmatch(name):
            raise _refused(f"{name[:80]!r} is no part of an archive")
        found.append(Part(name, count, sha))
    return found


def _check_size(part: Part, entry: zipfile.ZipInfo) -> None:
    most = MOST_TABLE_BYTES if part.name.startswith("tables/") else MOST_PHOTO_BYTES
    swells = part.bytes > max(ALWAYS_ALLOWED, MOST_SWELLING * entry.compress_size)
    if entry.file_size != part.bytes or not 0 <= part.bytes <= most or swells:
        raise _refused(f"{part.name} has not the size it should have")


# --- the parts -----------------------------------------------------------------------------------


def _chunks(archive: zipfile.ZipFile, part: Part) -> Iterator[bytes]:
    """The bytes of a part; zipfile gives no more than the size that was checked."""
    with archive.open(part.name) as file:
        while chunk := file.read(CHUNK):
            yield chunk


def _check(archive: zipfile.ZipFile, part: Part) -> None:
    digest = hashlib.sha256()
    for chunk in _chunks(archive, part):
        digest.update(chunk)
    if digest.hexdigest() != part.sha256:
        raise _refused(f"{part.name} is damaged: its SHA-256 is not the one in the manifest")


def _rows(lines: Iterable[bytes]) -> Iterator[dict[str, Any]]:
    for line in lines:
        row = json.loads(line)
        if not isinstance(row, dict):
            raise ValueError("a line that is no row")
        yield row


def _load(
    ctx: Context, archive: zipfile.ZipFile, parts: list[Part], progress: Progress | None
) -> dict[str, Any]:
    """Photos to their places, then all rows in one transaction; a fault takes both back."""
    placed: list[Path] = []
    try:
        for part in parts:
            if part.name.startswith("photos/"):
                placed += _place(ctx, archive, part)
        with write_transaction():
            rows = _load_tables(archive, {part.name: part for part in parts})
            whole.rename_history(secrets.token_hex(6))
    except whole.UnknownShape as shape:
        _take_back(placed)
        raise _refused(f"it holds {shape}, which this version does not know") from None
    except (ValueError, KeyError, TypeError, AttributeError, *database.Broken) as bad:
        _take_back(placed)
        raise _refused(f"a row of it cannot be kept ({type(bad).__name__})") from None
    except BaseException:
        _take_back(placed)
        raise
    if progress:
        progress(2 * len(parts), 2 * len(parts))
    return {"rows": rows, "photos": sum(path.name.endswith(".full.jpg") for path in placed)}


def _load_tables(archive: zipfile.ZipFile, parts: dict[str, Part]) -> int:
    known = whole.tables()
    wanted = [name for name in parts if name.startswith("tables/")]
    for name in wanted:
        if name.removeprefix("tables/").removesuffix(".jsonl") not in known:
            raise whole.UnknownShape(name)
    for name in reversed(known):
        whole.empty(name)
    count = 0
    for name in known:
        if f"tables/{name}.jsonl" in parts:
            with archive.open(f"tables/{name}.jsonl") as lines:
                count += whole.put(name, _rows(lines))
    return count


def _place(ctx: Context, archive: zipfile.ZipFile, part: Part) -> list[Path]:
    """Put a photo where it belongs; one that lies there already is the same, by its name."""
    match = PART.fullmatch(part.name)
    assert match is not None  # _parts has seen to it
    path = photos.path_of(ctx.settings.photo_folder, match[2], match[3])
    if path.exists():
        return []
    path.parent.mkdir(parents=True, exist_ok=True)
    unfinished = path.with_name(f"{path.name}.part")
    try:
        with unfinished.open("wb") as out:
            for chunk in _chunks(archive, part):
                out.write(chunk)
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)
    return [path]


def _take_back(placed: list[Path]) -> None:
    for path in placed:
        path.unlink(missing_ok=True)
