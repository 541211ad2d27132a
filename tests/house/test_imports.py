"""Imports run downwards only: the Python contracts, and one table for the folders of the app."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCES = ROOT / "pwa" / "src"
IMPORT = re.compile(
    r"""(?:\bfrom\s+|\bimport\s+|\bimport\(\s*)["'](\.{1,2}/[^"'?]+)""", re.MULTILINE
)
SCREEN = re.compile(r"export (?:async )?function [A-Z]\w*Screen\b")

# Folder of the app -> folders it may import, besides itself.
MAY_IMPORT: dict[str, set[str]] = {
    "screens": {"components", "store", "domain", "i18n", "actions"},
    "components": {"domain", "i18n"},
    "actions": {"api", "store", "domain"},
    "sync": {"store", "api", "domain"},
    "sw": {"sync", "store", "domain"},
    "store": {"domain"},
    "i18n": {"domain"},
    "domain": {"api"},  # the names of generated types
    "api": set(),
    "styles": set(),
}


def test_python_contracts() -> None:
    command = [str(Path(sys.executable).parent / "lint-imports"), "--no-cache"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def source_files() -> list[Path]:
    """Every file of the app that can import something."""
    return sorted(path for path in SOURCES.rglob("*.ts*") if path.name != "schema.ts")


def imported(path: Path) -> Iterator[Path]:
    """What a file imports from the app's own sources."""
    for target in IMPORT.findall(path.read_text("utf-8")):
        found = (path.parent / target).resolve()
        if found.is_relative_to(SOURCES):
            yield found


def folder_of(path: Path) -> str:
    """The folder of the app a file lies in; the empty text for main and app themselves."""
    parts = path.relative_to(SOURCES).parts
    return parts[0] if (SOURCES / parts[0]).is_dir() else ""


@pytest.mark.parametrize("folder", sorted(MAY_IMPORT))
def test_folders_of_the_app(folder: str) -> None:
    wrong = [
        f"{path.relative_to(SOURCES)} imports {target.relative_to(SOURCES)}"
        for path in source_files()
        if folder_of(path) == folder
        for target in imported(path)
        if folder_of(target) not in {folder, *MAY_IMPORT[folder]}
    ]
    assert wrong == []


def test_every_folder_is_in_the_table() -> None:
    folders = {folder_of(path) for path in source_files()} - {""}
    assert folders
    assert folders <= set(MAY_IMPORT)


def test_a_screen_imports_no_other_screen() -> None:
    screens = {
        path.with_suffix("")
        for path in source_files()
        if folder_of(path) == "screens" and SCREEN.search(path.read_text("utf-8"))
    }
    assert screens
    wrong = [
        f"{path.name} imports {target.name}"
        for path in source_files()
        if path.with_suffix("") in screens
        for target in imported(path)
        if target in screens
    ]
    assert wrong == []


def test_the_reader_of_imports_reads_all_forms(tmp_path: Path) -> None:
    """The table is only worth something if its regular expression sees every form."""
    text = """
    import { a } from "../store/a";
    import type { B } from '../domain/b';
    import "../styles/c.css";
    export { d } from "./d";
    const e = await import("../sync/e");
    import { f } from "preact";
    """
    assert IMPORT.findall(text) == [
        "../store/a",
        "../domain/b",
        "../styles/c.css",
        "./d",
        "../sync/e",
    ]
