"""Planters from and to CSV: every fault is named, and one fault is enough to add nothing."""

from __future__ import annotations

import csv
import io

import pytest

from desk import Desk
from potrounds.services import register
from potrounds.services.planter_csv import COLUMNS, export_planters, import_planters

HEADER = ",".join(COLUMNS)
GOOD = (
    "Yard 1,Ferry landing,Medium,round,16,float,in-use,2025-04-01,120,140.5,"
    "2026-05-01,petunia; ivy ;,by the door"
)


def a_file(*rows: str, header: str = HEADER) -> bytes:
    return "\r\n".join((header, *rows, "")).encode()


def names(desk: Desk) -> list[str]:
    return [one["name"] for one in register.overview(desk.ctx)["planters"]]


def test_a_file_is_added_with_everything_in_it(desk: Desk) -> None:
    report = import_planters(desk.ctx, a_file(GOOD), dry_run=False)
    assert report == {"rows": 1, "created": 1, "errors": []}
    made = next(one for one in register.overview(desk.ctx)["planters"] if one["name"] == "Yard 1")
    assert made["site"] == desk.site
    assert (made["shape"], made["reservoir_l"], made["gauge"]) == ("round", 16.0, "float")
    assert (made["installed_on"], made["weight_full_kg"]) == ("2025-04-01", 140.5)
    assert made["planting"] == {
        "planted_on": "2026-05-01",
        "plants": ["petunia", "ivy"],
        "scheme": "",
    }
    assert made["code"]
    assert desk.card(made["id"])["notes"] == "by the door"


def test_what_the_water_balance_needs_comes_along(desk: Desk) -> None:
    row = f"{GOOD},62,0.21,0.4,part,windy,no"
    assert import_planters(desk.ctx, a_file(row), dry_run=False)["errors"] == []
    made = next(one for one in register.overview(desk.ctx)["planters"] if one["name"] == "Yard 1")
    assert (made["mix_l"], made["top_area_m2"], made["canopy_m2"]) == (62.0, 0.21, 0.4)
    assert (made["sun"], made["wind"], made["rain_reaches"]) == ("part", "windy", False)
    assert b"part,windy,no" in export_planters(desk.ctx).encode()


def test_a_dry_run_says_what_would_be_and_adds_nothing(desk: Desk) -> None:
    before = register.overview(desk.ctx)
    assert import_planters(desk.ctx, a_file(GOOD), dry_run=True)["created"] == 1
    assert register.overview(desk.ctx) == before


FAULTS = [
    ("Yard 1,,Medium,,16,,,,,,,,", "site", "filled in"),
    ("Yard 1,Nowhere,Medium,,16,,,,,,,,", "site", "no site Nowhere"),
    ("Ferry landing 1,Ferry landing,Medium,,16,,,,,,,,", "name", "already"),
    ("Yard 1,Ferry landing,Medium,,sixteen,,,,,,,,", "reservoir_l", "no number"),
    ('Yard 1,Ferry landing,Medium,,"16,5",,,,,,,,', "reservoir_l", "like 16 or 16.5"),
    ("Yard 1,Ferry landing,Medium,,16 L,,,,,,,,", "reservoir_l", "without its unit"),
    ("Yard 1,Ferry landing,Medium,,-1,,,,,,,,", "reservoir_l", "no number"),
    ("Yard 1,Ferry landing,Medium,,9999,,,,,,,,", "reservoir_l", "0.1 to 2000 L"),
    ("Yard 1,Ferry landing,Medium,,nan,,,,,,,,", "reservoir_l", "no number"),
    ("Yard 1,Ferry landing,Medium,oval,16,,,,,,,,", "shape", "round, square"),
    ("Yard 1,Ferry landing,Medium,,16,,,30.04.2026,,,,,", "installed_on", "2026-05-12"),
    ("Yard 1,Ferry landing,Medium,,16,,,2026-02-30,,,,,", "installed_on", "no day"),
    ("Yard 1,Ferry landing,Medium,,16,,,,140,120,,,", "weight_full_kg", "lighter"),
    ("Yard 1,Ferry landing,Medium,,16,,,,,,,,,,,,,,,,,too many", None, "in quotes"),
    ("Yard 1,Ferry landing,Medium,,16,,,,,,,,,,,,sunny", "sun", "one of: full, part, shade"),
    ("Yard 1,Ferry landing,Medium,,16,,,,,,,,,,,,,,maybe", "rain_reaches", "yes or no"),
    ("x" * 81 + ",Ferry landing,Medium,,16,,,,,,,,", "name", "At most 80"),
]


