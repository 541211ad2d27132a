"""Pots of the demo pictures: body, rim, overflow, plug, float and the foot seen from near."""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

from PIL import Image, ImageDraw
from shades import HIGH, WIDE, Point, Rgb, blend, bright, disc, fade, soften

FOOT = 866  # where every pot stands


@dataclass(frozen=True)
class Pot:
    """A pot as it stands in the picture."""

    x: float
    half_top: float
    half_foot: float
    height: float
    colour: Rgb
    shape: str  # round | square | rectangular
    gauge: str

    @property
    def rim(self) -> float:
        return FOOT - self.height


SIZES = {"Small": (182, 138, 300), "Medium": (220, 164, 350), "Large": (326, 278, 326)}
COLOURS: dict[str, Rgb] = {
    "Ferry landing": (104, 112, 118),
    "Station forecourt": (72, 80, 82),
    "Market street": (176, 98, 66),
    "Library yard": (166, 154, 132),
}


def pot_of(site: str, size: str, shape: str, gauge: str, seed: str) -> Pot:
    """Give a planter its pot, a little to the left or right as photos go."""
    rng = Random(f"pot:{seed}")
    half_top, half_foot, height = SIZES[size]
    colour = bright(COLOURS[site], rng.uniform(0.92, 1.08))
    return Pot(640 + rng.uniform(-46, 46), half_top, half_foot, height, colour, shape, gauge)


def _outline(pot: Pot) -> list[Point]:
    sag = 20 if pot.shape == "round" else 5
    low = [
        (pot.x + pot.half_foot * math.cos(a), FOOT + sag * math.sin(a))
        for a in [math.pi * i / 16 for i in range(17)]
    ]
    return [(pot.x - pot.half_top, pot.rim), (pot.x + pot.half_top, pot.rim), *low]


def _shading(pot: Pot, size: tuple[int, int]) -> Image.Image:
    """Light from the left; a square pot shows two sides."""
    c = pot.colour
    if pot.shape == "square":
        img = Image.new("RGB", size, bright(c, 1.08))
        ImageDraw.Draw(img).rectangle((pot.x + pot.half_top * 0.42, 0, *size), fill=bright(c, 0.72))
        return img
    if pot.shape == "rectangular":
        return fade(size, bright(c, 1.12), bright(c, 0.8))
    img = Image.new("RGB", size, c)
    draw = ImageDraw.Draw(img)
    left, wide = pot.x - pot.half_top, 2 * pot.half_top
    for i in range(48):
        t = i / 47
        light = 0.62 + 0.62 * math.exp(-(((t - 0.3) / 0.3) ** 2)) - 0.16 * t
        box = (left + wide * t - 1, 0, left + wide * (i + 1) / 47, size[1])
        draw.rectangle(box, fill=bright(c, light))
    return soften(img, 6)


def draw_pot(img: Image.Image, pot: Pot, seed: str, level: float | None) -> None:
    """Draw the pot onto the picture; its top is left open for mix and plants."""
    soft = Image.new("L", img.size, 0)
    shade = ImageDraw.Draw(soft)
    wide = pot.half_foot
    shade.ellipse((pot.x - wide * 1.1, FOOT - 22, pot.x + wide * 1.75, FOOT + 44), fill=150)
    shade.ellipse((pot.x - wide * 1.02, FOOT - 8, pot.x + wide * 1.1, FOOT + 30), fill=210)
    img.paste((22, 24, 28), mask=soften(soft, 14))
    mask = Image.new("L", img.size, 0)
    ImageDraw.Draw(mask).polygon(_outline(pot), fill=255)
    body = _shading(pot, img.size)
    rng = Random(f"wear:{seed}")
    specks = ImageDraw.Draw(body)
    for _ in range(260):
        at = (rng.uniform(pot.x - pot.half_top, pot.x + pot.half_top), rng.uniform(pot.rim, FOOT))
        disc(specks, at, rng.uniform(0.8, 2.6), bright(pot.colour, rng.uniform(0.7, 1.25)))
    for _ in range(5):  # old drip marks
        x = rng.uniform(pot.x - pot.half_foot, pot.x + pot.half_foot)
        top = pot.rim + rng.uniform(40, 90)
        line = ((x, top), (x + 2, top + rng.uniform(40, 160)))
        specks.line(line, fill=bright(pot.colour, 0.9), width=5)
    img.paste(soften(body, 1.2, 2), mask=mask)
    _rim(img, pot)
    draw = ImageDraw.Draw(img)
    _overflow_and_plug(draw, pot)
    _tag(draw, pot, seed)
    if pot.gauge in ("float", "sight-tube"):
        _gauge(draw, pot, 0.5 if level is None else level)


