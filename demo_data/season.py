"""The season as it went: weather draws water out of each planter, volunteers come and pour it in.

The truth is a daily balance of two stores, mix and reservoir; the records are what people saw of it
and what they guessed. From October on the story tells the rest (story.py).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from random import Random
from typing import Any

import spring
import town
from events import Event, Plot, Scene, local
from town import Planter

from weather import Day

REGULAR_UNTIL = date(2026, 10, 2)
GAP_DAYS = {5: 7, 6: 7, 7: 5, 8: 5, 9: 7, 10: 7}
HELD_SHARE, STRESS_SHARE = 0.55, 0.28  # litres a litre of mix holds, and keeps when plants wilt
CROP = 0.8  # plant factor of bedding plants
RAIN_SHARE = 0.65  # of the rain on the open top that the leaves let through
BARE = 0.05  # what open mix loses, beside a full canopy
WICK_A_DAY = 0.65  # of what the mix lacks, lifted over a day
# What is broken, and nobody knows: planter, from when, how much.
LEAKS = {"Library yard 3": (date(2026, 9, 28), 5.0)}  # litres a day
DEAD_WICKS = {"Library yard 5": date(2026, 9, 8)}
NEVER_FLUSHED = ("Library yard 6", "Station forecourt 6")
NOTES = (
    "Bees all over it.",
    "Port cap was open, closed it.",
    "Cigarette ends on the mix, took them out.",
    "A neighbour asked what is planted here.",
    "Turned the pot a little, tag to the path.",
    "Windy corner, dries fast.",
    "Snails under the rim.",
    "Market stall stood close, leaves torn on one side.",
    "Nicest one on the round.",
    "Tap handle is loose, mind your fingers.",
)


@dataclass
class Store:
    """One planter's true state; litres."""

    planter: Planter
    mix_l: float
    water_l: float
    health: float = 4.3
    fed: date | None = None
    flush_on: date | None = None

    @property
    def most(self) -> float:
        return HELD_SHARE * town.MIX_L[self.planter.size]

    @property
    def least(self) -> float:
        return STRESS_SHARE * town.MIX_L[self.planter.size]

    @property
    def moist(self) -> float:
        """How much of its drinkable water the mix holds, 0 to 1."""
        return (self.mix_l - self.least) / (self.most - self.least)

    @property
    def level(self) -> float:
        return self.water_l / self.planter.reservoir_l

    def growth(self, day: date) -> float:
        start = self.planter.planted_on
        if self.planter.name in town.AUTUMN and day >= town.AUTUMN[self.planter.name][0]:
            start = town.AUTUMN[self.planter.name][0]
            return min(0.85, 0.5 + (day - start).days / 160)
        part = min(1.0, max(0, (day - start).days) / 45)
        return part * part * (3 - 2 * part)

    def live(self, day: Day) -> None:
        """One day: rain, drink, overflow, wick (two-store balance)."""
        grown = self.growth(day.date)
        covers = 0.3 + 0.7 * grown if day.date >= self.planter.planted_on else BARE
        canopy = town.CANOPY_M2[self.planter.size] * covers
        factor = CROP * town.EXPOSURE[self.planter.site] * self.planter.thirst
        if self.planter.rain_reaches:
            self.mix_l += day.rain_mm * town.TOP_M2[self.planter.size] * RAIN_SHARE
        surplus = max(0.0, self.mix_l - self.most)
        self.mix_l -= surplus
        self.water_l = min(self.planter.reservoir_l, self.water_l + surplus)
        drunk = min(day.et0_mm * factor * canopy, max(0.0, self.mix_l - self.least))
        self.mix_l -= drunk
        dead = DEAD_WICKS.get(self.planter.name, date.max) <= day.date
        drawn = 0.0 if dead else min(self.water_l, WICK_A_DAY * (self.most - self.mix_l))
        self.water_l -= drawn
        self.mix_l += drawn
        begun, loss_l = LEAKS.get(self.planter.name, (date.max, 0.0))
        if begun <= day.date:
            self.water_l = max(0.0, self.water_l - loss_l)
        if self.moist < 0.55:
            self.health -= 0.42 * (1 - self.moist / 0.55)
        else:
            self.health += 0.06
        best = 4.6 if day.date < date(2026, 9, 15) else 4.4
        self.health = min(best, max(1.6, self.health))


