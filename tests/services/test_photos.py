"""Photos: the record first, the right bytes, a clean picture, nothing half done (R13)."""

from __future__ import annotations

import base64
import io
import zlib
from hashlib import sha256
from pathlib import Path

import pytest
from PIL import Image

from desk import Desk, Phone, a_photo
from potrounds.services import photos
from potrounds.services.refusal import Refusal
from potrounds.store import photos as store


def refusal(phone: Phone, data: bytes, **more: object) -> Refusal:
    """How an upload is refused; nothing may be left on the disk."""
    sha = str(more.pop("sha", sha256(data).hexdigest()))
    length = more.pop("length", len(data))
    with pytest.raises(Refusal) as refused:
        photos.put(phone.ctx, sha, io.BytesIO(data), length, more.pop("digest", None))
    assert files(phone.desk) == []
    return refused.value


def files(desk: Desk) -> list[Path]:
    """Every file in the photo folder."""
    return sorted(path for path in desk.ctx.settings.photo_folder.rglob("*") if path.is_file())


def test_R13_a_photo_comes_after_its_record(desk: Desk) -> None:
    vera, data = desk.join("Vera"), a_photo()
    refused = refusal(vera, data)
    assert (refused.status, refused.slug) == (409, "record-first")
    sha = vera.named_photo(data)
    assert vera.put_photo(data) == 201
    assert vera.put_photo(data) == 200
    path = photos.get(vera.ctx, sha)
    with Image.open(path) as picture:
        assert (picture.format, picture.size) == ("JPEG", (640, 480))
    with Image.open(photos.get(vera.ctx, sha, "small")) as picture:
        assert picture.size == (320, 240)


def test_R13_no_oracle_for_other_peoples_photos(desk: Desk) -> None:
    vera, ines, data = desk.join("Vera"), desk.join("Ines"), a_photo()
    vera.named_photo(data)
    vera.put_photo(data)
    for bytes_of in (data, a_photo((333, 222))):
        with pytest.raises(Refusal) as refused:
            ines.put_photo(bytes_of)
        assert (refused.value.status, refused.value.slug) == (409, "record-first")


def test_R13_a_held_record_names_its_photos_too(desk: Desk) -> None:
    vera, data = desk.join("Vera"), a_photo()
    sha = sha256(data).hexdigest()
    (result,) = vera.push(vera.record(planter="p-nowhere0", body={"photos": [sha]}))
    assert result["outcome"] == "held"
    assert vera.put_photo(data) == 201


def test_F6_F7_wrong_length_or_bytes(desk: Desk) -> None:
    vera, data = desk.join("Vera"), a_photo()
    sha = vera.named_photo(data)
    flipped = bytes([data[0] ^ 1]) + data[1:]
    assert refusal(vera, flipped, sha=sha).slug == "digest"
    for part in (0.01, 0.5, 0.99):
        cut = data[: int(len(data) * part)]
        assert refusal(vera, cut, sha=sha, length=len(data)).slug == "length"
    assert vera.put_photo(data) == 201


def test_R13_content_digest_has_to_agree(desk: Desk) -> None:
    vera, data = desk.join("Vera"), a_photo()
    sha = vera.named_photo(data)
    right = base64.b64encode(sha256(data).digest()).decode()
    wrong = base64.b64encode(sha256(b"other").digest()).decode()
    for header in (f"sha-256=:{wrong}:", "sha-256=:AAA:", f"sha-512=:{right}:", "nonsense"):
        assert refusal(vera, data, digest=header).status == 422
    header = f"md5=:AAAA:, sha-256=:{right}:"
    assert photos.put(vera.ctx, sha, io.BytesIO(data), len(data), header) == 201


@pytest.mark.parametrize(
    ("length", "status", "slug"),
    [(None, 411, "length-required"), (0, 422, "empty"), (2 * 1024 * 1024 + 1, 413, "too-big")],
)
def test_B48_B49_lengths(desk: Desk, length: int | None, status: int, slug: str) -> None:
    refused = refusal(desk.join("Vera"), a_photo(), length=length)
    assert (refused.status, refused.slug) == (status, slug)


@pytest.mark.parametrize("sha", ["", "../" + "a" * 61, "a" * 63, "A" * 64, "a" * 64 + "\n"])
def test_B62_an_address_that_is_no_hash(desk: Desk, sha: str) -> None:
    vera = desk.join("Vera")
    assert refusal(vera, a_photo(), sha=sha).status == 400
    with pytest.raises(Refusal) as refused:
        photos.get(vera.ctx, sha)
    assert refused.value.status == 400


