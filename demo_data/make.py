"""Make the demo data from its seed: python demo_data/make.py [--into FOLDER] [--every N].

Written again with the same code and the same Pillow, every file is the same byte for byte.
"""

from __future__ import annotations

import argparse
import csv
import hashlib
import io
import json
import shutil
from datetime import date
from pathlib import Path
from typing import Any

import autumn
import lows
import pictures
import PIL
import planting
import records
import rounds
import season
import site_plans
import siting
import spring
import summer
import town
import winter
from events import Event, Plot

import weather

HERE = Path(__file__).resolve().parent
COLUMNS = (
    *("name", "site", "size", "shape", "reservoir_l", "gauge", "status", "installed_on"),
    *("weight_moist_kg", "weight_full_kg", "planted_on", "plants", "notes"),
    *("mix_l", "top_area_m2", "sun", "wind", "rain_reaches"),
)


def story() -> tuple[Plot, dict[date, weather.Day]]:
    """Everything that happened from April to the town's clock."""
    days = weather.season()
    plot = Plot()
    spring.play(plot)
    season.play(plot, days, autumn.LAST_REGULAR)
    winter.play(plot)
    autumn.play(plot)
    pictures.choose(plot)
    summer.play(plot)
    rounds.play(plot)
    return plot, days


def town_json(shas: dict[str, str], lines: list[records.Line], nights: list[Any]) -> dict[str, Any]:
    """The register's part of the demo that the CSV import cannot carry."""
    codes = town.tag_codes()
    phones = records.devices()
    faces = pictures.faces(shas)
    seen: dict[str, list[str]] = {}
    for line in lines:
        seen.setdefault(line["device"], []).append(line["received_at"])
    return {
        "name": town.NAME,
        "zone": town.ZONE,
        "clock": town.CLOCK,
        "loaded_from": town.LOADED_FROM,
        "settings": {**town.SETTINGS, "latitude": weather.LATITUDE},
        "pillow": PIL.__version__,
        "sites": [{"id": i, "name": n, "freeze_on": f} for n, (i, f) in town.SITES.items()],
        "people": [{"id": i, "name": n, "role": r} for n, (i, r) in town.PEOPLE.items()],
        "phones": [
            {
                "device": device,
                "person": town.PEOPLE[name][0],
                "first_seen": min(seen[device]),
                "last_seen": max(seen[device]),
            }
            for name, device in phones.items()
        ],
        "planters": [
            {
                "id": planter.id,
                "name": name,
                "code": codes[name][0],
                "old_codes": [
                    {"code": c, "retired_at": "2026-07-06T17:15:00Z", "reason": "Tag broken off"}
                    for c in codes[name][1:]
                ],
                "picture": faces.get(name),
            }
            for name, planter in town.PLANTERS.items()
        ],
        "plantings": [
            {
                "planter": town.PLANTERS[name].id,
                "planted_on": planted.isoformat(),
                "plants": list(plants),
                "scheme": "Autumn planting",
            }
            for name, (planted, plants) in town.AUTUMN.items()
        ],
        "nights": nights,
    }


def planter_rows() -> list[list[str]]:
    """The register's CSV import."""
    rows = [list(COLUMNS)]
    for planter in town.PLANTERS.values():
        moist, full = town.WEIGHTS_KG[planter.size]
        rows.append(
            [
                planter.name,
                planter.site,
                planter.size,
                planter.shape,
                f"{planter.reservoir_l:g}",
                planter.gauge,
                "in-use",
                planter.installed_on.isoformat(),
                str(moist),
                str(full),
                planter.planted_on.isoformat(),
                "; ".join(planter.plants),
                planter.notes,
                f"{town.MIX_L[planter.size]:g}",
                f"{town.TOP_M2[planter.size]:g}",
                town.SUN.get(planter.site, "full"),
                town.WIND.get(planter.site, "open"),
                "yes" if planter.rain_reaches else "no",
            ]
        )
    return rows


def _csv(rows: list[list[str]]) -> bytes:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue().encode()


def _json(value: Any) -> bytes:
    return (json.dumps(value, ensure_ascii=False, indent=1) + "\n").encode()


def _stand_in(event: Event) -> str:
    """The name of a photo that was not drawn, for a quick look at the rest."""
    return hashlib.sha256(event.key.encode()).hexdigest()


def make(into: Path, every: int = 1) -> None:
    """Write all files of the demo, with every photo or every so-manieth; 0 for none."""
    plot, days = story()
    into.mkdir(parents=True, exist_ok=True)
    taken = [event for event in plot.events if event.scene]
    shas = {event.key: _stand_in(event) for event in taken}
    if every:
        shutil.rmtree(into / "photos", ignore_errors=True)
        (into / "photos").mkdir()
        for event in taken[::every]:
            data = pictures.draw(event, days)
            shas[event.key] = hashlib.sha256(data).hexdigest()
            if not event.photo_lost:
                (into / "photos" / f"{shas[event.key]}.jpg").write_bytes(data)
    lines = records.lines(plot.events, shas)
    texts = [json.dumps(line, ensure_ascii=False, separators=(",", ":")) for line in lines]
    (into / "records.jsonl").write_bytes(("\n".join(texts) + "\n").encode())
    (into / "planters.csv").write_bytes(_csv(planter_rows()))
    (into / "weather.csv").write_bytes(_csv(weather.rows(days)))
    (into / "lows.csv").write_bytes(_csv(lows.rows()))
    (into / "siting.json").write_bytes(_json(siting.siting_json()))
    (into / "site_plans.json").write_bytes(_json(site_plans.site_plans_json()))
    (into / "plans").mkdir(exist_ok=True)
    site_plans.picture().save(into / "plans" / site_plans.NAME, "PNG", optimize=True)
    (into / "rounds.json").write_bytes(_json(rounds.rounds_json()))
    (into / "planting.json").write_bytes(_json(planting.planting_json()))
    face_shas = {e.key: shas[e.key] for e in taken}
    (into / "town.json").write_bytes(_json(town_json(face_shas, lines, weather.nights(days))))


def main() -> None:
    """Read the command line."""
    parser = argparse.ArgumentParser(description="Make the demo data from its seed.")
    parser.add_argument("--into", type=Path, default=HERE, help="folder to write to")
    parser.add_argument(
        "--every", type=int, default=1, help="draw only every so-manieth photo, 0 for none"
    )
    asked = parser.parse_args()
    if asked.every != 1 and asked.into.resolve() == HERE:
        parser.error("the demo data are only written whole; use --into for a trial")
    make(asked.into, asked.every)


if __name__ == "__main__":
    main()
