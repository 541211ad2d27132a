"""What in the records does not fit, as questions; the water balance is not led astray by it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from potrounds.domain.spoken import spoken_count, spoken_day, spoken_level, spoken_litres
from potrounds.domain.water import Look, Swap, Water
from potrounds.science.alarms import TELL_FROM
from potrounds.science.ensemble import LEAK, WICK_FAILED

#: A reading this far outside what was believed is questioned. [share of the reservoir] Judgement.
MISFIT = 0.2
#: Gallons written as litres stand for this share of the water poured: 1 / 3.785.
GALLONS = 1 / 3.785
GALLONS_SLACK = 1.45
FILLS_BACK = 3
#: A fill tells of the unit where there was room for this share of the reservoir.
LEAST_ROOM = 0.25
#: Litres of more than so many reservoirs are no fill.
FAR_TOO_MUCH = 2.0
DOUBT_DAYS = 21


def doubts(water: Water) -> list[str]:
    """What does not fit, in words, the plainest first."""
    if water.weather_odd:
        return [
            "The town's weather is warm when it should be cold here, so these figures are no more "
            "than a guess: a coordinator looks at latitude and weather."
        ]
    recent = [look for look in water.looks if (water.as_of - look.day).days <= DOUBT_DAYS]
    swapped = {swap.record for swap in water.swaps}
    odd = [
        look
        for look in recent
        if look.misfit > MISFIT and look.record not in swapped and not _explained(look, water)
    ]
    found = [_swapped(swap) for swap in water.swaps[-1:]]
    found += [words for words in [_gallons(water)] if words]
    found += [_odd_reading(look) for look in odd[-1:]]
    over = [look for look in recent if (look.litres_l or 0.0) > FAR_TOO_MUCH * water.capacity_l]
    found += [_far_too_much(look, water.capacity_l) for look in over[-1:]]
    if water.unsure_times:
        count = spoken_count(water.unsure_times, "check-in")
        found.append(
            f"{count} came from a phone whose clock was wrong and could not be placed; left out "
            "of the water balance until corrected."
        )
    return found


def _explained(look: Look, water: Water) -> bool:
    """Whether a fault, told by its flag, explains a reading that a later one bears out."""
    later = any(one.level is not None and one.day > look.day for one in water.looks)
    low = (look.level or 0.0) < look.low
    fault = water.leak > TELL_FROM[LEAK] if low else water.wick > TELL_FROM[WICK_FAILED]
    return later and fault


def _odd_reading(look: Look) -> str:
    believed = f"{max(look.low, 0.0):.0%} to {min(look.high, 1.0):.0%}"
    return (
        f"The reading of {spoken_day(look.day)} ({spoken_level(look.level or 0.0)}) does not fit: "
        f"{believed} was expected. Read it again; if it was another planter, correct the check-in."
    )


def _swapped(swap: Swap) -> str:
    there = f"{swap.other_name} ({spoken_level(swap.other_level)})"
    return (
        f"The readings of {spoken_day(swap.day)} here ({spoken_level(swap.level)}) and at {there} "
        "each fit the other planter better. If the two were mixed up, correct both check-ins."
    )


def _far_too_much(look: Look, capacity_l: float) -> str:
    litres = look.litres_l or 0.0
    unit = ""
    if GALLONS * litres <= capacity_l * 1.1:
        unit = " Were these litres, typed as gallons? 1 US gallon is 3.8 litres."
    return (
        f"{spoken_litres(litres)} on {spoken_day(look.day)} is more than this planter can take: "
        f"if it is a slip, or another planter, correct the check-in.{unit}"
    )


def _room(look: Look, capacity_l: float) -> float:
    """Litres there was room for: by the reading, or as was believed without one."""
    return look.room_l if look.level is None else capacity_l * (1.0 - look.level)


def _gallons(water: Water) -> str | None:
    """Words where the last full fills told about a quarter of the room there was."""
    fills = [
        (look.litres_l, room)
        for look in water.looks
        if look.ran_over and look.litres_l
        for room in [_room(look, water.capacity_l)]
        if room > LEAST_ROOM * water.capacity_l
    ][-FILLS_BACK:]
    low, high = GALLONS / GALLONS_SLACK, GALLONS * GALLONS_SLACK
    fit = [litres for litres, room in fills if low <= litres / room <= high]
    if len(fills) < 2 or len(fit) < len(fills):
        return None
    return (
        f"The last {len(fills)} fills until the overflow ran took only about a quarter of the "
        "litres expected: were they gallons? 1 US gallon is 3.8 litres."
    )


@dataclass(frozen=True)
class _Odd:
    """A reading that does not fit its planter."""

    place: int
    look: Look


def swaps(
    looks: Mapping[int, Sequence[Look]], planters: Sequence[tuple[str, str]]
) -> dict[int, list[Swap]]:
    """Readings of one day that each fit the other's planter better, by planter's place.

    planters: id and name of each place. Only readings that do not fit where they stand are
    compared, so that two planters which happen to stand alike are never called mixed up.
    """
    by_day: dict[object, list[_Odd]] = {}
    for place, several in looks.items():
        for look in several:
            if look.misfit > MISFIT:
                by_day.setdefault(look.day, []).append(_Odd(place, look))
    found: dict[int, list[Swap]] = {}
    for day in sorted(by_day, key=str):
        for here in by_day[day]:
            for there in by_day[day]:
                if there.place != here.place and _crossed(here.look, there.look):
                    swap = _swap_of(here.look, there.look, *planters[there.place])
                    found.setdefault(here.place, []).append(swap)
    return found


def _crossed(one: Look, other: Look) -> bool:
    """Whether each reading is well within what was believed of the other planter."""
    return one.misfit_of(other.level) <= MISFIT / 2 and other.misfit_of(one.level) <= MISFIT / 2


def _swap_of(here: Look, there: Look, other: str, name: str) -> Swap:
    return Swap(here.record, here.day, here.level or 0.0, other, name, there.level or 0.0)
