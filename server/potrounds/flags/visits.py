"""Check-ins that do not go together, whoever is right."""

from __future__ import annotations

from itertools import combinations

from potrounds.domain.spoken import PLANT_WORDS, spoken_day, spoken_level
from potrounds.domain.visits import Visit
from potrounds.flags.registry import Case, Evidence, flag
from potrounds.flags.reservoir import impossible_reading

# Check-ins of one day that differ by so much describe two planters. Common practice, no source.
LEVEL_APART = 0.5  # of the reservoir, two marks of the gauge
SCORE_APART = 2  # of the five postures
# Older ones are history: nobody remembers which planter it was. [days] Common practice, no source.
CLASH_DAYS = 14


@flag(
    name="Two check-ins disagree",
    urgency="this-week",
    advice="Ask both which planter they stood at, and have the wrong one corrected or taken back. "
    "Where neither is sure, send somebody to look again.",
)
def check_ins_clash(case: Case) -> Evidence | None:
    """Two people's check-ins of one day cannot both be right, and nobody has looked since.

    Source: common practice, no source.
    """
    if case.planter.status != "in-use":
        return None
    last = next(iter(reversed(case.sure_visits)), None)
    if last is None or case.days_since(last.day) > CLASH_DAYS:
        return None
    # A look on a later day says how it is; the day of the last visit is the only one in doubt.
    of_the_day = [visit for visit in case.sure_visits if visit.day == last.day]
    for one, other in reversed(list(combinations(of_the_day, 2))):
        said = _apart(case, one, other) if one.person != other.person else []
        if said:
            return Evidence(
                f"On {spoken_day(last.day)} {one.by} and {other.by} do not agree: "
                f"{', '.join(said)}.",
                records=(one.record, other.record),
            )
    return None


def _apart(case: Case, one: Visit, other: Visit) -> list[str]:
    """What the earlier and the later check-in say that cannot both be."""
    said = []
    was, found = _left_at(one), other.check_in.level
    if was is not None and found is not None and _level_clashes(case, one, was, found):
        said.append(f"the level {spoken_level(was)}, then {spoken_level(found)}")
    first, second = one.check_in.plants, other.check_in.plants
    if first is not None and second is not None and abs(first - second) >= SCORE_APART:
        said.append(f"plants {PLANT_WORDS[first]} or {PLANT_WORDS[second]}")
    plugs = (one.check_in.plug, other.check_in.plug)
    if set(plugs) == {"in", "out"} and not _plug_moved(case, one, other):
        said.append(f"the drain plug {plugs[0]}, then {plugs[1]}")
    return said


def _left_at(visit: Visit) -> float | None:
    """The level a visit left behind; unknown where water was given short of the overflow."""
    if visit.ran_over:
        return 1.0
    return None if visit.water_given else visit.check_in.level


def _level_clashes(case: Case, one: Visit, was: float, found: float) -> bool:
    """Half a reservoir within a day is no use of water; a rise has a rule of its own."""
    if was - found >= LEVEL_APART:
        return "flushed" not in one.check_in.done and one.check_in.plug in ("in", "not-looked")
    return found - was >= LEVEL_APART and impossible_reading(case) is None


def _plug_moved(case: Case, one: Visit, other: Visit) -> bool:
    """Whether a step between the two says that somebody moved the plug."""
    return any(one.at <= step.at <= other.at for step in case.steps)
