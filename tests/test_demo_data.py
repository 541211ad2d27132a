"""The demo data: made again the same, honest as files, and with every flag up somewhere."""

from __future__ import annotations

import csv
import hashlib
import re
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import PIL
import pytest
from PIL import Image

from demo_files import FOLDER, calendar, judged, lines, now, observed, rows, story
from potrounds.config import Clock, Settings
from potrounds.domain import records, step_lists, tag_code
from potrounds.flags import RULES, Flag
from potrounds.services import demo_town, held, people
from potrounds.services.context import Context
from potrounds.store import database, derived, log

HASH = re.compile(rb"[0-9a-f]{64}")
TABLES = (
    *("town.json", "planting.json", "planters.csv", "records.jsonl", "weather.csv", "lows.csv"),
    *("siting.json", "rounds.json", "site_plans.json", "plans/market-street.png"),
)


@pytest.fixture(scope="module")
def made_again(tmp_path_factory: pytest.TempPathFactory) -> Path:
    into = tmp_path_factory.mktemp("demo")
    script = [sys.executable, "-B", str(FOLDER / "make.py"), "--into", str(into), "--every", "9"]
    subprocess.run(script, check=True, capture_output=True, text=True)
    return into


@pytest.mark.parametrize("name", TABLES)
def test_the_files_come_out_of_the_generator_the_same(made_again: Path, name: str) -> None:
    again, here = (HASH.sub(b"#", (f / name).read_bytes()) for f in (made_again, FOLDER))
    pillow = rb'"pillow": "[^"]*"'  # another Pillow may draw other bytes, not another season
    assert re.sub(pillow, b"", again) == re.sub(pillow, b"", here)


def test_the_photos_come_out_of_the_generator_the_same(made_again: Path) -> None:
    if PIL.__version__ != story()["pillow"]:
        pytest.skip(f"drawn with Pillow {story()['pillow']}, this is {PIL.__version__}")
    drawn = list((made_again / "photos").iterdir())
    assert len(drawn) >= 8
    for photo in drawn:
        assert photo.read_bytes() == (FOLDER / "photos" / photo.name).read_bytes()
    named = {sha for line in lines() for sha in line["record"]["body"].get("photos", [])}
    again = (made_again / "records.jsonl").read_text()
    assert all(photo.stem in again and photo.stem in named for photo in drawn)


def test_each_photo_is_named_by_its_bytes_small_and_bare() -> None:
    photos = sorted((FOLDER / "photos").iterdir())
    assert 60 <= len(photos) <= 90
    assert sum(photo.stat().st_size for photo in photos) < 3_000_000
    for photo in photos:
        data = photo.read_bytes()
        assert photo.name == f"{hashlib.sha256(data).hexdigest()}.jpg"
        assert 10_000 < len(data) <= 40_000
        with Image.open(photo) as image:
            assert (image.format, image.size) == ("JPEG", (640, 480))
            assert not image.getexif()
            assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_every_photo_is_named_by_a_record_and_a_few_are_on_their_way() -> None:
    named = {sha for line in lines() for sha in line["record"]["body"].get("photos", [])}
    here = {photo.stem for photo in (FOLDER / "photos").iterdir()}
    assert here <= named
    assert 1 <= len(named - here) <= 4
    assert {told["picture"] for told in story()["planters"]} <= here


def test_there_are_24_planters_at_four_sites_in_three_sizes() -> None:
    assert [row["name"] for row in rows()] == [told["name"] for told in story()["planters"]]
    assert set(Counter(row["site"] for row in rows()).values()) == {6}
    assert {row["site"] for row in rows()} == {site["name"] for site in story()["sites"]}
    assert len({row["size"] for row in rows()}) == 3
    assert Counter(person["role"] for person in story()["people"]) == {
        "volunteer": 7,
        "coordinator": 1,
    }


def test_the_tag_codes_are_valid_and_differ() -> None:
    codes = [told["code"] for told in story()["planters"]]
    codes += [old["code"] for told in story()["planters"] for old in told["old_codes"]]
    assert len(codes) == len(set(codes)) == 25
    assert all(tag_code.is_valid(code) for code in codes)


def test_the_zone_has_summer_time_and_the_clock_is_five_nights_before_the_freeze() -> None:
    zone = ZoneInfo(story()["zone"])
    offsets = {datetime(2026, month, 1, tzinfo=zone).utcoffset() for month in (1, 7)}
    assert len(offsets) == 2
    freeze = calendar().next_freeze(None, calendar().local_day(now()))
    assert freeze is not None
    assert (freeze.source, freeze.date) == ("typed forecast", date(2026, 10, 25))
    assert freeze.date - calendar().local_day(now()) == timedelta(days=5)


def test_the_recorded_nights_are_those_of_the_weather() -> None:
    with (FOLDER / "weather.csv").open() as file:
        lows = {row["date"]: float(row["tmin_c"]) for row in csv.DictReader(file)}
    recorded = [night for night in story()["nights"] if night["kind"] == "recorded"]
    assert all(lows[night["date"]] == night["low_c"] > 0 for night in recorded)
    autumn = sorted(day for day, low in lows.items() if low <= 0 and day > "2026-07")
    assert autumn[0] == "2026-10-25"


def test_records_come_in_the_order_of_arrival_and_none_before_it_was_made() -> None:
    assert [line["received_at"] for line in lines()] == sorted(
        line["received_at"] for line in lines()
    )
    for line in lines():
        assert datetime.fromisoformat(line["received_at"]) < now()
        assert observed(line) <= datetime.fromisoformat(line["received_at"])


