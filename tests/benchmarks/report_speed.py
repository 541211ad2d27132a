"""What the season report of a large town takes, beside the plain reading of its records.

    python tests/benchmarks/report_speed.py [--planters 500] [--without-water]

Prints processor seconds: all records read once (the least any report could take), the first report
after a start, one after a single new check-in, one where nothing has changed, and the records
behind one number.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import sys
import tempfile
import time
import uuid
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "server"))

from potrounds.config import Clock, Settings
from potrounds.domain.visits import standing
from potrounds.services import (
    assess,
    people,
    register,
    report_behind,
    report_days,
    report_view,
    town_settings,
)
from potrounds.services.context import Context
from potrounds.store import database, log, weather
from potrounds.store import register as store
from potrounds.store.ids import short_id
from potrounds.store.log import Sent
from potrounds.store.weather import OBSERVED, WeatherRow

NOW = datetime(2026, 10, 20, 18, 0, tzinfo=UTC)
FIRST = date(2026, 4, 1)
LEVELS = (0.0, 0.25, 0.5, 0.75, 1.0)


class Still(Clock):
    """A clock that stands."""

    def now(self) -> datetime:
        return NOW


def a_visit(planter: str, at: datetime, n: int, chance: Random) -> Sent:
    body: dict[str, Any] = {"level": chance.choice(LEVELS), "read_by": "float"}
    if chance.random() < 0.7:
        body |= {"litres_l": round(chance.uniform(2, 16), 1), "litres_how": "typed"}
    body["plants"] = chance.choice((5, 5, 4, 4, 3, 2))
    if chance.random() < 0.1:
        body["signs"] = [chance.choice(("wilting", "yellowing", "soggy-mix", "pests"))]
    wall = at.isoformat(timespec="milliseconds").replace("+00:00", "Z")
    record = {
        "v": 1,
        "id": str(uuid.UUID(int=chance.getrandbits(128), version=4)),
        "kind": "check-in",
        "planter": planter,
        "device": "0194f2a0-0000-7000-8000-000000000001",
        "n": n,
        "wall": wall,
        "body": body,
    }
    text = json.dumps(record)
    return Sent(
        id=record["id"],
        v=1,
        kind="check-in",
        planter=planter,
        author=None,
        author_role=None,
        device=record["device"],
        n=n,
        text=text,
        fingerprint=hashlib.sha256(text.encode()).hexdigest(),
        wall=wall,
        sent_at=at,
        received_at=at,
        observed_at=at,
    )


def make_town(ctx: Context, count: int, with_water: bool) -> list[str]:
    chance = Random(20261020)
    town_settings.change_settings(ctx, {"town_name": "Osier Bend", "zone": "Etc/GMT+6"})
    sites = [register.add_site(ctx, {"name": f"Site {n}"})["id"] for n in range(count // 12)]
    planters = []
    with database.write_transaction():
        for number in range(count):
            values = {
                "name": f"Planter {number}",
                "site": sites[number % len(sites)],
                "size": "Medium",
                "reservoir_l": 16.0,
                "gauge": "float",
                "installed_on": date(2025, 4, 1),
            }
            planter = store.add_planter(short_id("p"), values, NOW)
            store.add_planting(planter.id, date(2026, 5, 10), ["petunia"], "")
            planters.append(planter.id)
        n = 0
        for day in range((NOW.date() - FIRST).days):
            for number, planter in enumerate(planters):
                if (day + number) % 5 == 0:
                    n += 1
                    at = datetime(2026, 4, 1, 8, tzinfo=UTC) + timedelta(days=day, seconds=n % 600)
                    log.append(a_visit(planter, at, n, chance))
        days = [FIRST + timedelta(days=one) for one in range((NOW.date() - FIRST).days)]
        weather.put(
            WeatherRow(
                day, OBSERVED, None, 9 + day.month % 5, 22.0, chance.choice((0, 0, 4)), 2, "csv"
            )
            for day in days
        )
    if with_water:
        town_settings.change_settings(ctx, {"latitude": 41.5})
    return planters


def timed(work: Callable[[], object]) -> float:
    begun = time.process_time()
    work()
    return time.process_time() - begun


def read_all(planters: list[str]) -> None:
    for planter in planters:
        standing(log.records_of(planter), "Etc/GMT+6")


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--planters", type=int, default=500)
    asked.add_argument("--without-water", action="store_true")
    how = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        settings = Settings(home=home, database=f"sqlite:///{home / 'town.sqlite'}")
        database.open_database(settings.database)
        ctx = Context(settings, Still(), hasher=people.quick_hasher())
        planters = make_town(ctx, how.planters, not how.without_water)
        # As in a town that runs: cards are made at every push, so that the balance is warm.
        assessing = timed(lambda: assess.assess(ctx, [planters[0]]))
        plain = timed(lambda: read_all(planters))
        print(f"{how.planters} planters, {log.last_number()} records; one card: {assessing:.1f} s")
        print(f"{'all records read':34s} {plain:7.2f} s")

        def told(name: str, work: Callable[[], object]) -> None:
            took = timed(work)
            print(f"{name:34s} {took:7.2f} s   {took / plain:5.1f} times the reading")

        told("first report", lambda: report_view.season(ctx, None))
        told("again", lambda: report_view.season(ctx, None))
        with database.write_transaction():
            log.append(a_visit(planters[0], NOW - timedelta(hours=1), 10**6, Random(1)))
        told("after one new check-in", lambda: report_view.season(ctx, None))
        told("behind a number", lambda: report_behind.behind(ctx, None, "visits"))
        report_days.forget()
        told("after a restart", lambda: report_view.season(ctx, None))
        database.shut()


if __name__ == "__main__":
    main()
