"""Published instances solved to their proved optimum, through our own planning of a round.

TSPLIB (G. Reinelt, TSPLIB - A Traveling Salesman Problem Library, ORSA Journal on Computing 3,
1991, 376; its data is publicly available). Optima: the Heidelberg list, burma14 3323, ulysses16
6859, gr17 2085. GEO distances by the TSPLIB FAQ. ulysses16's coordinates are from memory, its
optimum confirms them. gr17's matrix: tests/data of the source archive of tsplib95 0.7.1
(Apache-2.0).
"""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from math import acos, cos

import numpy as np
import pytest

from potrounds.domain.rounds import CrewDay, CrewMember, Litres, Need, Round, Tap
from potrounds.science.walking import walking_m
from potrounds.services.round_order import Ground
from potrounds.services.round_planner import Inputs, make_plan

TODAY = date(2026, 8, 10)
BURMA14 = """16.47 96.10, 16.47 94.44, 20.09 92.54, 22.39 93.37, 25.23 97.24, 22.00 96.05, 20.47
97.02, 17.20 96.29, 16.30 97.38, 14.05 98.12, 16.53 97.38, 21.52 95.59, 19.41 97.13, 20.09 94.55"""
ULYSSES16 = """38.24 20.42, 39.57 26.15, 40.56 25.32, 36.26 23.12, 33.48 10.54, 37.56 12.19,
38.42 13.11, 37.52 20.44, 41.23 9.10, 41.17 13.05, 36.08 -5.21, 38.47 15.13, 38.15 15.35,
37.51 15.17, 35.49 14.32, 39.36 19.56"""
GR17 = """0
633 0
257 390 0
91 661 228 0
412 227 169 383 0
150 488 112 120 267 0
80 572 196 77 351 63 0
134 530 154 105 309 34 29 0
259 555 372 175 338 264 232 249 0
505 289 262 476 196 360 444 402 495 0
353 282 110 324 61 208 292 250 352 154 0
324 638 437 240 421 329 297 314 95 578 435 0
70 567 191 27 346 83 47 68 189 439 287 254 0
211 466 74 182 243 105 150 108 326 336 184 391 145 0
268 420 53 239 199 123 207 165 383 240 140 448 202 57 0
246 745 472 237 528 364 332 349 202 685 542 157 289 426 483 0
121 518 142 84 297 35 29 36 236 390 238 301 55 96 153 336 0"""
Table = np.ndarray


def geo(text: str) -> Table:
    """Distances of kind GEO, as the TSPLIB FAQ has them."""

    def radians(value: float) -> float:
        whole = int(value)
        return 3.141592 * (whole + 5.0 * (value - whole) / 3.0) / 180.0

    places = [tuple(radians(float(one)) for one in pair.split()) for pair in text.split(",")]

    def far(one: tuple[float, ...], other: tuple[float, ...]) -> int:
        q1 = cos(one[1] - other[1])
        q2, q3 = cos(one[0] - other[0]), cos(one[0] + other[0])
        return int(6378.388 * acos(0.5 * ((1.0 + q1) * q2 - (1.0 - q1) * q3)) + 1.0)

    return np.array([[0 if a is b else far(a, b) for b in places] for a in places])


def lower(text: str) -> Table:
    """A symmetric table from its lower half, row by row."""
    rows = [[int(one) for one in line.split()] for line in text.splitlines()]
    size = len(rows)
    return np.array([[rows[max(i, j)][min(i, j)] for j in range(size)] for i in range(size)])


