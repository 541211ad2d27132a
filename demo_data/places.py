"""The four sites of the demo pictures, as seen behind the planter. Nobody is in them."""

from __future__ import annotations

import math
from random import Random

from PIL import Image, ImageDraw
from shades import HIGH, WIDE, Rgb, blend, bright, disc, fade, soften

SKIES: dict[str, tuple[Rgb, Rgb]] = {
    "sun": ((112, 164, 214), (206, 224, 234)),
    "cloud": ((168, 178, 186), (214, 218, 218)),
    "rain": ((122, 132, 142), (170, 176, 180)),
    "evening": ((126, 140, 178), (244, 204, 158)),
}
PAVING: dict[str, Rgb] = {
    "Ferry landing": (156, 142, 122),
    "Station forecourt": (150, 150, 148),
    "Market street": (138, 128, 118),
    "Library yard": (186, 172, 142),
}


def _slabs(img: Image.Image, rng: Random, top: int, colour: Rgb, rows: int, wide: int) -> None:
    """Pave the ground in rows that grow nearer."""
    draw = ImageDraw.Draw(img)
    draw.rectangle((0, top, WIDE, HIGH), fill=bright(colour, 0.72))
    for r in range(rows):
        y0 = top + (HIGH - top) * (r / rows) ** 1.5
        y1 = top + (HIGH - top) * ((r + 1) / rows) ** 1.5
        step = wide * (0.5 + 1.1 * r / rows)
        x = -rng.uniform(0, step)
        while x < WIDE:
            box = (x, y0, x + step - 3, y1 - 3)
            draw.rectangle(box, fill=bright(colour, rng.uniform(0.9, 1.07)))
            x += step


def _trees(
    draw: ImageDraw.ImageDraw, rng: Random, y: float, tall: float, autumn: float, n: int
) -> None:
    for _ in range(n):
        x, r = rng.uniform(-40, WIDE + 40), rng.uniform(0.6, 1.0) * tall
        leaf = blend((88, 120, 74), (186, 132, 58), autumn * rng.uniform(0.3, 1.0))
        for _ in range(26):
            a, far = rng.uniform(0, 2 * math.pi), rng.random() * r * 0.55
            spot = (x + far * math.cos(a) * 1.1, y - r * 0.7 + far * math.sin(a))
            disc(draw, spot, r * 0.2, bright(leaf, rng.uniform(0.72, 1.12)))


def _ferry(img: Image.Image, rng: Random, autumn: float, sky: str) -> None:
    draw = ImageDraw.Draw(img)
    draw.rectangle((0, 330, WIDE, 372), fill=blend((104, 128, 88), (160, 132, 80), autumn))
    _trees(draw, rng, 350, 130, autumn, 16)
    low = SKIES[sky][1]
    img.paste(fade((WIDE, 260), blend((104, 134, 146), low, 0.4), (70, 98, 108)), (0, 366))
    for _ in range(150):
        x, y = rng.uniform(0, WIDE), 366 + 250 * rng.random() ** 1.3
        long = 20 + (y - 366) * 0.5
        tone = blend((150, 178, 186), (70, 100, 112), rng.random())
        draw.line(((x, y), (x + long, y)), fill=tone, width=3)
    draw.rectangle((0, 610, WIDE, HIGH), fill=(84, 74, 62))
    for r in range(9):  # the landing's boards
        y0 = 610 + (HIGH - 610) * (r / 9) ** 1.4
        y1 = 610 + (HIGH - 610) * ((r + 1) / 9) ** 1.4
        board = bright(PAVING["Ferry landing"], rng.uniform(0.88, 1.08))
        draw.rectangle((0, y0, WIDE, y1 - 4), fill=board)
        for _ in range(14):
            x = rng.uniform(0, WIDE)
            draw.line(((x, y0 + 6), (x + rng.uniform(60, 200), y0 + 6)), fill=bright(board, 0.92))
    for x in (70, 400, 880, 1210):
        draw.rectangle((x - 17, 440, x + 17, 640), fill=(98, 84, 68))
        draw.rectangle((x - 17, 440, x - 7, 640), fill=(128, 112, 92))
        draw.ellipse((x - 19, 428, x + 19, 452), fill=(150, 136, 116))
    for a, b in ((70, 400), (400, 880), (880, 1210)):
        box = (a, 430, b, 560)
        draw.arc(box, 10, 170, fill=(214, 200, 170), width=9)


