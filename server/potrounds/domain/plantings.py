"""Which planting counts: the register's own entry, or one recorded at the planter."""

from __future__ import annotations

from datetime import date

from potrounds.domain.planter import Planting
from potrounds.domain.visits import PlantingMark


def latest_planting(
    registered: Planting | None, recorded: tuple[PlantingMark, ...], today: date
) -> Planting | None:
    """What grows here on a day: the later of what the register says and what was recorded here.

    On the same day the record counts, for who made it stood there; what it does not say of that
    planting (its plants, its scheme) the register may. A time that is only a claim decides nothing.
    """
    sure = [one for one in recorded if not one.time_uncertain and one.day <= today]
    last = max(sure, key=lambda one: (one.at, one.device, one.n, one.record), default=None)
    if last is None:
        return registered
    if registered is not None and last.day < registered.planted_on <= today:
        return registered
    done = last.planting
    same = registered if registered is not None and registered.planted_on == last.day else None
    named = bool(done.plants)
    return Planting(
        last.day,
        done.plants if named or same is None else same.plants,
        done.scheme or (same.scheme if same else ""),
        done.counts if named else (),
        last.by,
        last.record,
    )
