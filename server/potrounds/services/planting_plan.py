"""The plan of planting day: every planter's mix, plants, feed, water and weight, by stop.

What has to be bought, carried and paid for is worked out from it in planting_order.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from potrounds.domain.planting import (
    PLANTED_STATUSES,
    Feed,
    Materials,
    PlanterSize,
    Scheme,
    hands_for,
)
from potrounds.science import planting as science
from potrounds.science.units import litres
from potrounds.science.volumes import Face, loose_volume
from potrounds.services import materials, size_questions, town
from potrounds.services.context import Context
from potrounds.services.moments import stamp
from potrounds.services.planting_order import Needs, order, trips
from potrounds.services.refusal import not_found
from potrounds.store import planting, register
from potrounds.store.register import Planter
from potrounds.store.rows import name_key

ALL = "all"
SHED_ONCE = (
    "What is in the shed is deducted here in full. Order by the plan for everything, or it is"
    " counted twice."
)


@dataclass(frozen=True)
class Wanted:
    """What one planter needs. `mix_l` is None where nothing says how much it takes."""

    planter: Planter
    size: PlanterSize | None
    scheme: Scheme | None
    mix_l: float | None
    mix_how: str
    plants: tuple[tuple[str, str, int], ...]
    feed_g: float | None


def plan(ctx: Context, scope: str) -> dict[str, Any]:
    """The plan for everything ("all"), a site or a planter. Raises: Refusal 404."""
    chosen, title = _chosen(scope)
    told = materials.read()
    rate = feed_rate(told.feed)
    sizes, schemes = planting.sizes(), {one.id: one for one in planting.schemes()}
    planned = planting.planned()
    wanted = [
        _wanted(row, size_questions.size_of(row, sizes), schemes.get(planned.get(row.id, "")), rate)
        for row in chosen
    ]
    needs = _needs(wanted, told)
    loads, load_note = trips(needs, told)
    notes = [*_notes(wanted, told), *([load_note] if load_note else [])]
    if scope != ALL:
        notes.append(SHED_ONCE)
    return {
        "scope": scope,
        "title": title,
        "made_at": stamp(ctx.now()),
        "settling": told.settling,
        "reserve": told.reserve,
        "feed_g_l": rate and round(rate, 3),
        "stops": _stops(wanted, told),
        "totals": {
            "planters": len(wanted),
            "mix_l": round(needs.mix_l, 2),
            "loose_l": round(needs.loose_l, 2),
            "first_fill_l": round(needs.water_l, 2),
            "plants": sum(needs.plants.values()),
            "feed_g": None if needs.feed_g is None else round(needs.feed_g, 1),
        },
        **order(needs, told),
        "trips": loads,
        "notes": notes,
    }


def _chosen(scope: str) -> tuple[list[Planter], str]:
    """The planters of a scope in the order they are visited, and its name."""
    places = {site.id: site.name for site in register.sites()}
    rows = [row for row in register.planters() if row.status in PLANTED_STATUSES]
    rows.sort(key=lambda row: (name_key(places[row.site]), name_key(row.name)))
    if scope == ALL:
        return rows, town.settings()["town_name"]
    if scope in places:
        return [row for row in rows if row.site == scope], places[scope]
    found = [row for row in register.planters() if row.id == scope]
    if not found:
        raise not_found("site-or-planter")
    return found, found[0].name


def feed_rate(feed: Feed) -> float | None:
    """Controlled-release feed a litre of mix, for plants that drink from below. [g/L]

    The label's rate before the guideline; None while neither is typed.
    """
    if feed.label_g_l is not None:
        return feed.label_g_l * feed.share
    if feed.percent_n is None or feed.months is None:
        return None
    return science.controlled_release_g_l(feed.percent_n, feed.months) * feed.share


def _wanted(
    planter: Planter, size: PlanterSize | None, scheme: Scheme | None, rate: float | None
) -> Wanted:
    mix, how = planter.mix_l, "own"
    if mix is None:
        mix, how = (size_questions.mix_l(size), "size") if size else (None, "unknown")
    face = size_questions.surface(size) if size else _guessed_face(planter)
    return Wanted(
        planter=planter,
        size=size,
        scheme=scheme,
        mix_l=mix,
        mix_how=how,
        plants=tuple(_count(plants, face) for plants in scheme.plants) if scheme else (),
        feed_g=None if rate is None or mix is None else rate * mix,
    )


def _guessed_face(planter: Planter) -> Face | None:
    """A round top of the area on the planter's sheet: the shortest rim of that area."""
    if planter.top_area_m2 is None:
        return None
    return Face(2 * (planter.top_area_m2 * 1e4 / math.pi) ** 0.5)


def _count(plant: Any, face: Face | None) -> tuple[str, str, int]:
    """Role, name and number; 0 where the spacing has no measures to go by."""
    if plant.count is not None:
        return plant.role, plant.name, plant.count
    if face is None:
        return plant.role, plant.name, 0
    along_rim = plant.role == "trailer"
    count = science.plants_by_spacing(face, plant.spacing_cm, along_rim)
    return plant.role, plant.name, count


