"""Replays one trial folder through the product's own path, day by day, and writes what it said.

    python tests/benchmarks/field_trial.py INPUT_DIR OUTPUT_DIR

Each morning the town is told yesterday's weather and the forecast issued that day, and assessed;
the forecasts asked for are read off the planters' cards, and a flag that has gone up becomes an
alarm, once, on that morning. Then the day's check-ins arrive from a phone. Nothing dated later
than the day it stands on is read in, and the folder `truth` is never opened.
"""

from __future__ import annotations

import argparse
import csv
import json
import logging
import sys
import tempfile
import uuid
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "server"), str(ROOT / "tests")]

from tqdm import tqdm  # noqa: E402

from potrounds.config import Settings  # noqa: E402
from potrounds.services import people, register, sync, town_settings, weather  # noqa: E402
from potrounds.services.context import Caller, Context  # noqa: E402
from potrounds.store import database, derived  # noqa: E402
from potrounds.weather import WeatherDay  # noqa: E402
from speaking import HandClock  # noqa: E402

MARK = {"empty": 0.0, "quarter": 0.25, "half": 0.5, "three-quarter": 0.75, "full": 1.0}
OVERFLOW = {"yes": "ran-while-filling", "no": "dry"}
#: Flag -> the trial's word for the fault.
ALARMS = {
    "losing_water": "leak",
    "wick_not_drawing": "wick_failed",
    "overflow_blocked": "overflow_blocked",
    "overfilling_litres": "overfilling",
}
AT_ONCE = 50


def rows(path: Path) -> list[dict[str, str]]:
    """A table's lines."""
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def number(text: str) -> float | None:
    """A figure, or None where it is missing."""
    return float(text) if text else None


@dataclass(frozen=True)
class Told:
    """A morning's weather, as one answer of a forecast service would bring it."""

    told: tuple[WeatherDay, ...]

    def days(self, today: date) -> list[WeatherDay]:
        """All of it."""
        return sorted(self.told, key=lambda day: day.date)


class Trial:
    """A trial's folder, told to a town day by day."""

    def __init__(self, folder: Path, home: Path) -> None:
        self.site = json.loads((folder / "site.json").read_text("utf-8"))
        self.first = date.fromisoformat(self.site["start"])
        self.clock = HandClock(datetime.combine(self.first, time(5), UTC))
        settings = Settings(home=home, database=f"sqlite:///{home / 'town.sqlite'}")
        database.open_database(settings.database)
        self.ctx = Context(settings, self.clock, hasher=people.quick_hasher())
        device = str(uuid.UUID(int=1))
        with database.connection():
            person = people.add_person(self.ctx, {"name": "Volunteer", "role": "volunteer"})
        caller = Caller("ph-trial000", person["id"], "Volunteer", "volunteer", device)
        self.phone = self.ctx.with_caller(caller)
        self.sent = 0
        self.weather, self.check_ins = defaultdict(list), defaultdict(list)
        for row in rows(folder / "weather.csv"):
            # A day that was is told on the morning after it.
            was = row["kind"] == "observed"
            known = date.fromisoformat(row["date"]) + timedelta(1) if was else row["issued_on"]
            self.weather[str(known)].append(row)
        for row in rows(folder / "checkins.csv"):
            self.check_ins[row["date"]].append(row)
        self.asked = defaultdict(list)
        for row in rows(folder / "requests.csv"):
            self.asked[row["made_on"]].append(row["planter"])
        with database.connection():
            self.planters = self._register(folder)
            weather.put_normals(self.ctx, self._normals(folder))

    def _register(self, folder: Path) -> dict[str, str]:
        """The register of the town; gives the id of each of the trial's planters."""
        last = self.first + timedelta(self.site["days"] + 40)
        town_settings.change_settings(
            self.ctx,
            {
                "town_name": "Trial",
                "latitude": self.site["latitude"],
                "spring_from": f"{self.first:%m-%d}",
                "winter_from": f"{last:%m-%d}",
            },
        )
        site = register.add_site(self.ctx, {"name": "Trial"})["id"]
        bodies = [
            {
                "name": row["planter"],
                "site": site,
                "size": "Trial",
                "reservoir_l": float(row["reservoir_capacity_l"]),
                "gauge": "float",
                "mix_l": float(row["mix_volume_l"]),
                "top_area_m2": float(row["top_area_m2"]),
                "sun": row["sun"],
                "wind": row["wind"],
                "installed_on": date(self.first.year - 1, 1, 1),
            }
            for row in rows(folder / "planters.csv")
        ]
        # Under the trial's own names, so that a second replay draws the same guesses.
        with database.write_transaction():
            ids = {
                str(one["name"]): register.make_planter(self.ctx, one, {"id": one["name"]})
                for one in bodies
            }
        for row in rows(folder / "planters.csv"):
            body = {"planted_on": date.fromisoformat(row["planted_on"]), "plants": []}
            register.add_planting(self.ctx, ids[row["planter"]], body)
        return ids

    def _normals(self, folder: Path) -> list[dict[str, float]]:
        return [
            {key: float(value) for key, value in row.items() if key != "month"}
            for row in rows(folder / "normals.csv")
        ]

    def days(self) -> Iterator[date]:
        """Every day of the trial, the clock standing at its morning."""
        for number_ in range(self.site["days"]):
            day = self.first + timedelta(number_)
            self.clock.moment = datetime.combine(day, time(5), UTC)
            yield day

    def tell_weather(self, day: date) -> None:
        """Yesterday's weather and the forecast issued this morning; all cards are made anew."""
        told = tuple(
            WeatherDay(
                date.fromisoformat(row["date"]),
                float(row["tmin_c"]),
                float(row["tmax_c"]),
                number(row["rain_mm"]),
                number(row["wind_ms"]),
            )
            for row in self.weather[day.isoformat()]
        )
        if told:
            weather.keep(self.ctx, Told(told), "web")

    def card(self, planter: str) -> dict[str, Any]:
        """A planter's card as it stands."""
        card = derived.get(self.planters[planter])
        assert card is not None
        assert card.content is not None
        return card.content

    def send_check_ins(self, day: date) -> None:
        """The day's check-ins, from one phone in the morning."""
        self.clock.moment = datetime.combine(day, time(6), UTC)
        texts = [self._text(row) for row in self.check_ins[day.isoformat()]]
        for start in range(0, len(texts), AT_ONCE):
            envelope = {
                "batch": str(uuid.uuid4()),
                "device": self.phone.caller.device if self.phone.caller else "",
                "client": "trial",
                "sent_at": self.clock.now().isoformat(),
                "items": texts[start : start + AT_ONCE],
            }
            results = sync.push(self.phone, envelope, json.loads)["results"]
            assert all(one["outcome"] == "stored" for one in results), results

    def _text(self, row: dict[str, str]) -> str:
        self.sent += 1
        body: dict[str, Any] = {"overflow": OVERFLOW.get(row["overflow_seen"], "not-looked")}
        if row["gauge_before"]:
            body["level"] = MARK[row["gauge_before"]]
        if row["litres_added"]:
            body["litres_l"] = float(row["litres_added"])
        else:
            body["litres_how"] = "typed"  # some may have gone in, and nobody wrote how much
        if row["health"]:
            body["plants"] = int(row["health"])
        record = {
            **{"v": 1, "kind": "check-in", "n": self.sent, "body": body},
            "id": str(uuid.UUID(int=self.sent + 1)),
            "planter": self.planters[row["planter"]],
            "device": self.phone.caller.device if self.phone.caller else "",
            "wall": self.clock.now().isoformat(),
        }
        return json.dumps(record)


