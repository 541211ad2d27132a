"""A whole season of rounds in a simulated town: planned by need, weekly, and at half full.

The truth is a two-store balance a planter with hidden settings that the product is not told; the
weather and its forecasts are those of a trial folder, told morning by morning. What a volunteer
reads and writes down is coarse and partly missing. The folder `truth` is never opened.
"""

from __future__ import annotations

import json
import sys
import tempfile
import uuid
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "server"), str(ROOT / "tests"), str(Path(__file__).resolve().parent)]

from field_trial import Trial, number, rows  # noqa: E402

from potrounds.domain.rounds import CrewDay, Litres, Need, Visit  # noqa: E402
from potrounds.science.reference_et import DailyWeather, reference_et_series  # noqa: E402
from potrounds.science.walking import walking_m  # noqa: E402
from potrounds.science.water_balance import Stores, linear_growth, step_day  # noqa: E402
from potrounds.services import crew, people, sync  # noqa: E402
from potrounds.services.round_inputs import read_inputs  # noqa: E402
from potrounds.services.round_order import Ground, day_rounds, must  # noqa: E402
from potrounds.services.round_planner import make_plan  # noqa: E402
from potrounds.store import database, rounds, weather  # noqa: E402
from potrounds.store.weather import WeatherRow  # noqa: E402

CREW_WEEKDAYS = (0, 2, 4)
DRY_SHARE = 0.03
#: Turns of the search on each day: rounds of two dozen stops are no better after more.
TURNS = 150
FROM_ABOVE = ("Newly planted", "Water from above")
OVERHEAD_L = 2.0
SUN = {"full": 1.0, "part": 0.72, "shade": 0.5}


@dataclass
class Truth:
    """The planters as they really are, and their water."""

    folder: Path
    seed: int = 7
    stores: Stores = field(init=False)
    visits: int = 0
    dry_days: int = 0
    litres: float = 0.0
    filled_on: dict[int, date] = field(default_factory=dict)
    litres_a_day: dict[int, float] = field(default_factory=dict)  # between the last two fills

    def __post_init__(self) -> None:
        rng = np.random.default_rng(self.seed)
        facts = rows(self.folder / "planters.csv")
        self.names = [row["planter"] for row in facts]
        size = len(facts)
        self.capacity = np.array([float(row["reservoir_capacity_l"]) for row in facts])
        self.capacity *= rng.normal(1.0, 0.04, size)
        mix = np.array([float(row["mix_volume_l"]) for row in facts])
        self.mix = 0.25 * mix * rng.normal(1.0, 0.1, size)
        self.area = np.array([float(row["top_area_m2"]) for row in facts])
        sun = np.array([SUN[row["sun"]] for row in facts])
        wind = np.array([1.15 if row["wind"] == "windy" else 1.0 for row in facts])
        self.use = 1.6 * np.exp(rng.normal(0.0, 0.3, size)) * sun * wind * self.area
        self.reach = rng.uniform(0.15, 0.85, size)
        self.wick = np.exp(rng.normal(np.log(2.0), 0.4, size))
        self.planted = np.array([date.fromisoformat(r["planted_on"]).toordinal() for r in facts])
        self.stores = Stores(self.capacity.copy(), self.mix.copy())
        self.noise = np.random.default_rng(self.seed + 1)

    def pass_day(self, day: date, et0_mm: float, rain_mm: float) -> None:
        """A day's weather, and whether anything stood dry at its end."""
        age = day.toordinal() - self.planted
        grown = np.where(age < 0, 0.13, linear_growth(age.astype(float), 0.0, 42.0, 0.3))
        chance = np.exp(self.noise.normal(0.0, 0.14, self.area.size))
        self.stores, _ = step_day(
            self.stores,
            mix_capacity=self.mix,
            reservoir_capacity=self.capacity,
            demand=et0_mm * self.use * grown * chance,
            rain=rain_mm * self.area * self.reach,
            wick_rate=self.wick,
            slows_below=0.4,
        )
        self.dry_days += int((self.stores.reservoir <= DRY_SHARE * self.capacity).sum())

    def level(self, at: int) -> float:
        """How full a planter is."""
        return float(self.stores.reservoir[at] / self.capacity[at])

    def fill(self, at: int, day: date) -> float:
        """Fill a planter to its brim; gives the litres."""
        poured = float(self.capacity[at] - self.stores.reservoir[at])
        if at in self.filled_on:
            self.litres_a_day[at] = poured / (day - self.filled_on[at]).days
        self.filled_on[at] = day
        self.stores.reservoir[at] = self.capacity[at]
        self.visits, self.litres = self.visits + 1, self.litres + poured
        return poured


