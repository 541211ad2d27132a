"""Planters as GeoJSON (RFC 7946): points in longitude and latitude, null where nobody measured."""

from __future__ import annotations

from typing import Any

from potrounds.services.context import Context
from potrounds.services.moments import day_text
from potrounds.store import register

#: WGS 84 degrees to seven places are about a centimetre; RFC 7946, section 11.2, asks for no more
#: than is meant.
PLACES = 7


def planters(ctx: Context) -> dict[str, Any]:
    """A FeatureCollection of all planters.

    Position order is longitude, latitude (RFC 7946, 3.1.1). `bbox` is west, south, east, north
    (5); across the antimeridian west is greater than east (5.2); none where nothing has a place.
    """
    sites = {site.id: site.name for site in register.sites()}
    rows = register.planters()
    box = _box([(row.lon, row.lat) for row in rows if row.lon is not None and row.lat is not None])
    return {
        "type": "FeatureCollection",
        **({"bbox": box} if box else {}),
        "features": [_feature(row, sites[row.site]) for row in rows],
    }


def _feature(row: register.Planter, site: str) -> dict[str, Any]:
    placed = row.lon is not None and row.lat is not None
    return {
        "type": "Feature",
        "id": row.id,
        "geometry": {
            "type": "Point",
            "coordinates": [round(row.lon or 0.0, PLACES), round(row.lat or 0.0, PLACES)],
        }
        if placed
        else None,
        "properties": {
            "name": row.name,
            "site": site,
            "size": row.size,
            "shape": row.shape,
            "reservoir_l": row.reservoir_l,
            "gauge": row.gauge,
            "status": row.status,
            "installed_on": day_text(row.installed_on),
        },
    }


def _box(points: list[tuple[float, float]]) -> list[float]:
    """The narrowest box that holds all points, which may lie across the antimeridian."""
    if not points:
        return []
    lons = sorted({lon for lon, _ in points})
    lats = [lat for _, lat in points]
    gaps = [(after - lons[at], at) for at, after in enumerate(lons[1:])]
    widest, at = max(gaps, default=(0.0, 0))
    around = 360.0 - (lons[-1] - lons[0])
    west, east = (lons[0], lons[-1]) if around >= widest else (lons[at + 1], lons[at])
    return [round(one, PLACES) for one in (west, min(lats), east, max(lats))]
