"""Printed tags under the ruler: every length is measured on the page as PDFium renders it.

Quiet zone: ISO/IEC 18004. The QR code's width of 40 mm or more, the 8 mm margin and the 0.5 mm
module are common practice, no source.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pypdfium2
import pytest

from potrounds.services.tag_sheet import PAPERS_MM, SIZES, sheet_for
from tag_pages import every_sheet, modules_of, printed, read, rendered, symbols

TOLERANCE_MM = 0.13  # a dot and a half of the 300 to the inch that are measured


def ink(size: str, paper: str, page: int = 0) -> np.ndarray:
    """Where the page is black, at 300 dots per inch: half the printer's, a dot is 0.085 mm."""
    return np.asarray(rendered(size, paper, 300)[page]) < 128


def mm(dots: float, dpi: int = 300) -> float:
    return dots * 25.4 / dpi


def dots(length_mm: float) -> int:
    return round(length_mm * 300 / 25.4)


def runs(line: np.ndarray) -> list[tuple[int, int]]:
    """First and one-past-last dot of each black stretch of a row or column."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], line.astype(np.int8), [0]))))
    return [(int(a), int(b)) for a, b in edges.reshape(-1, 2)]


@every_sheet
def test_paper_is_the_paper_asked_for(size: str, paper: str) -> None:
    with pypdfium2.PdfDocument(printed(size, paper)[1]) as pdf:
        assert len(pdf) == 2
        for page in pdf:
            sides = [side * 25.4 / 72 for side in page.get_size()]
            assert sorted(sides) == pytest.approx(sorted(PAPERS_MM[paper]), abs=0.05)


@every_sheet
def test_the_bitmap_has_whole_dots_and_a_quiet_zone_of_four_modules(size: str, paper: str) -> None:
    """On the very dots the file holds, 600 to the inch, of the tag alone on the second page."""
    with pypdfium2.PdfDocument(printed(size, paper)[1]) as pdf:
        (picture,) = pdf[1].get_objects()
        black = picture.get_bitmap().to_numpy().squeeze() < 128
    (code,) = read(rendered(size, paper, 150)[1])
    modules = modules_of(code)
    corner, opposite = code.position.top_left, code.position.bottom_right
    around = black[4 * corner.y - 20 : 4 * opposite.y + 20, 4 * corner.x - 20 : 4 * opposite.x + 20]
    rows, columns = np.flatnonzero(around.any(axis=1)), np.flatnonzero(around.any(axis=0))
    top, left = 4 * corner.y - 20 + rows[0], 4 * corner.x - 20 + columns[0]
    side = columns[-1] - columns[0] + 1
    each = side // modules
    assert side == rows[-1] - rows[0] + 1 == each * modules
    symbol = black[top : top + side, left : left + side]
    assert (symbol == symbol[::each, ::each].repeat(each, axis=0).repeat(each, axis=1)).all()
    quiet = 4 * each
    zone = black[top - quiet : top + side + quiet, left - quiet : left + side + quiet]
    assert zone.sum() == symbol.sum()
    assert each * 25.4 / 600 >= 0.5
    assert 40 <= SIZES[size].qr_mm <= (side + 2 * quiet) * 25.4 / 600 <= SIZES[size].qr_mm + 3


@every_sheet
def test_every_code_on_the_page_is_as_large_as_promised(size: str, paper: str) -> None:
    for _, image, module in symbols(size, paper, 300):
        assert mm(image.width) == pytest.approx(SIZES[size].qr_mm, abs=3)
        assert mm(image.width) >= SIZES[size].qr_mm - TOLERANCE_MM
        black = np.asarray(image) < 128
        rows, columns = np.flatnonzero(black.any(axis=1)), np.flatnonzero(black.any(axis=0))
        before = (rows[0], columns[0])
        after = (black.shape[0] - 1 - rows[-1], black.shape[1] - 1 - columns[-1])
        assert [*before, *after] == pytest.approx([4 * module] * 4, abs=1.5)


@every_sheet
def test_cut_marks_frame_every_tag_at_its_size(size: str, paper: str) -> None:
    """A row through the marks above the tags and a column through those at their left."""
    black, tag, sheet = ink(size, paper), SIZES[size], sheet_for(size, paper)
    top = np.flatnonzero(black.any(axis=1))[0]
    upright = [mm((a + b) / 2) for a, b in runs(black[top + 12])]
    # The footer's line begins further left than the marks do; look above it.
    above_footer = black[: dots(sheet.height_mm - 15)]
    left = np.flatnonzero(above_footer.any(axis=0))[0]
    level = [mm((a + b) / 2) for a, b in runs(above_footer[:, left + 12])]
    for marks, count, side in (
        (upright, sheet.columns, tag.width_mm),
        (level, sheet.rows, tag.height_mm),
    ):
        assert len(marks) == 2 * count
        steps = [after - before for before, after in pairwise(marks)]
        assert steps == pytest.approx(([side, 6] * count)[:-1], abs=TOLERANCE_MM)


@every_sheet
def test_nothing_is_printed_in_the_margin(size: str, paper: str) -> None:
    for page in (0, 1):
        black = ink(size, paper, page)
        rows, columns = np.flatnonzero(black.any(axis=1)), np.flatnonzero(black.any(axis=0))
        edges = [rows[0], black.shape[0] - rows[-1], columns[0], black.shape[1] - columns[-1]]
        assert all(mm(edge) >= 8 for edge in edges)


@every_sheet
def test_words_stay_inside_their_tag(size: str, paper: str) -> None:
    """Blank all round inside the cut; the rim's ends solid; blank along the inside of the walls."""
    black, tag = ink(size, paper), SIZES[size]
    corners = list(sheet_for(size, paper).corners(tag))
    for left, top in corners:
        cut = _cut_out(black, left, top, tag.width_mm, tag.height_mm)
        edge = dots(tag.inset_mm - 0.2)
        inside = np.zeros_like(cut)
        inside[edge:-edge, edge:-edge] = True
        assert cut.any()
        assert not cut[~inside].any()
        for x in (left + tag.inset_mm, left + tag.width_mm - tag.inset_mm - 1):
            rim = _cut_out(black, x + 0.2, top + tag.inset_mm + 1, 0.6, tag.rim_mm - 2)
            assert rim.all()
        wall = tag.inset_mm + tag.width_mm * (1 / 60 + 1 / 120) + 0.1
        for x in (left + wall, left + tag.width_mm - wall - 0.5):
            beside = _cut_out(
                black, x, top + tag.inset_mm + tag.rim_mm + 1, 0.5, tag.height_mm - tag.rim_mm - 20
            )
            assert not beside.any()


