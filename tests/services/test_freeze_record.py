"""The station's record in a town: brought, refused, told on the town's card, heard by the rules."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from desk import Desk
from potrounds.services import assess, freeze_record, lows, register, town, town_settings
from potrounds.services.refusal import Refusal
from potrounds.store import database, derived
from potrounds.store import lows as store

# 32 °F first falls of Clemson Univ, SC, 1971 to 2000, days since 1 August. Handbook 6, computed
# from NOAA daily data; the page of the station gives 20 October for 20 %.
FALL_32 = (
    *(96, 80, 101, 63, 92, 79, 102, 127, 106, 97, 80, 96, 97, 98, 99, 105, 64, 73, 81, 109),
    *(95, 99, 92, 115, 96, 80, 88, 113, 84, 69),
)


def a_table(falls: tuple[int, ...] = FALL_32, first: int = 1971, left_out: date | None = None):
    """A record in degF, a season after the other: 31 on the first freeze's day and on 10 April.

    The nights before are at 50, those of winter at 40, so that 28 °F never comes and 36 °F comes
    with 32 °F.
    """
    lines = ["DATE,TMIN"]
    for number, fall in enumerate(falls):
        start = date(first + number, 8, 1)
        spring = date(first + number + 1, 4, 10)
        day = start
        while day < date(first + number + 1, 8, 1):
            cold = day in (start + timedelta(days=fall), spring)
            low = 31 if cold else 40 if start + timedelta(days=fall) < day < spring else 50
            if day != left_out:
                lines.append(f"{day},{low}")
            day += timedelta(days=1)
    return "\n".join(lines).encode()


def bring(desk: Desk, table: bytes, **more: Any) -> dict[str, Any]:
    report = lows.import_lows(desk.ctx, table, "f", more.pop("dry_run", False), **more)
    assert report["errors"] == []
    return report


def card(desk: Desk) -> dict[str, Any]:
    return desk.card(derived.TOWN)


@pytest.fixture
def record(desk: Desk) -> Desk:
    bring(desk, a_table(), replace=False)
    return desk


def test_odds_of_this_season_stand_on_the_towns_card(record: Desk) -> None:
    """32 °F: Oct 13/20, Nov 2/21 (handbook 6). The desk's clock stands in May 2026."""
    odds = card(record)["freeze_odds"]
    assert (odds["years"], odds["from"], odds["to"]) == (30, 1971, 2001)
    assert odds["method"] == "two-part-normal"
    assert [one["f"] for one in odds["fall"]] == [36, 32, 28]
    fall = odds["fall"][1]
    assert [fall[f"p{chance}"] for chance in (10, 20, 50, 90)] == [
        *("2025-10-13", "2025-10-20", "2025-11-02", "2025-11-21"),
    ]
    assert [fall["counted"][f"p{chance}"] for chance in (10, 20, 50, 90)] == [
        *("2025-10-09", "2025-10-20", "2025-11-05", "2025-11-22"),
    ]
    assert (fall["years"], fall["share"]) == (30, 1.0)
    assert odds["spring"][1]["p50"] == "2026-04-10"
    never = odds["fall"][2]
    assert (never["share"], never["p10"], never["counted"]["p10"]) == (0.0, None, None)
    assert odds["observed"][-1] == {
        "year": 2000,
        "fall": ["2000-10-09", "2000-10-09", None],
        "spring": ["2001-04-10", "2001-04-10", None],
    }
    assert len(odds["observed"]) == 10


def test_who_brought_what_and_when_is_kept(desk: Desk) -> None:
    pilar = desk.join("Pilar", "coordinator")
    lows.import_lows(pilar.ctx, a_table(), "f", dry_run=False, replace=False)
    told = card(desk)["freeze_record"]
    assert (told["from"], told["to"], told["missing"]) == ("1971-08-01", "2001-07-31", 0)
    assert (told["too_few"], told["skipped"]) == (None, [])
    assert (told["brought_at"], told["brought_by"]) == ("2026-05-04T08:00:00.000Z", "Pilar")
    change = register.overview(desk.ctx)["changes"][0]
    assert (change["what"], change["by"]) == ("lows", "Pilar")
    assert (change["after"]["days"], change["after"]["unit"]) == (10_958, "f")


def test_a_gap_is_named_and_its_season_left_out(desk: Desk) -> None:
    bring(desk, a_table(left_out=date(1975, 10, 3)), replace=False)
    told = card(desk)
    assert told["freeze_odds"]["fall"][1]["years"] == 29
    assert told["freeze_record"]["skipped"] == [
        {
            "year": 1975,
            "what": "fall",
            "why": "No low for Friday 3 October 1975, before the first freeze seen.",
        }
    ]


