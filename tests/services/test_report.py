"""The season report against another path: pandas on the exported records, and days by hand."""

from __future__ import annotations

import io
from collections.abc import Iterator
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from statistics import median
from typing import Any

import pandas as pd
import pytest

from build import a_check_in
from potrounds.app import open_town
from potrounds.config import Settings
from potrounds.domain import report as figures
from potrounds.domain.report import HOWS
from potrounds.domain.visits import effective
from potrounds.services import demo_town, people, records_csv, report_behind, report_view
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal
from potrounds.store import database, derived

FIRST, END = "2026-04-01", "2027-04-01"  # the demo's spring_from is 04-01


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Context]:
    home = tmp_path_factory.mktemp("report")
    settings = Settings(home=home, database=f"sqlite:///{home / 'town.sqlite'}")
    open_town(settings)
    with database.connection():
        empty = Context(settings, open_town(settings), hasher=people.quick_hasher())
        clock = demo_town.load(empty)
        yield Context(settings, clock, hasher=people.quick_hasher())
    database.shut()


@pytest.fixture(scope="module")
def told(demo: Context) -> dict[str, Any]:
    return report_view.season(demo, "2026")


@pytest.fixture(scope="module")
def visits(demo: Context) -> pd.DataFrame:
    """The check-ins that stand, out of the exported table alone, figures as they are written."""
    table = pd.read_csv(
        io.StringIO(records_csv.export_records(demo)), dtype=str, keep_default_na=False
    )
    table = table[(table.counted_on >= FIRST) & (table.counted_on < END)]
    return table[(table.stands == "yes") & table.kind.isin(["check-in", "correction"])]


def in_tenths(cells: pd.Series) -> int:
    """Each amount to the tenth of a litre, half up, then added: in exact decimals."""
    step = Decimal("0.1")
    return int(sum(10 * Decimal(cell).quantize(step, ROUND_HALF_UP) for cell in cells))


def by_hand(rows: pd.DataFrame) -> dict[str, int]:
    filled = rows[rows.litres_l != ""]
    told = {
        how: in_tenths(filled.litres_l[filled.litres_how.replace("", "not-said") == how])
        for how in ("hose-timer", "typed", "to-overflow", "not-said")
    }
    return {**told, "overhead": in_tenths(rows.overhead_l[rows.overhead_l != ""])}


def tenths_of(water: dict[str, float]) -> dict[str, Decimal]:
    return {how: Decimal(str(litres)) * 10 for how, litres in water.items()}


def test_litres_are_those_of_the_exported_table(told: Any, visits: pd.DataFrame) -> None:
    assert tenths_of(told["town"]["water"]) == by_hand(visits)
    assert told["town"]["water"]["typed"] > 0
    for site in told["sites"]:
        assert tenths_of(site["water"]) == by_hand(visits[visits.site == site["name"]])
    for planter in told["planters"]:
        rows = visits[visits.planter_id == planter["id"]]
        assert tenths_of(planter["water"]) == by_hand(rows), planter["name"]


def test_lines_add_up_to_their_totals(told: Any) -> None:
    for how in HOWS:
        town = Decimal(str(told["town"]["water"][how]))
        for part in ("sites", "planters"):
            assert town == sum(Decimal(str(one["water"][how])) for one in told[part])


def test_visits_and_empty_days_are_those_of_the_table(told: Any, visits: pd.DataFrame) -> None:
    for planter in told["planters"]:
        rows = visits[visits.planter_id == planter["id"]]
        assert planter["visits"] == len(rows)
        empty = rows[rows.level_share.isin(["0", "0.0"])]
        assert planter["seen_empty_days"] == empty.counted_on.nunique()
    assert told["town"]["seen_empty_days"] > 0


def test_every_number_has_its_records(demo: Context, told: Any, visits: pd.DataFrame) -> None:
    for how in HOWS:
        found = report_behind.behind(demo, "2026", f"water-{how}")
        assert sum(Decimal(str(row["litres_l"])) for row in found["records"]) == Decimal(
            str(told["town"]["water"][how])
        )
    one = max(told["planters"], key=lambda planter: planter["visits"])
    found = report_behind.behind(demo, "2026", "visits", one["id"])
    rows = visits[visits.planter_id == one["id"]]
    assert {row["record"] for row in found["records"]} == set(rows.record_id)
    flagged = [report_behind.behind(demo, "2026", "flags", flag=f["code"]) for f in told["flags"]]
    assert {row["record"] for one in flagged for row in one["records"]} == {
        row["record"] for row in report_behind.behind(demo, "2026", "flags")["records"]
    }
    site = told["sites"][0]
    assert report_behind.behind(demo, "2026", "visits", None, site["id"])["count"] == site["visits"]


