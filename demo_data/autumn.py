"""The last weeks at the planters still in use, and what passers-by and the coordinator wrote."""

from __future__ import annotations

from datetime import date

import town
from events import Plot, Scene

# After these days only what is written below happened at these planters.
LAST_REGULAR = {
    "Market street 1": date(2026, 9, 30),
    "Market street 3": date(2026, 9, 20),
    "Market street 4": date(2026, 9, 28),
    "Library yard 3": date(2026, 10, 3),
    "Library yard 5": date(2026, 9, 24),
    "Library yard 6": date(2026, 10, 3),
}


def _day(number: int, month: int = 10) -> date:
    return date(2026, month, number)


def play(plot: Plot) -> None:
    """Write down the scripted visits, reports and decisions."""
    _plantings(plot)
    _library(plot)
    _market(plot)
    _station_and_ferry(plot)
    _passers_by(plot)
    _decisions(plot)


def _plantings(plot: Plot) -> None:
    """Autumn's plants, written down where they were planted."""
    told = {
        "Library yard 5": ("Ruth", "10:25", (5, 8, 6), "Mix had sunk, two buckets more."),
        "Market street 4": ("Lotte", "11:10", (4, 4, None), ""),
    }
    for name, (who, clock, counts, note) in told.items():
        day, plants = town.AUTUMN[name]
        rows = [
            {"name": plant} | ({"count": count} if count else {})
            for plant, count in zip(plants, counts, strict=True)
        ]
        more = {"retopped": True, "note": note} if note else {}
        plot.plant(name, day, clock, who, plants=rows, scheme="Autumn planting", **more)


def _library(plot: Plot) -> None:
    name = "Library yard 3"  # the plug's washer leaks: full to the brim, and low two days later
    full = {"level": 0.0, "read_by": "dipstick", "litres_l": 15.5, "litres_how": "to-overflow"}
    full |= {"overflow": "ran-while-filling", "plants": 4}
    plot.check_in(name, _day(12), "09:05", "Ines", full | {"plug": "in"}, Scene(0.9, 4, 0.0))
    low = {"level": 0.25, "read_by": "dipstick", "plants": 4}
    plot.check_in(name, _day(14), "17:50", "Ruth", low)
    plot.check_in(name, _day(18), "09:30", "Ines", full | {"litres_l": 16.0, "plants": 3})
    # One of the two stood at another planter: somebody has to ask.
    plot.check_in(name, _day(20), "07:40", "Joss", low | {"plants": 5})
    low = low | {"plants": 3, "plug": "in", "signs": ["wilting"], "note": "No water along, sorry."}
    plot.check_in(name, _day(20), "08:15", "Kofi", low, Scene(0.88, 3, 0.25, 0.3), f"{name}:now")

    name = "Library yard 5"  # the wick does not draw: full, and wilting
    seen = [
        (_day(30, 9), "17:35", "Ruth", 4, [], Scene(0.7, 4, 0.75)),
        (_day(7), "17:50", "Kofi", 4, ["dry-mix"], None),
        (_day(13), "17:25", "Ruth", 3, ["wilting"], Scene(0.7, 3, 0.75, 0.2)),
        (_day(19), "17:40", "Ines", 2, ["wilting", "dry-mix"], Scene(0.68, 2, 0.75, 0.05)),
    ]
    for day, clock, who, plants, signs, scene in seen:
        body = {"level": 0.75, "read_by": "dipstick", "plants": plants}
        if signs:
            body["signs"] = signs
        plot.check_in(name, day, clock, who, body, scene, f"{name}:{day.day}")

    name = "Library yard 6"  # crusted, and nobody has been there since
    body = {"level": 0.5, "read_by": "float", "overflow": "not-looked", "plants": 4}
    body |= {"signs": ["salt-crust"], "note": "White crust all round the rim and the port."}
    plot.check_in(name, _day(9), "17:20", "Ruth", body, Scene(0.8, 4, 0.5, 0.5, extra="crust"))

    name = "Library yard 4"
    body = {
        "plug": "out",
        "signs": ["tag-damaged"],
        "note": "Tag scratched, phone will not read it.",
    }
    plot.check_in(name, _day(15), "18:10", "Kofi", body)