def _rounds(site: str, rng: Random) -> dict[date, tuple[str, str]]:
    """The days on which somebody goes round a site: who, and when they begin."""
    found: dict[date, tuple[str, str]] = {}
    day = date(2026, 5, 18) + timedelta(days=rng.randint(0, 3))
    while day <= REGULAR_UNTIL:
        team = town.TEAMS[site]
        who = rng.choices(team, (5, 3, 2))[0]
        if who == "Ruth" and date(2026, 8, 3) <= day <= date(2026, 8, 16):
            who = team[1] if team[0] == "Ruth" else team[0]  # away
        hot = day.month in (7, 8)
        hour = rng.choice((6, 7, 7)) if hot else rng.choice((8, 9, 17, 18))
        found[day] = (who, f"{hour:02d}:{rng.randint(0, 50):02d}")
        day += timedelta(days=max(2, GAP_DAYS[day.month] + rng.choice((-1, 0, 0, 1, 1))))
    return found


def _pour(store: Store, who: str, read: float | None, rng: Random) -> tuple[float, dict[str, Any]]:
    """How much really goes in, and what is written down about it."""
    full = store.planter.reservoir_l
    room = full - store.water_l
    guess = (1 - read) * full if read is not None else room
    if who == "Ines":
        return room + rng.uniform(0.3, 1.2), {"how": "to-overflow"}
    if who == "Maud":
        return guess * rng.uniform(0.85, 1.05), {"how": "hose-timer"}
    if who == "Joss":
        return room + rng.uniform(0.5, 3.0), {"how": "typed"}
    if who == "Ruth":
        return max(5.0, 5.0 * (guess // 5)), {"how": "typed"}
    return guess * rng.uniform(0.7, 1.05), {"how": "typed"}


def _written(litres: float, who: str, how: str, rng: Random) -> float:
    """The litres as written down: a guess, unless by the hose timer."""
    if how == "hose-timer":
        return round(litres * rng.uniform(0.97, 1.03), 1)
    if who == "Joss":
        return float(max(1, round(litres * rng.uniform(0.95, 1.25))))
    return max(0.5, round(litres * rng.uniform(0.9, 1.1) * 2) / 2)


def _read(store: Store, rng: Random) -> dict[str, Any]:
    gauge = store.planter.gauge
    if gauge == "none" and rng.random() > 0.25:
        return {}
    level = min(1.0, max(0.0, round((store.level + rng.gauss(0, 0.05)) * 4) / 4))
    return {"level": level, "read_by": "lifted-cap" if gauge == "none" else gauge}


def _water(store: Store, who: str, body: dict[str, Any], rng: Random) -> None:
    read = body.get("level")
    if read == 1 or (read == 0.75 and rng.random() < 0.5) or rng.random() < 0.03:
        return  # nothing given
    litres, how = _pour(store, who, read, rng)
    room = store.planter.reservoir_l - store.water_l
    ran = litres > room + 0.2
    if ran and who not in ("Ines", "Joss"):
        litres = min(litres, room + rng.uniform(0.2, 1.0))  # they stop when it runs
    body["litres_l"] = _written(litres, who, how["how"], rng)
    body["litres_how"] = how["how"]
    looked = rng.random() > (0.4 if who == "Tomas" else 0.12)
    if ran and (looked or who in ("Ines", "Joss")):
        body["overflow"] = "ran-while-filling"
    elif looked:
        body["overflow"] = "dry"
    store.water_l = min(store.planter.reservoir_l, store.water_l + litres)


def _plants(store: Store, day: date, body: dict[str, Any], rng: Random) -> None:
    score = min(5, max(2, round(store.health + rng.gauss(0, 0.3))))
    body["plants"] = score
    signs = []
    if score <= 3 and store.moist < 0.4:
        signs.append("wilting")
        if store.moist < 0.2:
            signs.append("dry-mix")
    elif score <= 3:
        signs.append("yellowing")
    if rng.random() < 0.015:
        signs.append("pests")
    if signs:
        body["signs"] = signs
    done = []
    feeding = date(2026, 6, 12) <= day <= date(2026, 8, 31)
    if feeding and (store.fed is None or (day - store.fed).days >= 20) and score > 3:
        done.append("fed")
        store.fed = day
        body["feed"] = {"what": "soluble feed 20-10-20", "strength": "100 mg N a litre"}
    if store.flush_on and day >= store.flush_on:
        done.append("flushed")
        store.flush_on = None
    if store.growth(day) > 0.6 and rng.random() < 0.25:
        done.append(rng.choice(("trimmed", "deadheaded", "deadheaded")))
    if rng.random() < 0.06:
        done.append("cap-closed")
    if done:
        body["done"] = done


def _visit(store: Store, day: date, who: str, rng: Random) -> dict[str, Any]:
    body: dict[str, Any] = _read(store, rng)
    _water(store, who, body, rng)
    if (day - store.planter.planted_on).days < 24:
        body["overhead_l"] = float(rng.choice((3, 4, 5, 6)))
        store.mix_l = min(store.most, store.mix_l + body["overhead_l"])
    _plants(store, day, body, rng)
    if "dry-mix" in body.get("signs", ()) or (body["plants"] <= 3 and store.moist < 0.5):
        body["overhead_l"] = float(rng.choice((8, 10, 12)))  # a dry mix is wetted from above first
        store.mix_l = min(store.most, store.mix_l + body["overhead_l"])
    if rng.random() < (0.55 if day.month >= 9 else 0.3):
        body["plug"] = "in"
    if rng.random() < 0.09:
        body["note"] = rng.choice(NOTES)
    return body


def _looks(store: Store, day: date) -> Scene:
    health = min(5, max(1, round(store.health)))
    return Scene(store.growth(day), health, store.level, max(0.0, min(1.0, store.moist)))


def play(plot: Plot, days: dict[date, Day], last_regular: dict[str, date]) -> None:
    """Let the season pass, planting to early October, and write down every regular visit."""
    rounds = {s: _rounds(s, Random(f"{town.SEED}:rounds:{s}")) for s in town.SITES}
    clocks: dict[tuple[str, date], datetime] = {}
    for planter in town.PLANTERS.values():
        rng = Random(f"{town.SEED}:season:{planter.name}")
        store = Store(planter, 0.0, planter.reservoir_l)
        store.mix_l = store.most
        if planter.name not in NEVER_FLUSHED:
            store.flush_on = date(2026, 8, 4) + timedelta(days=rng.randint(0, 14))
        until = last_regular.get(planter.name, REGULAR_UNTIL)
        begins = min(spring.DAYS[planter.site], planter.planted_on)
        for day in sorted(d for d in days if begins <= d <= date(2026, 10, 20)):
            if planter.name in town.AUTUMN and day == town.AUTUMN[planter.name][0]:
                store.health, store.mix_l = 4.3, store.most
            who, clock = rounds[planter.site].get(day, ("", ""))
            plot.looks[planter.name, day] = _looks(store, day)
            skipped = rng.random() < 0.05
            if who and day <= until and not skipped and day > planter.planted_on:
                scene = _looks(store, day)
                at = clocks.get((planter.site, day), local(day, clock))
                clocks[planter.site, day] = at + timedelta(seconds=rng.randint(160, 420))
                key = f"{planter.name}:{day}"
                body = _visit(store, day, who, rng)
                event = Event(key, at, who, planter.name, "check-in", body)
                event.at += timedelta(milliseconds=rng.randint(1000, 59000))
                plot.events.append(event)
                plot.looks[planter.name, day] = scene
            store.live(days[day])
