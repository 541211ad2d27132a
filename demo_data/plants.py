"""Plants of the demo pictures: how each kind grows, wilts and flowers.

Every stem has its own seed, so a planter keeps its stems from one picture to the next; only their
length, their posture and their colours follow growth and health.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

from PIL import ImageDraw
from shades import LEAVES, Point, Rgb, blade, blend, bow, bright, disc, turned, vary

STRAW: Rgb = (176, 140, 78)
YELLOW: Rgb = (196, 186, 88)
DROOP = {5: 0.0, 4: 0.1, 3: 0.5, 2: 0.85, 1: 1.0}
DRY = {5: 0.0, 4: 0.05, 3: 0.24, 2: 0.62, 1: 0.97}
BLOOM = {5: 1.0, 4: 0.8, 3: 0.45, 2: 0.15, 1: 0.0}


@dataclass(frozen=True)
class Habit:
    """How a kind of plant looks."""

    form: str  # mound | upright | grass | trailing
    leaf: str
    green: Rgb
    flower: str  # umbel | trumpet | pompon | spike | daisy | plume | bells | swept | none
    colour: Rgb
    tall: float  # of a grown plant, in picture points
    stems: int
    leaf_size: float


HABITS = {
    "zonal pelargonium": Habit(
        "mound", "round", (74, 122, 58), "umbel", (205, 42, 58), 190, 44, 42
    ),
    "ivy-leaved pelargonium": Habit(
        "trailing", "round", (86, 132, 66), "umbel", (226, 106, 146), 200, 15, 34
    ),
    "trailing verbena": Habit(
        "trailing", "oval", (82, 120, 66), "umbel", (124, 72, 170), 210, 18, 26
    ),
    "fountain grass": Habit("grass", "lance", (124, 142, 74), "plume", (206, 176, 150), 430, 80, 0),
    "petunia": Habit("mound", "oval", (96, 140, 72), "trumpet", (150, 62, 168), 170, 36, 36),
    "french marigold": Habit(
        "mound", "lance", (72, 116, 52), "pompon", (238, 142, 28), 165, 36, 40
    ),
    "lavender": Habit("upright", "lance", (134, 148, 116), "spike", (122, 104, 176), 270, 44, 34),
    "mealycup sage": Habit("upright", "oval", (88, 124, 70), "spike", (64, 72, 166), 290, 34, 40),
    "scarlet sage": Habit("upright", "oval", (66, 112, 52), "spike", (206, 38, 44), 250, 32, 46),
    "coleus": Habit("mound", "heart", (142, 50, 70), "none", (0, 0, 0), 190, 44, 42),
    "bidens": Habit("trailing", "lance", (92, 134, 62), "daisy", (242, 196, 44), 160, 18, 26),
    "edging lobelia": Habit("trailing", "oval", (84, 122, 62), "bells", (70, 92, 200), 120, 22, 16),
    "sweet potato vine": Habit("trailing", "heart", (166, 190, 66), "none", (0, 0, 0), 220, 13, 52),
    "garden thyme": Habit("mound", "oval", (110, 128, 84), "bells", (196, 164, 198), 80, 46, 16),
    "blue fescue": Habit("grass", "lance", (134, 156, 150), "none", (0, 0, 0), 170, 90, 0),
    "zinnia": Habit("upright", "oval", (88, 130, 64), "daisy", (226, 84, 110), 220, 24, 44),
    "heather": Habit("mound", "oval", (84, 104, 72), "bells", (198, 96, 150), 110, 60, 13),
    "cyclamen": Habit("mound", "heart", (74, 108, 76), "swept", (222, 90, 140), 95, 26, 40),
    "ivy": Habit("trailing", "heart", (58, 94, 56), "none", (0, 0, 0), 170, 13, 32),
    "ornamental kale": Habit("mound", "round", (126, 140, 134), "none", (168, 92, 146), 80, 30, 46),
}


def _leaf_colour(rng: Random, habit: Habit, health: int, autumn: float) -> Rgb:
    lit = vary(rng, habit.green, 20)
    dry = DRY[health] + autumn * 0.18
    if rng.random() < dry:
        return blend(lit, YELLOW if rng.random() < 0.45 and health > 1 else STRAW, 0.85)
    return blend(lit, (128, 132, 96), dry * 0.55)


def _leaf(
    draw: ImageDraw.ImageDraw, rng: Random, habit: Habit, at: Point, angle: float, **how: float
) -> None:
    colour = bright(_leaf_colour(rng, habit, int(how["health"]), how["autumn"]), how["light"])
    size = habit.leaf_size * how["size"] * rng.uniform(0.75, 1.1)
    draw.polygon(turned(LEAVES[habit.leaf], at, angle, size), fill=colour)
    if size > 20:
        tip = turned([(0.85, 0)], at, angle, size)[0]
        draw.line((at, tip), fill=bright(colour, 1.14), width=2)
    if habit.leaf == "round" and size > 34 and how["health"] > 2:  # the dark zone of the leaf
        ring = [(0.5 + (x - 0.5) * 0.55, y * 0.55) for x, y in LEAVES["round"]]
        draw.line(turned([*ring, ring[0]], at, angle, size), fill=bright(colour, 0.78), width=4)
    if habit.flower == "none" and habit.leaf == "heart" and habit.green[0] > habit.green[1]:
        edge = turned([*LEAVES["heart"], LEAVES["heart"][0]], at, angle, size)
        draw.line(edge, fill=blend(colour, (170, 190, 84), 0.55), width=2)


def _flower(
    draw: ImageDraw.ImageDraw, rng: Random, habit: Habit, at: Point, angle: float, fresh: float
) -> None:
    colour = blend(STRAW, vary(rng, habit.colour, 18), 0.35 + 0.65 * fresh)
    x, y = at
    if habit.flower == "umbel":
        r = 0.42 * max(habit.leaf_size, 30)
        for _ in range(16):
            a, far = rng.uniform(0, 2 * math.pi), r * math.sqrt(rng.random())
            spot = (x + far * math.cos(a), y + far * math.sin(a) * 0.8)
            disc(draw, spot, r * 0.34, bright(colour, rng.uniform(0.8, 1.25)))
    elif habit.flower in ("trumpet", "daisy"):
        petals, r = (5, 17.0) if habit.flower == "trumpet" else (9, 13.0)
        r *= 1.5 if habit.form == "upright" else 1.0
        for i in range(petals):
            a = angle + 2 * math.pi * i / petals
            spot = (x + r * 0.62 * math.cos(a), y + r * 0.56 * math.sin(a))
            disc(
                draw,
                spot,
                r * (0.52 if petals == 5 else 0.36),
                bright(colour, 0.9 + 0.05 * (i % 3)),
            )
        heart = bright(colour, 0.55) if petals == 5 else (150, 96, 30)
        disc(draw, at, r * 0.34, heart)
    elif habit.flower == "pompon":
        for ring, shade in ((17, 0.78), (13, 0.95), (8, 1.1), (4, 0.85)):
            for i in range(9):
                a = angle + 2 * math.pi * i / 9 + ring
                spot = (x + ring * 0.6 * math.cos(a), y + ring * 0.5 * math.sin(a))
                disc(draw, spot, ring * 0.38, bright(colour, shade))
    elif habit.flower == "swept":
        for i in range(5):
            a = -math.pi / 2 + (i - 2) * 0.34 + angle * 0.1
            draw.polygon(turned(LEAVES["oval"], at, a, 34), fill=bright(colour, 0.86 + 0.07 * i))
        disc(draw, (x, y + 2), 6, bright(colour, 0.6))
    else:  # bells
        for _ in range(7):
            spot = (x + rng.uniform(-9, 9), y + rng.uniform(-9, 9))
            disc(draw, spot, rng.uniform(2.5, 4.5), bright(colour, rng.uniform(0.8, 1.2)))


def _spike(
    draw: ImageDraw.ImageDraw, rng: Random, habit: Habit, line: list[Point], fresh: float
) -> None:
    colour = blend(STRAW, habit.colour, 0.3 + 0.7 * fresh)
    for i, (x, y) in enumerate(line):
        wide = 9.5 * (1 - 0.6 * i / len(line))
        for side in (-1, 0, 1):
            spot = (x + side * wide + rng.uniform(-2, 2), y + rng.uniform(-3, 3))
            disc(draw, spot, wide * 0.55, bright(colour, rng.uniform(0.78, 1.25)))


def _stem(foot: Point, angle: float, long: float, droop: float) -> list[Point]:
    """Bend a stem from its foot; a wilting one leans out and hangs."""
    out = math.cos(angle)
    lean = 1.0 if out >= 0 else -1.0
    tip = (
        foot[0] + long * (out + lean * 0.35 * droop),
        foot[1] - long * math.sin(angle) * (1 - 1.12 * droop) + long * 0.06 * droop,
    )
    bend = (
        foot[0] + long * out * 0.4,
        foot[1] - long * math.sin(angle) * (0.72 - 0.3 * droop),
    )
    return bow(foot, bend, tip)


def _bushy(draw: ImageDraw.ImageDraw, habit: Habit, key: str, place: Place, look: Look) -> None:
    """Draw a mound or an upright plant, back stems first."""
    upright = habit.form == "upright"
    blooms = []
    for i in range(habit.stems):
        rng = Random(f"{key}:{i}")
        angle = math.pi / 2 + rng.uniform(-1, 1) * (0.42 if upright else 1.25)
        reach, when, foot_x = rng.uniform(0.62, 1.0), rng.random(), rng.uniform(-1, 1)
        if when > 0.35 + 0.65 * look.growth:
            continue
        long = habit.tall * reach * (0.3 + 0.7 * look.growth) * place.scale
        foot = (place.x + foot_x * place.spread, place.y - rng.uniform(0, 6))
        droop = look.droop * rng.uniform(0.55, 1.12)
        long *= 1 - 0.22 * look.droop * rng.random()
        line = _stem(foot, angle, long, droop)
        back = 1 - i / habit.stems
        light = 0.66 + 0.34 * (1 - back) + rng.uniform(-0.05, 0.05)
        stem = bright(blend(habit.green, STRAW, DRY[look.health] * 0.7), light * 0.8)
        draw.line(line, fill=stem, width=5 if upright else 4, joint="curve")
        last = 6 if habit.flower == "spike" else 10
        for k in range(2, last + 1, 2):
            for side in (-1, 1):
                x0, y0 = line[k - 1]
                along = math.atan2(line[k][1] - y0, line[k][0] - x0)
                hang = side * rng.uniform(0.5, 1.2)
                turn = along + hang
                turn += (math.pi / 2 - turn) * min(0.85, look.droop * 0.9)
                size = (0.55 + 0.45 * look.growth) * (0.8 if upright else 1.0) * place.scale
                size *= 1 - 0.32 * DRY[look.health]
                how = {"health": look.health, "autumn": look.autumn, "light": light, "size": size}
                _leaf(draw, rng, habit, line[k], turn, **how)
        if habit.flower != "none" and rng.random() < look.bloom * (0.8 if upright else 0.55):
            blooms.append((rng, line, angle))
    for rng, line, angle in blooms:
        if habit.flower == "spike":
            _spike(draw, rng, habit, line[6:], look.fresh)
        else:
            _flower(draw, rng, habit, line[-1], angle, look.fresh)


def _grassy(draw: ImageDraw.ImageDraw, habit: Habit, key: str, place: Place, look: Look) -> None:
    for i in range(habit.stems):
        rng = Random(f"{key}:{i}")
        angle = math.pi / 2 + rng.gauss(0, 0.42)
        long = habit.tall * rng.uniform(0.55, 1.0) * (0.35 + 0.65 * look.growth) * place.scale
        foot = (place.x + rng.uniform(-0.5, 0.5) * place.spread, place.y)
        if rng.random() > 0.4 + 0.6 * look.growth:
            continue
        line = _stem(foot, angle, long, 0.16 + 0.5 * look.droop * rng.uniform(0.5, 1.1))
        light = 0.68 + 0.4 * i / habit.stems
        colour = bright(_leaf_colour(rng, habit, look.health, look.autumn * 1.6), light)
        draw.polygon(blade(line, 9 * place.scale), fill=colour)
        if habit.flower == "plume" and i % 5 == 0 and look.growth > 0.55:
            colour = blend(habit.colour, STRAW, 0.3 + DRY[look.health] * 0.5)
            for k, (x, y) in enumerate(line[6:]):
                for _ in range(7):
                    r = 8.5 * (1 - k / 6)
                    end = (x + rng.uniform(-r, r) * 1.5, y + rng.uniform(-r, r))
                    draw.line(((x, y), end), fill=bright(colour, rng.uniform(0.8, 1.15)), width=2)


def _hanging(draw: ImageDraw.ImageDraw, habit: Habit, key: str, place: Place, look: Look) -> None:
    """Draw stems that creep over the rim and hang down the pot's face."""
    for i in range(habit.stems):
        rng = Random(f"{key}:{i}")
        side = rng.uniform(-1, 1)
        long = habit.tall * rng.uniform(0.4, 1.0) * (0.15 + 0.85 * look.growth) * place.scale
        if rng.random() > 0.35 + 0.65 * look.growth:
            continue
        foot = (place.x + side * place.spread, place.y + rng.uniform(-4, 6))
        thin = 1.0 - 0.35 * DRY[look.health]
        tip = (foot[0] + side * long * 0.34 + rng.uniform(-14, 14), foot[1] + long * thin)
        line = bow(foot, (foot[0] + side * 26, foot[1] - 26 * (1 - look.droop)), tip)
        stem = bright(blend(habit.green, STRAW, DRY[look.health] * 0.7), 0.72)
        draw.line(line, fill=stem, width=3, joint="curve")
        for k in range(1, 11):
            turn = math.pi / 2 + (1 if k % 2 else -1) * rng.uniform(0.5, 1.3) * (
                1 - look.droop * 0.6
            )
            size = (0.6 + 0.4 * look.growth) * place.scale * (1 - 0.035 * k) * thin
            how = {"health": look.health, "autumn": look.autumn, "light": 1.0, "size": size}
            _leaf(draw, rng, habit, line[k], turn, **how)
            if habit.flower != "none" and k % 3 == 0 and rng.random() < look.bloom * 0.6:
                _flower(draw, rng, habit, line[k], turn, look.fresh)


