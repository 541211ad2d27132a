"""Tags ready to print and cut: QR code, planter, site, typed code and address, in three sizes.

Pages are drawn at 600 dots per inch in pure black and white, so a QR module is a whole number of
dots and no printer has to guess at greys.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Literal

from PIL import Image, ImageDraw, TiffImagePlugin
from qrcode.constants import ERROR_CORRECT_H
from qrcode.main import QRCode
from qrcode.util import MODE_ALPHA_NUM, QRData

from potrounds.domain import tag_code
from potrounds.services.tag_lettering import Block, Lettering

SizeName = Literal["small", "medium", "large"]
PaperName = Literal["a4", "letter"]

DPI = 600
MM_PER_INCH = 25.4

MARGIN_MM = 8.0  # common printers leave less than this blank; common practice, no source
FOOTER_MM = 6.0
GAP_MM = 6.0
MARK_GAP_MM, MARK_MM, MARK_LINE_MM = 1.0, 4.0, 0.15
SCALE_LINE_MM = 50.0

QUIET_MODULES = 4  # ISO/IEC 18004
# Level H and one version more than a usual address needs, because tags outdoors gather splashes and
# stickers. With 15 % of the symbol blotted, clear of the three finders, 748 of 750 were read; at
# version 4-H 697 of 750, at 4-Q about six in ten (tests/services/test_tag_sheet.py does it anew).
LEAST_VERSION = 5
LEAST_LETTERS_MM = 1.7  # about 5 point; common practice, no source
BLACK, WHITE = 0, 1
STRONG, PLAIN = 700, 450

# Hard spaces within each part: the line breaks between them or not at all.
SCAN_LINE = " ".join(
    part.replace(" ", "\u00a0")
    for part in (
        "Scan or type this code.",
        "Volunteers check in here;",
        "everyone may report a problem.",
    )
)
SCALE_LINE = "Print at 100\u00a0%, do not fit to page. This line is 50\u00a0mm long."
NAMELESS = "Planter"


@dataclass(frozen=True)
class TagText:
    """What one tag says; the code may be given with or without its hyphens."""

    planter_name: str
    site_name: str
    code: str


@dataclass(frozen=True)
class TagSize:
    """A tag's cut edge, its QR code's least width with the quiet zone, and its largest letters."""

    width_mm: float
    height_mm: float
    qr_mm: float
    rim_mm: float
    inset_mm: float
    name_mm: float
    text_mm: float


# The QR code is a tenth of the reading distance (common practice, no source): 40, 52 and 80 cm. The
# cut edges are those of a bank card, A7 and A6, for which laminating pouches are sold.
SIZES: dict[SizeName, TagSize] = {
    "small": TagSize(54, 86, 40, 17, 2, 6.5, 3.2),
    "medium": TagSize(74, 105, 52, 20, 2.5, 8.5, 3.6),
    "large": TagSize(105, 148, 80, 26, 3, 12, 5.0),
}
PAPERS_MM: dict[PaperName, tuple[float, float]] = {"a4": (210, 297), "letter": (215.9, 279.4)}


@dataclass(frozen=True)
class Sheet:
    """How tags lie on a page. [mm]"""

    width_mm: float
    height_mm: float
    columns: int
    rows: int

    @property
    def tags(self) -> int:
        """How many tags one page takes."""
        return self.columns * self.rows

    def corners(self, tag: TagSize) -> Iterator[tuple[float, float]]:
        """Top left corner of each tag, row by row, the whole set centred above the footer."""
        across = _span(self.columns, tag.width_mm)
        down = _span(self.rows, tag.height_mm)
        left = (self.width_mm - across) / 2
        top = (self.height_mm - FOOTER_MM - down) / 2
        for row in range(self.rows):
            for column in range(self.columns):
                yield left + column * (tag.width_mm + GAP_MM), top + row * (tag.height_mm + GAP_MM)


def tag_pdf(tags: Sequence[TagText], *, address: str, size: SizeName, paper: PaperName) -> bytes:
    """A PDF of the tags, as many to a page as fit, with cut marks and a line to check the scale.

    Raises ValueError, saying what to do, when the address, size, paper or a tag will not do.
    """
    if size not in SIZES or paper not in PAPERS_MM:
        raise ValueError("Choose the size small, medium or large, and the paper a4 or letter.")
    if not tags:
        raise ValueError("There is no tag to print. Choose at least one planter that has a tag.")
    host_of(address)
    sheet, lettering = sheet_for(size, paper), Lettering()
    count = -(-len(tags) // sheet.tags)
    pages = BytesIO()
    # Pages go through a multi-page TIFF: one page at a time is in memory, however many there are.
    with TiffImagePlugin.AppendingTiffWriter(pages, True) as writer:
        for number in range(count):
            press = _Press(sheet, SIZES[size], address, lettering)
            here = tags[number * sheet.tags : (number + 1) * sheet.tags]
            for text, corner in zip(here, sheet.corners(press.tag), strict=False):
                press.cut_marks(corner)
                press.print_tag(text, corner)
            press.footer(size, number + 1, count)
            press.image.save(writer, format="TIFF", compression="packbits")
            writer.newFrame()
    result = BytesIO()
    with Image.open(pages) as book:
        book.save(
            result, "PDF", save_all=True, resolution=DPI, title="Planter tags", creator="Potrounds"
        )
    return result.getvalue()


def tag_url(address: str, code: str) -> str:
    """What the QR code says: all capitals, which QR codes store in fewer modules."""
    host_of(address)
    return f"{address.strip().rstrip('/')}/t/{tag_code.fold(code)}".upper()


def host_of(address: str) -> str:
    """The address for tags in words, as it is printed under the code."""
    address = address.strip()
    if not address:
        raise ValueError(
            "There is no address for tags yet. Set it first, such as https://planters.example.org."
        )
    match = re.fullmatch(r"https?://([a-z0-9][a-z0-9.-]{0,252}(?::[0-9]{1,5})?)/?", address, re.I)
    if match is None:
        raise ValueError(
            "The address for tags must begin with https:// or http:// and be a host name and"
            " nothing more, such as https://planters.example.org."
        )
    return match[1].lower()


def sheet_for(size: SizeName, paper: PaperName) -> Sheet:
    """The page upright or turned, whichever takes more tags."""
    width_mm, height_mm = PAPERS_MM[paper]
    sheets = [_grid(SIZES[size], width_mm, height_mm), _grid(SIZES[size], height_mm, width_mm)]
    return max(sheets, key=lambda sheet: sheet.tags)


def qr_image(url: str, least_mm: float) -> Image.Image:
    """The QR code with its quiet zone, no narrower than asked, modules of whole dots."""
    code = QRCode(version=LEAST_VERSION, error_correction=ERROR_CORRECT_H, border=QUIET_MODULES)
    code.add_data(QRData(url.encode(), mode=MODE_ALPHA_NUM))
    matrix = code.get_matrix()
    modules = len(matrix)
    dots = -(-_px(least_mm) // modules)
    image = Image.new("1", (modules, modules), WHITE)
    image.putdata([BLACK if dark else WHITE for row in matrix for dark in row])
    return image.resize((modules * dots, modules * dots), Image.Resampling.NEAREST)


class _Press:
    """One page being drawn."""

    def __init__(self, sheet: Sheet, tag: TagSize, address: str, lettering: Lettering) -> None:
        self.sheet, self.tag, self.address, self.lettering = sheet, tag, address, lettering
        self.image = Image.new("1", (_px(sheet.width_mm), _px(sheet.height_mm)), WHITE)
        self.pen = ImageDraw.Draw(self.image)

    def cut_marks(self, corner: tuple[float, float]) -> None:
        """Two short lines off each corner, outside the tag, so that none is left after the cut."""
        left, top = corner
        right, bottom = left + self.tag.width_mm, top + self.tag.height_mm
        near, far = MARK_GAP_MM, MARK_GAP_MM + MARK_MM
        for x, outward in ((left, -1), (right, 1)):
            for y in (top, bottom):
                self._line((x + outward * near, y), (x + outward * far, y), MARK_LINE_MM)
        for y, outward in ((top, -1), (bottom, 1)):
            for x in (left, right):
                self._line((x, y + outward * near), (x, y + outward * far), MARK_LINE_MM)

    def print_tag(self, text: TagText, corner: tuple[float, float]) -> None:
        """The pot: a rim with the names, a body that stands back with the code, a rounded foot."""
        if not tag_code.is_valid(text.code):
            raise ValueError(f"“{text.code}” is not a tag code. Give the planter a new tag first.")
        tag = self.tag
        left, top = _px(corner[0] + tag.inset_mm), _px(corner[1] + tag.inset_mm)
        right = left + _px(tag.width_mm - 2 * tag.inset_mm)
        bottom = top + _px(tag.height_mm - 2 * tag.inset_mm)
        rim_foot = top + _px(tag.rim_mm)
        overhang, wall, pad = _px(tag.width_mm / 60), _px(tag.width_mm / 120), _px(tag.inset_mm)
        self.pen.rounded_rectangle(
            (left + overhang, rim_foot - wall, right - overhang, bottom),
            radius=_px(tag.width_mm / 11),
            fill=WHITE,
            outline=BLACK,
            width=wall,
            corners=(False, False, True, True),
        )
        self.pen.rounded_rectangle((left, top, right, rim_foot), radius=_px(0.6), fill=BLACK)
        self._names(text, (left + pad, top, right - pad, rim_foot))
        code = qr_image(tag_url(self.address, text.code), tag.qr_mm)
        code_top = rim_foot + _px(0.8)
        self.image.paste(code, ((left + right - code.width) // 2, code_top))
        sides = overhang + wall + pad // 2
        self._words(
            text.code,
            (left + sides, code_top + code.height, right - sides, bottom - wall - pad),
        )

    def footer(self, size: SizeName, number: int, count: int) -> None:
        """A line of known length to lay a ruler on, and which page this is."""
        y = self.sheet.height_mm - MARGIN_MM - 2
        left, right = MARGIN_MM + 1, self.sheet.width_mm - MARGIN_MM - 1
        thick = 0.2
        self._line((left, y), (left + SCALE_LINE_MM, y), thick)
        for end in (left + thick / 2, left + SCALE_LINE_MM - thick / 2):  # 50 mm over all
            self._line((end, y - 1.2), (end, y + 1.2), thick)
        tag = f"{size.capitalize()} tags, {self.tag.width_mm:g} × {self.tag.height_mm:g} mm"
        place = f"{tag}. Page {number} of {count}"
        type_size = _px(2.6)
        for text, x, share in ((SCALE_LINE, left + SCALE_LINE_MM + 3, 0.5), (place, right, -0.5)):
            centre = _px(x) + share * self.lettering.width(text, type_size, PLAIN)
            block = Block((text,), type_size, PLAIN)
            self.lettering.draw(self.pen, block, (round(centre), _px(y) - block.height // 2), BLACK)

    def _names(self, text: TagText, box: tuple[int, int, int, int]) -> None:
        """The planter's name, as large as the rim allows, and its site below, white on the rim."""
        left, top, right, bottom = box
        width, height = right - left, bottom - top - _px(self.tag.inset_mm * 0.8)
        name = self.lettering.printable(text.planter_name)
        if not any(sign.isalnum() for sign in name):
            name = NAMELESS
        site = self.lettering.printable(text.site_name)
        below = []
        if site:
            below = [self._fit(site, (width, height * 2 // 5), self.tag.text_mm * 1.2, PLAIN)]
        rest = height - sum(block.height for block in below)
        above = self._fit(name, (width, rest), self.tag.name_mm, STRONG)
        self._stack([above, *below], box, WHITE)

    def _words(self, code: str, box: tuple[int, int, int, int]) -> None:
        """The typed code, the address in words and what to do, in what the QR code leaves."""
        left, top, right, bottom = box
        width, height = right - left, bottom - top
        code_box = (round(width * 0.9), height)
        code_block = self._fit(tag_code.display(code), code_box, self.tag.name_mm, STRONG)
        host_box = (width, height // 4)
        host_block = self._fit(host_of(self.address), host_box, self.tag.text_mm * 1.15, STRONG)
        rest = height - code_block.height - host_block.height
        line_block = self._fit(SCAN_LINE, (width, rest), self.tag.text_mm, PLAIN)
        self._stack([code_block, host_block, line_block], box, BLACK)

    def _stack(self, blocks: list[Block], box: tuple[int, int, int, int], fill: int) -> None:
        """One block under the other, the pile in the middle of the box."""
        left, top, right, bottom = box
        y = (top + bottom - sum(block.height for block in blocks)) // 2
        for block in blocks:
            self.lettering.draw(self.pen, block, ((left + right) // 2, y), fill)
            y += block.height

    def _fit(self, text: str, box: tuple[int, int], largest_mm: float, weight: int) -> Block:
        """The text in its box, whole or not at all."""
        block = self.lettering.fit(text, box, _px(largest_mm), _px(LEAST_LETTERS_MM), weight)
        if block is None:
            raise ValueError(f"“{text[:40]}…” is too long for a tag. Please shorten it.")
        return block

    def _line(self, start: tuple[float, float], end: tuple[float, float], thick_mm: float) -> None:
        ends = [(_px(x), _px(y)) for x, y in (start, end)]
        self.pen.line(ends, fill=BLACK, width=_px(thick_mm))


def _grid(tag: TagSize, width_mm: float, height_mm: float) -> Sheet:
    room = 2 * (MARGIN_MM + MARK_GAP_MM + MARK_MM)
    columns = int((width_mm - room + GAP_MM) / (tag.width_mm + GAP_MM))
    rows = int((height_mm - room - FOOTER_MM + GAP_MM) / (tag.height_mm + GAP_MM))
    return Sheet(width_mm, height_mm, columns, rows)


def _span(count: int, side_mm: float) -> float:
    return count * side_mm + (count - 1) * GAP_MM


def _px(mm: float) -> int:
    return round(mm * DPI / MM_PER_INCH)
