"""A coordinator's plan pictures: taken in like photos, laid on the ground by two known points."""

from __future__ import annotations

import hashlib
import io
import logging
import math
from typing import Any

from potrounds.science import ground
from potrounds.services import changes
from potrounds.services.context import Context
from potrounds.services.photos import LATER_S, MOST_BYTES
from potrounds.services.positions import position_faults
from potrounds.services.refusal import Fault, Refusal, not_found
from potrounds.services.register import check_version
from potrounds.services.site_plans_view import known_points, plane_of, public_plan
from potrounds.store import photos, register, rounds, site_plans
from potrounds.store.database import Trouble, write_transaction
from potrounds.store.derived import TOWN
from potrounds.store.pictures import LONGEST_SIDE, MOST_PIXELS, MOST_STRETCH, NotAPhoto, Size

logger = logging.getLogger(__name__)

#: Nearer than this two known points are one: of the picture's longer side, and on the ground.
#: Judgement: within the doubt of one position the direction between them means nothing.
LEAST_OF_SIDE = 0.03
LEAST_M = 5.0
#: A picture of less or more ground than this across is a wrong position. Judgement.
NARROWEST_M, WIDEST_M = 5.0, 50_000.0
POINTS = 2
TITLE = "The picture was not placed"
PICTURES = {
    "photo-format": (415, "Send the plan as JPEG, PNG or WebP. Save a PDF as a picture first."),
    "photo-size": (
        422,
        f"The picture is too large or a mere strip: up to {MOST_PIXELS // 1_000_000} million "
        f"pixels, {LONGEST_SIDE} on a side, {MOST_STRETCH} to 1.",
    ),
    "photo-unreadable": (422, "The picture is cut off or damaged. Save it anew and send it again."),
}


def overview(ctx: Context) -> dict[str, Any]:
    """All plan pictures."""
    return {"plans": [public_plan(one) for one in site_plans.plans()]}


def put_picture(ctx: Context, scope: str, data: bytes, version: int | None) -> dict[str, Any]:
    """Take in a site's plan picture, or another in its place; its points are to be marked anew.

    Raises: Refusal 404 for no such site, 412 and 428 for the version, 413, 415 and 422 for bytes
    that are no picture of ours, 507 when the disk is full.
    """
    name = _name(scope)
    _check_seen(site_plans.plan(scope), version)
    sha = hashlib.sha256(data).hexdigest()
    size, size_bytes = _take_in(ctx, sha, data)
    with write_transaction():
        before = site_plans.plan(scope)
        _check_seen(before, version)
        photos.add(sha, size, size_bytes, ctx.person, ctx.now())
        values = {"photo": sha, "width": size.width, "height": size.height, "points": []}
        site_plans.put(scope, {**values, "at": ctx.now(), "by": ctx.person})
        _note(ctx, scope, name, before)
    changes.follow_up(ctx)
    return public_plan(_plan(scope))


def put_points(
    ctx: Context, scope: str, body: dict[str, Any], version: int | None
) -> dict[str, Any]:
    """Lay the picture on the ground by two known points; a third one only checks it.

    Where planters and taps stood when they were marked is kept with the points.
    Raises: Refusal 404, 412, 428; 422 with what is wrong with a point, for two that are one, and
    for a picture that would show next to nothing or half a country.
    """
    name = _name(scope)
    with write_transaction():
        before = _plan(scope)
        _check_seen(before, version)
        points, faults = _points(body["points"], before)
        if faults:
            raise Refusal(422, "site-plan", TITLE, faults[0][1], faults)
        _check_apart(points, before)
        site_plans.put(scope, {"points": points, "at": ctx.now(), "by": ctx.person})
        _note(ctx, scope, name, before)
    changes.follow_up(ctx)
    return public_plan(_plan(scope))


def remove(ctx: Context, scope: str, version: int | None) -> None:
    """Take a plan picture away. Raises: Refusal 404, 412, 428."""
    name = _name(scope)
    with write_transaction():
        before = _plan(scope)
        _check_seen(before, version)
        site_plans.remove(scope)
        _note(ctx, scope, name, before)
    changes.follow_up(ctx)


def take_down(ctx: Context, sha: str, by: str | None) -> bool:
    """Take away every plan drawn on an erased picture; return whether there was one.

    Inside the eraser's transaction.
    """
    names = _names()
    drawn = [plan for plan in site_plans.plans() if plan.photo == sha]
    for plan in drawn:
        site_plans.remove(plan.scope)
        _note(ctx, plan.scope, names.get(plan.scope, ""), plan, by)
    return bool(drawn)


def _note(
    ctx: Context, scope: str, name: str, before: site_plans.Plan | None, by: str | None = None
) -> None:
    """Write down what became of a plan picture, with what an undo needs to put it back."""
    after = site_plans.plan(scope)
    kept = (values_of(before) or {}, values_of(after) or {})
    told = (_told(before), _told(after))
    changes.note(ctx, "site_plan", scope, name, *told, by=by, kept=kept)
    changes.town_changed()


def _names() -> dict[str, str]:
    return {TOWN: "the whole town", **{site.id: site.name for site in register.sites()}}


def _name(scope: str) -> str:
    try:
        return _names()[scope]
    except KeyError:
        raise not_found("site") from None


def _plan(scope: str) -> site_plans.Plan:
    found = site_plans.plan(scope)
    if found is None:
        raise not_found("plan-picture")
    return found


