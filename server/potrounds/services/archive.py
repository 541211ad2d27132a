"""A whole town in one file: a zip of all tables and all photos, with the SHA-256 of every part.

`manifest.json`: format, version, the release and schema steps it was made by, when, and each part
with its bytes and hash. `tables/<name>.jsonl`: one row a line; a record's text is in it byte for
byte. `photos/<sha256>.<size>.jpg`: as they lie on disk. Cards are computed, and not in it.

It holds names, hashed passwords and photos: to be kept as safe as the server itself.
"""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

from potrounds import __version__
from potrounds.services.context import Context
from potrounds.services.moments import stamp
from potrounds.services.refusal import Refusal
from potrounds.store import photos, whole

FORMAT = "potrounds-town"
VERSION = 1
MANIFEST = "manifest.json"
CHUNK = 64 * 1024
Progress = Callable[[int, int], None]
Part = dict[str, Any]


def write(ctx: Context, target: Path, progress: Progress | None = None) -> dict[str, Any]:
    """Write the archive of the town to a new file; return its manifest.

    Everything is of one moment, whatever arrives meanwhile. Raises: Refusal 409 when the file is
    there already. Nothing half written is left behind.
    """
    unfinished = target.with_name(f"{target.name}.part")
    if target.exists() or unfinished.exists():
        detail = f"{target.name} is there already. Name another file; nothing is overwritten."
        raise Refusal(409, "file-there", "The file is there", detail)
    try:
        with zipfile.ZipFile(unfinished, "x", zipfile.ZIP_DEFLATED, allowZip64=True) as out:
            manifest = _write(ctx, out, progress)
        unfinished.rename(target)
    finally:
        unfinished.unlink(missing_ok=True)
    return manifest


def _write(ctx: Context, out: zipfile.ZipFile, progress: Progress | None) -> dict[str, Any]:
    parts: list[Part] = []
    with whole.still():
        names, shas = whole.tables(), whole.photo_names()
        steps = whole.steps()
        total = len(names) + len(shas)
        for name in names:
            parts.append(_add(out, f"tables/{name}.jsonl", _lines(name)))
            _say(progress, len(parts), total)
    missing = []
    for done, sha in enumerate(shas, start=len(names) + 1):
        for size in photos.SIZES:
            path = photos.path_of(ctx.settings.photo_folder, sha, size)
            if path.is_file():
                parts.append(_add(out, f"photos/{sha}.{size}.jpg", _chunks(path), packed=False))
            else:
                missing.append(f"{sha}.{size}")
        _say(progress, done, total)
    manifest = {
        "format": FORMAT,
        "version": VERSION,
        "made_by": __version__,
        "made_at": stamp(ctx.now()),
        "steps": steps,
        "missing_photos": missing,
        "parts": parts,
    }
    out.writestr(MANIFEST, json.dumps(manifest, indent=1))
    return manifest


def _say(progress: Progress | None, done: int, total: int) -> None:
    if progress:
        progress(done, total)


def _add(out: zipfile.ZipFile, name: str, content: Iterable[bytes], packed: bool = True) -> Part:
    """Stream one part into the archive while hashing it."""
    entry = zipfile.ZipInfo(name, date_time=(1980, 1, 1, 0, 0, 0))
    entry.compress_type = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
    entry.external_attr = 0o600 << 16
    digest, count = hashlib.sha256(), 0
    with out.open(entry, "w", force_zip64=True) as part:
        for chunk in content:
            digest.update(chunk)
            count += len(chunk)
            part.write(chunk)
    return {"name": name, "bytes": count, "sha256": digest.hexdigest()}


def _lines(table: str) -> Iterator[bytes]:
    for row in whole.rows(table):
        yield json.dumps(row, ensure_ascii=False).encode() + b"\n"


def _chunks(path: Path) -> Iterator[bytes]:
    with path.open("rb") as file:
        while chunk := file.read(CHUNK):
            yield chunk
