"""A town to a file and back: exact, and nothing taken in that is damaged, newer or hostile."""

from __future__ import annotations

import hashlib
import json
import sqlite3
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from potrounds.app import open_town
from potrounds.config import Clock, Settings
from potrounds.services import archive, archive_reading, assess, backup, demo_town, people
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal
from potrounds.store import database


def settings_in(home: Path) -> Settings:
    home.mkdir(parents=True, exist_ok=True)
    return Settings(home=home, database=f"sqlite:///{home / 'town.sqlite'}")


@contextmanager
def town_in(home: Path, clock: Clock | None = None) -> Iterator[Context]:
    """The town of a folder, opened and shut again."""
    settings = settings_in(home)
    found = open_town(settings)
    with database.connection():
        yield Context(settings, clock or found, hasher=people.quick_hasher())
    database.shut()


@pytest.fixture(scope="module")
def demo_home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("demo")
    with town_in(home) as ctx:
        demo_town.load(ctx)
    return home


@pytest.fixture(scope="module")
def town_file(demo_home: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("file") / "town.zip"
    with town_in(demo_home) as ctx:
        archive.write(ctx, file)
    return file


def dump(home: Path) -> dict[str, list[tuple[Any, ...]]]:
    """Every row of every table, read by SQLite itself."""
    db = sqlite3.connect(home / "town.sqlite")
    names = [n for (n,) in db.execute("select name from sqlite_master where type = 'table'")]
    found = {name: db.execute(f"select * from {name}").fetchall() for name in names}
    db.close()
    return {name: sorted(rows, key=repr) for name, rows in found.items()}


def cards(home: Path) -> dict[str, Any]:
    """What every card says, without the marks of when it was made."""
    db = sqlite3.connect(home / "town.sqlite")
    rows = db.execute("select key, content from card").fetchall()
    db.close()
    said = {key: json.loads(content) for key, content in rows if content}
    return {
        key: {name: value for name, value in card.items() if name not in ("seq", "assessed_at")}
        for key, card in said.items()
    }


def test_the_round_trip_is_exact(demo_home: Path, town_file: Path, tmp_path: Path) -> None:
    with town_in(demo_home) as ctx:
        moment = ctx.now()

    class Still(Clock):
        def now(self) -> Any:
            return moment

    with town_in(demo_home, Still()) as ctx:
        assess.rebuild(ctx)
    new = tmp_path / "new"
    with town_in(new, Still()) as ctx:
        loaded = archive_reading.load(ctx, town_file)
    before, after = dump(demo_home), dump(new)
    assert before.keys() == after.keys()
    for name in before.keys() - {"setting", "card", "counter", "schema_steps"}:
        assert before[name] == after[name], name
    assert len(before["log_entry"]) > 800
    other = {row for row in before["setting"] if row not in after["setting"]}
    assert {name for name, _ in other} == {"history"}  # phones begin anew
    assert cards(demo_home) == cards(new)
    photos = sorted(p.relative_to(demo_home) for p in (demo_home / "photos").rglob("*.jpg"))
    assert photos
    for photo in photos:
        assert (demo_home / photo).read_bytes() == (new / photo).read_bytes()
    assert loaded["photos"] == len(photos) // 2
    assert loaded["rows"] == sum(
        len(rows) for name, rows in before.items() if name not in ("card", "schema_steps")
    )


def test_every_record_says_what_its_fingerprint_says(town_file: Path) -> None:
    with zipfile.ZipFile(town_file) as file:
        rows = [json.loads(line) for line in file.open("tables/log_entry.jsonl")]
    assert all(hashlib.sha256(r["text"].encode()).hexdigest() == r["fingerprint"] for r in rows)


def test_another_zip_reader_finds_the_file_whole(town_file: Path) -> None:
    """`unzip -t`'s check, by the CRCs of Python's zipfile; hashes by hashlib, part by part."""
    with zipfile.ZipFile(town_file) as file:
        assert file.testzip() is None
        manifest = json.loads(file.read("manifest.json"))
        assert {part["name"] for part in manifest["parts"]} | {"manifest.json"} == set(
            file.namelist()
        )
        for part in manifest["parts"]:
            data = file.read(part["name"])
            assert (len(data), hashlib.sha256(data).hexdigest()) == (part["bytes"], part["sha256"])


def rewritten(source: Path, target: Path, change: Any, manifest_too: bool = False) -> Path:
    """The archive with its parts changed by a function of name and bytes."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        parts = {name: old.read(name) for name in old.namelist()}
        manifest = json.loads(parts.pop("manifest.json"))
        changed = {}
        for name, data in parts.items():
            told = change(name, data)
            if told is not None:
                changed[told[0]] = told[1]
        if manifest_too:
            manifest["parts"] = [
                {"name": n, "bytes": len(d), "sha256": hashlib.sha256(d).hexdigest()}
                for n, d in changed.items()
            ]
        for name, data in changed.items():
            new.writestr(name, data)
        new.writestr("manifest.json", json.dumps(manifest))
    return target


def same(name: str, data: bytes) -> tuple[str, bytes]:
    return name, data


def spoilt(name: str, data: bytes) -> tuple[str, bytes]:
    return name, data.replace(b"Ferry", b"Fairy", 1) if name == "tables/site.jsonl" else data


def left_out(name: str, data: bytes) -> tuple[str, bytes] | None:
    return None if name == "tables/planter.jsonl" else (name, data)


def slipped(name: str, data: bytes) -> tuple[str, bytes]:
    return ("../../slipped.jsonl" if name == "tables/site.jsonl" else name), data


def other_table(name: str, data: bytes) -> tuple[str, bytes]:
    return ("tables/rockets.jsonl" if name == "tables/night.jsonl" else name), data


def other_column(name: str, data: bytes) -> tuple[str, bytes]:
    return name, data.replace(b'"low_c"', b'"thrust"') if name == "tables/night.jsonl" else data


def orphan(name: str, data: bytes) -> tuple[str, bytes]:
    return name, b"" if name == "tables/site.jsonl" else data


def not_json(name: str, data: bytes) -> tuple[str, bytes]:
    return name, b"{nothing\n" if name == "tables/night.jsonl" else data


@pytest.mark.parametrize(
    ("change", "manifest_too", "said"),
    [
        (spoilt, False, "SHA-256"),
        (left_out, False, "differ"),
        (slipped, True, "no part of an archive"),
        (other_table, True, "does not know"),
        (other_column, True, "does not know"),
        (orphan, True, "cannot be kept"),
        (not_json, True, "cannot be kept"),
    ],
)
def test_a_changed_archive_is_refused_and_leaves_nothing(
    town_file: Path, tmp_path: Path, change: Any, manifest_too: bool, said: str
) -> None:
    bad = rewritten(town_file, tmp_path / "bad.zip", change, manifest_too)
    refused(bad, tmp_path, said)
    assert not (tmp_path.parent / "slipped.jsonl").exists()


def refused(bad: Path, tmp_path: Path, said: str) -> None:
    home = tmp_path / "empty"
    with town_in(home) as ctx:
        with pytest.raises(Refusal) as refusal:
            archive_reading.load(ctx, bad)
        assert refusal.value.status == 422
    assert said in refusal.value.detail
    rows = dump(home)
    assert [rows[name] for name in ("planter", "person", "log_entry")] == [[], [], []]
    assert list((home / "photos").rglob("*.jpg")) == []


def test_a_cut_file_and_no_archive_are_refused(town_file: Path, tmp_path: Path) -> None:
    cut = tmp_path / "cut.zip"
    cut.write_bytes(town_file.read_bytes()[: town_file.stat().st_size // 2])
    refused(cut, tmp_path, "damaged")
    text = tmp_path / "text.zip"
    text.write_text("hello")
    refused(text, tmp_path, "damaged")
    other = tmp_path / "other.zip"
    with zipfile.ZipFile(other, "w") as file:
        file.writestr("letter.txt", "hello")
    refused(other, tmp_path, "no manifest")


@pytest.mark.parametrize("change", [{"version": 2}, {"steps": ["first_tables", "of_next_year"]}])
def test_a_newer_archive_is_refused(
    town_file: Path, tmp_path: Path, change: dict[str, Any]
) -> None:
    newer = tmp_path / "newer.zip"
    with zipfile.ZipFile(town_file) as old, zipfile.ZipFile(newer, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "manifest.json":
                data = json.dumps({**json.loads(data), **change}).encode()
            new.writestr(name, data)
    refused(newer, tmp_path, "newer Potrounds")


def test_a_part_that_swells_is_refused(tmp_path: Path) -> None:
    """A small file that unpacks to a very large one, told truly in the manifest or not."""
    zeros = b" " * (64 * 1024**2)
    for told in (len(zeros), 10):
        bomb = tmp_path / f"bomb-{told}.zip"
        part = {"name": "tables/night.jsonl", "bytes": told, "sha256": "0" * 64}
        manifest = {
            "format": archive.FORMAT,
            "version": archive.VERSION,
            "steps": [],
            "parts": [part],
        }
        with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as file:
            file.writestr("tables/night.jsonl", zeros)
            file.writestr("manifest.json", json.dumps(manifest))
        assert bomb.stat().st_size < 100_000
        refused(bomb, tmp_path, "has not the size it should have")


def test_nothing_is_read_into_a_town_that_is_there(demo_home: Path, town_file: Path) -> None:
    before = dump(demo_home)
    with town_in(demo_home) as ctx, pytest.raises(Refusal, match="town-there"):
        archive_reading.load(ctx, town_file)
    assert dump(demo_home)["log_entry"] == before["log_entry"]


def test_nothing_is_overwritten(demo_home: Path, tmp_path: Path) -> None:
    there = tmp_path / "there.zip"
    there.write_text("mine")
    with town_in(demo_home) as ctx, pytest.raises(Refusal, match="file-there"):
        archive.write(ctx, there)
    assert there.read_text() == "mine"


def test_a_backup_restores_what_was_there(demo_home: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.sqlite"
    new = tmp_path / "new"
    with town_in(demo_home) as ctx:
        backup.back_up(ctx, copy)
    with town_in(new) as ctx:
        done = backup.restore(ctx, copy)
    before, after = dump(demo_home), dump(new)
    for name in before.keys() - {"setting", "card", "counter"}:
        assert before[name] == after[name], name
    assert done["missing_photos"] > 0  # a database only: the photos are another folder
    assert Path(done["kept"]).is_file()


@pytest.mark.parametrize("content", [b"no database at all", b"SQLite format 3\x00" + b"\x07" * 900])
def test_what_is_no_backup_is_not_restored(demo_home: Path, tmp_path: Path, content: bytes) -> None:
    bad = tmp_path / "bad.sqlite"
    bad.write_bytes(content)
    before = dump(demo_home)
    with town_in(demo_home) as ctx, pytest.raises(Refusal, match="Nothing was changed"):
        backup.restore(ctx, bad)
    assert dump(demo_home) == before