def _rim(img: Image.Image, pot: Pot) -> None:
    draw = ImageDraw.Draw(img)
    x0, x1, y = pot.x - pot.half_top - 13, pot.x + pot.half_top + 13, pot.rim
    c = pot.colour
    if pot.shape == "round":
        draw.ellipse((x0, y - 34, x1, y + 30), fill=bright(c, 0.86))
        draw.rectangle((x0, y - 14, x1, y + 8), fill=bright(c, 0.92))
        draw.ellipse((x0, y - 46, x1, y + 18), fill=bright(c, 1.2))
        draw.ellipse((x0 + 22, y - 38, x1 - 22, y + 10), fill=(62, 46, 36))
    else:
        inset = 26
        back = [(x0 + inset, y - 44), (x1 - inset, y - 44), (x1, y - 8), (x0, y - 8)]
        draw.polygon(back, fill=bright(c, 1.2))
        inner = [(x0 + inset + 14, y - 38), (x1 - inset - 14, y - 38), (x1 - 26, y - 13)]
        draw.polygon([*inner, (x0 + 26, y - 13)], fill=(62, 46, 36))
        draw.rectangle((x0, y - 8, x1, y + 22), fill=bright(c, 1.0))
        draw.line(((x0, y + 23), (x1, y + 23)), fill=bright(c, 0.55), width=4)
        if pot.shape == "square":
            draw.rectangle((pot.x + pot.half_top * 0.44, y - 8, x1, y + 22), fill=bright(c, 0.76))


def _edge(pot: Pot, y: float) -> float:
    """Half the pot's width at a height of the picture."""
    share = (y - pot.rim) / pot.height
    return pot.half_top + (pot.half_foot - pot.half_top) * share


def _overflow_and_plug(draw: ImageDraw.ImageDraw, pot: Pot) -> None:
    y = pot.rim + pot.height * 0.44
    x = pot.x + _edge(pot, y) * 0.62
    disc(draw, (x, y), 12, bright(pot.colour, 0.5))
    disc(draw, (x, y), 8, (26, 26, 28))
    y = FOOT - 30
    x = pot.x + _edge(pot, y) * 0.5
    disc(draw, (x, y), 15, bright(pot.colour, 0.52))
    disc(draw, (x - 1, y - 1), 12, (40, 42, 44))
    draw.rectangle((x - 3, y - 10, x + 1, y + 8), fill=(86, 90, 92))


def _tag(draw: ImageDraw.ImageDraw, pot: Pot, seed: str) -> None:
    """Draw the plate with its code as nothing but a pattern: it must not scan."""
    rng = Random(f"tag:{seed}")
    x, y, cell = pot.x - pot.half_foot * 0.62, pot.rim + pot.height * 0.42, 5
    draw.rectangle((x - 8, y - 8, x + 13 * cell + 8, y + 13 * cell + 22), fill=(236, 238, 232))
    for i in range(13):
        for k in range(13):
            corner = (i < 4 and k < 4) or (i > 8 and k < 4) or (i < 4 and k > 8)
            on = (i % 3 != 1 or k % 3 != 1) if corner else rng.random() < 0.5
            if on:
                left, top = x + i * cell, y + k * cell
                draw.rectangle((left, top, left + cell - 1, top + cell - 1), fill=(28, 32, 34))
    draw.rectangle((x, y + 13 * cell + 7, x + 13 * cell, y + 13 * cell + 12), fill=(60, 66, 66))


def _gauge(draw: ImageDraw.ImageDraw, pot: Pot, level: float) -> None:
    """Draw the fill port's tube with the float's pin, or the sight tube on the pot's face."""
    if pot.gauge == "sight-tube":
        x, top, low = pot.x + pot.half_foot * 0.12, pot.rim + pot.height * 0.46, FOOT - 44
        draw.rectangle((x - 9, top, x + 9, low), fill=(206, 216, 216))
        water = low - (low - top) * level
        draw.rectangle((x - 7, water, x + 7, low), fill=(96, 164, 196))
        draw.rectangle((x - 12, top - 6, x + 12, top + 6), fill=(52, 56, 58))
        draw.rectangle((x - 12, low - 6, x + 12, low + 6), fill=(52, 56, 58))
        for i in range(1, 4):
            y = low - (low - top) * i / 4
            draw.line(((x + 9, y), (x + 20, y)), fill=(40, 44, 46), width=3)
        return
    x, y = pot.x - pot.half_top * 0.8, pot.rim
    draw.rectangle((x - 15, y - 118, x + 15, y + 6), fill=(64, 68, 70))
    draw.rectangle((x - 11, y - 118, x - 5, y + 6), fill=(98, 104, 106))
    draw.ellipse((x - 21, y - 130, x + 21, y - 110), fill=(44, 48, 50))
    pin = y - 124 - 14 - 62 * level
    draw.rectangle((x - 5, pin, x + 5, y - 120), fill=(232, 232, 226))
    draw.rectangle((x - 5, pin, x + 5, pin + 16), fill=(212, 58, 44))


