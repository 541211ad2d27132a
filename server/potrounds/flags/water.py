"""Rules that rest on the water balance: what the weather explains, and what it does not."""

from __future__ import annotations

from datetime import date

from potrounds.domain.planter import WINDS
from potrounds.domain.spoken import spoken_count, spoken_day, spoken_level, spoken_litres
from potrounds.domain.water import Look, Water
from potrounds.flags.registry import Case, Evidence, flag
from potrounds.flags.reservoir import HOSE_CAUTION, WET_CAUTION
from potrounds.science.alarms import LOOK_FIRST_BELOW, OVERFILLING_FROM, TELL_FROM
from potrounds.science.ensemble import BLOCKED, LEAK, WICK_FAILED

# From this chance on a fault is said plainly; below it somebody is asked to look first. [-]
FOUND = LOOK_FIRST_BELOW
# The same once that look has been taken and did not clear it. [-] Judgement.
FOUND_LOOKED = 0.7
# The same for a wick, which no second look tells as surely. [-] Judgement.
WICK_FOUND = 0.7
# A look so many days after a full fill tells a leak from thirst. [days] Common practice, no source.
LOOK_FROM, LOOK_TO = 1, 3
# Looks named as evidence.
LOOKS_NAMED = 4
# Same mark read so often in a row, while so much was taken up or poured in between. Judgement.
SAME_MARKS, TRUE_CHANGE = 4, 0.35
# Uses beside its peers that are far off. [-] Judgement.
FAR_ABOVE, FAR_BELOW = 1.8, 0.55
# Fills of so many days are looked back on. Judgement.
FILL_DAYS = 45


def _water(case: Case) -> Water | None:
    return case.water if case.in_use else None


def _named(water: Water) -> tuple[str, ...]:
    return tuple(dict.fromkeys(look.record for look in water.looks[-LOOKS_NAMED:]))


@flag(
    name="Losing water",
    urgency="this-week",
    advice="Look under the planter for water, push the drain plug home and look at its washer. "
    "Fill it until the overflow runs, and look again one or two days later.",
    caution=WET_CAUTION,
)
def losing_water(case: Case) -> Evidence | None:
    """Water goes faster than weather and plants explain: a loose plug, a crack, a bad washer.

    While it is only suspected, the flag asks for a look one or two days after a fill, and stays
    until that look has been taken or the suspicion is gone.

    Source: Bayes' rule over a leaking and a tight reservoir; the thresholds are judgement.
    """
    water = _water(case)
    if water is None or not water.looks or water.leak <= TELL_FROM[LEAK]:
        return None
    numbers = {"chance": round(water.leak, 2)}
    looked = water.look_after_fill(LOOK_FROM, LOOK_TO)
    if water.leak >= (FOUND if looked is None else FOUND_LOOKED):
        sentence = f"Loses water beyond what the weather explains: {water.leak:.0%} likely."
        if looked is not None:
            sentence = (
                f"Down to {spoken_level(looked.level or 0.0)} on {spoken_day(looked.day)}, "
                f"{spoken_count(_days_after_full(water, looked), 'day')} after it was full: "
                f"{water.leak:.0%} likely a leak or a loose plug."
            )
        return Evidence(sentence, _named(water), numbers)
    full = water.last_full
    if full is not None and looked is None and case.days_since(full.day) < LOOK_TO:
        wait = f"It was filled on {spoken_day(full.day)}"
        sentence = f"May be losing water ({water.leak:.0%} likely). {wait}: the next look tells."
    else:
        sentence = f"May be losing water: {water.leak:.0%} likely, not yet sure."
    return Evidence(
        sentence,
        _named(water),
        numbers,
        urgency="watch",
        advice="Fill it until the overflow runs, then read the level one or two days later: "
        "that look tells a leak from thirsty plants.",
    )


def _days_after_full(water: Water, look: Look) -> int:
    full = water.last_full
    return (look.day - full.day).days if full else 0


@flag(
    name="Wick not drawing",
    urgency="this-week",
    advice="Feel the mix. If it is dry over a full reservoir, water slowly from the top until it "
    "is moist: a wick does not start again in dry mix. Still dry two days later: see to the wick.",
    caution=HOSE_CAUTION,
)
def wick_not_drawing(case: Case) -> Evidence | None:
    """The reservoir stays high although the plants would have drunk it, or they wilt over it.

    Source: Bayes' rule over a drawing and a dead wick; the thresholds are judgement.
    """
    water = _water(case)
    if water is None or not water.looks or water.wick <= TELL_FROM[WICK_FAILED]:
        return None
    read = next((look for look in reversed(water.looks) if look.level is not None), None)
    seen = ""
    if read is not None:
        seen = f" Read {spoken_level(read.level or 0.0)} on {spoken_day(read.day)}."
    return Evidence(
        f"The reservoir goes down less than the plants should drink: {water.wick:.0%} likely that "
        f"the wick does not draw.{seen}",
        _named(water),
        {"chance": round(water.wick, 2)},
        urgency="this-week" if water.wick >= WICK_FOUND else "watch",
    )