def test_too_few_years_show_days_and_no_chance(desk: Desk) -> None:
    bring(desk, a_table(FALL_32[:4]), replace=False)
    told = card(desk)
    assert told["freeze_odds"] is None
    assert "Odds need 20" in told["freeze_record"]["too_few"]
    assert [one["fall"][1] for one in told["freeze_record"]["observed"]] == [
        *("1971-11-05", "1972-10-20", "1973-11-10", "1974-10-03"),
    ]
    assert town.calendar().odds_on is None


def test_a_town_without_a_record(desk: Desk) -> None:
    assert card(desk)["freeze_odds"] is None
    assert card(desk)["freeze_record"] is None


def test_the_calendar_reckons_with_the_odds_between_forecast_and_site_date(record: Desk) -> None:
    calendar = town.calendar()
    october = date(2026, 10, 1)
    freeze = calendar.next_freeze(None, october)
    assert freeze
    assert (freeze.date, freeze.source) == (date(2026, 10, 13), "freeze odds")


def test_the_drain_is_warned_of_from_the_ten_percent_date_on(record: Desk) -> None:
    for day, warned in ((date(2026, 10, 12), False), (date(2026, 10, 13), True)):
        record.clock.tick(days=(day - record.clock.now().date()).days)
        assess.assess_all(record.ctx)
        codes = {one["code"] for one in record.card(record.planter)["flags"]}
        assert ("drain_not_pulled" in codes) is warned


def test_a_southern_town_has_its_seasons_half_a_year_later(desk: Desk) -> None:
    town_settings.change_settings(desk.ctx, {"latitude": -41.0})
    lines = a_table().decode().splitlines()
    moved = [
        f"{date.fromisoformat(line[:10]) + timedelta(days=184)}{line[10:]}" for line in lines[1:]
    ]
    bring(desk, "\n".join((lines[0], *moved)).encode(), replace=False)
    told = card(desk)
    assert told["freeze_record"]["southern"]
    fall = told["freeze_odds"]["fall"][1]
    # 73 and 93 days after 1 February, in the season that began in 2026
    assert (fall["p10"], fall["p50"]) == ("2026-04-15", "2026-05-05")


def test_a_new_latitude_turns_the_record_round(record: Desk) -> None:
    before = card(record)["freeze_odds"]
    town_settings.change_settings(record.ctx, {"latitude": -41.0})
    assert card(record)["freeze_odds"] != before
    town_settings.change_settings(record.ctx, {"latitude": 41.0})
    assert card(record)["freeze_odds"] == before


def test_a_later_table_adds_days_and_replaces_the_same(record: Desk) -> None:
    more = b"date,tmin_f\n2001-08-01,55\n2001-07-31,20\n"
    assert bring_plain(record, more) == 2
    assert card(record)["freeze_record"]["to"] == "2001-08-01"
    with database.connection():
        kept = store.read()
    assert len(kept) == 10_959
    assert kept[date(2001, 7, 31)] == -6.67
    assert kept[date(1971, 8, 1)] == 10.0


def bring_plain(desk: Desk, table: bytes, replace: bool = False) -> int:
    report = lows.import_lows(desk.ctx, table, None, False, replace)
    assert report["errors"] == []
    return int(report["created"])


def test_another_stations_record_takes_the_old_ones_place(record: Desk) -> None:
    bring_plain(record, b"date,tmin_f\n2001-08-01,55\n", replace=True)
    assert card(record)["freeze_record"]["from"] == "2001-08-01"
    assert card(record)["freeze_odds"] is None


def test_a_record_is_taken_away(record: Desk) -> None:
    lows.forget_lows(record.ctx)
    assert card(record)["freeze_odds"] is None
    assert town.calendar().odds_on is None
    with pytest.raises(Refusal) as caught:
        lows.forget_lows(record.ctx)
    assert caught.value.status == 404


def test_a_dry_run_and_a_fault_keep_nothing(desk: Desk) -> None:
    bring(desk, a_table(), dry_run=True, replace=False)
    bad = a_table().replace(b"1980-01-05,40", b"1980-01-05,forty")
    report = lows.import_lows(desk.ctx, bad, "f", False, False)
    assert report["created"] == 0
    assert [(one["column"], one["detail"][:5]) for one in report["errors"]] == [("tmin", "forty")]
    assert card(desk)["freeze_record"] is None


def test_a_rebuild_tells_the_same(record: Desk) -> None:
    before = card(record)
    assess.rebuild(record.ctx)
    after = card(record)
    assert {**after, "seq": 0} == {**before, "seq": 0}


def test_sixty_years_are_kept_and_read_once(desk: Desk) -> None:
    bring(desk, a_table(FALL_32 * 2, first=1960), replace=False)
    assert card(desk)["freeze_odds"]["years"] == 60
    assert freeze_record.record() is freeze_record.record()
