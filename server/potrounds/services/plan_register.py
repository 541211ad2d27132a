"""The register of planting day: sizes of planters and planting schemes."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from potrounds.domain.planting import PlanterSize, Scheme
from potrounds.services import assets, changes, materials, size_questions
from potrounds.services.context import Context
from potrounds.services.refusal import Fault, Refusal, check_version, name_taken, not_found
from potrounds.store import planting, register
from potrounds.store.database import write_transaction
from potrounds.store.ids import short_id
from potrounds.store.rows import name_key

SIZE_KEYS = (
    *("name", "shape", "top_a_cm", "top_b_cm", "bottom_a_cm", "bottom_b_cm", "depth_cm"),
    *("gap_cm", "empty_kg", "reservoir_l", "measured_again"),
)
SCHEME_KEYS = ("name", "plants", "planters")
GAP_CM = 3.0


def overview(ctx: Context) -> dict[str, Any]:
    """Everything planting day rests on, for the coordinator's desk."""
    return {
        "sizes": [public_size(size) for size in planting.sizes()],
        "schemes": public_schemes(),
        "materials": materials.public(),
        **assets.overview(ctx),
    }


# --- sizes ---------------------------------------------------------------------------------------


def public_size(size: PlanterSize) -> dict[str, Any]:
    """A size as the desk shows it, with what it holds."""
    return {
        "id": size.id,
        **{key: getattr(size, key) for key in SIZE_KEYS},
        "mix_l": round(size_questions.mix_l(size), 2),
        "remarks": size_questions.remarks(size),
        "version": size.version,
    }


def put_size(
    ctx: Context,
    size_id: str | None,
    body: dict[str, Any],
    version: int | None,
    fresh_id: str | None = None,
) -> dict[str, Any]:
    """A size, new (no id) or changed; `fresh_id` puts one back as it was, and asks nothing.

    Raises: Refusal 404, 412, 428; 422 for what no planter can be, and with the question in words
        for what is unlikely, until it was measured again.
    """
    with write_transaction():
        before = _size(size_id) if size_id else None
        if before:
            check_version(before.version, version)
        values: dict[str, Any] = {key: body.get(key) for key in SIZE_KEYS}
        values["name"] = " ".join(body["name"].split())
        values["gap_cm"] = GAP_CM if body.get("gap_cm") is None else body["gap_cm"]
        values["measured_again"] = bool(body.get("measured_again"))
        wanted = PlanterSize(id=size_id or "", version=0, **values)
        _judge_size(wanted, planting.sizes(), ask=fresh_id is None)
        size = planting.put_size(size_id or fresh_id or short_id("z"), values)
        old = _kept(before) if before else {}
        changes.note(ctx, "size", size.id, f"{size.name}, {size.shape}", old, _kept(size))
        _ask_anew(size, *([before] if before else []))
    changes.follow_up(ctx)
    return public_size(size)


def _ask_anew(*sizes: PlanterSize) -> None:
    """Planters of these sizes hold another volume from now on."""
    names = {name_key(one.name) for one in sizes}
    changes.planters_changed(row.id for row in register.planters() if name_key(row.size) in names)


def _kept(size: PlanterSize) -> dict[str, Any]:
    return {key: getattr(size, key) for key in SIZE_KEYS}


def _judge_size(size: PlanterSize, there: list[PlanterSize], ask: bool) -> None:
    others = [one for one in there if one.id != size.id]
    same = [one for one in others if name_key(one.name) == name_key(size.name)]
    if any(one.shape == size.shape for one in same):
        raise name_taken(f"{size.name}, {size.shape}")
    faults = size_questions.shape_faults(size)
    if faults:
        raise Refusal(422, "size", "No planter is like this", faults[0][1], faults)
    asked = size_questions.questions(size, others) if ask else []
    if asked:
        detail = "Look again. If it is right as typed, say that it was measured again and save."
        raise Refusal(422, "size-questioned", "Can this be?", detail, asked)


def drop_size(ctx: Context, size_id: str) -> None:
    """Take a size off the register. Raises: Refusal 404."""
    with write_transaction():
        size = _size(size_id)
        planting.drop_size(size_id)
        changes.note(ctx, "size", size_id, f"{size.name}, {size.shape}", _kept(size), {})
        _ask_anew(size)
    changes.follow_up(ctx)


def _size(size_id: str) -> PlanterSize:
    try:
        return planting.size(size_id)
    except LookupError as none:
        raise not_found("size") from none


# --- schemes -------------------------------------------------------------------------------------