def weather_that_came(folder: Path) -> dict[date, tuple[float, float]]:
    """Reference ET and rain of each day."""
    site = json.loads((folder / "site.json").read_text("utf-8"))
    days = [row for row in rows(folder / "weather.csv") if row["kind"] == "observed"]
    when = [date.fromisoformat(row["date"]) for row in days]
    table = DailyWeather(
        np.array([one.timetuple().tm_yday for one in when], float),
        np.array([float(row["tmin_c"]) for row in days]),
        np.array([float(row["tmax_c"]) for row in days]),
        np.array([np.nan if not row["wind_ms"] else float(row["wind_ms"]) for row in days]),
    )
    et0 = reference_et_series(table, site["latitude"]).et0_mm
    rain = [number(row["rain_mm"]) or 0.0 for row in days]
    return {day: (float(e), r) for day, e, r in zip(when, et0, rain, strict=True)}


def lie_of_the_land(names: list[str], seed: int = 3) -> dict[tuple[str, str], float]:
    """Metres between all planters and the tap: four sites within a town centre."""
    rng = np.random.default_rng(seed)
    sites = rng.uniform(-0.004, 0.004, (4, 2))
    at = sites[np.arange(len(names)) % 4] + rng.normal(0, 0.0004, (len(names), 2))
    at = np.vstack([at, sites[:1]])
    metres = walking_m(list(48 + at[:, 0]), list(11 + at[:, 1]), [None] * len(at))
    ids = [*names, "w-tap"]
    return {
        (one, other): float(metres[i, j])
        for i, one in enumerate(ids)
        for j, other in enumerate(ids)
        if i < j
    }


@dataclass
class Season:
    """What a policy costs over a season, and what its visits were for."""

    name: str
    visits: int
    dry_planter_days: int
    kilometres: float
    litres: float
    causes: Counter[str] = field(default_factory=Counter)


def by_rule(
    folder: Path, name: str, chosen: Callable[[Truth, date], list[int]], ground: Ground, crew_: Any
) -> Season:
    """A season in which a rule says who is visited; like every season, it begins with a visit to
    each planter."""
    truth, metres = Truth(folder), 0.0
    for day, (et0, rain) in weather_that_came(folder).items():
        begins = not truth.filled_on and day.weekday() in CREW_WEEKDAYS
        stops = list(range(len(truth.names))) if begins else chosen(truth, day)
        if stops:
            visits = [_visit(truth, at) for at in stops]
            made = day_rounds(CrewDay(day, crew_, day), [must(one) for one in visits], ground)
            metres += sum(one.way_m for one in made.rounds)
            for one in made.rounds:
                for key in one.planters:
                    truth.fill(truth.names.index(key), day)
        truth.pass_day(day, et0, rain)
    return Season(name, truth.visits, truth.dry_days, metres / 1000, truth.litres)


def _visit(truth: Truth, at: int) -> Visit:
    name = truth.names[at]
    wanted = float(truth.capacity[at] - truth.stores.reservoir[at])
    need = Need(name, name, "s", "Site", float(truth.capacity[at]))
    return Visit(need, Litres(wanted, wanted, wanted), (), True, 1.0)


def planned(folder: Path, risk: float, water_alone: bool) -> tuple[Season, Ground, Any]:
    """A season planned by the product: weather told, plan made, rounds walked, check-ins sent."""
    truth, metres, first, causes = Truth(folder), 0.0, True, Counter[str]()
    came = weather_that_came(folder)
    with tempfile.TemporaryDirectory() as home:
        trial = Trial(folder, Path(home))
        try:
            with database.connection():
                _furnish(trial, risk)
                ground, members = None, ()
                for day in trial.days():
                    if day.weekday() in CREW_WEEKDAYS:
                        trial.tell_weather(day)
                        inputs = read_inputs(trial.ctx)
                        if water_alone:
                            needs = tuple(replace(one, tasks=()) for one in inputs.needs)
                            inputs = replace(inputs, needs=needs)
                        plan = make_plan(replace(inputs, turns=TURNS))
                        ground, members = inputs.ground, inputs.days[0].members
                        made = [one for one in plan.rounds() if one.day == day]
                        metres += sum(one.way_m for one in made)
                        stops = [stop.visit for one in made for stop in one.stops]
                        causes.update(cause_of(visit) for visit in stops)
                        _walk(trial, truth, stops, first)
                        first = False
                    else:
                        _keep_weather(trial, day)
                    truth.pass_day(day, *came[day])
        finally:
            database.shut()
    name = f"planned, {risk:.0%}{', water alone' if water_alone else ''}"
    season = Season(name, truth.visits, truth.dry_days, metres / 1000, truth.litres, causes)
    assert ground is not None
    return season, ground, members