@every_sheet
def test_tags_do_not_overlap_or_leave_the_page(size: str, paper: str) -> None:
    """The rims' upper edges are counted on the page: one unbroken bar for each tag."""
    black, tag, sheet = ink(size, paper), SIZES[size], sheet_for(size, paper)
    corners = list(sheet.corners(tag))
    for row in range(sheet.rows):
        y = corners[row * sheet.columns][1] + tag.inset_mm + 0.7
        bars = runs(black[dots(y)])
        assert [mm(b - a) for a, b in bars] == pytest.approx(
            [tag.width_mm - 2 * tag.inset_mm] * sheet.columns, abs=TOLERANCE_MM
        )
        assert [mm(a) for a, _ in bars] == pytest.approx(
            [corners[n][0] + tag.inset_mm for n in range(sheet.columns)], abs=TOLERANCE_MM
        )
        assert mm(bars[0][0]) >= 8
        assert mm(bars[-1][1]) <= sheet.width_mm - 8


@every_sheet
def test_the_line_to_check_the_scale_is_fifty_millimetres(size: str, paper: str) -> None:
    black = ink(size, paper)
    footer = black[dots(sheet_for(size, paper).height_mm - 14) :]
    longest = max((b - a for row in footer for a, b in runs(row)), default=0)
    assert mm(longest) == pytest.approx(50, abs=TOLERANCE_MM)


def _cut_out(black: np.ndarray, left: float, top: float, width: float, height: float) -> np.ndarray:
    x, y, across, down = map(dots, (left, top, width, height))
    return black[y : y + down, x : x + across]
