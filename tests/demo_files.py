"""Reads the demo data as files, without the server's loader, and judges its planters."""

from __future__ import annotations

import csv
import io
import json
from datetime import date, datetime
from functools import cache
from pathlib import Path
from typing import Any

from potrounds.domain import records
from potrounds.domain.fold import PlanterState, fold
from potrounds.domain.planter import Night, Planter, Planting, Site, TownCalendar
from potrounds.domain.records import Record
from potrounds.domain.siting import ClearPath
from potrounds.flags import Flag, apply_decisions, cases_of, raise_flags

FOLDER = Path(__file__).resolve().parents[1] / "demo_data"


@cache
def story() -> dict[str, Any]:
    return json.loads((FOLDER / "town.json").read_text())


@cache
def lines() -> list[dict[str, Any]]:
    found = [json.loads(line) for line in (FOLDER / "records.jsonl").read_text().splitlines()]
    return [line | {"record": json.loads(line["text"])} for line in found]


@cache
def rows() -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO((FOLDER / "planters.csv").read_text())))


@cache
def calendar() -> TownCalendar:
    settings = story()["settings"]
    winter, spring = (
        tuple(int(part) for part in settings[key].split("-"))
        for key in ("winter_from", "spring_from")
    )
    return TownCalendar(
        zone=story()["zone"],
        sites=tuple(
            Site(site["id"], site["name"], date.fromisoformat(site["freeze_on"]))
            for site in story()["sites"]
        ),
        nights=tuple(
            Night(date.fromisoformat(night["date"]), night["low_c"], night["kind"])
            for night in story()["nights"]
        ),
        winter_from=(winter[0], winter[1]),
        spring_from=(spring[0], spring[1]),
        visit_days=settings["visit_days"],
    )


def now() -> datetime:
    return datetime.fromisoformat(story()["clock"])


def observed(line: dict[str, Any]) -> datetime:
    """When it was seen, worked out as R12 says, without the server's code."""
    received, sent = (datetime.fromisoformat(line[k]) for k in ("received_at", "sent_at"))
    return received - (sent - datetime.fromisoformat(line["record"]["wall"]))


def as_record(line: dict[str, Any], installed: date) -> Record:
    person = next((p for p in story()["people"] if p["id"] == line["author"]), None)
    text, at = line["record"], observed(line)
    return Record(
        id=text["id"],
        kind=text["kind"],
        planter=text["planter"],
        body=records.body_from(text["kind"], text["body"]),
        observed_at=at,
        author=line["author"],
        author_name=person["name"] if person else "",
        device=line["device"],
        n=line["n"],
        time_uncertain=calendar().local_day(at) < installed,
        extra={"author_role": person["role"]} if person else {},
    )


@cache
def siting() -> dict[str, Any]:
    return json.loads((FOLDER / "siting.json").read_text())


def clear_path(planter_id: str) -> ClearPath | None:
    """What is left beside the plants, worked out without the server's code: one side, the wall's.

    A planter at the wall, or a post in what is left, is not among those this is asked for.
    """
    for check in siting()["checks"]:
        facts = check["facts"]
        if check["planter"] == planter_id and facts["from_kerb_cm"] < facts["path_cm"] / 2:
            middle = facts["from_kerb_cm"] + facts["width_cm"] / 2
            left = facts["path_cm"] - middle - max(facts["canopy_cm"], facts["width_cm"]) / 2
            return ClearPath(date.fromisoformat(check["at"][:10]), "Pilar", left, 91.5)
    return None


@cache
def judged() -> dict[str, tuple[PlanterState, tuple[Flag, ...]]]:
    """Every planter's state and flags at the town's clock."""
    found = {}
    today = calendar().local_day(now())
    for row, told in zip(rows(), story()["planters"], strict=True):
        planter = as_planter(row, told["id"])
        assert planter.installed is not None
        own = [
            as_record(line, planter.installed)
            for line in lines()
            if line["record"]["planter"] == planter.id
        ]
        state = fold(planter, own, calendar(), now())
        raised = raise_flags(cases_of(planter, own, calendar(), now()), today)
        found[planter.name] = (state, apply_decisions(raised, state.decisions, today))
    return found


def as_planter(row: dict[str, str], planter_id: str) -> Planter:
    plantings = [Planting(date.fromisoformat(row["planted_on"]), tuple(row["plants"].split("; ")))]
    plantings += [
        Planting(date.fromisoformat(one["planted_on"]), tuple(one["plants"]))
        for one in story()["plantings"]
        if one["planter"] == planter_id
    ]
    return Planter(
        id=planter_id,
        name=row["name"],
        site=next(site["id"] for site in story()["sites"] if site["name"] == row["site"]),
        size=row["size"],
        shape=row["shape"],
        reservoir_l=float(row["reservoir_l"]),
        gauge=row["gauge"],
        installed=date.fromisoformat(row["installed_on"]),
        planting=plantings[-1],
        clear_path=clear_path(planter_id),
    )
