"""The repository speaks of itself alone, and its README's commands are the ones that are run."""

from __future__ import annotations

import re

import pytest

from house.repository import ROOT, written_files

# Put together here, so that this file does not find itself.
PATHS = ["/" + "work/", "/" + "tmp/spec", "/" + "home/"]
UNDONE = ["TO" + "DO", "FIX" + "ME"]


@pytest.mark.parametrize("pattern", [*PATHS, *(rf"\b{word}\b" for word in UNDONE)])
def test_no_file_holds(pattern: str) -> None:
    found = [
        str(path.relative_to(ROOT))
        for path in written_files()
        if re.search(pattern, path.read_text("utf-8"))
    ]
    assert found == []


def test_the_readme_tells_what_is_run() -> None:
    script = (ROOT / ".ci" / "run").read_text("utf-8")
    lines = [line.strip().removeprefix("exec ") for line in script.splitlines()]
    ignored = ("#", "set ", "cd ")
    commands = [line for line in lines if line and not line.startswith(ignored)]
    readme = (ROOT / "README.md").read_text("utf-8")
    assert commands
    assert [command for command in commands if command not in readme] == []
