"""The register over the web: for coordinators, all or nothing, nobody's edit is lost."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest

from potrounds.api.schemas_register import Register
from speaking import Speaker, Town


def planter(town: Town, **more: Any) -> dict[str, Any]:
    """A new planter as it is asked for."""
    return {"name": "Quay 3", "site": town.site, "size": "Large", "reservoir_l": 40, **more}


def test_the_register_has_the_shape_it_promises(coordinator: Speaker, town: Town) -> None:
    answer = coordinator.get("/register")
    assert Register().validate(answer.json) == {}
    assert [one["name"] for one in answer.json["planters"]] == ["Quay 1", "Quay 2"]
    assert answer.json["settings"]["town_name"] == "Osier Bend"


def test_no_key_of_the_register_is_lost(coordinator: Speaker, town: Town) -> None:
    from potrounds.services import register
    from potrounds.store import database

    with database.connection():
        made = register.overview(town.context)
    assert coordinator.get("/register").json == made


def test_sites(coordinator: Speaker) -> None:
    made = coordinator.post("/register/sites", {"name": "Mill Lane", "freeze_on": "2026-11-02"})
    assert made.status_code == 201
    changed = coordinator.patch(f"/register/sites/{made.json['id']}", {"name": "Mill"})
    assert (changed.json["name"], changed.json["freeze_on"]) == ("Mill", "2026-11-02")
    assert coordinator.post("/register/sites", {"name": "mill"}).status_code == 422
    assert coordinator.patch("/register/sites/s-nothing0", {"name": "x"}).status_code == 404


def test_planters_come_all_or_none(coordinator: Speaker, town: Town) -> None:
    asked = {"planters": [planter(town), planter(town, name="Quay 4", site="s-nowhere0")]}
    answer = coordinator.post("/register/planters", asked)
    assert answer.status_code == 422
    assert [entry["pointer"] for entry in answer.json["errors"]] == ["/planters/1/site"]
    assert len(coordinator.get("/register").json["planters"]) == 2
    asked = {"planters": [planter(town), planter(town, name="Quay 4")]}
    made = coordinator.post("/register/planters", asked)
    assert made.status_code == 201
    assert len({one["code"] for one in made.json["planters"]}) == 2


@pytest.mark.parametrize(
    ("wrong", "pointer"),
    [
        ({"reservoir_l": 0}, "/planters/0/reservoir_l"),
        ({"reservoir_l": "16"}, "/planters/0/reservoir_l"),
        ({"gauge": "dial"}, "/planters/0/gauge"),
        ({"name": "   "}, "/planters/0/name"),
        ({"colour": "red"}, "/planters/0/colour"),
        ({"installed_on": "2026-02-30"}, "/planters/0/installed_on"),
        ({"name": "x" * 81}, "/planters/0/name"),
    ],
)
def test_what_is_wrong_is_named(
    coordinator: Speaker, town: Town, wrong: dict[str, Any], pointer: str
) -> None:
    answer = coordinator.post("/register/planters", {"planters": [planter(town, **wrong)]})
    assert answer.status_code == 422
    assert pointer in [entry["pointer"] for entry in answer.json["errors"]]


def test_F55_an_edit_from_a_stale_version_is_refused(coordinator: Speaker, town: Town) -> None:
    path, seen = f"/register/planters/{town.planter['id']}", town.planter["version"]
    none = coordinator.patch(path, {"notes": "a"})
    assert none.status_code == 428
    first = coordinator.patch(path, {"notes": "b"}, headers={"If-Match": f'"{seen}"'})
    assert (first.status_code, first.json["notes"]) == (200, "b")
    stale = coordinator.patch(path, {"notes": "c"}, headers={"If-Match": f'"{seen}"'})
    assert stale.status_code == 412
    odd = coordinator.patch(path, {"notes": "d"}, headers={"If-Match": "abc"})
    assert odd.status_code == 400


def test_planting_and_tag(coordinator: Speaker, passer_by: Speaker, town: Town) -> None:
    path = f"/register/planters/{town.planter['id']}"
    asked = {"planted_on": "2026-05-01", "plants": ["pelargonium"], "scheme": "sunny"}
    planted = coordinator.post(f"{path}/plantings", asked)
    assert planted.status_code == 201
    assert planted.json["planting"]["plants"] == ["pelargonium"]
    old = town.planter["code"]
    tagged = coordinator.post(f"{path}/tag", {"reason": "faded"})
    assert tagged.json["code"] != old
    assert tagged.json["old_codes"] == [old]
    assert passer_by.get(f"/public/tags/{old}").json["state"] == "replaced"


def test_settings(coordinator: Speaker) -> None:
    answer = coordinator.patch(
        "/register/settings", {"tag_address": "https://planters.example", "visit_days": 9}
    )
    assert (answer.status_code, answer.json["visit_days"]) == (200, 9)
    assert coordinator.patch("/register/settings", {"tag_address": "ftp://x"}).status_code == 422
    assert coordinator.patch("/register/settings", {"winter_from": "13-01"}).status_code == 422


def test_nights(coordinator: Speaker) -> None:
    night = {"date": "2026-05-05", "low_c": -1.5, "kind": "forecast"}
    assert coordinator.put("/register/nights", {"nights": [night]}).json == {"nights": [night]}
    gone = coordinator.put("/register/nights", {"nights": [{**night, "low_c": None}]})
    assert gone.json == {"nights": []}


def table(*rows: str) -> bytes:
    """A table of planters to import."""
    header = "name,site,size,shape,reservoir_l,gauge,status,planted_on,plants,notes"
    return "\n".join((header, *rows)).encode()


def test_import_dry_run_then_real(coordinator: Speaker) -> None:
    data = table("Quay 9,Quay,Small,round,8,none,in-use,2026-05-01,lobelia; ivy,")
    path, kind = "/register/planters/import", {"content_type": "text/csv"}
    dry = coordinator.ask("POST", f"{path}?dry_run=1", data=data, **kind)
    assert (dry.status_code, dry.json) == (200, {"rows": 1, "created": 1, "errors": []})
    assert len(coordinator.get("/register").json["planters"]) == 2
    real = coordinator.ask("POST", path, data=data, **kind)
    assert (real.status_code, real.json["created"]) == (201, 1)
    assert len(coordinator.get("/register").json["planters"]) == 3


def test_import_with_a_fault_imports_nothing(coordinator: Speaker) -> None:
    good = "Quay 9,Quay,Small,round,8,none,in-use,,,"
    bad = "Quay 10,Nowhere,Small,round,lots,none,in-use,,,"
    answer = coordinator.ask(
        "POST", "/register/planters/import", data=table(good, bad), content_type="text/csv"
    )
    assert answer.status_code == 422
    assert {entry["column"] for entry in answer.json["errors"]} >= {"reservoir_l"}
    assert len(coordinator.get("/register").json["planters"]) == 2


def test_import_wants_csv(coordinator: Speaker) -> None:
    assert coordinator.post("/register/planters/import", {}).status_code == 415


def test_export_can_be_imported_and_escapes_formulas(coordinator: Speaker, town: Town) -> None:
    """B30: a cell that begins with = + - @ must not run in a spreadsheet."""
    coordinator.post("/register/planters", {"planters": [planter(town, name="=1+1")]})
    answer = coordinator.get("/register/planters.csv")
    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8"
    rows = list(csv.DictReader(io.StringIO(answer.text)))
    assert len(rows) == 3
    assert not any(row["name"].startswith("=") for row in rows)
