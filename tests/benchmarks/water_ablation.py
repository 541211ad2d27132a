"""What each part of the water model earns: the trial replayed with one part left out at a time.

    python tests/benchmarks/water_ablation.py TRIALS_DIR SCORER.py [--guesses N]

TRIALS_DIR holds trial folders with their truth; SCORER.py is the trial's own scorer. The science
is run alone, without store and cards: field_trial.py shows what the product says.
"""

from __future__ import annotations

import argparse
import importlib.util
import json
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np
from field_trial import MARK, number, rows

from potrounds.science import calibration, ensemble, evidence, town
from potrounds.science.ensemble import PRIOR, PlanterFacts, Q
from potrounds.science.evidence import CheckIns
from potrounds.science.season import Outlook, Season
from potrounds.science.weather_ahead import Days, Normals

GUESSES = 8192
SEEN = {"yes": 1.0, "no": 0.0}


def no_growth() -> Any:
    return patch.object(ensemble, "canopy", lambda first, part: np.ones_like(part))


@contextmanager
def no_learning() -> Iterator[None]:
    """Fillings are booked, but no reading tells one guess from another."""

    def alike(*arguments: Any) -> np.float32:
        return np.float32(1.0)

    booked = calibration.filling

    def only_booked(*arguments: Any) -> Any:
        found = booked(*arguments)
        flat = np.ones_like(found.likelihood)
        return type(found)(found.reservoir, flat, found.to_brim)

    with (
        patch.object(calibration, "gauge_likelihood", alike),
        patch.object(calibration, "plants_likelihood", alike),
        patch.object(calibration, "filling", only_booked),
    ):
        yield


@contextmanager
def no_rain() -> Iterator[None]:
    with patch.object(ensemble, "rain_share_logit", lambda reaches, z: -12.0 + 0.01 * z):
        yield


@contextmanager
def no_mix() -> Iterator[None]:
    """Plants drink straight from the reservoir: the mix holds next to nothing."""
    with patch.dict(PRIOR, {Q.MIX_HELD: (-7.0, 0.01), Q.WICK: (7.0, 0.01)}):
        yield


@contextmanager
def no_town() -> Iterator[None]:
    """Planters teach each other nothing."""
    with patch.object(town, "IMAGINED_PLANTERS", 1e12):
        yield


@contextmanager
def no_stuck_gauge() -> Iterator[None]:
    with patch.object(evidence, "STICKS", 0.0):
        yield


@contextmanager
def no_hands() -> Iterator[None]:
    """All who fill are alike: whether they go on to the brim is not learnt planter by planter."""
    with patch.dict(PRIOR, {Q.BRIM: (0.0, 0.05)}):
        yield


@contextmanager
def no_wet_leaves() -> Iterator[None]:
    with patch.object(ensemble, "WET_DAY_USE", 1.0):
        yield


@contextmanager
def no_faults() -> Iterator[None]:
    never = dict.fromkeys(calibration.BEGINS, 1e-9)
    with patch.object(calibration, "BEGINS", never):
        yield


@contextmanager
def no_correction() -> Iterator[None]:
    start = Season.__init__

    def raw(self: Season, *arguments: Any, **options: Any) -> None:
        start(self, *arguments, **(options | {"honest": False}))

    with patch.object(Season, "__init__", raw):
        yield


@contextmanager
def whole() -> Iterator[None]:
    yield


PARTS: dict[str, Callable[[], Any]] = {
    "whole": whole,
    "without growth": no_growth,
    "without learning": no_learning,
    "without rain": no_rain,
    "without the mix store": no_mix,
    "without supposed faults": no_faults,
    "without what the town teaches": no_town,
    "without doubt of the gauge": no_stuck_gauge,
    "without who fills how": no_hands,
    "without wet leaves": no_wet_leaves,
    "without interval correction": no_correction,
}