def _check_seen(plan: site_plans.Plan | None, version: int | None) -> None:
    if plan is not None:
        check_version(plan.version, version)


def _told(plan: site_plans.Plan | None) -> dict[str, Any]:
    """A plan as the register's changes tell it."""
    if plan is None:
        return {}
    names = ", ".join(point["name"] for point in plan.points)
    return {"plan_picture": f"{plan.width} x {plan.height}", "plan_points": names}


def values_of(plan: site_plans.Plan | None) -> dict[str, Any] | None:
    """What a plan picture is made of; None where there is none."""
    if plan is None:
        return None
    return {key: getattr(plan, key) for key in ("photo", "width", "height", "points")}


def put_back(ctx: Context, scope: str, values: dict[str, Any]) -> None:
    """A plan picture as it was. Raises: Refusal 410 where the picture was erased since."""
    name = _name(scope)
    with write_transaction():
        before = site_plans.plan(scope)
        there = photos.find(values.get("photo") or (before.photo if before else ""))
        if there is None or there.state == "erased":
            raise Refusal(410, "photo-removed", "Removed", "This picture was removed on request.")
        site_plans.put(scope, {**values, "at": ctx.now(), "by": ctx.person})
        _note(ctx, scope, name, before)
    changes.follow_up(ctx)


def _take_in(ctx: Context, sha: str, data: bytes) -> tuple[Size, int]:
    """The clean copies on disk. A picture that was erased on demand is not taken in again."""
    if len(data) > MOST_BYTES:
        raise Refusal(413, "too-big", "Picture too big", "A plan may have 2 MB. Send it smaller.")
    there = photos.find(sha)
    if there is not None and there.state == "erased":
        raise Refusal(410, "photo-removed", "Removed", "This picture was removed on request.")
    try:
        return photos.take_in(ctx.settings.photo_folder, sha, io.BytesIO(data), len(data))
    except NotAPhoto as refused:
        status, detail = PICTURES.get(refused.slug, (422, refused.detail))
        raise Refusal(status, refused.slug, "Not a picture we take", detail) from refused
    except (OSError, Trouble) as trouble:
        logger.exception("a plan picture could not be written")
        detail = "Nothing was changed. Try again later."
        raise Refusal(
            507, "disk-full", "The server cannot keep the picture now", detail, retry_after=LATER_S
        ) from trouble


def _points(
    told: list[dict[str, Any]], plan: site_plans.Plan
) -> tuple[list[dict[str, Any]], list[Fault]]:
    """The points with the positions they stand for, and what is wrong with them."""
    points, faults = [], []
    for index, point in enumerate(told):
        at = f"/points/{index}"
        if not (0 <= point["x"] <= plan.width and 0 <= point["y"] <= plan.height):
            faults.append((f"{at}/x", "This point lies outside the picture."))
        place, wrong = _place(point)
        faults += [(f"{at}{pointer}", why) for pointer, why in wrong]
        points.append({"x": point["x"], "y": point["y"], "of": point["of"], **place})
    return points, faults


def _place(point: dict[str, Any]) -> tuple[dict[str, Any], list[Fault]]:
    """Where a known point is on the ground."""
    if point["of"] == "typed":
        lat, lon = point.get("lat"), point.get("lon")
        found = {"id": None, "name": f"{lat}, {lon}", "lat": lat, "lon": lon}
        if lat is None or lon is None:
            return found, [("/lat", "Write latitude and longitude of this point.")]
        return found, position_faults({"lat": lat, "lon": lon})
    wanted = point.get("id") or ""
    row = _planter(wanted) if point["of"] == "planter" else rounds.tap(wanted)
    if row is None:
        return {}, [("/id", "This is not in the register.")]
    found = {"id": row.id, "name": row.name, "lat": row.lat, "lon": row.lon}
    if row.lat is None or row.lon is None:
        return found, [("/id", f"{row.name} has no position. Give it one, or choose another.")]
    return found, []


def _planter(planter_id: str) -> register.Planter | None:
    try:
        return register.planter(planter_id)
    except LookupError:
        return None


def _check_apart(points: list[dict[str, Any]], plan: site_plans.Plan) -> None:
    """Two points that are one fix neither turn nor scale."""
    plane = plane_of(points)
    places, spots = known_points(points[:POINTS], plane)
    apart_px, apart_m = math.dist(*spots), math.dist(*places)
    if apart_px < LEAST_OF_SIDE * max(plan.width, plan.height):
        detail = (
            "Both points lie on one spot of the picture. Mark two spots far apart, best at "
            "opposite ends."
        )
        raise _one_point("/points/1/x", detail)
    if apart_m < LEAST_M:
        detail = (
            f"{points[0]['name']} and {points[1]['name']} are {apart_m:.1f} m apart: as good as "
            "one place. Choose two places far apart, best at opposite ends."
        )
        raise _one_point("/points/1/id", detail)
    across_m = max(plan.width, plan.height) / ground.similarity(places, spots).px_per_m
    if not NARROWEST_M <= across_m <= WIDEST_M:
        detail = (
            f"The picture would show {across_m:,.0f} m from side to side, which cannot be. Look at "
            "what the two points were said to be."
        )
        raise _one_point("/points/1/id", detail)


def _one_point(pointer: str, detail: str) -> Refusal:
    return Refusal(422, "site-plan", TITLE, detail, [(pointer, detail)])
