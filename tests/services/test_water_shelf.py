"""Mornings kept on disk: a restart says the same, and no file can do harm."""

from __future__ import annotations

import os
import pickle
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from potrounds.science.ensemble import PlanterFacts
from potrounds.services import water_pass, water_shelf
from potrounds.services.water_pass import Memory, Morning, run
from potrounds.services.water_season import Season, Told
from potrounds.services.water_shelf import MOST_FILES, Shelf
from potrounds.services.weather_record import Month
from potrounds.store.weather import WeatherRow

FIRST = date(2026, 5, 1)


def a_season(days: int = 12) -> Season:
    weather = tuple(
        WeatherRow(FIRST + timedelta(n), "observed", None, 9.0, 22.0 + n % 4, 0.0, 2.0, "csv")
        for n in range(days)
    )
    told = {FIRST + timedelta(n): ((0, Told(f"r{n}", FIRST, "p1", level=0.5)),) for n in (4, 9)}
    return Season(
        facts=(PlanterFacts("a", 66.0, 16.0, 0.21), PlanterFacts("b", 66.0, 16.0, 0.21)),
        rain_reaches=(None, True),
        latitude=46.5,
        elevation_m=0.0,
        usual=(Month(9.0, 22.0, 0.2, 4.0, 2.0),) * 12,
        weather=weather,
        issued={},
        told=told,
        today=FIRST + timedelta(days),
    )


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return Shelf(tmp_path / "water")


def memory_on(shelf: Shelf) -> Memory:
    memory = Memory()
    memory.shelf = shelf
    return memory


def figures(morning: Morning) -> Any:
    e = morning.state.calibration.ensemble
    return e.q.tobytes(), e.log_weight.tobytes(), morning.looks, morning.plug_out


def days_worked(monkeypatch: pytest.MonkeyPatch) -> list[date]:
    """The days a replay goes through from here on."""
    seen: list[date] = []
    live = water_pass._live

    def noted(morning: Morning, season: Season, day: date) -> None:
        seen.append(day)
        live(morning, season, day)

    monkeypatch.setattr(water_pass, "_live", noted)
    return seen


def test_a_restart_goes_on_from_the_kept_morning_with_the_same_figures(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    season = a_season()
    before = figures(run(season, memory_on(shelf)))
    seen = days_worked(monkeypatch)
    after = figures(run(season, memory_on(shelf)))
    assert after == before
    assert seen == [season.today]


def test_other_weather_is_another_morning(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    season = a_season()
    run(season, memory_on(shelf))
    seen = days_worked(monkeypatch)
    run(a_season(13), memory_on(shelf))
    assert len(seen) == 2, "one more day, then today"
    seen.clear()
    hotter = list(season.weather)
    hotter[0] = WeatherRow(FIRST, "observed", None, 9.0, 33.0, 0.0, 2.0, "csv")
    run(Season(**{**vars(season), "weather": tuple(hotter)}), memory_on(shelf))
    assert len(seen) == 13


def test_other_code_finds_nothing_kept(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    shelf.put(b"key", np.arange(3))
    assert shelf.get(b"key") is not None
    monkeypatch.setattr(water_shelf, "code_mark", lambda: b"another")
    assert shelf.get(b"key") is None


@pytest.mark.parametrize("harm", ["cut short", "empty", "no pickle"])
def test_a_damaged_file_is_worked_out_again(
    shelf: Shelf, harm: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    season = a_season()
    before = figures(run(season, memory_on(shelf)))
    (file,) = shelf.folder.glob("*.morning")
    raw = file.read_bytes()
    file.write_bytes(
        {"cut short": raw[: len(raw) // 2], "empty": b"", "no pickle": b"<html>"}[harm]
    )
    seen = days_worked(monkeypatch)
    assert figures(run(season, memory_on(shelf))) == before
    assert len(seen) == 13
    assert file.read_bytes() == raw


class Evil:
    """A pickle that runs a command when it is read."""

    def __init__(self, made: Path) -> None:
        self.made = made

    def __reduce__(self) -> Any:
        return os.system, (f"touch {self.made}",)


@pytest.mark.parametrize(
    "raw",
    [
        b"cposix\nsystem\n(S'true'\ntR.",
        b"cbuiltins\neval\n(S'1'\ntR.",
        b"cpotrounds.services.water_pass\nrun\n.",
        b"cpotrounds.science.ensemble\nnp.load\n.",
        b"cnumpy\nload\n.",
    ],
)
def test_a_file_that_names_code_is_refused(raw: bytes) -> None:
    with pytest.raises(pickle.UnpicklingError):
        water_shelf.read(raw)


def test_a_planted_file_runs_nothing(shelf: Shelf, tmp_path: Path) -> None:
    made = tmp_path / "made"
    shelf.put(b"key", np.arange(3))
    (file,) = shelf.folder.glob("*.morning")
    file.write_bytes(pickle.dumps(Evil(made)))
    assert shelf.get(b"key") is None
    assert not made.exists()


def test_only_the_last_mornings_are_kept(shelf: Shelf) -> None:
    for number in range(MOST_FILES + 3):
        shelf.put(bytes([number]), number)
        (file,) = [
            f for f in shelf.folder.glob("*.morning") if pickle.loads(f.read_bytes()) == number
        ]
        os.utime(file, (number, number))
    (shelf.folder / "half.part").write_bytes(b"x")
    os.utime(shelf.folder / "half.part", (0, 0))
    shelf.put(b"last", 99)
    kept = sorted(pickle.loads(f.read_bytes()) for f in shelf.folder.iterdir())
    assert len(kept) == MOST_FILES
    assert 99 in kept


def test_a_disk_that_refuses_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / "water").write_text("a file where the folder should be")
    shelf = Shelf(tmp_path / "water")
    shelf.put(b"key", 1)
    assert shelf.get(b"key") is None
    assert figures(run(a_season(), memory_on(shelf)))
