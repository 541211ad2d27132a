"""Mornings of the water balance kept on disk, so that a restart need not replay a season.

A file is named by the hash of everything that led to its morning and of the code that computed
it: it can be missing, never stale. Nothing rests on these files; all of them may be deleted.
"""

from __future__ import annotations

import hashlib
import io
import logging
import os
import pickle
import tempfile
from functools import cache
from pathlib import Path
from typing import Any

import potrounds

logger = logging.getLogger(__name__)

#: Files kept: the mornings used last.
MOST_FILES = 4
#: What a file may be made of: our own figures, arrays, days. A pickle that names anything else is
#: refused, so that whoever can write to the folder cannot make the server run their code.
OURS = ("potrounds.science.", "potrounds.domain.water", "potrounds.services.water_pass")
OTHERS = {
    ("builtins", "set"),
    ("builtins", "slice"),
    ("datetime", "date"),
    ("numpy", "dtype"),
    ("numpy", "ndarray"),
    ("numpy._core.multiarray", "_reconstruct"),
    ("numpy._core.multiarray", "scalar"),
    ("numpy._core.numeric", "_frombuffer"),
}


class Refused(pickle.UnpicklingError):
    """A file that names what no morning is made of."""


class _Reader(pickle.Unpickler):
    def find_class(self, module: str, name: str) -> Any:
        ours = module.startswith(OURS) and "." not in name
        if not ours and (module, name) not in OTHERS:
            raise Refused(f"{module}.{name} is no part of a morning")
        found = super().find_class(module, name)
        if ours and not isinstance(found, type):
            raise Refused(f"{module}.{name} is not a class")
        return found


def read(raw: bytes) -> Any:
    """A morning from its bytes. Raises: Refused, or another error where they are damaged."""
    return _Reader(io.BytesIO(raw)).load()


@cache
def code_mark() -> bytes:
    """A hash of the code that mornings come from."""
    home = Path(potrounds.__file__).parent
    files = [*sorted((home / "science").glob("*.py")), *sorted((home / "services").glob("water_*"))]
    mark = hashlib.sha256()
    for file in files:
        if file.is_file():
            mark.update(file.name.encode() + file.read_bytes())
    return mark.digest()


class Shelf:
    """A folder with the mornings used last."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def _file(self, key: bytes) -> Path:
        return self.folder / f"{hashlib.sha256(key + code_mark()).hexdigest()[:40]}.morning"

    def get(self, key: bytes) -> Any | None:
        """The morning, or None; a file that cannot be read is thrown away."""
        file = self._file(key)
        try:
            raw = file.read_bytes()
        except OSError:
            return None
        try:
            found = read(raw)
            os.utime(file)
        except Exception as damage:
            logger.warning("a kept morning could not be read and is worked out again: %s", damage)
            file.unlink(missing_ok=True)
            return None
        return found

    def put(self, key: bytes, morning: Any) -> None:
        """Keep a morning; where the disk refuses, the next start takes longer and that is all."""
        file = self._file(key)
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            with tempfile.NamedTemporaryFile(dir=self.folder, suffix=".part", delete=False) as part:
                pickle.dump(morning, part, protocol=pickle.HIGHEST_PROTOCOL)
            os.replace(part.name, file)
            self._tidy()
        except OSError as trouble:
            logger.warning("a morning of the water balance could not be kept: %s", trouble)

    def _tidy(self) -> None:
        """Drop the mornings used longest ago, and halves that a power cut left."""
        files = sorted(self.folder.glob("*.*"), key=lambda one: one.stat().st_mtime, reverse=True)
        kept = [one for one in files if one.suffix == ".morning"][:MOST_FILES]
        for one in files:
            if one not in kept:
                one.unlink(missing_ok=True)
