"""What tests of undo share: the register's rows, and taking a change back."""

from __future__ import annotations

from typing import Any

import pytest

from desk import Desk
from potrounds.services import (
    register,
    undo,
)
from potrounds.services.refusal import Refusal
from potrounds.store import register as store
from potrounds.store import whole

ORIGIN = "http://localhost"
#: Not the register, or the list of changes itself, or the photo store.
APART = {"change", "change_kept", "counter", "schema_steps", "knock", "photo", "photo_named"}
#: Row numbers, versions that count up, and moments of making.
COUNTED = {"version", "made_at", "joined_at", "issued_at", "change_id"}
FACTS = {"path_cm": 240.0, "from_kerb_cm": 20.0, "width_cm": 60.0, "length_cm": 60.0}
LOWS = b"DATE,TMIN\n2024-01-01,31\n2024-01-02,30\n"


def rows() -> dict[str, list[str]]:
    """Every table of the register without what only counts."""
    found = {}
    for name in whole.tables():
        if name in APART:
            continue
        told = []
        for row in whole.rows(name):
            kept = {key: value for key, value in row.items() if key not in COUNTED}
            if isinstance(kept.get("id"), int):
                del kept["id"]
            if name == "setting" and kept["name"] in ("lows_record", "planting_materials"):
                kept["value"] = {
                    key: value
                    for key, value in (kept["value"] or {}).items()
                    if key not in ("mark", "at", "by", "version")
                }
            told.append(repr(sorted(kept.items())))
        found[name] = sorted(told)
    return found


def newest() -> int:
    return int(store.last_changes(1)[0].id)


def take_back(desk: Desk, number: int | None = None, overwrite: bool = False) -> dict[str, Any]:
    number = number or newest()
    looked = undo.look(desk.ctx, number)
    assert looked["why_not"] is None
    return undo.undo(desk.ctx, number, looked["mark"], overwrite)


def refusal(desk: Desk, number: int | None = None, overwrite: bool = False) -> Refusal:
    number = number or newest()
    mark = undo.look(desk.ctx, number)["mark"]
    with pytest.raises(Refusal) as caught:
        undo.undo(desk.ctx, number, mark, overwrite)
    return caught.value


def why_not(desk: Desk, number: int | None = None) -> str:
    before = rows()
    problem = refusal(desk, number)
    assert (problem.status, problem.slug) == (409, "cannot-undo")
    assert rows() == before
    assert undo.look(desk.ctx, number or newest())["possible"] is False
    return problem.detail


def version_of(desk: Desk) -> int:
    return int(register.one_planter(desk.planter)["version"])


def edit(desk: Desk, **values: Any) -> None:
    register.change_planter(desk.ctx, desk.planter, values, version_of(desk))
