"""Photos erased at once and for good (R24): files, feed, ledger; what a restore may not undo."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path
from typing import Any

import pytest

from desk import Desk, Phone, a_photo
from potrounds.app import open_town
from potrounds.services import archive, assess, backup, erasure, photos
from potrounds.services.refusal import Refusal
from potrounds.store import database, erased, register
from potrounds.store import photos as rows
from potrounds.store.database import write_transaction


def a_visit_with_photo(phone: Phone) -> str:
    """A check-in with a photo that has arrived; gives the photo's hash."""
    picture = a_photo()
    sha = phone.named_photo(picture)
    assert phone.put_photo(picture) == 201
    return sha


def files(desk: Desk) -> list[Path]:
    return [path for path in desk.ctx.settings.photo_folder.rglob("*.jpg") if path.is_file()]


def ledger(desk: Desk) -> list[dict[str, Any]]:
    lines = erasure.ledger_of(desk.ctx).read_text().splitlines()
    return [json.loads(line) for line in lines]


def test_gone_at_once_and_what_is_left_is_hash_who_when(desk: Desk) -> None:
    vera = desk.join("Vera")
    sha = a_visit_with_photo(vera)
    assert desk.card()["visits"][0]["photos"] == [sha]
    assert len(files(desk)) == 2
    erasure.erase(vera.ctx, sha)
    assert files(desk) == []
    assert desk.card()["visits"][0]["photos"] == []
    with pytest.raises(Refusal) as refused:
        photos.get(vera.ctx, sha)
    assert refused.value.status == 404
    [entry] = ledger(desk)
    assert (entry["sha"], entry["by"]) == (sha, vera.person)
    assert entry["at"].startswith(desk.clock.now().isoformat()[:19])
    erasure.erase(vera.ctx, sha)
    assert len(ledger(desk)) == 1


def test_it_cannot_come_back_by_another_upload(desk: Desk) -> None:
    vera = desk.join("Vera")
    sha = a_visit_with_photo(vera)
    erasure.erase(vera.ctx, sha)
    vera.push(vera.record(body={"photos": [sha]}))
    with pytest.raises(Refusal, match="removed at someone's request") as refused:
        vera.put_photo(a_photo())
    assert refused.value.status == 410
    assert files(desk) == []


def test_one_that_never_arrived_is_refused_when_it_does(desk: Desk) -> None:
    vera = desk.join("Vera")
    sha = vera.named_photo(a_photo())
    erasure.erase(vera.ctx, sha)
    with pytest.raises(Refusal) as refused:
        vera.put_photo(a_photo())
    assert refused.value.status == 410