def _market(plot: Plot) -> None:
    name = "Market street 1"
    body = {"plants": 4, "signs": ["vandalism"], "note": "Two plants torn out, bottle in the port."}
    plot.check_in(name, _day(18), "11:28", "Lotte", body, Scene(0.75, 3, None, extra="litter"))

    name = "Market street 3"  # every time a little, every time over the brim
    seen = [
        (_day(24, 9), "18:05", "Kofi", 0.25, 18.0, [], None),
        (_day(1), "17:45", "Kofi", 0.75, 6.0, [], None),
        (_day(8), "18:00", "Kofi", 0.75, 6.0, ["yellowing"], Scene(0.85, 4, 1.0, 1.0)),
        (_day(15), "18:50", "Kofi", 1.0, 4.0, ["soggy-mix"], Scene(0.84, 4, 1.0, 1.0)),
    ]
    for day, clock, who, level, litres, signs, scene in seen:
        body = {"level": level, "read_by": "float", "litres_l": litres, "litres_how": "typed"}
        body |= {"overflow": "ran-while-filling", "plants": 4}
        if signs:
            body["signs"] = signs
        plot.check_in(name, day, clock, who, body, scene, f"{name}:{day.day}")

    name = "Market street 4"  # autumn planting, dry on top; litres that do not fit
    body = {"level": 0.75, "read_by": "float", "plants": 4, "overhead_l": 3.0}
    plot.check_in(name, _day(7), "18:20", "Kofi", body, Scene(0.55, 4, 0.75, 0.6))
    body = {"level": 0.5, "read_by": "float", "litres_l": 12.0, "litres_how": "typed"}
    body |= {"overflow": "dry", "plants": 4, "signs": ["dry-mix"]}
    body |= {"note": "Top is dust dry, gave it two cans."}
    plot.check_in(name, _day(17), "10:40", "Lotte", body, Scene(0.58, 4, 0.5, 0.05))

    name = "Market street 6"  # brimming, and nobody wrote down any water
    body = {"level": 0.25, "read_by": "dipstick", "plants": 4}
    body |= {"note": "Left it low, winter is near."}
    plot.check_in(name, _day(10), "10:30", "Lotte", body)
    body = {"level": 1.0, "read_by": "dipstick", "overflow": "wet-on-arrival", "plants": 4}
    body |= {
        "signs": ["path-blocked"],
        "note": "Scaffold on the pavement, push-chairs cannot pass.",
    }
    scene = Scene(0.85, 4, 1.0, 1.0, extra="puddle")
    plot.check_in(name, _day(17), "11:05", "Lotte", body, scene, f"{name}:17")


def _station_and_ferry(plot: Plot) -> None:
    name = "Station forecourt 6"  # the plug is gone, and the water with it
    body = {"level": 0.75, "read_by": "sight-tube", "plants": 4, "plug": "in"}
    plot.check_in(name, _day(10), "10:15", "Tomas", body)
    body = {"level": 0.0, "read_by": "sight-tube", "plants": 4}
    body |= {"plug": "missing", "signs": ["path-blocked"]}
    body |= {"note": "Plug gone, only the washer lies there. Bicycles chained across the path."}
    plot.check_in(name, _day(18), "10:20", "Tomas", body, Scene(0.85, 4, 0.0, 0.5))

    name = "Station forecourt 5"
    body = {"plants": 4, "signs": ["broken"], "note": "Crack from the rim down, a hand long."}
    plot.check_in(name, _day(20), "15:31", "Joss", body, Scene(0.8, 4, 0.5, extra="crack"))

    name = "Ferry landing 5"  # drained without a witness, and the float says full
    body = {"level": 1.0, "read_by": "float", "plug": "out"}
    body |= {"note": "Float stands at full though the plug is out?"}
    scene = Scene(view="emptied", level=1.0, wet=0.9)
    plot.check_in(name, _day(13), "17:40", "Ines", body, scene, f"{name}:13")


def _passers_by(plot: Plot) -> None:
    plot.report("Ferry landing 2", date(2026, 7, 13), "11:52", "dry", "Flowers hang their heads.")
    plot.report("Market street 1", date(2026, 7, 29), "16:20", "wilting", "")
    plot.report("Station forecourt 2", date(2026, 8, 7), "08:12", "blocking", "Hard to get by.")
    plot.report("Library yard 1", date(2026, 9, 2), "14:31", "other", "Wasps in the pot?")
    text = "Water runs over the pavement below this one."
    plot.report("Station forecourt 5", _day(20), "16:05", "leaking", text)
    plot.report("Market street 1", _day(19), "07:48", "damaged", "Plants lie on the street.")


def _decisions(plot: Plot) -> None:
    answers = [
        ("Ferry landing 2", date(2026, 7, 13), "Watered the same evening."),
        ("Market street 1", date(2026, 7, 29), "Kofi went by, dry spell."),
        ("Station forecourt 2", date(2026, 8, 7), "Trimmed on the street side."),
        ("Library yard 1", date(2026, 9, 2), "Hoverflies. Nothing to do."),
    ]
    for name, day, note in answers:
        at = date(day.year, day.month, day.day + 1)
        evidence = [f"@{name}:report:{day}"]
        more = {"decision": "settled", "evidence": evidence, "note": note}
        plot.decide(name, at, "19:30", "public_report_waiting", **more)
    name = "Library yard 5"
    keys = [f"@{name}:{n}" for n in (30, 7, 13, 19)]
    more = {"decision": "handed", "to": "@person:Ruth", "evidence": keys}
    more["note"] = "Lift the cap and look whether the wick is wet."
    plot.decide(name, _day(19), "20:10", "full_but_wilting", **more)
    name = "Market street 3"
    keys = [f"@{name}:{n}" for n in (24, 1, 8, 15)]
    more = {"decision": "seen", "evidence": keys, "note": "Talk to Kofi on Saturday."}
    plot.decide(name, _day(16), "20:25", "overfilled_each_visit", **more)
    name = "Market street 6"
    more = {"decision": "not-a-problem", "until": "2026-10-26", "evidence": [f"@{name}:17"]}
    more["note"] = "Scaffold goes on Friday, says the site office."
    plot.decide(name, _day(17), "20:40", "path_blocked", **more)
