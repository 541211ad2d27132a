"""The files that people write, for the tests of the house."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
NOT_OURS = {
    ".git",
    "node_modules",
    "dist",
    "build",
    "__pycache__",
    "photos",
    "test-results",
    "potrounds-data",
}
WRITTEN = {".py", ".ts", ".tsx", ".css", ".html", ".md", ".toml", ".json", ".yml", ""}
GENERATED = {"schema.ts", "package-lock.json"}


def written_files() -> Iterator[Path]:
    """Every text file of the repository that a person wrote."""
    for folder, folders, names in os.walk(ROOT):
        folders[:] = sorted(
            name
            for name in folders
            if name not in NOT_OURS
            and not name.startswith(".venv")
            and not name.endswith((".egg-info", "_cache", ".hypothesis"))
        )
        for name in sorted(names):
            path = Path(folder, name)
            if path.suffix in WRITTEN and name not in GENERATED:
                yield path