def public_schemes() -> list[dict[str, Any]]:
    """All schemes, each with the planters that are to get it."""
    planned = planting.planned()
    return [
        public_scheme(scheme, sorted(one for one, its in planned.items() if its == scheme.id))
        for scheme in planting.schemes()
    ]


def public_scheme(scheme: Scheme, planters: list[str]) -> dict[str, Any]:
    """A scheme as the desk shows it."""
    return {
        "id": scheme.id,
        "name": scheme.name,
        "plants": [asdict(plant) for plant in scheme.plants],
        "planters": planters,
        "version": scheme.version,
    }


def put_scheme(
    ctx: Context,
    scheme_id: str | None,
    body: dict[str, Any],
    version: int | None,
    fresh_id: str | None = None,
) -> dict[str, Any]:
    """A scheme and who gets it, new (no id) or changed; `fresh_id` brings one back.

    A planter that had another scheme gets this one.

    Raises: Refusal 404, 412, 428, 422.
    """
    with write_transaction():
        before = _scheme(scheme_id) if scheme_id else None
        if before:
            check_version(before["version"], version)
        name = " ".join(body["name"].split())
        for other in planting.schemes():
            if name_key(other.name) == name_key(name) and other.id != scheme_id:
                raise name_taken(name)
        plants = [_plant(plant) for plant in body["plants"]]
        _judge_scheme(plants, body["planters"])
        losing = [
            one
            for one in public_schemes()
            if one["id"] != scheme_id and set(one["planters"]) & set(body["planters"])
        ]
        scheme = planting.put_scheme(scheme_id or fresh_id or short_id("m"), name, plants)
        planting.plan_for(scheme.id, body["planters"])
        for one in losing:  # its sheet, if somebody has it open, is out of date now
            planting.put_scheme(one["id"], one["name"], one["plants"])
            _note_scheme(ctx, one["id"], one, _scheme(one["id"]))
        after = _scheme(scheme.id)
        _note_scheme(ctx, scheme.id, before, after)
        # Their cards offer the scheme to whoever plants them.
        changes.planters_changed([*(before["planters"] if before else ()), *after["planters"]])
    changes.follow_up(ctx)
    return after


def _plant(plant: dict[str, Any]) -> dict[str, Any]:
    return {
        "role": plant["role"],
        "name": " ".join(plant["name"].split()),
        "count": plant.get("count"),
        "spacing_cm": plant.get("spacing_cm"),
    }


def _judge_scheme(plants: list[dict[str, Any]], planters: list[str]) -> None:
    known = {planter.id for planter in register.planters()}
    faults: list[Fault] = []
    for at, plant in enumerate(plants):
        if (plant["count"] is None) == (plant["spacing_cm"] is None):
            why = f"{plant['name']}: give either a count or a spacing."
            faults.append((f"/plants/{at}/count", why))
    for at, planter in enumerate(planters):
        if planter not in known:
            faults.append((f"/planters/{at}", "This planter is not in the register."))
    if faults:
        raise Refusal(422, "scheme", "Nothing was changed", faults[0][1], faults)


def _note_scheme(
    ctx: Context, scheme_id: str, before: dict[str, Any] | None, after: dict[str, Any] | None
) -> None:
    name = (after or before or {})["name"]
    kept = tuple({key: (one or {}).get(key) for key in SCHEME_KEYS} for one in (before, after))
    changes.note(
        ctx, "scheme", scheme_id, name, _spoken(before), _spoken(after), kept=(kept[0], kept[1])
    )


def _spoken(scheme: dict[str, Any] | None) -> dict[str, Any]:
    """What of a scheme goes into the list of changes, as people say it."""
    if scheme is None:
        return {}
    names = {planter.id: planter.name for planter in register.planters()}
    return {
        "name": scheme["name"],
        "plants": [
            f"{plant['name']} ({plant['role']}, "
            + (f"{plant['count']}" if plant["count"] else f"every {plant['spacing_cm']:g} cm")
            + ")"
            for plant in scheme["plants"]
        ],
        "planters": sorted(names.get(planter, planter) for planter in scheme["planters"]),
    }


def drop_scheme(ctx: Context, scheme_id: str) -> None:
    """Take a scheme off the register; its planters have none then. Raises: Refusal 404."""
    with write_transaction():
        scheme = _scheme(scheme_id)
        planting.drop_scheme(scheme_id)
        _note_scheme(ctx, scheme_id, scheme, None)
        changes.planters_changed(scheme["planters"])
    changes.follow_up(ctx)


def _scheme(scheme_id: str) -> dict[str, Any]:
    found = [one for one in public_schemes() if one["id"] == scheme_id]
    if not found:
        raise not_found("scheme")
    return found[0]
