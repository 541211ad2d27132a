"""Files in and out, read by readers that are not ours."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from typing import Any

import geojson
import pandas as pd
import pytest
import shapely
from werkzeug.test import TestResponse

from potrounds.services import table_file
from potrounds.store import database, log, register
from speaking import Speaker, Town

HOSTILE = ["=1+1", "+49", "-5 below", "@home", "\tTab", "'=1", "''@x", "'quoted", "it's", "−3"]


def rows_of(answer: TestResponse) -> list[dict[str, str]]:
    assert answer.status_code == 200, answer.text
    assert answer.mimetype == "text/csv"
    return list(csv.DictReader(io.StringIO(answer.text)))


def test_records_go_out_one_row_each(coordinator: Speaker, town: Town) -> None:
    planter = town.planter["id"]
    texts = [
        coordinator.record(planter, body={"level": 0.25, "litres_l": 7.3, "litres_how": "typed"}),
        coordinator.record(planter, body={"litres_l": 4, "signs": ["pests", "wilting"]}),
        coordinator.record(planter, body={"litres_l": 99, "note": "=HYPERLINK(1)"}),
    ]
    ids = [json.loads(text)["id"] for text in texts]
    texts.append(
        coordinator.record(planter, "correction", {"replaces": ids[1], "check_in": {"litres_l": 5}})
    )
    texts.append(coordinator.record(planter, "withdrawal", {"replaces": ids[2]}))
    assert {one["outcome"] for one in coordinator.push(*texts)} == {"stored"}
    table = pd.read_csv(io.StringIO(coordinator.get("/records.csv").text), dtype=str)
    assert len(table) == 5
    by_id = table.set_index("record_id")
    assert by_id.loc[ids[0], "level_share"] == "0.25"
    assert by_id.loc[ids[0], "litres_l"] == "7.3"
    assert by_id.loc[ids[1], "signs"] == "pests; wilting"
    assert list(by_id.loc[ids, "stands"]) == ["yes", "corrected", "withdrawn"]
    standing = table[(table.stands == "yes") & table.kind.isin(["check-in", "correction"])]
    assert standing.litres_l.astype(float).sum() == pytest.approx(12.3)
    assert by_id.loc[ids[2], "note"] == "'=HYPERLINK(1)"
    assert json.loads(by_id.loc[ids[2], "body_json"])["note"] == "=HYPERLINK(1)"
    assert len(rows_of(coordinator.get("/records.csv?to=2020-01-01"))) == 0
    assert len(rows_of(coordinator.get(f"/records.csv?planter={planter}"))) == 5


@pytest.mark.parametrize("text", HOSTILE)
def test_no_cell_is_a_formula_and_each_is_read_back_exactly(text: str) -> None:
    """A spreadsheet computes what begins with = + - @, tab or CR: OWASP, CSV Injection."""
    written = table_file.write_table(["name"], [[text]])
    shown = next(csv.DictReader(io.StringIO(written)))["name"]
    assert not shown.startswith(("=", "+", "-", "@", "\t", "\r"))
    assert table_file.text_of(shown) == text


def test_figures_stay_figures() -> None:
    assert table_file.cell_of(-5) == "-5"
    assert table_file.cell_of(-5.25) == "-5.25"


VISITS = """planter,day,time,by,level,litres_l,litres_how,plants_1_to_5,signs,note
{one},2026-04-20,09:30,Corin,quarter,12.5,typed,4,dry mix; pests,=cmd
{one},2026-04-27,,,half,,,,,
{two},2026-04-20,,Vera,empty,16,to-overflow,2,,
"""


def visits(speaker: Speaker, text: str, dry_run: bool = False) -> TestResponse:
    path = f"/records/import{'?dry_run=1' if dry_run else ''}"
    return speaker.ask("POST", path, data=text.encode(), content_type="text/csv")


def named(town: Town, text: str) -> str:
    return text.format(one=town.planter["name"], two=town.other_planter["name"])


def stored() -> int:
    with database.connection():
        return sum(len(log.of_planter(one)) for one in log.planters_named())


def test_a_paper_book_is_read_in_once(coordinator: Speaker, town: Town) -> None:
    text = named(town, VISITS)
    looked = visits(coordinator, text, dry_run=True)
    assert (looked.status_code, looked.json["created"], stored()) == (200, 3, 0)
    done = visits(coordinator, text)
    assert (done.status_code, done.json["created"]) == (201, 3)
    again = visits(coordinator, text)
    assert (again.json["created"], again.json["there"], stored()) == (0, 3, 3)
    rows = rows_of(coordinator.get("/records.csv"))
    first = next(row for row in rows if row["observed_at_utc"] == "2026-04-20T09:30:00.000Z")
    assert first["litres_l"] == "12.5"
    assert first["signs"] == "dry-mix; pests"
    assert first["by"] == "Corin"
    assert first["counted_on"] == "2026-04-20"
    assert json.loads(first["body_json"])["note"] == "=cmd"
    card = next(
        item["planter"]
        for item in coordinator.get("/sync/pull").json["items"]
        if item["what"] == "planter" and item["planter"]["id"] == town.other_planter["id"]
    )
    assert card["state"]["last_visit"]["by"] == "Vera"


@pytest.mark.parametrize(
    ("line", "column", "said"),
    [
        ("Nowhere 7,2026-04-20,half,,", "planter", "There is no planter"),
        ("{one},20.4.2026,half,,", "day", "is no day"),
        ("{one},2026-04-31,half,,", "day", "is no day"),
        ("{one},2027-04-20,half,,", "day", "future"),
        ("{one},2026-04-20,most,,", "level", "Write one of"),
        ("{one},2026-04-20,half,12 L,", "litres_l", "without its unit"),
        ("{one},2026-04-20,half,900,", "litres_l", "cannot be right"),
        ("{one},2026-04-20,half,,Nobody", "by", "nobody called"),
        ("{one},2026-04-20,,,", None, "Nothing was seen"),
        (",2026-04-20,half,,", "planter", "has to be filled in"),
    ],
)
def test_a_faulty_line_is_named_and_nothing_is_kept(
    coordinator: Speaker, town: Town, line: str, column: str | None, said: str
) -> None:
    text = named(town, "planter,day,level,litres_l,by\n{two},2026-04-20,half,,\n" + line + "\n")
    answer = visits(coordinator, text)
    assert answer.status_code == 422
    [error] = answer.json["errors"]
    assert (error["row"], error["column"]) == (3, column)
    assert said in error["detail"]
    assert stored() == 0


def test_one_visit_is_one_line(coordinator: Speaker, town: Town) -> None:
    twice = named(town, "planter,day,level\n{one},2026-04-20,half\n{one},2026-04-20,full\n")
    [error] = visits(coordinator, twice).json["errors"]
    assert error["row"] == 3
    assert "line 2" in error["detail"]
    assert visits(coordinator, named(town, "planter,day,level\n{one},2026-04-20,half\n")).json[
        "created"
    ]
    changed = named(town, "planter,day,level\n{one},2026-04-20,full\n")
    assert "Correct it in the app" in visits(coordinator, changed).json["errors"][0]["detail"]


def test_gallons_are_us_gallons(coordinator: Speaker, town: Town) -> None:
    """231 in³ of 2.54³ cm³: 3.785411784 L, NIST Handbook 44, Appendix C."""
    visits(coordinator, named(town, "planter,day,litres_gal\n{one},2026-04-20,2\n"))
    [row] = rows_of(coordinator.get("/records.csv"))
    assert float(row["litres_l"]) == pytest.approx(2 * 231 * 2.54**3 / 1000, abs=0.001)


def test_weather_comes_back_as_it_went(coordinator: Speaker) -> None:
    table = "date,tmin_c,tmax_c,rain_mm,wind_ms\n2026-04-01,-2.5,8.1,0.4,\n2026-04-02,1,9,,2.2\n"
    send = {"data": table.encode(), "content_type": "text/csv"}
    assert coordinator.ask("POST", "/weather/import", **send).status_code == 201
    out = coordinator.get("/weather.csv").text
    kept = pd.read_csv(io.StringIO(out))
    assert list(kept.tmin_c) == [-2.5, 1.0]
    again = coordinator.ask("POST", "/weather/import", data=out.encode(), content_type="text/csv")
    assert again.json == {"rows": 2, "created": 2, "errors": []}
    assert coordinator.get("/weather.csv").text == out


def place(town: Town, lat: float | None, lon: float | None, other: tuple[Any, Any]) -> None:
    with database.connection(), database.write_transaction():
        register.change_planter(town.planter["id"], {"lat": lat, "lon": lon})
        register.change_planter(town.other_planter["id"], {"lat": other[0], "lon": other[1]})


def test_geojson_is_read_by_others(coordinator: Speaker, town: Town) -> None:
    """RFC 7946, by the libraries `geojson` (validity) and `shapely` (GEOS)."""
    place(town, 46.5012345, -72.25, (None, None))
    answer = coordinator.get("/planters.geojson")
    assert answer.mimetype == "application/geo+json"
    read = geojson.loads(answer.text)
    assert isinstance(read, geojson.FeatureCollection)
    assert read.is_valid, read.errors()
    placed, unplaced = sorted(read.features, key=lambda one: one.geometry is None)
    assert unplaced.geometry is None
    [exact] = [one for one in json.loads(answer.text)["features"] if one["geometry"]]
    assert exact["id"] == placed.id
    point = shapely.from_geojson(json.dumps(exact["geometry"]))
    assert (point.x, point.y) == (-72.25, 46.5012345)  # longitude first, RFC 7946 3.1.1
    assert read.bbox == [-72.25, 46.5012345, -72.25, 46.5012345]


def test_the_box_holds_all_points(coordinator: Speaker, town: Town) -> None:
    place(town, 46.5, -72.25, (46.6, -72.5))
    read = geojson.loads(coordinator.get("/planters.geojson").text)
    points = [shapely.from_geojson(json.dumps(one.geometry)) for one in read.features]
    assert read.bbox == list(shapely.total_bounds(points))


def test_the_box_may_lie_across_the_antimeridian(coordinator: Speaker, town: Town) -> None:
    """RFC 7946, 5.2: Fiji's box is 177, -20, -178, -16; west is then greater than east."""
    place(town, -20.0, 177.0, (-16.0, -178.0))
    read = json.loads(coordinator.get("/planters.geojson").text)
    assert read["bbox"] == [177.0, -20.0, -178.0, -16.0]


def test_without_positions_there_is_no_box(coordinator: Speaker) -> None:
    read = json.loads(coordinator.get("/planters.geojson").text)
    assert "bbox" not in read
    assert {one["geometry"] for one in read["features"]} == {None}


def test_the_whole_town_is_downloaded(coordinator: Speaker, town: Town) -> None:
    answer = coordinator.get("/archive.zip")
    with zipfile.ZipFile(io.BytesIO(answer.data)) as file:
        assert file.testzip() is None
        assert json.loads(file.read("manifest.json"))["format"] == "potrounds-town"
    assert list(town.context.settings.home.glob("archive-*")) == []


@pytest.mark.parametrize(
    "path", ["/records.csv", "/weather.csv", "/planters.geojson", "/archive.zip"]
)
def test_files_are_for_coordinators(volunteer: Speaker, passer_by: Speaker, path: str) -> None:
    assert volunteer.get(path).status_code == 403
    assert passer_by.get(path).status_code == 401