def forecast_row(trial: Trial, planter: str, day: date) -> list[str]:
    """What the card said of when it will be empty, and of the litres to the brim."""
    water = trial.card(planter)["water"]
    row = [planter, day.isoformat()]
    for name in ("mid", "low", "high"):
        days = water["days_to_empty"][name]
        when = None if days is None else datetime.combine(day, time()) + timedelta(days=days)
        row.append(when.isoformat(timespec="minutes") if when else "")
    return [*row, f"{water['top_up'][0]['litres_l']:.1f}"]


def replay(folder: Path, quiet: bool = False) -> tuple[list[list[str]], list[list[str]]]:
    """The forecasts and alarms of a trial."""
    forecasts, alarms = [], []
    up: set[tuple[str, str]] = set()
    with tempfile.TemporaryDirectory() as home:
        trial = Trial(folder, Path(home))
        try:
            with database.connection():
                for day in tqdm(trial.days(), total=trial.site["days"], disable=quiet or None):
                    trial.tell_weather(day)
                    for planter in trial.asked[day.isoformat()]:
                        forecasts.append(forecast_row(trial, planter, day))
                    now = {
                        (planter, ALARMS[flag["code"]])
                        for planter in trial.planters
                        for flag in trial.card(planter)["flags"]
                        if flag["code"] in ALARMS
                    }
                    for planter, kind in sorted(now - up):
                        alarms.append([planter, day.isoformat(), kind])
                    up = now
                    trial.send_check_ins(day)
        finally:
            database.shut()
    return forecasts, alarms


def write(path: Path, header: str, table: list[list[str]]) -> None:
    """A table with its header."""
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(header.split())
        writer.writerows(table)


def main() -> None:
    """Replay the folder named on the command line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("input", type=Path)
    parser.add_argument("output", type=Path)
    asked = parser.parse_args()
    logging.getLogger("potrounds.store.database").setLevel(logging.ERROR)
    forecasts, alarms = replay(asked.input)
    asked.output.mkdir(parents=True, exist_ok=True)
    columns = "planter made_on empty_on_median empty_on_p10 empty_on_p90 topup_l"
    write(asked.output / "forecasts.csv", columns, forecasts)
    write(asked.output / "alarms.csv", "planter raised_on kind", alarms)


if __name__ == "__main__":
    main()
