"""The plan picture of Market street: the street from above, drawn along itself and not to north.

The planters stand on the pavement's kerb side. Two of them are the known points.
"""

from __future__ import annotations

import math
from random import Random
from typing import Any

import siting
import town
from PIL import Image, ImageDraw, ImageFont
from shades import Rgb, bright, disc

from potrounds.science import ground

SITE = "Market street"
NAME = "market-street.png"
WIDE, HIGH, PX_PER_M = 1500, 640, 9
#: The first planter's pixel; the others follow to the right.
LEFT, LINE = 214, 300
_PAPER: Rgb = (244, 241, 232)
_ROAD: Rgb = (205, 203, 196)
_PAVING: Rgb = (228, 219, 200)
_HOUSES: tuple[Rgb, ...] = ((214, 190, 170), (204, 198, 184), (222, 206, 176), (196, 182, 176))
_LINE: Rgb = (92, 88, 82)
_LEAVES: Rgb = (158, 184, 140)
# what stands on the wall side and across the road: width along the street [m], what is written
_NEAR = (
    *((15, ""), (22, "Bakery"), (18, ""), (26, "Market hall"), (16, ""), (21, "Shoes"), (19, "")),
    (18, ""),
)
_FAR = (
    *((24, "Corner shop"), (17, ""), (20, ""), (15, "Books"), (28, "Post office"), (19, "")),
    *((16, ""), (17, "")),
)
_LANE_M = 5.0


def _y(across_m: float) -> int:
    """The picture's row of so many metres from the planters towards the wall."""
    return round(LINE - across_m * PX_PER_M)


def _row(draw: ImageDraw.ImageDraw, houses: Any, wall_m: float, deep_m: float, skip: int) -> None:
    """Houses along a wall; after house number `skip` a lane is left open."""
    rng = Random(f"{SITE} {wall_m}")
    letters = ImageFont.load_default(size=24)
    x = 12.0
    for number, (metres, words) in enumerate(houses):
        back = wall_m + deep_m * rng.uniform(0.75, 1.0)
        top, bottom = sorted((_y(wall_m), _y(back)))
        right = x + metres * PX_PER_M
        colour = _HOUSES[number % len(_HOUSES)]
        draw.rectangle((x, top, right, bottom), fill=colour, outline=_LINE, width=3)
        middle = (top + bottom) / 2
        draw.line(((x, middle), (right, middle)), fill=bright(colour, 0.86), width=2)  # the ridge
        spot = (x + right) / 2, (middle + bottom) / 2
        draw.text(spot, words, fill=(52, 48, 44), font=letters, anchor="mm")
        x = right + (_LANE_M * PX_PER_M if number == skip else 6)


def picture() -> Image.Image:
    """The street from above."""
    img = Image.new("RGB", (WIDE, HIGH), _PAPER)
    draw = ImageDraw.Draw(img)
    draw.rectangle((0, _y(4), WIDE, _y(-13)), fill=_PAVING)
    draw.rectangle((0, _y(-1.2), WIDE, _y(-9.5)), fill=_ROAD)
    for across_m in (4, -1.2, -9.5, -13):
        draw.line(((0, _y(across_m)), (WIDE, _y(across_m))), fill=_LINE, width=3)
    for x in range(20, WIDE, 90):  # the road's middle, but for its name
        if abs(x + 22 - WIDE / 2) < 150:
            continue
        draw.line(((x, _y(-5.3)), (x + 45, _y(-5.3))), fill=_PAPER, width=4)
    _row(draw, _NEAR, 4, 26, skip=2)
    _row(draw, _FAR, -13, -24, skip=3)
    for x in range(130, WIDE, 260):
        disc(draw, (x, _y(-11.2)), 20, _LEAVES)
        draw.ellipse((x - 20, _y(-11.2) - 20, x + 20, _y(-11.2) + 20), outline=_LINE, width=2)
    words = ImageFont.load_default(size=34)
    draw.text((WIDE / 2, _y(-5.3)), SITE, fill=_LINE, font=words, anchor="mm")
    return img


def site_plans_json() -> list[dict[str, Any]]:
    """The content of site_plans.json: a picture and its two known points."""
    places = siting.positions()
    first, last = (town.PLANTERS[f"{SITE} {number}"] for number in (1, 6))
    plane = ground.plane_at(*places[first.id])
    long_px = math.hypot(*plane.metres(*places[last.id])) * PX_PER_M
    spots = {first: (LEFT, LINE), last: (round(LEFT + long_px, 1), LINE)}
    points = [
        {"x": x, "y": y, "of": "planter", "id": one.id, "name": one.name}
        | dict(zip(("lat", "lon"), places[one.id], strict=True))
        for one, (x, y) in spots.items()
    ]
    return [{"scope": town.SITES[SITE][0], "file": NAME, "points": points}]