def draw_mix(img: Image.Image, pot: Pot, seed: str, wet: float) -> None:
    """Fill the pot's top with mix, seen when the plants are small or gone."""
    draw = ImageDraw.Draw(img)
    rng = Random(f"mix:{seed}")
    dark = blend((116, 90, 66), (58, 42, 32), wet)
    half = pot.half_top - 14
    for i in range(520):
        a, far = rng.uniform(0, 2 * math.pi), math.sqrt(rng.random())
        x, y = pot.x + half * far * math.cos(a), pot.rim - 16 + 20 * far * math.sin(a)
        r = rng.uniform(3, 8)
        colour = bright(dark, rng.uniform(0.7, 1.3))
        draw.ellipse((x - r, y - r * 0.6, x + r, y + r * 0.6), fill=colour)
        if i % 37 == 0:
            disc(draw, (x, y), 3, (196, 186, 170))


def foot_near(pot: Pot, seed: str, water: float, paving: Rgb) -> Image.Image:
    """Draw the foot of the pot from near, plug out; water is how strongly it runs (0 to 1)."""
    img = fade((WIDE, HIGH), bright(paving, 0.7), bright(paving, 1.05))
    draw = ImageDraw.Draw(img)
    rng = Random(f"near:{seed}")
    for _ in range(900):
        at = (rng.uniform(0, WIDE), rng.uniform(560, HIGH))
        disc(draw, at, rng.uniform(1, 4), bright(paving, rng.uniform(0.75, 1.2)))
    body = fade((WIDE, HIGH), bright(pot.colour, 1.14), bright(pot.colour, 0.62))
    grain = ImageDraw.Draw(body)
    for _ in range(1500):
        at = (rng.uniform(0, WIDE), rng.uniform(0, 700))
        disc(grain, at, rng.uniform(1, 5), bright(pot.colour, rng.uniform(0.72, 1.2)))
    outline = [(40, -60), (1250, -60), (1150, 650), (620, 690), (150, 650)]
    mask, under = Image.new("L", (WIDE, HIGH), 0), Image.new("L", (WIDE, HIGH), 0)
    ImageDraw.Draw(mask).polygon(outline, fill=255)
    ImageDraw.Draw(under).polygon([(px + 20, py + 46) for px, py in outline], fill=178)
    img.paste((20, 22, 24), mask=soften(under, 30))
    img.paste(soften(body, 2, 2), mask=mask)
    draw = ImageDraw.Draw(img)
    x, y = 640 + rng.uniform(-70, 70), 520 + rng.uniform(-20, 20)
    disc(draw, (x + 6, y + 8), 92, bright(pot.colour, 0.5))
    disc(draw, (x, y), 88, (70, 74, 78))
    disc(draw, (x, y), 70, (104, 110, 112))
    for r in range(64, 40, -6):  # the thread of the outlet
        disc(draw, (x, y), r, (44, 48, 52) if r % 12 == 4 else (84, 90, 94))
    disc(draw, (x, y), 42, (14, 15, 17))
    _run_out(img, (x, y), water)
    return img


def _run_out(img: Image.Image, at: Point, water: float) -> None:
    """Draw the water that leaves the outlet and the wet paving under it."""
    x, y = at
    wet = Image.new("L", img.size, 0)
    pool = ImageDraw.Draw(wet)
    reach = 150 + 330 * water
    pool.ellipse((x - reach, 742 - 60 * water, x + reach * 1.2, 800 + 120 * water), fill=190)
    pool.ellipse((x + reach * 0.5, 760, x + reach * 2.2, 860), fill=150)
    img.paste((44, 52, 58), mask=soften(wet, 16))
    glint = Image.new("L", img.size, 0)
    shine = ImageDraw.Draw(glint)
    half = 10 + 26 * water
    stream = [(x - half, y + 26), (x + half, y + 26), (x + half * 0.8, 778), (x - half * 0.8, 778)]
    shine.polygon(stream, fill=205)
    for i in range(6):
        w = reach * (0.2 + 0.13 * i)
        shine.arc((x - w, 770 - 8 * i, x + w, 790 + 14 * i), 10, 170, fill=150, width=5)
    img.paste((206, 224, 230), mask=soften(glint, 4))
    bright_line = ImageDraw.Draw(img)
    bright_line.line(
        ((x - half * 0.3, y + 34), (x - half * 0.2, 770)), fill=(246, 250, 252), width=5
    )
    for i in range(14):
        a = math.pi * i / 13
        spot = (x + math.cos(a) * half * 2.4, 778 - math.sin(a) * 20 * (1 + i % 3))
        disc(bright_line, spot, 3 + i % 3, (226, 238, 242))
