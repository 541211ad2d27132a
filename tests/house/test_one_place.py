"""A library that may have to be replaced is imported in one file, and its words stay there."""

from __future__ import annotations

import re

import pytest

from house.repository import ROOT, written_files

ONE_PLACE = {
    "pyvrp": "server/potrounds/services/round_solver.py",
    "http_ece": "server/potrounds/services/push_wire.py",
    "py_vapid": "server/potrounds/services/push_wire.py",
    "icalendar": "server/potrounds/services/calendar_feed.py",
}


@pytest.mark.parametrize("library", sorted(ONE_PLACE))
def test_a_library_is_imported_in_one_file(library: str) -> None:
    importing = [
        str(path.relative_to(ROOT))
        for path in written_files()
        if path.suffix == ".py"
        and re.search(rf"^\s*(?:from|import) {library}\b", path.read_text("utf-8"), re.MULTILINE)
    ]
    assert importing == [ONE_PLACE[library]]