@dataclass(frozen=True)
class Place:
    """Where in the pot a plant stands."""

    x: float
    y: float
    spread: float
    scale: float


@dataclass(frozen=True)
class Look:
    """Growth and health of all plants of a planter on one day."""

    growth: float
    health: int
    autumn: float = 0.0
    seed: str = ""

    @property
    def droop(self) -> float:
        return DROOP[self.health]

    @property
    def bloom(self) -> float:
        return BLOOM[self.health] * min(1.0, self.growth * 1.6) * (1 - 0.55 * self.autumn)

    @property
    def fresh(self) -> float:
        return min(1.0, 0.25 + BLOOM[self.health]) * (1 - 0.3 * self.autumn)


ORDER = {"grass": 0, "upright": 1, "mound": 2, "trailing": 3}
DRAWN = {"grass": _grassy, "upright": _bushy, "mound": _bushy, "trailing": _hanging}


def draw_plants(
    draw: ImageDraw.ImageDraw, kinds: list[str], rim: tuple[float, float, float], look: Look
) -> None:
    """Draw the plants of one pot; rim is its centre, its height in the picture, its half width."""
    x, y, half = rim
    known = sorted((HABITS[k].form, k) for k in kinds)
    known.sort(key=lambda pair: ORDER[pair[0]])
    for form in ("grass", "upright", "mound"):
        group = [k for f, k in known if f == form]
        spots = 2 if half > 230 and form != "grass" else 1
        stands = [k for k in group for _ in range(spots)]
        if form == "grass" and half > 230:
            stands = group * 2
        for i, kind in enumerate(stands):
            share = 0 if len(stands) == 1 else (i / (len(stands) - 1) - 0.5) * 2
            place = Place(x + share * half * 0.6, y, half * (0.8 / max(1, len(stands))), half / 215)
            place = Place(place.x, y, place.spread, min(1.06, max(0.82, place.scale)))
            DRAWN[form](draw, HABITS[kind], f"{look.seed}:{kind}:{i}", place, look)
    for form, kind in known:
        if form == "trailing":
            place = Place(x, y + 2, half * 0.94, min(1.06, max(0.82, half / 215)))
            _hanging(draw, HABITS[kind], f"{look.seed}:{kind}", place, look)
