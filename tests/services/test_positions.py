"""Where planters stand: kept, taken away, refused in words, out and in as a table."""

from __future__ import annotations

import pytest

from desk import Desk
from potrounds.services import planter_csv, register
from potrounds.services.refusal import Refusal
from potrounds.store import database
from potrounds.store import register as store


def test_a_position_is_kept_and_taken_away(desk: Desk) -> None:
    assert desk.place(desk.planter, 46.501234, -38.004321)["lat"] == 46.501234
    assert desk.place(desk.planter, None, None)["lon"] is None


@pytest.mark.parametrize(
    ("lat", "lon", "pointer", "says"),
    [
        (46.5, None, "/lon", "go together"),
        (None, -38.0, "/lat", "go together"),
        (-38.0, 46.5, "/lat", "swapped"),
        (40.0, -38.0, "/lat", "not near the town's latitude"),
        (-46.5, -38.0, "/lat", "not near the town's latitude"),
    ],
)
def test_a_position_that_cannot_be_the_towns(
    desk: Desk, lat: float | None, lon: float | None, pointer: str, says: str
) -> None:
    with database.write_transaction():
        store.set_setting("latitude", 46.5)
    with pytest.raises(Refusal) as caught:
        desk.place(desk.planter, lat, lon)
    ((at, why),) = caught.value.errors
    assert at == pointer
    assert says in why


def test_a_position_far_from_all_others(desk: Desk) -> None:
    for number in range(3):
        desk.place(desk.add_planter(f"Yard {number}"), 46.5, -38.0)
    with pytest.raises(Refusal) as caught:
        desk.place(desk.planter, 46.5, 38.0)
    assert "km from the other planters" in caught.value.errors[0][1]


def test_positions_go_out_and_come_in_as_a_table(desk: Desk) -> None:
    desk.place(desk.planter, 46.501234, -38.004321)
    table = planter_csv.export_planters(desk.ctx)
    assert table.splitlines()[0].endswith(",lat,lon")
    assert ",46.501234,-38.004321" in table
    more = "name,site,size,reservoir_l,lat,lon\nYard 1,Ferry landing,Medium,16,46.5,-38.25\n"
    report = planter_csv.import_planters(desk.ctx, more.encode(), dry_run=False)
    assert report["errors"] == []
    made = next(one for one in register.overview(desk.ctx)["planters"] if one["name"] == "Yard 1")
    assert (made["lat"], made["lon"]) == (46.5, -38.25)


@pytest.mark.parametrize(
    ("cells", "column", "says"),
    [
        ("95,8", "lat", "no position"),
        ("46.5,200", "lon", "no position"),
        ("46.5N,8", "lat", "no position"),
        ("46.5,", "lon", "go together"),
    ],
)
def test_a_wrong_position_in_a_table_is_named(
    desk: Desk, cells: str, column: str, says: str
) -> None:
    table = f"name,site,size,reservoir_l,lat,lon\nYard 1,Ferry landing,Medium,16,{cells}\n"
    report = planter_csv.import_planters(desk.ctx, table.encode(), dry_run=False)
    ((row, where, why),) = [(one["row"], one["column"], one["detail"]) for one in report["errors"]]
    assert (row, where) == (2, column)
    assert says in why
