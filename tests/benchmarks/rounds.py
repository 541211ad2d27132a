"""How fast and how good plans are, and what a season of them costs beside fixed rules.

    python tests/benchmarks/rounds.py [--trial FOLDER ...] [--sizes 24 200 1000] [--risks 0.1]

Part one: towns of several sizes, two weeks planned; the ways of the first days beside those that
the solver finds in ten times the turns. Part two: whole seasons on the inputs of trial folders.
"""

from __future__ import annotations

import argparse
import logging
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date, timedelta
from math import erf, log, sqrt
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "server"), str(ROOT / "tests"), str(Path(__file__).resolve().parent)]

from round_season import CREW_WEEKDAYS, Season, Truth, by_rule, planned  # noqa: E402

from potrounds.domain.rounds import (  # noqa: E402
    CrewDay,
    CrewMember,
    Litres,
    Need,
    Plan,
    Position,
    Tap,
)
from potrounds.science.walking import walking_m  # noqa: E402
from potrounds.services.round_order import Ground, day_rounds, must  # noqa: E402
from potrounds.services.round_planner import Inputs, make_plan  # noqa: E402
from potrounds.services.round_solver import turns_for  # noqa: E402

TODAY = date(2026, 8, 10)
LONGER = 10
DAYS_COMPARED = 2
#: Levels at which a rule fills, were they known.
LEVELS = (0.6, 0.5, 0.4, 0.3)
Rule = Callable[[Truth, date], list[int]]


