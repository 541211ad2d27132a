"""The `water` block of a planter's card."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from potrounds.domain.calendar import TownCalendar
from potrounds.domain.planter import Planter
from potrounds.domain.water import Band, Outlook, Water
from potrounds.services.moments import day_text
from potrounds.services.water_doubts import doubts
from potrounds.services.water_words import how_sure, sentence, surer

PAST_SHOWN = 35


def visit_by(outlook: Outlook, calendar: TownCalendar, today: date) -> date | None:
    """The last day to visit before the chance of running dry passes what the town accepts."""
    for day, chance in enumerate(outlook.chance_empty):
        if chance > calendar.run_dry_risk:
            return today + timedelta(days=day)
    return None


def block(planter: Planter, water: Water | None, calendar: TownCalendar) -> dict[str, Any] | None:
    """What the card says of a planter's water; None where nothing can be said."""
    if water is None or water.outlook is None:
        return None
    outlook, today = water.outlook, water.as_of
    return {
        "as_of": day_text(today),
        "weather": water.weather,
        "level_l": _band(water.level_l),
        "days_to_empty": _band(outlook.days_to_empty),
        "days_to_stress": _band(outlook.days_to_stress),
        "visit_by": day_text(visit_by(outlook, calendar, today)),
        "top_up": [
            {
                "date": day_text(one.date),
                "litres_l": _round(one.litres_l),
                "low_l": _round(one.low_l),
                "high_l": _round(one.high_l),
            }
            for one in outlook.top_up
        ],
        "use_l_day": _band(outlook.use_l_day, 2),
        "peers": None if water.peers is None else round(water.peers, 2),
        "sentence": sentence(water),
        "sure": how_sure(water),
        "surer": surer(planter, water),
        "doubts": doubts(water),
        "series": [
            {
                "date": day_text(one.date),
                "mid": _round(one.mid),
                "low": _round(one.low),
                "high": _round(one.high),
                "ahead": one.ahead,
            }
            for one in outlook.series
        ],
        "marks": _marks(water),
    }


def _band(band: Band, digits: int = 1) -> dict[str, float | None]:
    return {name: _round(getattr(band, name), digits) for name in ("mid", "low", "high")}


def _round(value: float | None, digits: int = 1) -> float | None:
    return None if value is None else round(value, digits)


def _marks(water: Water) -> list[dict[str, Any]]:
    """Readings, fills and full marks of the days shown."""
    marks = []
    for look in water.looks:
        if (water.as_of - look.day).days > PAST_SHOWN:
            continue
        if look.level is not None:
            marks.append(_mark(look.day, "reading", look.level * water.capacity_l))
        if look.ran_over:
            marks.append(_mark(look.day, "full", water.capacity_l))
        elif look.litres_l:
            marks.append(_mark(look.day, "fill", look.litres_l))
    return marks


def _mark(day: date, kind: str, value_l: float) -> dict[str, Any]:
    return {"date": day_text(day), "kind": kind, "value_l": round(value_l, 1)}