def a_png_of(width: int, height: int) -> bytes:
    """A small file that unfolds to any size: one bit a pixel, all white."""
    row = b"\x00" + b"\xff" * ((width + 7) // 8)
    packer = zlib.compressobj(9)
    packed = b"".join(packer.compress(row) for _ in range(height)) + packer.flush()

    def chunk(kind: bytes, body: bytes) -> bytes:
        mark = zlib.crc32(kind + body)
        return len(body).to_bytes(4, "big") + kind + body + mark.to_bytes(4, "big")

    head = width.to_bytes(4, "big") + height.to_bytes(4, "big") + bytes((1, 0, 0, 0, 0))
    chunks = (chunk(b"IHDR", head), chunk(b"IDAT", packed), chunk(b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


BOMBS = {
    "B52 13,000 by 13,000": a_png_of(13_000, 13_000),
    "B53 20,000 by 20,000": a_png_of(20_000, 20_000),
    "B54 1 by 60,000": a_png_of(1, 60_000),
    "B54 65,535 by 1": a_png_of(65_535, 1),
    "8,193 by 1,000": a_png_of(8_193, 1_000),
    "5,001 by 5,000": a_png_of(5_001, 5_000),
    "1,001 by 100": a_png_of(1_001, 100),
}


@pytest.mark.parametrize("name", BOMBS)
def test_bombs_are_refused_before_decoding(
    desk: Desk, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    vera = desk.join("Vera")
    vera.named_photo(BOMBS[name])

    def never(self: Image.Image) -> None:
        raise AssertionError("the picture was decoded")

    monkeypatch.setattr("PIL.ImageFile.ImageFile.load", never)
    refused = refusal(vera, BOMBS[name])
    assert (refused.status, refused.slug) == (422, "photo-size")


def test_the_largest_sizes_allowed_pass(desk: Desk) -> None:
    vera = desk.join("Vera")
    for data in (a_png_of(5_000, 5_000), a_png_of(8_192, 900), a_png_of(1_000, 100)):
        sha = vera.named_photo(data)
        assert vera.put_photo(data) == 201
        with Image.open(photos.get(vera.ctx, sha)) as picture:
            assert max(picture.size) <= 1600


@pytest.mark.parametrize(
    "data",
    [
        b"just words, renamed",
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"%PDF-1.7\n1 0 obj\n",
        a_photo(form="GIF"),
        a_photo(form="TIFF"),
        a_photo(form="BMP"),
        b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n",
        b"\x00\x00\x00\x18ftypheic" + b"\x00" * 40,
    ],
    ids=["text", "svg", "pdf", "gif", "tiff", "bmp", "eps", "heic"],
)
def test_B50_other_formats(desk: Desk, data: bytes) -> None:
    vera = desk.join("Vera")
    vera.named_photo(data)
    refused = refusal(vera, data)
    assert (refused.status, refused.slug) == (415, "photo-format")
    assert "JPEG, PNG or WebP" in refused.detail


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_B51_half_a_photo(desk: Desk, form: str) -> None:
    vera, whole = desk.join("Vera"), a_photo(form=form)
    half = whole[: len(whole) // 2]
    vera.named_photo(half)
    refused = refusal(vera, half)
    assert (refused.status, refused.slug) == (422, "photo-unreadable")
    vera.named_photo(whole)
    assert vera.put_photo(whole) == 201


def test_a_removed_photo_is_not_taken_again(desk: Desk) -> None:
    vera, data = desk.join("Vera"), a_photo()
    sha = vera.named_photo(data)
    vera.put_photo(data)
    store.tables.Photo.update(state="erased").where(store.tables.Photo.sha == sha).execute()
    with pytest.raises(Refusal) as refused:
        vera.put_photo(data)
    assert refused.value.status == 410
    with pytest.raises(Refusal) as refused:
        photos.get(vera.ctx, sha)
    assert refused.value.status == 404


def test_a_photo_that_never_came_or_a_size_that_is_none(desk: Desk) -> None:
    vera = desk.join("Vera")
    sha = vera.named_photo(a_photo())
    for asked, status in ((("full", 404)), (("small", 404)), (("huge", 400))):
        with pytest.raises(Refusal) as refused:
            photos.get(vera.ctx, sha, asked)
        assert refused.value.status == status