def cause_of(visit: Visit) -> str:
    """What brought somebody: water, nearness, short roots, feed, or whatever else was due."""
    if not visit.must:
        return "taken along"
    why = visit.why[0]
    if "likely to be dry" in why or "a visit every" in why:
        return "water"
    if why.startswith(FROM_ABOVE):
        return "short roots"
    return "feed" if why.startswith("Feed due") else "other"


def _furnish(trial: Trial, risk: float) -> None:
    from potrounds.services import town_settings

    town_settings.change_settings(trial.ctx, {"run_dry_risk": risk})
    crew.add_tap(trial.ctx, {"name": "Tap", "flow_l_min": 15.0}, "w-tap")
    for name in ("Ana", "Ben"):
        person = people.add_person(trial.ctx, {"name": name, "role": "volunteer"})
        body = {"weekdays": list(CREW_WEEKDAYS), "minutes": 300, "mode": "cart", "tank_l": 60.0}
        crew.put_member(trial.ctx, person["id"], body, None)
    with database.write_transaction():
        for (one, other), metres in lie_of_the_land(list(trial.planters)).items():
            rounds.put_way(one, other, metres)


def _keep_weather(trial: Trial, day: date) -> None:
    """A morning on which nobody goes out: the weather is kept, cards wait for the next."""
    with database.write_transaction():
        weather.put(
            WeatherRow(
                date.fromisoformat(row["date"]),
                row["kind"],
                None if row["kind"] == "observed" else day,
                float(row["tmin_c"]),
                float(row["tmax_c"]),
                number(row["rain_mm"]),
                number(row["wind_ms"]),
                "web",
            )
            for row in trial.weather[day.isoformat()]
        )


def _walk(trial: Trial, truth: Truth, stops: list[Visit], first: bool) -> None:
    """Fill each planter, and say what was seen: a mark, rough litres, whether it ran over."""
    rng = np.random.default_rng(trial.sent + 11)
    trial.clock.moment = datetime.combine(trial.clock.moment.date(), time(6), UTC)
    texts = []
    for visit in stops:
        key = visit.need.planter
        at = truth.names.index(key)
        level = truth.level(at)
        poured = truth.fill(at, trial.clock.moment.date())
        mark = round(4 * min(1.0, max(0.0, level + rng.normal(0, 0.04)))) / 4
        body: dict[str, Any] = {"litres_l": round(poured * float(rng.normal(1.0, 0.1)), 1)}
        if any(why.startswith("Feed due") for why in visit.why):
            body["done"] = ["fed"]
        if any(why.startswith(FROM_ABOVE) for why in visit.why):
            body["overhead_l"] = OVERHEAD_L
            truth.stores.mix[at] = min(truth.mix[at], truth.stores.mix[at] + OVERHEAD_L)
        if rng.random() < 0.8:
            body["level"] = mark
        if first or rng.random() < 0.6:
            body["overflow"] = "ran-while-filling"
        trial.sent += 1
        caller = trial.phone.caller
        record = {
            **{"v": 1, "kind": "check-in", "n": trial.sent, "body": body, "planter": key},
            "id": str(uuid.UUID(int=trial.sent + 1)),
            "device": caller.device if caller else "",
            "wall": trial.clock.now().isoformat(),
        }
        texts.append(json.dumps(record))
    for start in range(0, len(texts), 50):
        envelope = {
            "batch": str(uuid.uuid4()),
            "device": trial.phone.caller.device if trial.phone.caller else "",
            "client": "season",
            "sent_at": trial.clock.now().isoformat(),
            "items": texts[start : start + 50],
        }
        results = sync.push(trial.phone, envelope, json.loads)["results"]
        assert all(one["outcome"] == "stored" for one in results), results
