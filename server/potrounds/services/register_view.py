"""The register as JSON: sites, planters with their tags and plantings, changes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from potrounds.services import siting_view
from potrounds.services.moments import day_text
from potrounds.store import people, register, siting
from potrounds.store.register import Planter, Site

PLANTER_KEYS = (
    "name",
    "site",
    "size",
    "shape",
    "reservoir_l",
    "gauge",
    "status",
    "installed_on",
    "weight_moist_kg",
    "weight_full_kg",
    "picture",
    "mix_l",
    "top_area_m2",
    "canopy_m2",
    "sun",
    "wind",
    "rain_reaches",
    "lat",
    "lon",
    "notes",
)


def public_site(site: Site) -> dict[str, Any]:
    """A site as the register shows it."""
    return {
        "id": site.id,
        "name": site.name,
        "freeze_on": day_text(site.freeze_on),
        "version": site.version,
    }


def public_planters(rows: Iterable[Planter]) -> list[dict[str, Any]]:
    """Planters as the register shows them, with their tags and their latest planting."""
    rows = list(rows)
    ids = [row.id for row in rows]
    tags, plantings = register.tags(ids), register.plantings(ids)
    checks, names = siting.checks(ids), {one.id: one.name for one in people.people()}
    shown = []
    for row in rows:
        codes = tags.get(row.id, [])
        current = [tag.code for tag in codes if tag.retired_at is None]
        latest = plantings.get(row.id, [None])[-1]
        check = checks.get(row.id, [None])[-1]
        shown.append(
            {
                "id": row.id,
                **{key: getattr(row, key) for key in PLANTER_KEYS},
                "installed_on": day_text(row.installed_on),
                "version": row.version,
                "code": current[-1] if current else None,
                "old_codes": [tag.code for tag in codes if tag.retired_at is not None],
                "planting": latest
                and {
                    "planted_on": day_text(latest.planted_on),
                    "plants": latest.plants,
                    "scheme": latest.scheme,
                },
                "siting": check and siting_view.view(check, names),
            }
        )
    return shown
