"""What the water balance says in words: how long, how sure, and what would make it surer."""

from __future__ import annotations

from datetime import timedelta

from potrounds.domain.planter import Planter
from potrounds.domain.spoken import spoken_count, spoken_day, spoken_litres
from potrounds.domain.water import Water
from potrounds.science.alarms import TELL_FROM
from potrounds.science.ensemble import LEAK
from potrounds.services.water_doubts import doubts

#: A figure is well known within this share of itself, fairly within that; likewise the level as
#: a share of the reservoir. Judgement.
WELL, FAIRLY = 0.6, 1.3
WELL_LEVEL, FAIRLY_LEVEL = 0.3, 0.55
EMPTY_BELOW = 0.06
FILLS_BACK = 3
OLD_READING_DAYS, OLD_FULL_DAYS = 14, 30


def sentence(water: Water) -> str:
    """One sentence a volunteer understands."""
    outlook = water.outlook
    if outlook is None or water.level_l.mid is None:
        return "Nothing can be said about the water yet."
    left = f"About {spoken_litres(round(water.level_l.mid))} of {spoken_litres(water.capacity_l)}"
    days = outlook.days_to_empty
    if days.mid is not None and days.mid < 1.0:
        room = spoken_litres(round(outlook.top_up[0].litres_l))
        if water.level_l.mid <= EMPTY_BELOW * water.capacity_l:
            return f"Likely empty: it takes about {room}."
        why = " if it loses water as suspected" if water.leak > TELL_FROM[LEAK] else ""
        return f"{left} left, likely gone before tomorrow{why}: it takes about {room}."
    if days.mid is None:
        if days.low is None:
            return f"{left} left, enough for more than 40 days of the weather that is expected."
        return f"{left} left, likely enough for more than 40 days; for {_days(days.low)} at least."
    if days.high is None and water.leak > TELL_FROM[LEAK]:
        lasting = f"about {_days(days.mid)} if it loses water as suspected"
        return f"{left} left, enough for {lasting}, for more than 40 if not."
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
    if outlook is None or water.weather == "none" or water.weather_odd or not water.looks:
        return "guess"
    level, days = water.level_l, outlook.days_to_empty
    wide = ((level.high or 0.0) - (level.low or 0.0)) / water.capacity_l
    high = 40.0 if days.high is None else days.high
    mid = 40.0 if days.mid is None else days.mid
    # Close to empty a day either way is a large share and yet a small doubt.
    spread = (high - (40.0 if days.low is None else days.low)) / max(mid, 4.0)
    if wide <= WELL_LEVEL and spread <= WELL and not water.estimated and not doubts(water):
        return "well"
    return "fairly" if wide <= FAIRLY_LEVEL and spread <= FAIRLY else "guess"


def surer(planter: Planter, water: Water) -> str:
    """What would make the figures surer. What does not fit stands beside it, see `doubts`."""
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