def _station(img: Image.Image, rng: Random, autumn: float, sky: str) -> None:
    draw = ImageDraw.Draw(img)
    wall = (164, 96, 76)
    draw.rectangle((0, 60, WIDE, 640), fill=wall)
    for y in range(60, 640, 17):
        for x in range(-40 + (y // 17 % 2) * 22, WIDE, 44):
            draw.rectangle((x, y, x + 41, y + 14), fill=bright(wall, rng.uniform(0.9, 1.1)))
    for x in (110, 440, 770, 1100):
        draw.rectangle((x - 96, 210, x + 96, 640), fill=(226, 214, 190))
        draw.ellipse((x - 96, 116, x + 96, 308), fill=(226, 214, 190))
        draw.rectangle((x - 78, 212, x + 78, 590), fill=(66, 84, 94))
        draw.ellipse((x - 78, 134, x + 78, 290), fill=(66, 84, 94))
        draw.polygon(
            [(x - 78, 420), (x + 20, 212), (x + 78, 212), (x - 78, 560)], fill=(92, 114, 124)
        )
        for k in (-26, 26):
            draw.line(((x + k, 140), (x + k, 590)), fill=(214, 204, 184), width=7)
        for y in (212, 330, 460):
            draw.line(((x - 78, y), (x + 78, y)), fill=(214, 204, 184), width=7)
    draw.rectangle((0, 40, WIDE, 84), fill=(70, 84, 80))  # edge of the canopy
    for x in range(10, WIDE, 46):
        draw.polygon([(x, 84), (x + 36, 84), (x + 18, 112)], fill=(84, 100, 94))
    draw.rectangle((0, 606, WIDE, 644), fill=(118, 112, 106))
    _slabs(img, rng, 640, PAVING["Station forecourt"], 6, 190)


def _market(img: Image.Image, rng: Random, autumn: float, sky: str) -> None:
    draw = ImageDraw.Draw(img)
    fronts = [(0, 390, (222, 206, 174)), (390, 850, (190, 204, 196)), (850, WIDE, (214, 180, 152))]
    for left, right, wall in fronts:
        draw.rectangle((left, 0, right, 620), fill=wall)
        mid = (left + right) / 2
        for x in (mid - 110, mid + 40):
            draw.rectangle((x, 10, x + 78, 150), fill=(240, 236, 226))
            draw.rectangle((x + 8, 16, x + 70, 142), fill=(86, 104, 112))
            draw.line(((x + 39, 16), (x + 39, 142)), fill=(240, 236, 226), width=5)
        draw.rectangle((left + 34, 300, right - 34, 610), fill=(62, 70, 72))
        draw.rectangle((left + 50, 316, right - 130, 560), fill=(140, 158, 158))
        draw.polygon(
            [(left + 50, 500), (left + 160, 316), (left + 220, 316), (left + 50, 558)],
            fill=(166, 184, 184),
        )
        draw.rectangle((right - 112, 316, right - 50, 606), fill=bright(wall, 0.62))
        stripe = rng.choice([(168, 62, 54), (52, 104, 92), (196, 146, 58)])
        count = 9
        step = (right - left - 40) / count
        for i in range(count):
            x = left + 20 + i * step
            tone = stripe if i % 2 == 0 else (240, 234, 220)
            spread = (i / (count - 1) - 0.5) * 26
            foot = [(x + step + spread + 4, 318), (x + spread, 318)]
            draw.polygon([(x + 6, 218), (x + step + 2, 218), *foot], fill=tone)
            draw.pieslice((x + spread, 302, x + step + spread + 4, 336), 0, 180, fill=tone)
    draw.rectangle((0, 606, WIDE, 636), fill=(120, 112, 106))
    draw.rectangle((0, 636, WIDE, HIGH), fill=(84, 78, 72))
    for r in range(13):  # cobbles
        y = 636 + (HIGH - 636) * (r / 13) ** 1.4
        tall = (HIGH - 636) / 13 * (0.5 + 0.075 * r)
        step = 44 + 5 * r
        x = -rng.uniform(0, step)
        while x < WIDE:
            tone = bright(PAVING["Market street"], rng.uniform(0.84, 1.1))
            draw.rounded_rectangle((x, y, x + step - 5, y + tall * 1.35), radius=12, fill=tone)
            x += step


def _library(img: Image.Image, rng: Random, autumn: float, sky: str) -> None:
    draw = ImageDraw.Draw(img)
    wall = (216, 204, 178)
    draw.rectangle((0, 0, WIDE, 640), fill=wall)
    for y in range(0, 640, 54):
        for x in range(-60 + (y // 54 % 2) * 70, WIDE, 140):
            draw.rectangle((x, y, x + 136, y + 50), fill=bright(wall, rng.uniform(0.96, 1.03)))
    for x in (230, 640, 1050):
        draw.rectangle((x - 88, 40, x + 88, 520), fill=(238, 230, 210))
        draw.rectangle((x - 72, 54, x + 72, 506), fill=(74, 92, 98))
        for i in range(12):  # the books on their shelves
            for y, tall in ((250, 74), (380, 70), (500, 76)):
                book = rng.choice([(140, 62, 52), (66, 88, 92), (176, 142, 84), (94, 78, 104)])
                left = x - 66 + i * 11
                draw.rectangle(
                    (left, y - tall + rng.randint(0, 18), left + 9, y), fill=bright(book, 0.8)
                )
        for k in (-24, 24):
            draw.line(((x + k, 54), (x + k, 506)), fill=(232, 224, 204), width=6)
        for y in (170, 290, 410):
            draw.line(((x - 72, y), (x + 72, y)), fill=(232, 224, 204), width=6)
        draw.rectangle((x - 104, 518, x + 104, 542), fill=(206, 194, 168))
    leaf = blend((76, 112, 64), (170, 62, 44), autumn)
    for _ in range(620):  # the creeper on the wall
        side = rng.random() < 0.6
        across = abs(rng.gauss(0, 60)) if side else WIDE - abs(rng.gauss(0, 46))
        spot = (across, rng.uniform(0, 620))
        disc(draw, spot, rng.uniform(7, 15), bright(leaf, rng.uniform(0.68, 1.18)))
    draw.rectangle((0, 600, WIDE, 644), fill=(176, 164, 140))
    draw.rectangle((0, 640, WIDE, HIGH), fill=PAVING["Library yard"])
    for _ in range(5200):  # gravel
        down = 642 + 318 * rng.random()
        tone = bright(PAVING["Library yard"], rng.uniform(0.76, 1.14))
        disc(draw, (rng.uniform(0, WIDE), down), 1.2 + (down - 640) / 110, tone)


DRAWN = {
    "Ferry landing": _ferry,
    "Station forecourt": _station,
    "Market street": _market,
    "Library yard": _library,
}


def place(site: str, seed: str, sky: str, autumn: float) -> Image.Image:
    """Draw the site behind a planter; the seed keeps its details from picture to picture."""
    img = fade((WIDE, HIGH), *SKIES[sky])
    DRAWN[site](img, Random(f"place:{site}:{seed}"), autumn, sky)
    far = soften(img, 7, 2)  # the planter is sharp, the town is not
    near = soften(img, 1.5, 2)
    mask = Image.new("L", img.size, 0)
    ImageDraw.Draw(mask).rectangle((0, 700, WIDE, HIGH), fill=255)
    return Image.composite(near, far, soften(mask, 40))
