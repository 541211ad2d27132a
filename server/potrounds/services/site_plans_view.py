"""A plan picture as a phone needs it: how metres become pixels, and how far that may be off."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from potrounds.science import ground
from potrounds.services.moments import stamp
from potrounds.store import photos, site_plans

#: How far a position read off a phone may be off: 4.9 m under open sky, U.S. Government GPS
#: performance page [from memory].
POSITION_M = 5.0
#: How far a finger misses on a picture [pixel]. Judgement.
FINGER_PX = 8.0
#: The first two points place the picture, a third one checks it.
POINTS = 2


def public_plans() -> list[dict[str, Any]]:
    """All plan pictures, for the town's card."""
    return [public_plan(one) for one in site_plans.plans()]


def public_plan(plan: site_plans.Plan) -> dict[str, Any]:
    """A plan picture; `fit` is null until its points are marked."""
    photo = photos.find(plan.photo)
    return {
        "scope": plan.scope,
        "photo": plan.photo,
        "width": plan.width,
        "height": plan.height,
        "size_bytes": photo.size_bytes if photo else 0,
        "version": plan.version,
        "at": stamp(plan.at),
        "points": plan.points,
        "fit": _fit(plan) if len(plan.points) >= POINTS else None,
    }


def plane_of(points: Sequence[dict[str, Any]]) -> ground.Plane:
    """The ground as a plane that touches it at the first known point."""
    return ground.plane_at(points[0]["lat"], points[0]["lon"])


def known_points(
    points: Sequence[dict[str, Any]], plane: ground.Plane
) -> tuple[tuple[ground.Metres, ground.Metres], tuple[ground.Pixels, ground.Pixels]]:
    """Places [m] and spots [pixel] of the two points that place a picture."""
    one, other = points[:POINTS]
    places = plane.metres(one["lat"], one["lon"]), plane.metres(other["lat"], other["lon"])
    return places, ((one["x"], one["y"]), (other["x"], other["y"]))


def place_block(lat: float | None, lon: float | None) -> dict[str, Any] | None:
    """A position with the metres in a degree there, so that a phone draws without a formula."""
    if lat is None or lon is None:
        return None
    north_m, east_m = ground.degree_lengths_m(lat)
    return {"lat": lat, "lon": lon, "north_m": round(north_m, 2), "east_m": round(east_m, 2)}


def _fit(plan: site_plans.Plan) -> dict[str, Any]:
    plane = plane_of(plan.points)
    places, spots = known_points(plan.points, plane)
    fit = ground.similarity(places, spots)
    point_m = math.hypot(POSITION_M, FINGER_PX / fit.px_per_m)
    corners = [(x, y) for x in (0, plan.width) for y in (0, plan.height)]
    doubts = [ground.doubt_m(fit.metres(corner), places, point_m) for corner in corners]
    return {
        "lat": plane.lat,
        "lon": plane.lon,
        "north_m": plane.north_m,
        "east_m": plane.east_m,
        "px_per_m": fit.px_per_m,
        "turn_deg": fit.turn_deg,
        "x": fit.x,
        "y": fit.y,
        "apart_m": round(math.dist(*places), 1),
        "across_m": round(plan.width / fit.px_per_m, 1),
        "doubt_m": round(point_m, 1),
        "corner_doubt_m": round(max(doubts), 1),
        "check_off_m": _check_off_m(plan, plane, fit),
    }


def _check_off_m(
    plan: site_plans.Plan, plane: ground.Plane, fit: ground.Similarity
) -> float | None:
    """How far the third known point falls from where it was marked. [m]"""
    if len(plan.points) <= POINTS:
        return None
    point = plan.points[POINTS]
    falls = fit.pixels(plane.metres(point["lat"], point["lon"]))
    return round(math.dist(falls, (point["x"], point["y"])) / fit.px_per_m, 1)
