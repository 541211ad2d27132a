"""What the water balance says in words: how long, how sure, and what would make it surer."""

from __future__ import annotations

from datetime import timedelta

from potrounds.domain.planter import Planter
from potrounds.domain.spoken import spoken_count, spoken_day, spoken_level, spoken_litres
from potrounds.domain.water import Look, Water

#: A figure is well known within this share of itself, fairly within that; likewise the level as
#: a share of the reservoir. Judgement.
WELL, FAIRLY = 0.6, 1.3
WELL_LEVEL, FAIRLY_LEVEL = 0.3, 0.55
#: A reading this far outside what was believed is questioned. [share of the reservoir] Judgement.
MISFIT = 0.2
#: Gallons written as litres stand for this share of the water poured: 1 / 3.785.
GALLONS = 1 / 3.785
GALLONS_SLACK = 1.45
FILLS_BACK = 3
OLD_READING_DAYS, OLD_FULL_DAYS = 14, 30
DOUBT_DAYS = 21


def sentence(water: Water) -> str:
    """One sentence a volunteer understands."""
    outlook = water.outlook
    if outlook is None or water.level_l.mid is None:
        return "Nothing can be said about the water yet."
    left = f"About {spoken_litres(round(water.level_l.mid))} of {spoken_litres(water.capacity_l)}"
    days = outlook.days_to_empty
    if days.mid is not None and days.mid < 0.5:
        return f"Likely empty: it takes about {spoken_litres(round(outlook.top_up[0].litres_l))}."
    if days.mid is None:
        if days.low is None:
            return f"{left} left, enough for more than 40 days of the weather that is expected."
        return f"{left} left, likely enough for more than 40 days; for {_days(days.low)} at least."
    until = water.as_of + timedelta(days=int(days.mid))
    high = "more than 40" if days.high is None else str(round(days.high))
    low = round(days.low or 0.0)
    span = f"{low} to {high}" if str(low) != high else high
    return f"{left} left, enough for about {_days(days.mid)} ({span}), to {spoken_day(until)}."


def _days(days: float) -> str:
    return spoken_count(max(1, round(days)), "day")


def how_sure(water: Water) -> str:
    """well, fairly or guess: by the width of what is believed, and by what was never told."""
    outlook = water.outlook
    if outlook is None or water.weather == "none" or not water.looks:
        return "guess"
    level, days = water.level_l, outlook.days_to_empty
    wide = ((level.high or 0.0) - (level.low or 0.0)) / water.capacity_l
    high = 40.0 if days.high is None else days.high
    mid = 40.0 if days.mid is None else days.mid
    spread = (high - (40.0 if days.low is None else days.low)) / max(mid, 3.0)
    if wide <= WELL_LEVEL and spread <= WELL and not water.estimated and not doubts(water):
        return "well"
    return "fairly" if wide <= FAIRLY_LEVEL and spread <= FAIRLY else "guess"


def surer(planter: Planter, water: Water) -> str:
    """What would make the figures surer: what is doubtful first, then what is missing."""
    doubtful = doubts(water)
    if doubtful:
        return doubtful[0]
    readings = [look for look in water.looks if look.level is not None]
    full = water.last_full
    if water.weather == "none":
        return "No weather is on record: a coordinator types highs, lows and rain, or a table."
    if not water.looks:
        return "Nobody has checked in this season. Fill it until the overflow runs, and say so."
    if full is None or (water.as_of - full.day).days > OLD_FULL_DAYS:
        return "Fill it once until the overflow runs: then the level is known exactly."
    if water.estimated:
        return "Measure the top and the mix: a coordinator writes them in the register."
    if not readings or (water.as_of - readings[-1].day).days > OLD_READING_DAYS:
        how = "Read the gauge" if planter.has_gauge else "Lift the cap and judge the level"
        return f"{how} before filling."
    if any(look.litres_l is None for look in water.looks[-FILLS_BACK:]):
        return "Write down the litres of each fill, and none where none was given."
    return "A reading some days after the next fill."


def doubts(water: Water) -> list[str]:
    """What in the records does not fit, in words; the filter has not been led astray by it."""
    found = []
    gallons = _gallons(water)
    if gallons:
        found.append(gallons)
    recent = [look for look in water.looks if (water.as_of - look.day).days <= DOUBT_DAYS]
    odd = [look for look in recent if look.misfit > MISFIT]
    if odd:
        found.append(_odd_reading(odd[-1]))
    over = [look for look in recent if (look.litres_l or 0.0) > 2.0 * water.capacity_l]
    if over:
        told = spoken_litres(over[-1].litres_l or 0.0)
        found.append(
            f"{told} on {spoken_day(over[-1].day)} is more than this planter can take: if it is a "
            "slip, or another planter, correct the check-in."
        )
    if water.unsure_times:
        count = spoken_count(water.unsure_times, "check-in")
        found.append(
            f"{count} came from a phone whose clock was wrong and could not be placed; left out "
            "of the water balance until corrected."
        )
    return found


def _odd_reading(look: Look) -> str:
    believed = f"{max(look.low, 0.0):.0%} to {min(look.high, 1.0):.0%}"
    return (
        f"The reading of {spoken_day(look.day)} ({spoken_level(look.level or 0.0)}) does not fit: "
        f"{believed} was expected. Read it again; if it was another planter, correct the check-in."
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
        if room > 0.25 * water.capacity_l
    ][-FILLS_BACK:]
    low, high = GALLONS / GALLONS_SLACK, GALLONS * GALLONS_SLACK
    fit = [litres for litres, room in fills if low <= litres / room <= high]
    if len(fills) < 2 or len(fit) < len(fills):
        return None
    return (
        f"The last {len(fills)} fills until the overflow ran took only about a quarter of the "
        "litres expected: were they gallons? 1 US gallon is 3.8 litres."
    )
