"""Makes a clean JPEG out of whatever was sent: checked before decoding, upright, no metadata.

The one file that knows the picture library's readers.
"""

from __future__ import annotations

import io
import threading
import warnings
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, UnidentifiedImageError

FORMATS = ("JPEG", "PNG", "WEBP")
#: More than any phone's camera delivers here, little enough for a small server's memory.
MOST_PIXELS = 25_000_000
LONGEST_SIDE = 8192
#: Longer against shorter side; panoramas pass, lines do not.
MOST_STRETCH = 10
FULL_SIDE = 1600
SMALL_SIDE = 320
QUALITY = 85

_ORIENTATION = 0x0112
_UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
#: One picture is decoded at a time, so that memory is bounded; and the warning filter set below
#: belongs to the whole process.
_decoding = threading.Lock()


class NotAPhoto(Exception):
    """The bytes are refused: `slug` says which way, the text says it to a person."""

    def __init__(self, slug: str, detail: str) -> None:
        super().__init__(detail)
        self.slug = slug
        self.detail = detail


@dataclass(frozen=True)
class Size:
    """Width and height. [pixel]"""

    width: int
    height: int


def re_encode(source: Path, full: Path, small: Path) -> Size:
    """Write the two clean JPEGs of a photo; return the size of the full one.

    Raises: NotAPhoto; OSError when the disk refuses.
    """
    with _decoding, warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        picture = _decode(source)
    picture.thumbnail((FULL_SIDE, FULL_SIDE), Image.Resampling.LANCZOS)
    _save(picture, full)
    size = Size(*picture.size)
    picture.thumbnail((SMALL_SIDE, SMALL_SIDE), Image.Resampling.LANCZOS)
    _save(picture, small)
    return size


def _decode(source: Path) -> Image.Image:
    try:
        with Image.open(source, formats=FORMATS) as opened:
            _refuse_sizes(*opened.size)
            orientation = _orientation(opened)
            opened.load()
            plain = _plain_rgb(opened)
    except NotAPhoto:
        raise
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as bomb:
        raise _too_large() from bomb
    except UnidentifiedImageError as unknown:
        raise NotAPhoto("photo-format", "Send the photo as JPEG, PNG or WebP.") from unknown
    except Exception as broken:
        # Whatever a reader trips over, it is the bytes that are at fault.
        raise NotAPhoto(
            "photo-unreadable", "The photo is cut off or damaged. Take it again or leave it out."
        ) from broken
    turn = _UPRIGHT.get(orientation)
    return plain if turn is None else plain.transpose(turn)


def _refuse_sizes(width: int, height: int) -> None:
    if width * height > MOST_PIXELS or max(width, height) > LONGEST_SIDE:
        raise _too_large()
    if max(width, height) > MOST_STRETCH * min(width, height):
        raise NotAPhoto("photo-size", "The photo is a mere strip: no more than 10 to 1.")


def _too_large() -> NotAPhoto:
    return NotAPhoto(
        "photo-size",
        f"The photo is too large: up to {MOST_PIXELS // 1_000_000} million pixels"
        f" and {LONGEST_SIDE} on a side.",
    )


def _orientation(picture: Image.Image) -> int:
    try:
        value = picture.getexif().get(_ORIENTATION, 1)
    except Exception:  # metadata that cannot be read turns no photo away
        return 1
    return value if isinstance(value, int) else 1


def _plain_rgb(picture: Image.Image) -> Image.Image:
    """The pixels alone, pasted into a new picture: nothing else can come along."""
    if picture.mode.startswith("I"):
        picture = picture.point(lambda value: value / 256).convert("L")
    clean = Image.new("RGB", picture.size, "white")
    if picture.has_transparency_data:
        see_through = picture.convert("RGBA")
        clean.paste(see_through, mask=see_through.getchannel("A"))
    else:
        clean.paste(picture.convert("RGB"))
    return clean


def _save(picture: Image.Image, path: Path) -> None:
    """By way of memory: the library's own writing to a file takes a short write for a full one,
    so that a filling disk would leave half a picture and no error.
    """
    held = io.BytesIO()
    picture.save(held, "JPEG", quality=QUALITY, optimize=True)
    path.write_bytes(held.getvalue())
