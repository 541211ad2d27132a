"""One demo picture: a planter at its site on one day, as a phone would take it."""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import lru_cache
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter
from places import PAVING, place
from plants import Look, draw_plants
from pots import FOOT, draw_mix, draw_pot, foot_near, pot_of
from shades import HIGH, WIDE, blend, disc, soften

TINT = {"sun": (255, 246, 226), "cloud": (232, 238, 246), "rain": (218, 226, 236)}
TINT["evening"] = (255, 222, 182)


@dataclass(frozen=True)
class Shot:
    """What a picture shows."""

    planter: str
    site: str
    size: str
    shape: str
    gauge: str
    plants: tuple[str, ...]
    growth: float
    health: int
    level: float | None
    sky: str = "sun"
    autumn: float = 0.0
    wet: float = 0.7  # of the mix
    view: str = "planter"  # planter | outlet-running | emptied
    extra: str = ""  # crust | litter | puddle | crack


@lru_cache(maxsize=2)
def _background(site: str, seed: str, sky: str, autumn: float) -> Image.Image:
    return place(site, seed, sky, autumn)


@lru_cache(maxsize=2)
def _grain(seed: int) -> Image.Image:
    size = (WIDE // 2, HIGH // 2)
    raw = Image.frombytes("L", size, Random(seed).randbytes(size[0] * size[1]))
    return raw.filter(ImageFilter.GaussianBlur(0.8)).point(lambda v: 128 + (v - 128) * 0.07)


def _lens(img: Image.Image, sky: str) -> Image.Image:
    """Make it a photo: light of the day, darker corners, a little grain."""
    lit = ImageChops.multiply(img, Image.new("RGB", img.size, TINT[sky]))
    lit = lit.point(lambda v: min(255, round(v * 1.07 + 5)))
    small = lit.resize((WIDE // 2, HIGH // 2), Image.Resampling.LANCZOS)
    corner = (
        Image.radial_gradient("L").resize(small.size).point(lambda v: 255 - max(0, v - 130) * 0.34)
    )
    small = ImageChops.multiply(small, Image.merge("RGB", [corner] * 3))
    grain = _grain(7)
    return ImageChops.overlay(small, Image.merge("RGB", [grain] * 3))


def _extras(img: Image.Image, shot: Shot, x: float, half: float, rim: float) -> None:
    draw = ImageDraw.Draw(img)
    rng = Random(f"extra:{shot.planter}:{shot.extra}")
    if shot.extra == "crust":
        for _ in range(420):
            spot = (x + rng.uniform(-1, 1) * half * 0.95, rim - 5 + rng.gauss(0, 5))
            disc(
                draw,
                spot,
                rng.uniform(1, 3.6),
                blend((226, 220, 204), (170, 156, 136), rng.random()),
            )
    elif shot.extra == "litter":
        for i in range(6):
            at = (x - half + rng.uniform(-150, 60) + i * 90, FOOT + rng.uniform(6, 60))
            tone = rng.choice([(226, 222, 212), (74, 120, 86), (196, 168, 120)])
            draw.polygon(
                [at, (at[0] + 46, at[1] - 12), (at[0] + 54, at[1] + 6), (at[0] + 8, at[1] + 16)],
                fill=tone,
            )
    elif shot.extra == "crack":
        line = [(x + half * 0.3, rim + 4)]
        for i in range(7):
            line.append((line[-1][0] + rng.uniform(-16, 20), rim + 20 + i * 24))
        draw.line(line, fill=(34, 30, 28), width=6, joint="curve")


def _puddle(img: Image.Image, x: float, half: float) -> None:
    wet = Image.new("L", img.size, 0)
    pool = ImageDraw.Draw(wet)
    pool.ellipse((x - half * 0.4, FOOT - 6, x + half * 2.3, FOOT + 70), fill=170)
    img.paste((58, 66, 74), mask=soften(wet, 9))
    pool.ellipse((x + half * 0.4, FOOT + 12, x + half * 1.9, FOOT + 46), fill=110)
    glint = Image.new("L", img.size, 0)
    ImageDraw.Draw(glint).ellipse((x + half * 0.6, FOOT + 16, x + half * 1.7, FOOT + 36), fill=120)
    img.paste((196, 210, 220), mask=soften(glint, 8))


def draw_shot(shot: Shot) -> Image.Image:
    """Draw one picture at its final size."""
    pot = pot_of(shot.site, shot.size, shot.shape, shot.gauge, shot.planter)
    if shot.view == "outlet-running":
        strong = Random(shot.planter).uniform(0.45, 1.0)
        return _lens(foot_near(pot, shot.planter, strong, PAVING[shot.site]), shot.sky)
    img = _background(shot.site, shot.planter, shot.sky, round(shot.autumn, 1)).copy()
    if shot.extra == "puddle":
        _puddle(img, pot.x, pot.half_foot)
    level = shot.level if shot.view == "planter" else 0.0
    draw_pot(img, pot, shot.planter, level)
    draw_mix(img, pot, shot.planter, shot.wet)
    if shot.view == "planter":
        draw = ImageDraw.Draw(img)
        look = Look(shot.growth, shot.health, shot.autumn, shot.planter)
        draw_plants(draw, list(shot.plants), (pot.x, pot.rim - 12, pot.half_top), look)
    _extras(img, shot, pot.x, pot.half_top, pot.rim)
    return _lens(img, shot.sky)


def jpeg(img: Image.Image) -> bytes:
    """Give the bytes of a JPEG without any metadata, of at most 40 kB."""
    for quality in (76, 68, 60):
        out = io.BytesIO()
        img.save(out, "JPEG", quality=quality, optimize=True, subsampling=2)
        if out.tell() <= 40_000:
            break
    return out.getvalue()
