"""Orders stops. The only file that knows the routing library; its words stay in here.

All its quantities are whole numbers: metres, seconds, decilitres. A seed and a number of turns,
never a clock, end the search, so that the same question always has the same answer.
"""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
import numpy.typing as npt
from pyvrp import (
    Client,
    Depot,
    IteratedLocalSearchParams,
    Location,
    PenaltyParams,
    ProblemData,
    Solution,
    SolveParams,
    VehicleType,
    solve,
)
from pyvrp.exceptions import PenaltyBoundWarning
from pyvrp.search import NeighbourhoodParams, PerturbationParams
from pyvrp.stop import MaxIterations

SEED = 20260810
#: A person's coming is worth so many metres of others' walking. Judgement.
COMING_M = 500
#: No way of any town is this long: it keeps a stop out of a round it does not belong to.
NEVER_M = 5_000_000
FOR_A_DAY_S = 24 * 3600
MOST_REFILLS = 60
PLENTY = 10**9

Metres = npt.NDArray[np.float64]


@dataclass(frozen=True)
class AskedStop:
    """A place to go to, what it takes, and how many metres it is worth going for."""

    place: int
    litres_l: float
    minutes: float
    worth_m: float
    only: frozenset[int] | None = None  # places in the crew; None: anybody


@dataclass(frozen=True)
class AskedPerson:
    """Who goes: minutes at hand, metres a minute on each way, tank, where they begin and end."""

    minutes: float
    mode: str  # those of one mode have the same minutes for every way
    way_min: npt.NDArray[np.float64]  # [place, place]
    tank_l: float | None
    start: int | None  # place; None: anywhere
    comes_back: bool
    refill_min: float

    @property
    def kind(self) -> tuple[object, ...]:
        """Who has all of this in common can stand in for one another."""
        rest = (self.tank_l, self.start, self.comes_back, self.refill_min)
        return (self.minutes, self.mode, *rest)


@dataclass(frozen=True)
class Way:
    """A person's way: stops and taps in order, as ("stop" or "tap", place in what was asked)."""

    steps: tuple[tuple[str, int], ...]


def turns_for(stops: int, near: bool = True) -> int:
    """Turns of the search: more than enough for a small round, what patience allows for a large.

    Days further off will be planned again before anybody goes; a quarter does for them.
    """
    turns = 1500 if stops <= 40 else 6000
    return turns if near else turns // 4


def _search() -> SolveParams:
    """A search that is at its best after thousands of turns, not after the usual hundreds of
    thousands: many small steps in the near neighbourhood, soon no more worse taken for better,
    and soon learnt what breaking a limit has to cost.

    Source: tried on towns of 200 and 1000 planters with the benchmark of rounds.
    """
    return SolveParams(
        IteratedLocalSearchParams(history_length=20),
        PenaltyParams(solutions_between_updates=50),
        NeighbourhoodParams(num_neighbours=20),
        perturbation=PerturbationParams(1, 6),
    )


def order_stops(
    stops: Sequence[AskedStop],
    crew: Sequence[AskedPerson],
    taps: Sequence[int],
    metres: Metres,
    turns: int | None = None,
) -> tuple[Way, ...]:
    """The way of each person; a stop on nobody's way did not fit, or was not worth it.

    Parameters: taps : places at which a tank is filled; metres : [place, place]
    Raises: ValueError where there is nobody to go.
    """
    if not crew:
        raise ValueError("nobody goes out")
    if not stops:
        return tuple(Way(()) for _ in crew)
    starts = sorted({one.start for one in crew if one.start is not None})
    alike = _alike(stops, crew)
    data = _problem(stops, crew, alike, starts, taps, metres)
    turns = turns or turns_for(len(stops))
    for effort in (1, 4):
        limit = MaxIterations(turns * effort)
        with warnings.catch_warnings():
            # Where it struggles is seen by what it found.
            warnings.simplefilter("ignore", PenaltyBoundWarning)
            found = solve(data, limit, SEED, collect_stats=False, params=_search())
        if found.is_feasible():
            return _ways(found.best, alike, len(crew), len(starts))
    return tuple(Way(()) for _ in crew)


