"""The clean copy of a photo: upright, RGB, and nothing but pixels (B57 to B60)."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image, PngImagePlugin

from potrounds.store.pictures import NotAPhoto, re_encode

# Markers of JPEG segments that carry something else than the picture: APP1 (EXIF, XMP) to APP15
# and COM. Source: ITU-T T.81, table B.1.
METADATA_MARKERS = {0xE0 + number for number in range(1, 16)} | {0xFE}


def markers(data: bytes) -> list[int]:
    """The segments of a JPEG up to its scan, read by hand (ITU-T T.81, B.1.1)."""
    found, at = [], 2
    assert data[:2] == b"\xff\xd8"
    while data[at + 1] != 0xDA:
        assert data[at] == 0xFF
        found.append(data[at + 1])
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    return found


def clean(tmp_path: Path, data: bytes) -> Image.Image:
    """Re-encode some bytes and open the result, having looked for anything that came along."""
    source, full, small = (tmp_path / name for name in ("raw", "full.jpg", "small.jpg"))
    source.write_bytes(data)
    size = re_encode(source, full, small)
    for path, longest in ((full, 1600), (small, 320)):
        copy = path.read_bytes()
        assert METADATA_MARKERS.isdisjoint(markers(copy)), path.name
        assert copy.rindex(b"\xff\xd9") == len(copy) - 2, "bytes behind the picture"
        with Image.open(path) as picture:
            assert picture.mode == "RGB"
            assert max(picture.size) <= longest
    picture = Image.open(full)
    picture.load()
    assert (size.width, size.height) == picture.size
    return picture


def saved(picture: Image.Image, form: str, **options: object) -> bytes:
    out = io.BytesIO()
    picture.save(out, form, **options)
    return out.getvalue()


def a_corner_picture() -> Image.Image:
    """120 by 60, dark but for a red patch in the upper left corner."""
    picture = Image.new("RGB", (120, 60), (20, 20, 20))
    picture.paste((230, 30, 30), (0, 0, 40, 20))
    return picture


def is_red(pixel: object) -> bool:
    assert isinstance(pixel, tuple)
    return pixel[0] > 180 and pixel[1] < 90


def test_B58_position_comment_and_everything_else_is_gone(tmp_path: Path) -> None:
    picture = a_corner_picture()
    exif = Image.Exif()
    exif[0x010F] = "Some maker"
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (46.0, 57.0, 1.0)
    xmp = b"<x:xmpmeta>secret place</x:xmpmeta>"
    data = saved(
        picture, "JPEG", exif=exif, xmp=xmp, comment=b"secret comment", icc_profile=b"p" * 5000
    )
    for secret in (b"Some maker", b"secret place", b"secret comment"):
        assert secret in data
    clean(tmp_path, data + b"PK\x03\x04 secret tail <script>")
    for path in (tmp_path / "full.jpg", tmp_path / "small.jpg"):
        copy = path.read_bytes()
        assert b"secret" not in copy
        assert b"Some maker" not in copy
        with Image.open(path) as picture:
            assert not picture.getexif()
            assert not {"exif", "xmp", "comment", "icc_profile"} & set(picture.info)


def test_B56_text_chunks_of_a_png_are_gone(tmp_path: Path) -> None:
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Comment", "secret")
    notes.add_itxt("XML:com.adobe.xmp", "secret")
    clean(tmp_path, saved(a_corner_picture(), "PNG", pnginfo=notes))
    assert b"secret" not in (tmp_path / "full.jpg").read_bytes()


# Where row 0 and column 0 of the stored picture lie for a viewer, by orientation. Source: Exif
# 2.32 (CIPA DC-008), tag 0x0112. The patch is stored in the upper left corner; this is the corner
# it has to be seen in, and whether the picture then stands upright (60 by 120).
CORNERS = {
    1: ("left", "top", False),
    2: ("right", "top", False),
    3: ("right", "bottom", False),
    4: ("left", "bottom", False),
    5: ("left", "top", True),
    6: ("right", "top", True),
    7: ("right", "bottom", True),
    8: ("left", "bottom", True),
}


@pytest.mark.parametrize("orientation", CORNERS)
def test_B59_every_orientation_is_turned_upright(tmp_path: Path, orientation: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    picture = clean(tmp_path, saved(a_corner_picture(), "JPEG", exif=exif, quality=95))
    across, down, tall = CORNERS[orientation]
    assert picture.size == ((60, 120) if tall else (120, 60))
    x = 5 if across == "left" else picture.width - 6
    y = 5 if down == "top" else picture.height - 6
    assert is_red(picture.getpixel((x, y)))
    assert not is_red(picture.getpixel((picture.width - 1 - x, picture.height - 1 - y)))


@pytest.mark.parametrize("nonsense", [0, 9, 65_535])
def test_B59_nonsense_for_an_orientation_is_upright(tmp_path: Path, nonsense: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = nonsense
    picture = clean(tmp_path, saved(a_corner_picture(), "JPEG", exif=exif))
    assert picture.size == (120, 60)
    assert is_red(picture.getpixel((5, 5)))


def test_B59_exif_that_cannot_be_read_turns_no_photo_away(tmp_path: Path) -> None:
    picture = clean(tmp_path, saved(a_corner_picture(), "JPEG", exif=b"Exif\x00\x00MM\x00*\xff"))
    assert is_red(picture.getpixel((5, 5)))


@pytest.mark.parametrize(
    ("mode", "form"),
    [
        ("CMYK", "JPEG"),
        ("L", "JPEG"),
        ("1", "PNG"),
        ("P", "PNG"),
        ("RGBA", "PNG"),
        ("LA", "PNG"),
        ("RGBA", "WEBP"),
    ],
)
def test_B60_every_kind_of_pixels_becomes_rgb(tmp_path: Path, mode: str, form: str) -> None:
    for grey, low, high in ((10, 0, 40), (245, 215, 255)):
        plain = Image.new("RGB", (80, 80), (grey, grey, grey))
        picture = plain.quantize(2) if mode == "P" else plain.convert(mode)
        pixel = clean(tmp_path, saved(picture, form)).getpixel((40, 40))
        assert all(low <= value <= high for value in pixel), (mode, form, pixel)


@pytest.mark.parametrize(("value", "expected"), [(0, 0), (0x8000, 128), (0xFFFF, 255)])
def test_B60_sixteen_bits_a_pixel_are_scaled_not_cut(
    tmp_path: Path, value: int, expected: int
) -> None:
    picture = Image.new("I;16", (80, 80), value)
    pixel = clean(tmp_path, saved(picture, "PNG")).getpixel((40, 40))
    assert all(abs(part - expected) <= 2 for part in pixel)


def test_B60_what_can_be_seen_through_stands_on_white(tmp_path: Path) -> None:
    see_through = Image.new("RGBA", (80, 80), (0, 0, 0, 0))
    assert clean(tmp_path, saved(see_through, "PNG")).getpixel((40, 40)) == (255, 255, 255)
    palette = Image.new("P", (80, 80), 0)
    palette.putpalette([0, 0, 0, 200, 0, 0])
    data = saved(palette, "PNG", transparency=0)
    assert clean(tmp_path, data).getpixel((40, 40)) == (255, 255, 255)


@pytest.mark.parametrize("form", ["PNG", "WEBP", "GIF"])
def test_B55_of_a_moving_picture_the_first_frame_stays(tmp_path: Path, form: str) -> None:
    frames = [Image.new("RGB", (80, 80), colour) for colour in ("white", "black", "red")]
    data = saved(frames[0], form, save_all=True, append_images=frames[1:])
    if form == "GIF":
        with pytest.raises(NotAPhoto):
            clean(tmp_path, data)
        return
    assert min(clean(tmp_path, data).getpixel((40, 40))) > 240


def test_a_large_photo_is_made_smaller_and_keeps_its_shape(tmp_path: Path) -> None:
    data = saved(Image.linear_gradient("L").resize((4000, 3000)).convert("RGB"), "JPEG")
    assert clean(tmp_path, data).size == (1600, 1200)
    with Image.open(tmp_path / "small.jpg") as small:
        assert small.size == (320, 240)
