"""What each part of the water model earns: the trial replayed with one part left out at a time.

    python tests/benchmarks/water_ablation.py TRIALS_DIR SCORER.py [--guesses N]

TRIALS_DIR holds trial folders with their truth; SCORER.py is the trial's own scorer.
"""

from __future__ import annotations

import argparse
import importlib.util
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

import field_trial
import numpy as np

from potrounds.science import calibration, ensemble, evidence, town
from potrounds.science.ensemble import PRIOR, Q
from potrounds.science.season import Season


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
    "without interval correction": no_correction,
}


def load(path: Path) -> Any:
    spec = importlib.util.spec_from_file_location("scorer", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def score(scorer: Any, folder: Path, guesses: int | None) -> tuple[float, float, float, float]:
    """Clean rows: mean absolute error [d], coverage, CRPS [d], top-up error [% of capacity]."""
    names = ("planter", "made_on", "empty_on_median", "empty_on_p10", "empty_on_p90", "topup_l")
    rows, _ = field_trial.replay(folder, guesses=guesses)
    found = scorer.score_forecasts(
        str(folder), [dict(zip(names, row, strict=True)) for row in rows]
    )
    clean = found["clean"]
    return clean["mae"], clean["cover80"], clean["crps"], found["topup_clean"]["mae_pct"]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("trials", type=Path)
    parser.add_argument("scorer", type=Path)
    parser.add_argument("--guesses", type=int)
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
