"""Sets words in the tag's typeface so that they fit their box and every character can be printed.

Atkinson Hyperlegible Next comes in two files, Latin and Latin Extended; a line is drawn run by run
from whichever has the character. What neither has is brought back to its plain letter, then to a
question mark; signs that are no letters, such as emoji, are left out.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from PIL import ImageDraw, ImageFont

FACES = (
    "atkinson-hyperlegible-next-latin-wght-normal.woff2",
    "atkinson-hyperlegible-next-latin-ext-wght-normal.woff2",
)
FOLDER = Path(__file__).parent.parent / "fonts"

LINE_HEIGHT = 1.16  # of the size: room for accents over capitals and for tails
CAP_HEIGHT = 0.67  # of the size, as the typeface has it
STEP = 0.95  # from one tried size to the next smaller
WHOLE_WORDS_DOWN_TO = 0.5  # of the largest size; smaller than that, a long word is parted instead
NOTHING = "\uffff"  # never a character, so it always shows the sign for a missing one


@dataclass(frozen=True)
class Block:
    """Lines of one size that fit their box. [px]"""

    lines: tuple[str, ...]
    size: int
    weight: int

    @property
    def height(self) -> int:
        """Height of all lines together. [px]"""
        return round(len(self.lines) * self.size * LINE_HEIGHT)


class Lettering:
    """The typeface at every size asked for; made anew for each sheet, so threads share nothing."""

    def __init__(self) -> None:
        self._fonts: dict[tuple[int, int, int], ImageFont.FreeTypeFont] = {}
        self._face_of: dict[str, int | None] = {" ": 0, "\u00a0": 0}

    def printable(self, text: str) -> str:
        """The text as the typeface can print it, in one line, without surrounding space."""
        drawn = "".join(map(self._substitute, unicodedata.normalize("NFC", text)))
        return " ".join(part for part in drawn.split(" ") if part)

    def width(self, text: str, size: int, weight: int) -> float:
        """Length of a line. [px]"""
        return sum(font.getlength(run) for font, run in self._runs(text, size, weight))

    def fit(
        self, text: str, box: tuple[int, int], largest: int, smallest: int, weight: int
    ) -> Block | None:
        """The text at the largest size at which all of it stays in the box, or None."""
        for size in _sizes(largest, smallest):
            may_part = size < largest * WHOLE_WORDS_DOWN_TO
            lines = self._wrap(text, size, weight, box[0], may_part)
            if lines and len(lines) * size * LINE_HEIGHT <= box[1]:
                return Block(self._even_out(lines, size, weight, box[0]), size, weight)
        return None

    def draw(self, draw: ImageDraw.ImageDraw, block: Block, at: tuple[int, int], fill: int) -> None:
        """Draw the block's lines centred on x, from y downwards."""
        centre, top = at
        for number, line in enumerate(block.lines):
            middle = top + (number + 0.5) * block.size * LINE_HEIGHT
            baseline = round(middle + block.size * CAP_HEIGHT / 2)
            x = centre - self.width(line, block.size, block.weight) / 2
            for font, run in self._runs(line, block.size, block.weight):
                draw.text((round(x), baseline), run, font=font, fill=fill, anchor="ls")
                x += font.getlength(run)

    def _substitute(self, character: str) -> str:
        if character.isspace() and character != "\u00a0":
            return " "
        if self._face(character) is not None:
            return character
        plain = [
            part
            for part in unicodedata.normalize("NFKD", character)
            if not unicodedata.combining(part)
        ]
        if plain and all(self._face(part) is not None for part in plain):
            return "".join(plain)
        kind = unicodedata.category(character)
        if kind[0] in "CM" or kind == "So":
            return ""
        return "?"

    def _face(self, character: str) -> int | None:
        """Which of the two files has the character; Pillow can only be asked by drawing it."""
        if character not in self._face_of:
            self._face_of[character] = next(
                (face for face in range(len(FACES)) if self._has(face, character)), None
            )
        return self._face_of[character]

    def _has(self, face: int, character: str) -> bool:
        font = self._font(face, 40, 400)
        drawn, missing = (font.getmask(sign, mode="1") for sign in (character, NOTHING))
        if drawn.size[0] == 0 or drawn.size[1] == 0:
            return False
        return drawn.size != missing.size or bytes(drawn) != bytes(missing)

    def _runs(
        self, text: str, size: int, weight: int
    ) -> Iterator[tuple[ImageFont.FreeTypeFont, str]]:
        for face, characters in groupby(text, key=lambda sign: self._face(sign) or 0):
            yield self._font(face, size, weight), "".join(characters)

    def _font(self, face: int, size: int, weight: int) -> ImageFont.FreeTypeFont:
        key = (face, size, weight)
        if key not in self._fonts:
            font = ImageFont.truetype(FOLDER / FACES[face], size)
            font.set_variation_by_axes([weight])
            self._fonts[key] = font
        return self._fonts[key]

    def _wrap(
        self, text: str, size: int, weight: int, width: float, may_part: bool
    ) -> tuple[str, ...]:
        """Lines no wider than the width; none at all where a word is too long and stays whole."""
        lines: list[str] = []
        for word in text.split(" "):
            longer = f"{lines[-1]} {word}" if lines else word
            if lines and self.width(longer, size, weight) <= width:
                lines[-1] = longer
            elif self.width(word, size, weight) <= width:
                lines.append(word)
            elif may_part:
                lines.extend(self._parts(word, size, weight, width))
            else:
                return ()
        return tuple(lines)

    def _parts(self, word: str, size: int, weight: int, width: float) -> list[str]:
        parts = [""]
        for character in word:
            if parts[-1] and self.width(parts[-1] + character, size, weight) > width:
                parts.append("")
            parts[-1] += character
        return parts

    def _even_out(
        self, lines: tuple[str, ...], size: int, weight: int, width: int
    ) -> tuple[str, ...]:
        """The same number of lines, but of like length, so that no word stands alone."""
        text = " ".join(lines)
        for share in range(50, 100, 2) if len(lines) > 1 else ():
            narrower = self._wrap(text, size, weight, width * share / 100, may_part=False)
            if narrower and len(narrower) <= len(lines):
                return narrower
        return lines


def _sizes(largest: int, smallest: int) -> Iterator[int]:
    size = float(largest)
    while round(size) > smallest:
        yield round(size)
        size *= STEP
    yield smallest
