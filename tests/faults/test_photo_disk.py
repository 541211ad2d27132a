"""A disk that refuses photos: the record stands, and no half file is left (F6, F12)."""

from __future__ import annotations

import io
import os
import resource
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path

import pytest
from PIL import Image

from desk import Desk, record_id
from potrounds.services import photos
from potrounds.services.refusal import Refusal
from potrounds.store import log
from potrounds.store import photos as store


def a_noisy_photo() -> bytes:
    """About 40 kB as it is sent, several times that when it is saved at our own quality."""
    noise = os.urandom(400 * 300)
    picture = Image.frombytes("L", (400, 300), noise).convert("RGB")
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=10)
    return out.getvalue()


@contextmanager
def files_no_longer_than(size: int) -> Iterator[None]:
    """The system itself refuses to write past a size (Python ignores the signal, gets EFBIG)."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def files(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


@pytest.mark.parametrize("when", ["while receiving", "while re-encoding"])
def test_F12_a_refusing_disk_leaves_no_partial_file(desk: Desk, when: str) -> None:
    vera, data = desk.join("Vera"), a_noisy_photo()
    sha = sha256(data).hexdigest()
    text = vera.record(body={"photos": [sha]})
    vera.push(text)
    limit = len(data) // 2 if when == "while receiving" else len(data) + 1000
    with files_no_longer_than(limit), pytest.raises(Refusal) as refused:
        vera.put_photo(data)
    assert (refused.value.status, refused.value.slug) == (507, "disk-full")
    assert refused.value.retry_after
    folder = desk.ctx.settings.photo_folder
    assert files(folder) == []
    assert log.find(record_id(text)) is not None
    assert desk.card()["visits"][0]["photo_state"] == {sha: "on-its-way"}
    assert vera.put_photo(data) == 201
    assert photos.get(vera.ctx, sha).stat().st_size > limit


def test_F6_a_kill_before_the_row_leaves_a_photo_that_can_be_sent_again(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    vera, data = desk.join("Vera"), a_noisy_photo()
    sha = vera.named_photo(data)

    class Killed(BaseException):
        pass

    def kill(*args: object) -> None:
        raise Killed

    monkeypatch.setattr(store, "add", kill)
    with pytest.raises(Killed):
        vera.put_photo(data)
    with pytest.raises(Refusal) as refused:
        photos.get(vera.ctx, sha)
    assert refused.value.status == 404, "without its row a file is not served"
    monkeypatch.undo()
    assert vera.put_photo(data) == 201
    assert photos.get(vera.ctx, sha).is_file()


def test_what_a_killed_process_left_is_swept_at_start(desk: Desk) -> None:
    vera, data = desk.join("Vera"), a_noisy_photo()
    sha = vera.named_photo(data)
    vera.put_photo(data)
    folder = desk.ctx.settings.photo_folder
    (folder / "incoming" / "abc.raw.part").write_bytes(data[:100])
    assert store.sweep(folder) == 1
    assert {path.name for path in files(folder)} == {f"{sha}.full.jpg", f"{sha}.small.jpg"}
