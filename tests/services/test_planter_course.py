"""A planter's seasons against another path: pandas on the very tables that were brought in."""

from __future__ import annotations

import io
from collections.abc import Iterator
from datetime import timedelta
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import pandas as pd
import pytest

from course_town import LAST, LEVELS, SEASONS, live_through, sky_table, visit_table
from desk import Desk, open_desk
from potrounds.services import (
    planter_course,
    planter_flags,
    planter_visits,
    records_csv,
    report_view,
)
from potrounds.store import database

A_SEASON = 40
CAPACITY = 16.0
HEAD = ["planter", "day", "time", "level", "litres", "overflow", "plants", "signs"]


@pytest.fixture(scope="module")
def lived(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """A town in September 2026 with three seasons of one planter."""
    one = open_desk(tmp_path_factory.mktemp("course"))
    live_through(one, A_SEASON)
    yield one
    database.shut()


@pytest.fixture(scope="module")
def brought() -> pd.DataFrame:
    """The visits as they were typed, each in its season and week."""
    lines = "\n".join(visit_table("x", A_SEASON))
    table = pd.read_csv(io.StringIO(lines), names=HEAD, dtype=str, keep_default_na=False)
    return dated(table)


@pytest.fixture(scope="module")
def sky() -> pd.DataFrame:
    """The weather as it was typed."""
    table = pd.read_csv(io.StringIO(sky_table(LAST - timedelta(1))))
    return dated(table.rename(columns={"date": "day"}))


def dated(table: pd.DataFrame) -> pd.DataFrame:
    """With the season (from April) and the week (from Monday) of each day."""
    days = pd.to_datetime(table.day)
    table["season"] = days.dt.year - (days.dt.month < 4)
    table["week"] = days.dt.to_period("W-SUN").astype(str)
    return table


def tenths(cells: pd.Series) -> int:
    step = Decimal("0.1")
    return int(sum(10 * Decimal(cell).quantize(step, ROUND_HALF_UP) for cell in cells if cell))


def litres(level: str) -> float:
    return CAPACITY * (1 - LEVELS.index(level) / 4)


def whole(desk: Desk, year: int | None = None) -> dict[str, Any]:
    return planter_course.whole(desk.ctx, desk.planter, str(year) if year else None)


@pytest.mark.parametrize("year", SEASONS)
def test_weeks_are_those_of_the_tables(
    lived: Desk, brought: pd.DataFrame, sky: pd.DataFrame, year: int
) -> None:
    visits = brought[brought.season == year]
    weather = sky[sky.season == year]
    told = whole(lived, year)["season"]["weeks"]
    expected = sorted({*visits.week, *weather.week})
    assert len(told) == len(expected)
    for week, name in zip(told, expected, strict=True):
        of, above = visits[visits.week == name], weather[weather.week == name]
        ran = of[of.overflow == "ran-while-filling"]
        scores = of.plants[of.plants != ""].astype(int)
        known = above.rain_mm.dropna()
        assert week["visits"] == len(of)
        assert week["lowest_l"] == min((litres(one) for one in of.level), default=None)
        assert round(10 * week["given_l"]) == tenths(of.litres), name
        assert week["unmeasured"] == len(ran[ran.litres == ""])
        assert week["overflows"] == len(ran)
        assert week["rain_days"] == len(known)
        assert week["rain_mm"] == (round(known.sum(), 1) if len(known) else None)
        assert week["tmax_c"] == (above.tmax_c.max() if len(above) else None)
        assert week["worst_plants"] == (scores.min() if len(scores) else None)
        assert list(week["signs"]) == (["wilting"] if (of.signs != "").any() else [])


@pytest.mark.parametrize("year", SEASONS)
def test_figures_and_marks_are_those_of_the_table(
    lived: Desk, brought: pd.DataFrame, year: int
) -> None:
    visits = brought[brought.season == year]
    told = whole(lived, year)["season"]
    assert told["visits"] == len(visits)
    assert round(10 * told["water"]["not-said"]) == tenths(visits.litres)
    assert told["seen_empty_days"] == visits.day[visits.level == "empty"].nunique()
    assert [mark["day"] for mark in told["marks"]] == list(visits.day)
    assert [mark["read_l"] for mark in told["marks"]] == [litres(one) for one in visits.level]
    scored = visits[visits.plants != ""]
    scores = [one["score"] for one in told["plants"] if one["score"] is not None]
    assert scores == list(scored.plants.astype(int))


def test_a_season_says_what_the_season_report_says_of_the_planter(lived: Desk) -> None:
    """The report adds up whole towns by a path of its own; its tests compare it with pandas."""
    for year in SEASONS:
        report = report_view.season(lived.ctx, str(year))
        line = next(one for one in report["planters"] if one["id"] == lived.planter)
        told = whole(lived, year)["season"]
        for key in ("visits", "steps", "water", "unmeasured_fills", "seen_empty_days"):
            assert told[key] == line[key], (year, key)
        assert planter_flags.season(lived.ctx, lived.planter, str(year))["settled"] == line["flags"]


def test_the_weather_is_that_of_the_season_and_gaps_stay_gaps(
    lived: Desk, sky: pd.DataFrame
) -> None:
    rows = sky[sky.season == 2025]
    told = whole(lived, 2025)["season"]["sky"]
    assert [day["date"] for day in told] == list(rows.day)
    assert [day["tmax_c"] for day in told] == list(rows.tmax_c)
    unknown = [day["date"] for day in told if day["rain_mm"] is None]
    assert unknown == list(rows.day[rows.rain_mm.isna()])


def test_what_is_believed_is_the_cards_and_of_the_present_season_only(lived: Desk) -> None:
    told, card = whole(lived), lived.card()
    assert told["season"]["believed"] == card["water"]["series"]
    assert told["use"]["own_l_day"] == card["water"]["use_l_day"]
    assert told["use"]["kind_l_day"] is None  # two planters are no peers
    past = whole(lived, 2025)
    assert (past["season"]["believed"], past["use"], past["season"]["as_of"]) == ([], None, None)
    assert past["whole"]


@pytest.mark.parametrize(
    ("peers", "kind", "percent"),
    [(0.9, 2.0, -10), (1.25, 1.44, 25), (1.04, 1.73, 0), (0.96, 1.88, 0), (None, None, None)],
)
def test_use_beside_its_kind(peers: float | None, kind: float | None, percent: int | None) -> None:
    """By hand: 1.8 L a day at 0.9 of its kind, whose planters would use 1.8 / 0.9 = 2.0 L."""
    water = {
        "use_l_day": {"mid": 1.8, "low": 1.5, "high": 2.2},
        "peers": peers,
        "as_of": "2026-09-20",
        "sure": "well",
    }
    told = planter_course._use(water)
    assert told is not None
    assert (told["kind_l_day"], told["percent"]) == (kind, percent)


def test_seasons_are_those_there_is_anything_of(lived: Desk) -> None:
    assert whole(lived)["years"] == [2026, 2025, 2024]
    assert planter_course.whole(lived.ctx, lived.other_planter, None)["years"] == [2026]


@pytest.mark.parametrize("most", [1, 7, 30, 100])
def test_pages_of_visits_hold_each_once_and_end(lived: Desk, most: int) -> None:
    seen: list[dict[str, Any]] = []
    before: str | None = None
    while True:
        page = planter_visits.visits(lived.ctx, lived.planter, None, before, most)
        assert len(page["visits"]) == most or page["before"] is None
        seen += page["visits"]
        before = page["before"]
        if before is None:
            break
    table = pd.read_csv(
        io.StringIO(records_csv.export_records(lived.ctx, planter=lived.planter)), dtype=str
    )
    assert [one["record"] for one in seen] == list(table.record_id[::-1])
    assert page["count"] == len(table) == len(SEASONS) * A_SEASON


def test_visits_begin_with_the_end_of_a_season(lived: Desk, brought: pd.DataFrame) -> None:
    page = planter_visits.visits(lived.ctx, lived.planter, "2025", None, 100)
    days = [one["at"][:10] for one in page["visits"]]
    assert days == list(brought.day[brought.season <= 2025][::-1])
    assert page["before"] is None


# --- flags ---------------------------------------------------------------------------------------


def test_flags_of_today_are_those_of_the_card_and_ends_name_the_days_records(lived: Desk) -> None:
    told = planter_flags.season(lived.ctx, lived.planter, None)
    up = {(run["code"], run["since"]) for run in told["runs"] if run["cleared"] is None}
    card = {(flag["code"], flag["since"]) for flag in lived.card()["flags"]}
    assert up == card
    table = pd.read_csv(
        io.StringIO(records_csv.export_records(lived.ctx, planter=lived.planter)), dtype=str
    )
    ended = [run for run in told["runs"] if run["cleared"]]
    assert len(ended) > 20
    for run in ended:
        assert run["cleared_by"] == list(table.record_id[table.counted_on == run["cleared"]])
        assert run["days"] == (pd.Timestamp(run["cleared"]) - pd.Timestamp(run["since"])).days
        assert run["sentence"]
    named = {record for run in told["runs"] for record in (*run["records"], *run["cleared_by"])}
    assert {visit["record"] for visit in told["visits"]} == named
