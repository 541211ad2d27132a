"""The words on a tag: all of them, whole, inside their box, whatever people call a planter."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageDraw

from potrounds.domain.tag_code import display, new_code
from potrounds.services.tag_lettering import Lettering
from potrounds.services.tag_sheet import TagText, tag_pdf
from tag_pages import ADDRESS


def test_each_tag_says_all_it_should(monkeypatch: pytest.MonkeyPatch) -> None:
    said: list[str] = []
    draw = Lettering.draw

    def listen(self, pen, block, at, fill):  # type: ignore[no-untyped-def]
        said.append(" ".join(block.lines).replace("\u00a0", " "))
        draw(self, pen, block, at, fill)

    monkeypatch.setattr(Lettering, "draw", listen)
    code = new_code(Random(8))
    tags = [TagText("Ferry Steps 1", "Harbour front", code), TagText("", "", code)]
    tag_pdf(tags, address=ADDRESS + "/", size="large", paper="a4")
    each = [
        display(code),
        "planters.osierbend.example",
        "Scan or type this code. Volunteers check in here; everyone may report a problem.",
    ]
    footer = [
        "Print at 100 %, do not fit to page. This line is 50 mm long.",
        "Large tags, 105 × 148 mm. Page 1 of 1",
    ]
    assert said == ["Ferry Steps 1", "Harbour front", *each, "Planter", *each, *footer]


@pytest.mark.parametrize(
    ("text", "printed_as"),
    [
        ("Ferry Steps 1", "Ferry Steps 1"),
        ("  two\n lines\tof  it ", "two lines of it"),
        ("Słupia Śródmieście №4 🌱", "Słupia Śródmieście No4"),
        ("Cafe\u0301", "Café"),  # accent typed as a sign of its own
        ("Ｗｉｄｅ", "Wide"),
        ("bell\u0007\u200b", "bell"),
        ("Ж 3", "? 3"),
        ("🌱", ""),
    ],
)
def test_characters_the_typeface_lacks(text: str, printed_as: str) -> None:
    assert Lettering().printable(text) == printed_as


@settings(deadline=None, max_examples=60)
@given(st.text(min_size=1, max_size=90), st.sampled_from([400, 700]))
def test_any_words_fit_whole_in_their_box(text: str, weight: int) -> None:
    """No character is lost, and the ink itself stays within the box."""
    lettering, box = Lettering(), (1000, 400)
    words = lettering.printable(text)
    block = lettering.fit(words, box, 150, 30, weight)
    assert block is not None
    assert "".join(block.lines).replace(" ", "") == words.replace(" ", "")
    image = Image.new("1", (1400, 800), 1)
    lettering.draw(ImageDraw.Draw(image), block, (700, 200), 0)
    where = image.convert("L").point(lambda shade: 255 - shade).getbbox()
    if where:
        left, top, right, bottom = where
        slack = block.size // 5  # tails and stacked accents may stand out a little
        assert left >= 200 - slack
        assert right <= 1200 + slack
        assert top >= 200 - slack
        assert bottom <= 600 + slack