def a_town(planters: int, seed: int = 3) -> Inputs:
    """Sites of about eight planters, a tap at every third, a cart for every twenty-five."""
    rng = np.random.default_rng(seed)
    sites = max(3, planters // 8)
    reach = 0.0018 * sqrt(sites)
    centres = rng.uniform(-reach, reach, (sites, 2))
    site = rng.integers(0, sites, planters)
    at = centres[site] + rng.normal(0, 0.0003, (planters, 2))
    needs = tuple(_need(rng, number, int(site[number]), at[number]) for number in range(planters))
    taps = tuple(
        Tap(f"w-{one}", f"Tap {one}", None, Position(48 + c[0], 11 + c[1]), 15.0)
        for one, c in enumerate(centres[::3])
    )
    members = tuple(
        CrewMember(f"u-{one}", f"Person {one}", CREW_WEEKDAYS, 180, "cart", 60.0)
        for one in range(max(2, planters // 25))
    )
    ids = [one.planter for one in needs] + [one.id for one in taps]
    where = [one.position for one in needs] + [one.position for one in taps]
    metres = walking_m(
        [one.lat if one else None for one in where],
        [one.lon if one else None for one in where],
        [*(one.site for one in needs), *(None for _ in taps)],
    )
    ground = Ground({one: n for n, one in enumerate(ids)}, metres, taps, placed=frozenset(ids))
    ahead = [TODAY + timedelta(days=day) for day in range(30)]
    going = [day for day in ahead if day.weekday() in CREW_WEEKDAYS]
    days = tuple(
        CrewDay(day, members, going[n + 1])
        for n, day in enumerate(going[:-1])
        if (day - TODAY).days < 14
    )
    return Inputs(TODAY, needs, days, ground)


def _need(rng: np.random.Generator, number: int, site: int, at: np.ndarray) -> Need:
    life, litres = float(rng.uniform(5, 14)), float(rng.choice([16.0, 25.0, 40.0]))
    left = life * float(rng.uniform(0.2, 1.0))

    def dry(lasts: float) -> tuple[float, ...]:
        return tuple(
            0.0 if day == 0 else 0.5 * (1 + erf(log(day / lasts) / (0.2 * sqrt(2))))
            for day in range(40)
        )

    tops = [min(litres, litres * (1 - left / life) + litres / life * day) for day in range(15)]
    return Need(
        f"p-{number:04d}",
        f"Planter {number}",
        f"s-{site}",
        f"Site {site}",
        litres,
        Position(48 + float(at[0]), 11 + float(at[1])),
        dry(left),
        dry(life),
        tuple(Litres(one, 0.8 * one, min(litres, 1.2 * one)) for one in tops),
        litres / life,
    )


def gap_to_longer(inputs: Inputs, plan: Plan) -> tuple[float, int, int]:
    """Ways of the first days over those of a search ten times as long, less one; stops that a
    longer search would have fitted in, and those it left out."""
    ours = theirs = 0.0
    served, longer_served = 0, 0
    for day, made in list(zip(inputs.days, plan.days, strict=True))[:DAYS_COMPARED]:
        visits = [stop.visit for one in made.rounds for stop in one.stops]
        wishes = [must(visit) for visit in visits]
        turns = LONGER * turns_for(len(visits))
        longer = day_rounds(day, wishes, inputs.ground, turns)
        ours += sum(one.way_m for one in made.rounds)
        theirs += sum(one.way_m for one in longer.rounds)
        served += len(visits)
        longer_served += sum(len(one.stops) for one in longer.rounds)
    return ours / theirs - 1, served, longer_served


def sizes(counts: Iterable[int]) -> None:
    """Planning time and quality."""
    print(
        "planters  crew  seconds  visits  beside  left out  km      gap to 10 x turns "
        f"(first {DAYS_COMPARED} days)"
    )
    for count in counts:
        inputs = a_town(count)
        began = time.process_time()
        plan = make_plan(inputs)
        seconds = time.process_time() - began
        again = make_plan(replace(inputs, needs=tuple(reversed(inputs.needs))))
        stops = [stop for one in plan.rounds() for stop in one.stops]
        gap, served, longer = gap_to_longer(inputs, plan)
        print(
            f"{count:8d}  {len(inputs.days[0].members):4d}  {seconds:7.1f}  {len(stops):6d}  "
            f"{sum(not stop.visit.must for stop in stops):6d}  "
            f"{sum(len(day.left_out) for day in plan.days):8d}  "
            f"{sum(one.way_m for one in plan.rounds()) / 1000:6.1f}  {gap:+.1%} "
            f"({served} stops, {longer} in the longer search); "
            f"{'the same again' if again == plan else 'NOT the same again'}",
            flush=True,
        )
    print("seconds: of the processor, two weeks. beside: visits that may be, taken along.\n")


def at_level(share: float) -> Rule:
    """On each crew day whatever stands at or below a level, which nobody can know from afar."""

    def chosen(truth: Truth, day: date) -> list[int]:
        if day.weekday() not in CREW_WEEKDAYS:
            return []
        return [at for at in range(len(truth.names)) if truth.level(at) <= share]

    return chosen


def as_last_used(share: float) -> Rule:
    """On each crew day whatever would be at that level, had it used as much a day as between its
    last two fills: what can be done with a list and no forecast. A fortnight before that."""

    def chosen(truth: Truth, day: date) -> list[int]:
        if day.weekday() not in CREW_WEEKDAYS:
            return []
        found = []
        for at, filled in truth.filled_on.items():
            used = truth.litres_a_day.get(at, truth.capacity[at] / 14) * (day - filled).days
            if 1 - used / truth.capacity[at] <= share:
                found.append(at)
        return found

    return chosen


def on_days(*weekdays: int) -> Rule:
    """Everything on these days of the week."""
    return lambda truth, day: list(range(len(truth.names))) if day.weekday() in weekdays else []


def season(folder: Path, risks: Iterable[float]) -> None:
    """A season by need beside fixed rules."""
    print(f"season {folder.name}: 24 planters, crew on Monday, Wednesday, Friday")
    for risk in risks:
        one, ground, crew = planned(folder, risk, True)
        show(one)
    one, ground, crew = planned(folder, 0.1, False)
    show(one)
    rules = [
        ("everything weekly", on_days(0)),
        ("everything twice a week", on_days(0, 3)),
        ("at half full, as last used", as_last_used(0.5)),
        *((f"at {share:.0%}, level known", at_level(share)) for share in LEVELS),
    ]
    for name, rule in rules:
        show(by_rule(folder, name, rule, ground, crew))
    print(flush=True)


def show(one: Season) -> None:
    """One line."""
    causes = ", ".join(f"{cause} {count}" for cause, count in one.causes.most_common())
    print(
        f"  {one.name:28s} visits {one.visits:5d}  dry planter-days {one.dry_planter_days:4d}  "
        f"km {one.kilometres:6.1f}  litres {one.litres:7.0f}  {causes}",
        flush=True,
    )


def main() -> None:
    """Both parts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--trial", type=Path, nargs="*", default=[])
    parser.add_argument("--sizes", type=int, nargs="*", default=[24, 200, 1000])
    parser.add_argument("--risks", type=float, nargs="+", default=[0.05, 0.1, 0.2])
    asked = parser.parse_args()
    logging.getLogger("potrounds.store.database").setLevel(logging.ERROR)
    sizes(asked.sizes)
    for folder in asked.trial:
        season(folder, asked.risks)
    if asked.trial:
        print(
            "Every season begins with a visit to each planter. Water alone: planned for nothing "
            "else, as the rules do;\nwithout these words also for feed and short roots. Dry: "
            "planter-days that end at or below 3 % of the reservoir.\nLevel known: exactly, on "
            "every crew day and without a visit, which nobody has."
        )


if __name__ == "__main__":
    main()