def one_round(
    table: Table, litres: list[float] | None = None, tank_l: float | None = None
) -> Round:
    """The round of one person from a tap at the first place to all others and back.

    The table is handed over as ways paced out, pair by pair.
    """
    size = len(table)
    litres = litres or [0.0] * size
    tap = Tap("w-0", "Tap")
    ids = ["w-0", *(f"p-{at:02d}" for at in range(1, size))]
    paced = {(i, j): float(table[i, j]) for i in range(size) for j in range(i)}
    metres = walking_m([None] * size, [None] * size, [None] * size, paced=paced)
    needs = tuple(
        Need(
            ids[at],
            f"Planter {at}",
            "s-1",
            "Site",
            100.0,
            dry_before=(0.0, 1.0),
            dry_after_fill=(0.0,),
            litres=(Litres(litres[at], 0.0, 0.0),),
            minutes=0.0,
        )
        for at in range(1, size)
    )
    person = CrewMember("u-1", "Vera", (0,), 24 * 60, "vehicle", tank_l, "w-0")
    ground = Ground(
        {one: at for at, one in enumerate(ids)}, metres, (tap,), 1e9, 100.0, frozenset(ids)
    )
    days = (CrewDay(TODAY, (person,), date(2026, 8, 17)),)
    plan = make_plan(Inputs(TODAY, needs, days, ground))
    (found,) = plan.rounds()
    assert sorted(found.planters) == ids[1:]
    return found


@pytest.mark.parametrize(
    ("table", "optimum"),
    [
        pytest.param(geo(BURMA14), 3323, id="burma14"),
        pytest.param(geo(ULYSSES16), 6859, id="ulysses16"),
        pytest.param(lower(GR17), 2085, id="gr17"),
    ],
)
def test_published_optimum(table: Table, optimum: int) -> None:
    found = one_round(table)
    assert round(found.way_m) == optimum
    places = [0, *(int(one[2:]) for one in found.planters), 0]
    assert sum(int(table[pair]) for pair in pairwise(places)) == optimum


def test_distances_are_those_of_the_instance() -> None:
    """Tours 1-2-...-n-1: burma14 4562, ulysses16 9665 (computed beside the optima)."""
    for text, length in ((BURMA14, 4562), (ULYSSES16, 9665)):
        table = geo(text)
        order = [*range(len(table)), 0]
        assert sum(int(table[pair]) for pair in pairwise(order)) == length


def held_karp(table: Table) -> dict[frozenset[int], float]:
    """The shortest tour from place 0 through each set of places, exactly.

    Source: M. Held and R. M. Karp, A Dynamic Programming Approach to Sequencing Problems,
    Journal of the Society for Industrial and Applied Mathematics 10 (1962) 196.
    """
    size = len(table)
    best = {(1 << at, at): float(table[0, at]) for at in range(1, size)}
    for mask in range(2, 1 << size, 2):
        for last in range(1, size):
            if (mask, last) not in best:
                continue
            for after in range(1, size):
                if mask & 1 << after:
                    continue
                key = (mask | 1 << after, after)
                length = best[mask, last] + float(table[last, after])
                best[key] = min(best.get(key, np.inf), length)
    tours: dict[frozenset[int], float] = {}
    for (mask, last), length in best.items():
        chosen = frozenset(at for at in range(1, size) if mask & 1 << at)
        tours[chosen] = min(tours.get(chosen, np.inf), length + float(table[last, 0]))
    return tours


def exact_with_refills(table: Table, litres: list[float], tank_l: float) -> float:
    """The least way with refills at place 0: the best partition into loads, each a tour."""
    tours = held_karp(table)
    fits = {
        some: length for some, length in tours.items() if sum(litres[at] for at in some) <= tank_l
    }
    best: dict[frozenset[int], float] = {frozenset(): 0.0}

    def least(left: frozenset[int]) -> float:
        if left not in best:
            first = min(left)
            best[left] = min(
                length + least(left - some)
                for some, length in fits.items()
                if first in some and some <= left
            )
        return best[left]

    return least(frozenset(range(1, len(table))))


@pytest.mark.parametrize("seed", range(6))
def test_a_tank_with_refills_against_an_exact_method(seed: int) -> None:
    rng = np.random.default_rng(seed)
    places = rng.uniform(0, 800, (10, 2))
    table = np.rint(np.hypot(*(places[:, None] - places).transpose(2, 0, 1))).astype(int)
    litres = [0.0, *(float(one) for one in rng.integers(4, 16, 9))]
    found = one_round(table, litres, tank_l=30.0)
    assert round(found.way_m) == round(exact_with_refills(table, litres, 30.0))
    left = 30.0
    for stop in found.stops:
        left = 30.0 if stop.refill_at else left
        left -= stop.visit.litres.mid
        assert left >= 0.0
        assert stop.tank_left_l == pytest.approx(left)
