"""Pictures for the browser: a camera that sees a printed tag, a photo that carries a place."""

from __future__ import annotations

import io
from pathlib import Path

import pypdfium2
from PIL import Image, ImageDraw, ImageFilter

GPS_IFD = 0x8825


def printed_page(pdf: bytes, dpi: int = 150) -> Image.Image:
    """The first page of a tag sheet as it comes out of a printer."""
    page = pypdfium2.PdfDocument(pdf)[0]
    return page.render(scale=dpi / 72).to_pil().convert("RGB")


def camera_film(seen: Image.Image, to: Path, turn: float = 7.0) -> Path:
    """A film of one still: the tag held a little askew and out of focus before a grey wall."""
    frame = Image.new("RGB", (1280, 720), (150, 152, 149))
    seen = seen.copy()
    seen.thumbnail((640, 640))
    turned = seen.rotate(turn, expand=True, fillcolor=(150, 152, 149))
    frame.paste(turned, ((1280 - turned.width) // 2, (720 - turned.height) // 2))
    out = io.BytesIO()
    frame.filter(ImageFilter.GaussianBlur(0.8)).save(out, "JPEG", quality=85)
    to.write_bytes(out.getvalue() * 10)
    return to


def photo_with_place(to: Path) -> Path:
    """A JPEG as a phone makes it: 4000 x 3000, with GPS, maker and model in its EXIF block."""
    picture = Image.new("RGB", (4000, 3000), (120, 150, 110))
    draw = ImageDraw.Draw(picture)
    for step in range(0, 4000, 160):
        draw.ellipse((step, 900, step + 220, 1500), fill=(60 + step // 40, 120, 70))
    draw.rectangle((800, 1800, 3200, 2900), fill=(92, 70, 52))
    exif = Image.Exif()
    exif[0x010F] = "Invented Maker"
    exif[0x0110] = "Model 1"
    exif[0x0112] = 6
    gps = exif.get_ifd(GPS_IFD)
    gps[1], gps[2] = "N", (48.0, 12.0, 30.0)
    gps[3], gps[4] = "E", (16.0, 22.0, 10.0)
    picture.save(to, "JPEG", quality=88, exif=exif, comment=b"taken by somebody")
    with Image.open(to) as written:
        carried = written.getexif().get_ifd(GPS_IFD)
    assert carried, "the picture must carry a place, or the test proves nothing"
    return to