def test_every_number_is_made_of_as_many_parts(demo: Context, told: Any) -> None:
    """Counts of flags, losses, days and planters, each against the list behind it."""

    def parts(of: str, **more: Any) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = report_behind.behind(demo, "2026", of, **more)["parts"]
        return found

    town, flags = told["town"], told["town"]["flags"]
    assert (len(parts("flags")), len(parts("cleared"))) == (flags["raised"], flags["cleared"])
    assert len(parts("still-up")) == flags["still_up"]
    assert float(median(one["days"] for one in parts("median"))) == flags["median_days"]
    for kind in told["flags"]:
        assert len(parts("flags", flag=kind["code"])) == kind["raised"]
        assert len(parts("still-up", flag=kind["code"])) == kind["still_up"]
        days = [one["days"] for one in parts("median", flag=kind["code"])]
        assert (float(median(days)) if days else None) == kind["median_days"]
    assert len(parts("losses")) == town["losses"]
    assert len(parts("proven")) == town["winter"]["proven"]
    assert len(parts("not-proven")) == town["planters"] - town["winter"]["proven"]
    assert (len(parts("believed-empty")), len(parts("avoided"))) == (
        town["believed_empty_days"] or 0,
        town["avoided_days"] or 0,
    )
    for person in told["hours"]["people"]:
        found = report_behind.behind(demo, "2026", "hours", person=person["person"]["id"])
        assert found["count"] > 0
        assert {one["by"] for one in found["records"]} == {person["person"]["name"]}


def test_flags_that_are_up_today_are_those_on_the_cards(told: Any) -> None:
    """The cards were made by another path: the present day alone, looking back."""
    up = {
        card.key: len([f for f in card.content["flags"] if f["since"] > FIRST])
        for card in derived.planter_cards()
        if card.content
    }
    assert {one["id"]: one["flags"]["still_up"] for one in told["planters"]} == up
    assert sum(up.values()) > 10
    flags = told["town"]["flags"]
    assert flags["raised"] == flags["cleared"] + flags["still_up"]
    assert flags["raised"] == sum(one["raised"] for one in told["flags"])


def test_the_table_says_what_the_page_says(demo: Context, told: Any) -> None:
    table = pd.read_csv(io.StringIO(report_view.table(demo, "2026")))
    assert list(table.what.value_counts()[["planter", "site", "town"]]) == [
        len(told["planters"]),
        len(told["sites"]),
        1,
    ]
    town = table[table.what == "town"].iloc[0]
    assert town.water_typed_l == told["town"]["water"]["typed"]
    assert town.visits == table[table.what == "planter"].visits.sum()
    assert town.flags_raised == table[table.what == "site"].flags_raised.sum()


def test_a_season_of_the_future_is_refused(demo: Context) -> None:
    with pytest.raises(Refusal, match="no-such-season"):
        report_view.season(demo, "2027")


# --- the plain functions -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("litres", "tenths"), [(7.25, 73), (7.249, 72), (0.05, 1), (11.356235, 114), (12, 120), (0, 0)]
)
def test_an_amount_is_rounded_once_half_up(litres: float, tenths: int) -> None:
    """By hand; 0.05 is not below a half although its binary double lies above 0.05."""
    assert figures.tenths(litres) == tenths


D = date(2026, 6, 1)


def days(*numbers: int) -> list[date]:
    return [D + timedelta(days=number) for number in numbers]


def test_a_run_is_from_the_first_day_up_to_the_first_day_down() -> None:
    up_on = {"dry": days(1, 2, 3, 6), "late": days(8, 9), "old": days(-1, 0, 1, 4)}

    def up(day: date) -> dict[str, tuple[str, tuple[str, ...]]]:
        return {code: ("today", ("r1",)) for code, on in up_on.items() if day in on}

    runs = figures.flag_runs(D, D + timedelta(days=9), up)
    assert [(run.code, run.since, run.cleared) for run in runs] == [
        ("dry", *days(1, 4)),
        ("old", *days(4, 5)),  # its first run began in the season before
        ("dry", *days(6, 7)),
        ("late", D + timedelta(days=8), None),
    ]
    told = figures.settled(runs)
    assert told == {
        "raised": 4,
        "cleared": 3,
        "still_up": 1,
        "median_days": 1.0,
        "longest_days": 3,
    }


def test_days_a_fill_kept_from_empty() -> None:
    """By hand: 16 L, 3 L a day. Filled on day 0 from 4 L; without that fill empty from day 2 on,
    with it from day 6 on; the next fill is on day 7 from nothing."""
    litres = [16, 13, 10, 7, 4, 1, 0, 16, 13]
    levels = {D + timedelta(days=n): float(value) for n, value in enumerate(litres)}
    fills = [(D, 4.0), (D + timedelta(days=7), 0.0)]
    empty, kept = figures.avoided(levels, fills, least_l=0.3)
    assert list(empty) == days(6)
    assert list(kept) == days(2, 3, 4, 5, 8)


def test_without_a_fill_nothing_was_kept() -> None:
    levels = {D: 5.0, D + timedelta(days=1): 2.0, D + timedelta(days=2): 0.0}
    assert figures.avoided(levels, [], least_l=0.3) == ((D + timedelta(days=2),), ())


def test_plants_gone_are_one_loss_until_others_grow() -> None:
    seen = [a_check_in(plants=score, days_ago=20 - at) for at, score in enumerate([3, 1, 1, 4, 1])]
    found = figures.losses(effective(seen), [(D, "lost")], date(2026, 1, 1), date(2026, 12, 31))
    assert [loss.what for loss in found] == ["lost", "plants-gone", "plants-gone"]
