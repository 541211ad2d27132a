"""No source file is longer than a person reads in one go."""

from __future__ import annotations

from house.repository import ROOT, written_files

MOST_LINES = 320
SOURCES = {".py", ".ts", ".tsx", ".css", ".html"}


def test_no_source_file_is_too_long() -> None:
    lengths = {
        str(path.relative_to(ROOT)): len(path.read_text("utf-8").splitlines())
        for path in written_files()
        if path.suffix in SOURCES
    }
    assert len(lengths) > 50
    assert {name: lines for name, lines in lengths.items() if lines > MOST_LINES} == {}