def _needs(wanted: Sequence[Wanted], told: Materials) -> Needs:
    plants: Counter[str] = Counter()
    for one in wanted:
        for _, name, count in one.plants:
            plants[name] += count
    settled = [one.mix_l for one in wanted if one.mix_l is not None]
    fed = [one.feed_g for one in wanted if one.feed_g is not None]
    return Needs(
        mix_l=sum(settled),
        each_loose_l=tuple(loose_volume(one, told.settling) for one in settled),
        water_l=sum(one.planter.reservoir_l for one in wanted),
        plants=dict(plants),
        feed_g=sum(fed) if fed else None,
    )


def _stops(wanted: Sequence[Wanted], told: Materials) -> list[dict[str, Any]]:
    """Sites in turn, each with its planters."""
    places = {site.id: site.name for site in register.sites()}
    bag_l = litres(told.bag.amount, told.bag.unit)
    stops: dict[str, list[dict[str, Any]]] = {}
    for one in wanted:
        stops.setdefault(one.planter.site, []).append(_planter(one, told, bag_l))
    return [
        {"site": {"id": site, "name": places[site]}, "planters": planters}
        for site, planters in stops.items()
    ]


def _planter(one: Wanted, told: Materials, bag_l: float) -> dict[str, Any]:
    row = one.planter
    loose = None if one.mix_l is None else loose_volume(one.mix_l, told.settling)
    moist, full, most, how = _weights(one, told)
    return {
        "id": row.id,
        "name": row.name,
        "size": row.size,
        "shape": row.shape,
        "status": row.status,
        "scheme": one.scheme and one.scheme.name,
        "mix_l": one.mix_l and round(one.mix_l, 2),
        "mix_how": one.mix_how,
        "loose_l": loose and round(loose, 2),
        "bags": loose and round(loose / bag_l, 2),
        "plants": [{"role": role, "name": name, "count": n} for role, name, n in one.plants],
        "feed_g": one.feed_g and round(one.feed_g, 1),
        "first_fill_l": row.reservoir_l,
        "empty_kg": one.size and one.size.empty_kg,
        "empty_by": hands_for(one.size.empty_kg) if one.size else None,
        "moist_kg": moist and round(moist, 1),
        "full_kg": full and round(full, 1),
        "most_kg": most and round(most, 1),
        "weight_how": how,
    }


Weights = tuple[float | None, float | None, float | None, str]


def _weights(one: Wanted, told: Materials) -> Weights:
    """Moist, full, and at most with the heaviest mix; and how it is known: sheet before reckoned.

    What was weighed has no "at most".
    """
    row, empty = one.planter, one.size.empty_kg if one.size else None
    if row.weight_moist_kg is not None:
        full = row.weight_full_kg
        if full is None:
            full = row.weight_moist_kg + row.reservoir_l * science.WATER_KG_L
        return row.weight_moist_kg, full, None, "sheet"
    if empty is None or one.mix_l is None:
        return None, None, None, "unknown"
    heaviest = max(told.mix_kg_l, science.HEAVY_MIX_KG_L)
    moist = science.planter_mass(empty, one.mix_l, told.mix_kg_l)
    full = science.planter_mass(empty, one.mix_l, told.mix_kg_l, row.reservoir_l)
    most = science.planter_mass(empty, one.mix_l, heaviest, row.reservoir_l)
    return moist, full, most, "reckoned"


def _notes(wanted: Sequence[Wanted], told: Materials) -> list[str]:
    """What is missing or questionable, in sentences that say what to do."""
    notes = []
    no_mix = [one.planter.name for one in wanted if one.mix_l is None]
    if no_mix:
        notes.append(
            f"No measures for {_names(no_mix)}: their mix is not in this plan. Add their size and"
            " shape under Sizes, or type the litres of mix on their sheet."
        )
    no_scheme = [one.planter.name for one in wanted if one.scheme is None]
    if no_scheme:
        notes.append(
            f"No scheme for {_names(no_scheme)}: no plants are counted for them. Choose one under"
            " Schemes."
        )
    no_space = [one.planter.name for one in wanted if any(not n for _, _, n in one.plants)]
    if no_space:
        notes.append(
            f"Plants by spacing cannot be counted for {_names(no_space)}: add the measures of"
            " their size."
        )
    stored = [one.planter.name for one in wanted if one.planter.status == "stored"]
    if stored:
        notes.append(f"In store, to be put out first: {_names(stored)}.")
    if feed_rate(told.feed) is None:
        notes.append(
            "No feed is reckoned: type its nitrogen and months, or the label's rate, under"
            " Materials."
        )
    for one in wanted:
        if one.mix_how == "own" and one.mix_l is not None:
            by_size = size_questions.mix_l(one.size) if one.size else None
            name, reservoir = one.planter.name, one.planter.reservoir_l
            notes.append(size_questions.own_mix_question(name, one.mix_l, reservoir, by_size))
    return [note for note in notes if note]


def _names(names: Sequence[str], most: int = 6) -> str:
    shown = ", ".join(names[:most])
    return f"{shown} and {len(names) - most} more" if len(names) > most else shown