@pytest.mark.parametrize(("row", "column", "says"), FAULTS)
def test_every_fault_is_named_and_nothing_is_added(
    desk: Desk, row: str, column: str | None, says: str
) -> None:
    before = names(desk)
    good = GOOD.replace("Yard 1", "Yard 0")
    report = import_planters(desk.ctx, a_file(good, row), dry_run=False)
    assert (report["rows"], report["created"]) == (2, 0)
    (error,) = report["errors"]
    assert (error["row"], error["column"]) == (3, column)
    assert says in error["detail"]
    assert names(desk) == before


def test_all_faults_of_a_file_are_told_at_once(desk: Desk) -> None:
    rows = [row for row, _, says in FAULTS if says in ("no number", "no day", "filled in")]
    report = import_planters(desk.ctx, a_file(*rows), dry_run=True)
    assert [error["row"] for error in report["errors"]] == list(range(2, len(rows) + 2))


def test_a_name_twice_in_one_file(desk: Desk) -> None:
    report = import_planters(desk.ctx, a_file(GOOD, GOOD.replace("Yard", "yard")), dry_run=True)
    assert [(error["row"], error["column"]) for error in report["errors"]] == [(3, "name")]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "name the columns"),
        (b"\r\n\r\n", "name the columns"),
        (a_file(GOOD, header=HEADER.replace("size", "litres")), "Unknown column"),
        (a_file(GOOD, header=HEADER.replace("notes", "name")), "twice"),
        (b"name,site\r\nx,y\r\n", "missing"),
        (HEADER.encode("utf-16"), "UTF-8"),
        ("name,site\r\nstra\u00dfe".encode("latin-1"), "UTF-8"),
        (b"PK\x03\x04\x00\x00", "text file"),
        (a_file('Yard "1,Ferry landing,"Med"ium"'), "cannot be read"),
        (a_file('"never closed,Ferry landing'), "cannot be read"),
    ],
)
def test_a_file_that_is_no_table_of_planters(desk: Desk, data: bytes, says: str) -> None:
    report = import_planters(desk.ctx, data, dry_run=False)
    assert report["created"] == 0
    assert any(says in error["detail"] for error in report["errors"]), report
    assert all(error["row"] == 1 for error in report["errors"])


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_what_spreadsheets_do_to_a_file_does_no_harm(desk: Desk, separator: str) -> None:
    """A byte order mark, another separator, headers in capitals, and empty lines."""
    rows = list(csv.reader(io.StringIO(f"{HEADER.upper()}\n{GOOD}\n")))
    out = io.StringIO()
    csv.writer(out, delimiter=separator).writerows([rows[0], [""] * 13, rows[1], [""] * 13])
    data = b"\xef\xbb\xbf" + out.getvalue().encode()
    report = import_planters(desk.ctx, data, dry_run=False)
    assert report == {"rows": 1, "created": 1, "errors": []}


def test_a_row_is_named_by_the_line_it_begins_on(desk: Desk) -> None:
    several = GOOD.replace("by the door", '"one\ntwo\nthree"')
    bad = "Yard 2,Ferry landing,Medium,,x,,,,,,,,"
    report = import_planters(desk.ctx, a_file(several, bad), dry_run=True)
    assert [error["row"] for error in report["errors"]] == [5]


def test_B30_cells_that_look_like_formulas_stay_text_both_ways(desk: Desk) -> None:
    signs = ("=1+1", "+1", "-1", "@SUM(A1)", '=HYPERLINK("x","y")')
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS)
    writer.writeheader()
    for sign in signs:
        base = {"site": "Ferry landing", "size": "M", "reservoir_l": "9"}
        writer.writerow({**base, "name": f"{sign} pot", "notes": sign})
    assert import_planters(desk.ctx, out.getvalue().encode(), dry_run=False)["created"] == 5
    assert {f"{sign} pot" for sign in signs} <= set(names(desk))
    exported = export_planters(desk.ctx)
    for row in csv.reader(io.StringIO(exported)):
        assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r")) for cell in row)
    assert "'=1+1 pot" in exported


def test_what_is_exported_can_be_read_in_again(desk: Desk) -> None:
    import_planters(
        desk.ctx, a_file(GOOD, '=odd,Ferry landing,M,,0.5,,lost,,,,,,"a ""b"", c"'), dry_run=False
    )
    exported = export_planters(desk.ctx)
    rows = list(csv.DictReader(io.StringIO(exported)))
    assert [row["name"] for row in rows] == [
        "'=odd",
        "Ferry landing 1",
        "Ferry landing 2",
        "Yard 1",
    ]
    moved = exported.replace("Ferry landing ", "Elsewhere ").replace("Yard 1", "Yard 2")
    again = moved.replace("'=odd", "'=even")
    assert import_planters(desk.ctx, again.encode(), dry_run=False)["created"] == 4
    everything = register.overview(desk.ctx)["planters"]
    twin = next(one for one in everything if one["name"] == "=even")
    assert (twin["notes"], twin["status"], twin["reservoir_l"]) == ('a "b", c', "lost", 0.5)