def load(path: Path) -> Any:
    spec = importlib.util.spec_from_file_location("scorer", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def days_of(lines: list[dict[str, str]]) -> Days:
    """Lines of consecutive days as the science takes them."""
    names = ("tmin_c", "tmax_c", "rain_mm", "wind_ms")
    table = np.array([[number(line[name]) for name in names] for line in lines], float)
    return Days(date.fromisoformat(lines[0]["date"]), *table.T)


def told_by(lines: list[dict[str, str]], place: dict[str, int]) -> CheckIns:
    """A morning's check-ins; the trial has at most one a planter and day."""

    def column(values: list[float | None]) -> Any:
        return np.array(values, np.float32)[:, None]

    return CheckIns(
        np.array([place[line["planter"]] for line in lines]),
        column([MARK.get(line["gauge_before"]) for line in lines]),
        column([number(line["litres_added"]) for line in lines]),
        column([SEEN.get(line["overflow_seen"]) for line in lines]),
        column([number(line["health"]) for line in lines]),
    )


def by_day(lines: list[dict[str, str]], key: str) -> dict[str, list[dict[str, str]]]:
    found = defaultdict(list)
    for line in lines:
        found[line[key]].append(line)
    return found


def forecast_row(planter: str, day: date, out: Outlook, at: int) -> dict[str, str]:
    """One forecast as the scorer reads it; beyond the horizon is blank."""
    row = {"planter": planter, "made_on": day.isoformat(), "topup_l": f"{out.top_up_l[at]:.2f}"}
    for name in ("median", "p10", "p90"):
        ahead = float(getattr(out, name)[at])
        when = datetime.combine(day, time()) + timedelta(days=min(ahead, 999.0))
        row[f"empty_on_{name}"] = when.isoformat() if np.isfinite(ahead) else ""
    return row


def replay(folder: Path, guesses: int) -> list[dict[str, str]]:
    """The forecasts of a trial, by the science alone."""
    site, pots = (
        json.loads((folder / "site.json").read_text("utf-8")),
        rows(folder / "planters.csv"),
    )
    place = {pot["planter"]: i for i, pot in enumerate(pots)}
    sizes = ("mix_volume_l", "reservoir_capacity_l", "top_area_m2")
    facts = [
        PlanterFacts(
            pot["planter"],
            *(float(pot[name]) for name in sizes),
            pot["sun"],
            pot["wind"],
            date.fromisoformat(pot["planted_on"]),
        )
        for pot in pots
    ]
    usual = ("tmin_c", "tmax_c", "wet_day_share", "rain_per_wet_day_mm", "wind_ms")
    months = rows(folder / "normals.csv")
    normals = Normals(*(np.array([float(month[name]) for month in months]) for name in usual))
    weather = rows(folder / "weather.csv")
    came = by_day([line for line in weather if line["kind"] == "observed"], "date")
    issued = by_day([line for line in weather if line["kind"] == "forecast"], "issued_on")
    visits = by_day(rows(folder / "checkins.csv"), "date")
    asked = by_day(rows(folder / "requests.csv"), "made_on")
    first = date.fromisoformat(site["start"])
    season = Season(facts, site["latitude"], normals, first, guesses=guesses)
    found: list[dict[str, str]] = []
    for day in (first + timedelta(n) for n in range(site["days"])):
        key = day.isoformat()
        season.begin_day(day, days_of(issued[key]) if issued[key] else None)
        if asked[key]:
            here = [line["planter"] for line in asked[key]]
            out = season.forecast(np.array([place[planter] for planter in here]))
            found += [forecast_row(planter, day, out, n) for n, planter in enumerate(here)]
        if visits[key]:
            season.check_in(told_by(visits[key], place))
        season.end_day(days_of(came[key]))
    return found


def score(scorer: Any, folder: Path, guesses: int) -> tuple[float, float, float, float]:
    """Clean rows: mean absolute error [d], coverage, CRPS [d], top-up error [% of capacity]."""
    found = scorer.score_forecasts(str(folder), replay(folder, guesses))
    clean = found["clean"]
    return clean["mae"], clean["cover80"], clean["crps"], found["topup_clean"]["mae_pct"]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("trials", type=Path)
    parser.add_argument("scorer", type=Path)
    parser.add_argument("--guesses", type=int, default=GUESSES)
    a = parser.parse_args()
    scorer = load(a.scorer)
    folders = sorted(p for p in a.trials.iterdir() if (p / "site.json").exists())
    print(
        "| part | "
        + " | ".join(f"{f.name} MAE d" for f in folders)
        + " | MAE | cover | CRPS | top-up % |"
    )
    print("|---" * (len(folders) + 5) + "|")
    for name, leave_out in PARTS.items():
        with leave_out():
            found = np.array([score(scorer, f, a.guesses) for f in folders])
        each = " | ".join(f"{v:.2f}" for v in found[:, 0])
        mean = " | ".join(f"{v:.2f}" for v in found.mean(axis=0))
        print(f"| {name} | {each} | {mean} |", flush=True)


if __name__ == "__main__":
    main()