@flag(
    name="Overflow blocked",
    urgency="this-week",
    advice="Clear the overflow from outside with a soft stick until it runs; do not add water "
    "before. Look whether the mix is soggy.",
    caution=WET_CAUTION,
)
def overflow_blocked(case: Case) -> Evidence | None:
    """It took more water than there was room for and the overflow never ran.

    Source: Bayes' rule over a free and a blocked overflow; the thresholds are judgement.
    """
    water = _water(case)
    if water is None or not water.looks or water.blocked <= TELL_FROM[BLOCKED]:
        return None
    fills = [look for look in water.looks if look.litres_l]
    last = ""
    if fills:
        look = fills[-1]
        last = (
            f" {spoken_litres(look.litres_l or 0.0)} went in on {spoken_day(look.day)}, with room "
            f"for about {spoken_litres(round(look.room_l, 1))}."
        )
    return Evidence(
        f"Takes more than it has room for, and the overflow does not run: {water.blocked:.0%} "
        f"likely blocked.{last}",
        _named(water),
        {"chance": round(water.blocked, 2)},
    )


@flag(
    name="Gauge stuck",
    urgency="watch",
    advice="Tap the gauge or lift the float, and read the level another way: dipstick, or lift "
    "the cap. Until then fill until the overflow runs rather than by the gauge.",
)
def gauge_stuck(case: Case) -> Evidence | None:
    """The same mark again and again, while water came and went.

    Source: common practice, no source.
    """
    water = _water(case)
    if water is None:
        return None
    read = [look for look in water.looks if look.level is not None][-SAME_MARKS:]
    if len(read) < SAME_MARKS or len({look.level for look in read}) > 1:
        return None
    wrong = [look for look in read if abs((look.level or 0.0) - look.mid) >= TRUE_CHANGE]
    poured = [
        look
        for look in read
        if look.litres_l
        and look.ran_over
        and look.litres_l / water.capacity_l - (1 - (look.level or 0.0)) >= TRUE_CHANGE
    ]
    if max(len(wrong), len(poured)) < SAME_MARKS // 2:
        return None
    lowest, highest = min(look.mid for look in read), max(look.mid for look in read)
    return Evidence(
        f"Read {spoken_level(read[0].level or 0.0)} {SAME_MARKS} times in a row, the last on "
        f"{spoken_day(read[-1].day)}, while the water went between {max(lowest, 0):.0%} and "
        f"{min(highest, 1):.0%}.",
        tuple(look.record for look in read),
        {"readings": len(read), "lowest": lowest, "highest": highest},
    )


@flag(
    name="Dry before the crew comes",
    urgency="this-week",
    advice="Bring water before the crew's next day, or ask somebody near to top it up.",
    caution=HOSE_CAUTION,
)
def runs_dry_before_crew_day(case: Case) -> Evidence | None:
    """More likely than the town accepts, it is empty before the crew's next day.

    Source: quantiles of the forecast; the chance accepted is the town's own setting.
    """
    water = _water(case)
    crew = case.calendar.next_crew_day(case.today)
    if water is None or water.outlook is None or crew is None or case.closing or not water.looks:
        return None
    chance = water.outlook.chance_before((crew - case.today).days)
    if chance <= case.calendar.run_dry_risk:
        return None
    days = water.outlook.days_to_empty.mid
    when = _when_empty(days, case.today)
    return Evidence(
        f"{chance:.0%} likely to be empty before {spoken_day(crew)}, the crew's next day{when}.",
        _named(water),
        {"chance": round(chance, 2)},
        urgency="today" if water.outlook.chance_before(1) > 0.5 else "this-week",
    )


def _when_empty(days: float | None, today: date) -> str:
    if days is None:
        return ""
    if days < 0.5:
        return "; likely empty now"
    return f"; most likely in {spoken_count(max(1, round(days)), 'day')}"


@flag(
    name="Use far from its peers",
    urgency="watch",
    advice="Look at what is different: plants, sun and wind as the register has them, mix, plug. "
    "Put the register right, or look for a leak or a dry wick.",
)
def use_far_from_peers(case: Case) -> Evidence | None:
    """It uses far more or far less than planters like it, size, sun and wind allowed for.

    Source: comparison with the median of the others; the bounds are judgement.
    """
    water = _water(case)
    if water is None or water.peers is None or not water.peers_sure or not water.looks:
        return None
    if FAR_BELOW < water.peers < FAR_ABOVE:
        return None
    more = water.peers > 1
    how = f"{water.peers:.1f} times" if more else f"{water.peers:.0%} of"
    wind = case.planter.wind if case.planter.wind in WINDS else "open"
    return Evidence(
        f"Uses {how} what planters like it use (sun {case.planter.sun}, wind {wind}).",
        _named(water),
        {"ratio": round(water.peers, 2)},
    )


@flag(
    name="Litres over the brim",
    urgency="watch",
    advice="Bring the litres the card names, and stop at the first run of the overflow.",
    caution=WET_CAUTION,
)
def overfilling_litres(case: Case) -> Evidence | None:
    """Fill after fill pours far more than there was room for; the rest runs out on the paving.

    Source: a running sum over the fills, CUSUM, NIST/SEMATECH e-Handbook 6.3.2.3; the step is
        judgement.
    """
    water = _water(case)
    if water is None or water.overfill <= OVERFILLING_FROM:
        return None
    over = [
        look
        for look in water.looks
        if look.litres_l and look.litres_l > look.room_l and case.days_since(look.day) <= FILL_DAYS
    ]
    if not over:
        return None
    lost = sum((look.litres_l or 0.0) - look.room_l for look in over)
    return Evidence(
        f"{spoken_count(len(over), 'fill')} since {spoken_day(over[0].day)} poured more than there "
        f"was room for: about {spoken_litres(round(lost))} over the brim.",
        tuple(look.record for look in over),
        {"over": len(over), "lost_l": round(lost, 1)},
    )
