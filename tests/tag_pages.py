"""Printed tag sheets as PDFium (pypdfium2) shows them and ZXing-C++ (zxing-cpp) reads them."""

from __future__ import annotations

from functools import cache
from random import Random

import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from potrounds.domain.tag_code import new_code
from potrounds.services.tag_sheet import PAPERS_MM, SIZES, TagText, sheet_for, tag_pdf

ADDRESS = "https://planters.osierbend.example"
COMBINATIONS = [(size, paper) for size in SIZES for paper in PAPERS_MM]
every_sheet = pytest.mark.parametrize(("size", "paper"), COMBINATIONS)
every_size = pytest.mark.parametrize("size", SIZES)

NAMES = [
    "Ferry Steps 1",
    "Long Quay planter by the old weighing house",
    "Słupia Śródmieście ławka №4 🌱",
    "Donaudampfschifffahrtsgesellschaftskapitänsplatz",
    "School Lane left of the gate, second from the bicycle racks and next to the noticeboard",
    "Ø",
    "Βασιλικός",
]
SITES = ["Harbour front", "Long Quay, between the bridge and the ferry landing", "", "Nový dvůr"]


def make_tags(count: int, seed: int = 1) -> list[TagText]:
    """Tags with short, long, foreign and empty words in turn."""
    rng = Random(seed)
    return [
        TagText(NAMES[n % len(NAMES)], SITES[n % len(SITES)], new_code(rng)) for n in range(count)
    ]


@cache
def printed(size: str, paper: str) -> tuple[tuple[TagText, ...], bytes]:
    """A sheet and a bit: one full page and one tag on the next."""
    tags = tuple(make_tags(sheet_for(size, paper).tags + 1))
    return tags, tag_pdf(tags, address=ADDRESS, size=size, paper=paper)


@cache
def rendered(size: str, paper: str, dpi: int) -> tuple[Image.Image, ...]:
    """The pages as PDFium shows them, in greys, kept for the next test."""
    with pypdfium2.PdfDocument(printed(size, paper)[1]) as document:
        return tuple(page.render(scale=dpi / 72, grayscale=True).to_pil() for page in document)


def read(image: Image.Image) -> list[zxingcpp.Barcode]:
    return zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)


def texts(image: Image.Image) -> list[str]:
    return sorted(code.text for code in read(image))


def wanted(size: str, paper: str) -> list[list[str]]:
    """What each page's tags should read as, put together here from the address and the codes."""
    tags = printed(size, paper)[0]
    urls = [f"HTTPS://PLANTERS.OSIERBEND.EXAMPLE/T/{tag.code}" for tag in tags]
    return [sorted(urls[:-1]), urls[-1:]]


@cache
def symbols(size: str, paper: str, dpi: int) -> tuple[tuple[str, Image.Image, float], ...]:
    """Each code cut out with its quiet zone: its text, its picture and the module's width. [px]"""
    cut = []
    for page in rendered(size, paper, dpi):
        for code in read(page):
            corner, across = code.position.top_left, code.position.top_right
            module = (across.x - corner.x) / modules_of(code)
            quiet = 4 * module
            box = (corner.x - quiet, corner.y - quiet, across.x + quiet)
            box = (*box, code.position.bottom_left.y + quiet)
            cut.append((code.text, page.crop(tuple(round(side) for side in box)), module))
    return tuple(cut)


def modules_of(code: zxingcpp.Barcode) -> int:
    """Modules along one side, from the version the reader found: 21, and 4 more for each."""
    return 17 + 4 * int(code.extra["Version"])