def test_each_phone_counts_on_and_only_one_number_is_missing() -> None:
    counted: dict[str, list[int]] = {}
    for line in lines():
        assert (line["device"], line["n"]) == (line["record"]["device"], line["record"]["n"])
        counted.setdefault(line["device"], []).append(line["n"])
    for numbers in counted.values():
        assert numbers == sorted(set(numbers))
    assert sum(max(numbers) - len(numbers) for numbers in counted.values()) == 1


def test_the_ids_are_uuid7_and_differ() -> None:
    ids = [line["record"]["id"] for line in lines()]
    assert len(ids) == len(set(ids))
    shape = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
    assert all(shape.fullmatch(one) for one in ids)


def test_what_a_record_points_to_is_there() -> None:
    ids = {line["record"]["id"] for line in lines()}
    for line in lines():
        body = line["record"]["body"]
        named = [body[key] for key in ("replaces", "check_in") if isinstance(body.get(key), str)]
        assert ids.issuperset(named + body.get("evidence", []))
        if body.get("to"):
            assert body["to"] in {person["id"] for person in story()["people"]}


def test_the_season_has_all_that_goes_wrong_with_records() -> None:
    kinds = Counter(line["record"]["kind"] for line in lines())
    assert set(kinds) == set(records.KINDS)
    late = [
        line
        for line in lines()
        if datetime.fromisoformat(line["received_at"]) - observed(line) > timedelta(days=14)
        and observed(line).year == 2026
    ]
    assert len({line["device"] for line in late}) == 1
    assert sum(observed(line).year == 1970 for line in lines()) == 1
    fast = {
        line["device"]
        for line in lines()
        if datetime.fromisoformat(line["sent_at"]) - datetime.fromisoformat(line["received_at"])
        > timedelta(hours=2)
    }
    assert len(fast) == 1


# Water needs weather, which the files are judged without; late in October nobody feeds; and the
# one new planting was found dry, which says more than a day that has passed.
NOT_IN_OCTOBER = {code for code, rule in RULES.items() if rule.family in ("water", "feeding")}
TO_BE_SEEN = sorted(set(RULES) - NOT_IN_OCTOBER - {"overhead_check_overdue"})


@pytest.mark.parametrize("code", TO_BE_SEEN)
def test_every_flag_is_up_somewhere_and_to_be_seen(code: str) -> None:
    up = [name for name, (_, flags) in judged().items() if code in _open(flags)]
    assert up


def _open(flags: tuple[Flag, ...]) -> set[str]:
    return {flag.code for flag in flags if not flag.quiet}


def test_not_everything_is_flagged() -> None:
    quiet = [name for name, (_, flags) in judged().items() if not flags]
    assert len(quiet) >= 6
    assert max(len(flags) for _, flags in judged().values()) <= 6
    assert any(flag.quiet for _, flags in judged().values() for flag in flags)


def test_winter_has_come_as_far_as_the_story_says() -> None:
    states = Counter(state.winterization.state for state, _ in judged().values())
    assert states == {"proven": 11, "unproven": 4, "under-way": 2, "not-begun": 7}
    lists = {code: {step.code for step in steps} for code, steps in step_lists.LISTS.items()}
    for line in lines():
        if line["record"]["kind"] == "step":
            body = line["record"]["body"]
            assert body["step"] in lists[body["list"]]


@pytest.fixture(scope="module")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Context]:
    """The demo town, loaded into a fresh database by the server's own services."""
    home = tmp_path_factory.mktemp("town")
    settings = Settings(home=home, database=f"sqlite:///{home / 'town.sqlite'}")
    database.open_database(settings.database)
    with database.connection():
        ctx = Context(settings, Clock(), hasher=people.quick_hasher())
        clock = demo_town.load(ctx)
        yield Context(settings, clock, hasher=people.quick_hasher())
    database.shut()


def test_the_server_takes_each_record_as_the_file_expects(loaded: Context) -> None:
    waiting = held.list_held(loaded)
    expected = [line["record"]["id"] for line in lines() if line["expect"] == "held"]
    assert [one["record"] for one in waiting if one["reason"] == "unknown-planter"] == expected
    for line in lines():
        kept = log.find(line["record"]["id"])
        if line["expect"] == "stored":
            assert kept is not None
            assert kept.text == line["text"]
            uncertain = observed(line).year == 1970
            assert bool(kept.time_doubt) == uncertain


def flagged(family: str) -> dict[str, set[str]]:
    """The planters' flags of one family, as the server's cards have them."""
    cards = [card.content for card in derived.all_cards() if card.key.startswith("p-")]
    codes = {code for code, rule in RULES.items() if rule.family == family}
    return {c["name"]: {flag["code"] for flag in c["flags"]} & codes for c in cards if c}


def test_the_server_raises_the_same_flags_as_the_files_show(loaded: Context) -> None:
    families = {rule.family for rule in RULES.values()} - {"water"}
    for family in families:
        codes = {code for code, rule in RULES.items() if rule.family == family}
        assert flagged(family) == {
            name: {flag.code for flag in flags} & codes for name, (_, flags) in judged().items()
        }


def test_the_leak_and_the_dead_wick_of_the_story_are_found_and_no_other(loaded: Context) -> None:
    """Invented in demo_data/season.py (LEAKS, DEAD_WICKS); the water balance is not told."""
    raised = flagged("water")
    faults = {"losing_water", "wick_not_drawing", "overflow_blocked", "gauge_stuck"}
    found = {name: codes & faults for name, codes in raised.items() if codes & faults}
    assert found == {"Library yard 3": {"losing_water"}, "Library yard 5": {"wick_not_drawing"}}
