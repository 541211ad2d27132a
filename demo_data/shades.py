"""Colours and small shapes the demo pictures are drawn with."""

from __future__ import annotations

import math
from random import Random

from PIL import Image, ImageDraw, ImageFilter

Rgb = tuple[int, int, int]
Point = tuple[float, float]

WIDE, HIGH = 1280, 960  # drawn at twice the size, then made smaller


def blend(a: Rgb, b: Rgb, share: float) -> Rgb:
    """Mix two colours; share 0 gives a, 1 gives b."""
    t = min(1.0, max(0.0, share))
    return (
        round(a[0] + (b[0] - a[0]) * t),
        round(a[1] + (b[1] - a[1]) * t),
        round(a[2] + (b[2] - a[2]) * t),
    )


def vary(rng: Random, colour: Rgb, by: int) -> Rgb:
    """Make a colour a little lighter or darker."""
    d = rng.randint(-by, by)
    return tuple(min(255, max(0, c + d)) for c in colour)  # type: ignore[return-value]


def bright(colour: Rgb, factor: float) -> Rgb:
    """Scale a colour's light."""
    return tuple(min(255, max(0, round(c * factor))) for c in colour)  # type: ignore[return-value]


def fade(size: tuple[int, int], top: Rgb, bottom: Rgb) -> Image.Image:
    """Draw an upright gradient."""
    mask = Image.linear_gradient("L").resize(size)
    return Image.composite(Image.new("RGB", size, bottom), Image.new("RGB", size, top), mask)


def turned(shape: list[Point], at: Point, angle: float, size: float) -> list[Point]:
    """Scale, turn and move a shape."""
    c, s = math.cos(angle) * size, math.sin(angle) * size
    return [(at[0] + x * c - y * s, at[1] + x * s + y * c) for x, y in shape]


def bow(a: Point, bend: Point, b: Point, steps: int = 10) -> list[Point]:
    """Walk a quadratic curve from a to b, drawn towards bend."""
    out = []
    for i in range(steps + 1):
        t = i / steps
        u = 1 - t
        out.append(
            (
                u * u * a[0] + 2 * u * t * bend[0] + t * t * b[0],
                u * u * a[1] + 2 * u * t * bend[1] + t * t * b[1],
            )
        )
    return out


def blade(line: list[Point], wide: float) -> list[Point]:
    """Make a thin leaf of a line: wide at its foot, pointed at its tip."""
    left, right = [], []
    n = len(line) - 1
    for i, (x, y) in enumerate(line):
        x0, y0 = line[max(0, i - 1)]
        x1, y1 = line[min(n, i + 1)]
        long = math.hypot(x1 - x0, y1 - y0) or 1.0
        w = wide * (1 - i / n) / 2
        dx, dy = -(y1 - y0) / long * w, (x1 - x0) / long * w
        left.append((x + dx, y + dy))
        right.append((x - dx, y - dy))
    return left + right[::-1]


def disc(draw: ImageDraw.ImageDraw, at: Point, r: float, colour: Rgb) -> None:
    """Draw a filled circle."""
    draw.ellipse((at[0] - r, at[1] - r, at[0] + r, at[1] + r), fill=colour)


def _leaf_outline(kind: str) -> list[Point]:
    """Give a leaf of unit length lying along +x from its stalk."""
    pts: list[Point] = []
    for i in range(20):
        a = 2 * math.pi * i / 20
        if kind == "round":  # scalloped edge
            r = 0.5 * (1 + 0.05 * math.cos(a * 8))
            pts.append((0.5 + r * math.cos(a), r * math.sin(a)))
        elif kind == "heart":
            r = 0.46 * (1 + 0.18 * math.cos(a) - 0.2 * math.exp(-((a - math.pi) ** 2) * 6))
            pts.append((0.5 + 1.05 * r * math.cos(a), r * math.sin(a)))
        elif kind == "lance":
            pts.append((0.5 + 0.5 * math.cos(a), 0.15 * math.sin(a) * (1 - 0.35 * math.cos(a))))
        else:  # oval
            pts.append((0.5 + 0.5 * math.cos(a), 0.27 * math.sin(a) * (1 - 0.25 * math.cos(a))))
    return pts


LEAVES = {kind: _leaf_outline(kind) for kind in ("round", "heart", "lance", "oval")}


def soften(img: Image.Image, radius: float, scale: int = 4) -> Image.Image:
    """Blur on a smaller picture: far quicker, and what is blurred does not show it."""
    small = img.resize((img.width // scale, img.height // scale), Image.Resampling.BOX)
    small = small.filter(ImageFilter.GaussianBlur(radius / scale))
    return small.resize(img.size, Image.Resampling.BILINEAR)