def _alike(stops: Sequence[AskedStop], crew: Sequence[AskedPerson]) -> list[list[int]]:
    """The crew in groups whose rounds are interchangeable: a smaller question, better answered."""
    named = {number for stop in stops for number in stop.only or ()}
    groups: dict[object, list[int]] = {}
    for number, person in enumerate(crew):
        groups.setdefault(number if number in named else person.kind, []).append(number)
    return list(groups.values())


def _problem(
    stops: Sequence[AskedStop],
    crew: Sequence[AskedPerson],
    alike: Sequence[Sequence[int]],
    starts: Sequence[int],
    taps: Sequence[int],
    metres: Metres,
) -> ProblemData:
    used = [*(stop.place for stop in stops), *starts, *taps]
    anywhere = len(used)  # a place that is no distance from any other
    depots = [Depot(len(stops) + at) for at in range(len(starts))]
    refills = max((one.refill_min for one in crew), default=0.0)
    for at in range(len(taps)):
        place = len(stops) + len(starts) + at
        depots.append(Depot(place, service_duration=ceil(60 * refills)))
    depots.append(Depot(anywhere))
    nowhere, reloads = len(depots) - 1, list(range(len(starts), len(starts) + len(taps)))
    ways = [_ways_of(crew[group[0]], group, stops, used, metres) for group in alike]
    return ProblemData(
        [Location(0, 0) for _ in range(anywhere + 1)],
        [
            Client(
                at,
                delivery=[ceil(10 * stop.litres_l - 1e-6)],  # never with too little
                service_duration=ceil(60 * stop.minutes),
                prize=round(stop.worth_m),
                required=False,
            )
            for at, stop in enumerate(stops)
        ],
        depots,
        [
            VehicleType(
                num_available=len(group),
                capacity=[PLENTY if person.tank_l is None else int(10 * person.tank_l)],
                start_depot=nowhere if person.start is None else starts.index(person.start),
                end_depot=starts.index(person.start)
                if person.start is not None and person.comes_back
                else nowhere,
                shift_duration=min(FOR_A_DAY_S, round(60 * person.minutes)),
                fixed_cost=COMING_M,
                profile=at,
                reload_depots=[] if person.tank_l is None else reloads,
                max_reloads=0 if person.tank_l is None else MOST_REFILLS,
            )
            for at, group in enumerate(alike)
            for person in (crew[group[0]],)
        ],
        [length for length, _ in ways],
        [seconds for _, seconds in ways],
    )


def _ways_of(
    person: AskedPerson,
    group: Sequence[int],
    stops: Sequence[AskedStop],
    used: Sequence[int],
    metres: Metres,
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """A person's metres and seconds; what is not theirs is too far away ever to be worth it."""
    found = []
    for table, scale in ((metres, 1.0), (person.way_min, 60.0)):
        whole = np.zeros((len(used) + 1, len(used) + 1), np.int64)
        whole[:-1, :-1] = np.rint(scale * table[np.ix_(used, used)])
        found.append(whole)
    for at, stop in enumerate(stops):
        if stop.only is not None and not stop.only & set(group):
            found[0][at, :] = found[0][:, at] = NEVER_M
    for table in found:
        np.fill_diagonal(table, 0)
    return found[0], found[1]


def _ways(
    best: Solution, alike: Sequence[Sequence[int]], people: int, first_tap: int
) -> tuple[Way, ...]:
    ways = [Way(()) for _ in range(people)]
    free = [list(group) for group in alike]
    for route in sorted(best.routes(), key=lambda one: [step.idx for step in one]):
        inner = list(route)[1:-1]
        ways[free[route.vehicle_type()].pop(0)] = Way(
            tuple(
                ("stop", one.idx) if one.is_client() else ("tap", one.idx - first_tap)
                for one in inner
            )
        )
    return tuple(ways)