def test_erased_while_its_bytes_come_in(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    vera, picture = desk.join("Vera"), a_photo()
    sha = vera.named_photo(picture)
    take_in = rows.take_in

    def and_meanwhile(*args: Any) -> Any:
        done = take_in(*args)
        erasure.erase(vera.ctx, sha)
        rows.path_of(desk.ctx.settings.photo_folder, sha, "full").write_bytes(picture)
        return done

    monkeypatch.setattr(rows, "take_in", and_meanwhile)
    with pytest.raises(Refusal) as refused:
        vera.put_photo(picture)
    assert refused.value.status == 410
    assert files(desk) == []


def test_who_may(desk: Desk) -> None:
    vera, omar = desk.join("Vera"), desk.join("Omar")
    corin = desk.join("Corin", "coordinator")
    sha = a_visit_with_photo(vera)
    with pytest.raises(Refusal) as refused:
        erasure.erase(omar.ctx, sha)
    assert refused.value.status == 403
    assert len(files(desk)) == 2
    for unknown, status in (("f" * 64, 404), ("no-hash", 400)):
        with pytest.raises(Refusal) as refused:
            erasure.erase(corin.ctx, unknown)
        assert refused.value.status == status
    erasure.erase(corin.ctx, sha)
    assert files(desk) == []


def test_every_phone_is_told_once_and_after_a_rebuild_still(desk: Desk) -> None:
    vera, omar = desk.join("Vera"), desk.join("Omar")
    sha = a_visit_with_photo(vera)
    before = omar.pull()["cursor"]
    erasure.erase(vera.ctx, sha)
    news = omar.pull(before)
    assert [item["id"] for item in news["items"] if item["what"] == "erased"] == [sha]
    assert not [item for item in omar.pull(news["cursor"])["items"] if item["what"] == "erased"]
    assess.rebuild(desk.ctx)
    assert [one["id"] for one in omar.pull()["items"] if one["what"] == "erased"] == [sha]


def test_a_planters_own_picture_goes_too(desk: Desk) -> None:
    vera = desk.join("Vera")
    sha = a_visit_with_photo(vera)
    with write_transaction():
        register.change_planter(desk.planter, {"picture": sha})
    assess.assess_all(desk.ctx)
    erasure.erase(desk.join("Corin", "coordinator").ctx, sha)
    assert desk.card()["picture"] is None


def test_a_restored_backup_does_not_bring_it_back(desk: Desk, tmp_path: Path) -> None:
    """Finding 12: the copy is from before the erasure, and the photo's files are put back too."""
    vera = desk.join("Vera")
    sha = a_visit_with_photo(vera)
    kept = {path: path.read_bytes() for path in files(desk)}
    copy = tmp_path / "elsewhere" / "monday.sqlite"
    copy.parent.mkdir()
    backup.back_up(desk.ctx, copy)
    erasure.erase(vera.ctx, sha)
    for path, data in kept.items():
        path.write_bytes(data)
    backup.restore(desk.ctx, copy)
    assert files(desk) == []
    assert desk.card()["visits"][0]["photos"] == []
    with pytest.raises(Refusal) as refused:
        vera.put_photo(a_photo())
    assert refused.value.status == 410


def test_on_a_new_machine_the_ledger_beside_the_backups_holds(desk: Desk, tmp_path: Path) -> None:
    vera = desk.join("Vera")
    sha = a_visit_with_photo(vera)
    off_host = tmp_path / "off-host"
    off_host.mkdir()
    backup.back_up(desk.ctx, off_host / "monday.sqlite")
    erasure.erase(vera.ctx, sha)
    backup.back_up(desk.ctx, off_host / "tuesday.sqlite")
    erasure.ledger_of(desk.ctx).unlink()  # the old machine is lost
    backup.restore(desk.ctx, off_host / "monday.sqlite")
    assert rows.find(sha).state == "erased"
    assert [one["sha"] for one in ledger(desk)] == [sha]


def test_a_server_killed_in_the_middle_finishes_at_its_next_start(desk: Desk) -> None:
    vera = desk.join("Vera")
    sha = a_visit_with_photo(vera)
    entry = erased.Erased(sha, vera.person, "2026-05-04T08:00:00Z")
    erased.add(erasure.ledger_of(desk.ctx), [entry])  # killed right after
    database.shut()
    open_town(desk.ctx.settings)
    with database.connection():
        assert files(desk) == []
        assert rows.find(sha).state == "erased"
        assert rows.erased()[sha][0] == vera.person
        assert desk.card()["visits"][0]["photos"] == []


def test_a_ledger_that_a_power_cut_left_half_is_read_and_added_to(tmp_path: Path) -> None:
    path = tmp_path / erased.LEDGER
    first, second = erased.Erased("a" * 64, "u-1", "then"), erased.Erased("b" * 64, None, "now")
    erased.add(path, [first])
    path.write_text(path.read_text() + '{"sha": "cc')
    erased.add(path, [second])
    assert list(erased.read(path).values()) == [first, second]


def test_an_archive_carries_the_erasure_and_not_the_photo(desk: Desk, tmp_path: Path) -> None:
    vera = desk.join("Vera")
    sha = a_visit_with_photo(vera)
    erasure.erase(vera.ctx, sha)
    file = tmp_path / "town.zip"
    archive.write(desk.ctx, file)
    with zipfile.ZipFile(file) as whole:
        assert not [name for name in whole.namelist() if sha in name]
        rows_told = whole.read("tables/photo.jsonl").decode()
    assert json.loads(rows_told)["state"] == "erased"
