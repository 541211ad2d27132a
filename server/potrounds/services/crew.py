"""The coordinator's edits of taps, crew and ways; each is written down with before and after."""

from __future__ import annotations

from typing import Any

from potrounds.services import changes
from potrounds.services.context import Context
from potrounds.services.crew_view import public_member, public_tap, public_taps, public_ways
from potrounds.services.refusal import Refusal, name_taken, not_found
from potrounds.store import people, register, rounds
from potrounds.store.database import write_transaction
from potrounds.store.ids import short_id
from potrounds.store.rows import name_key

TAP_VALUES = ("name", "site", "lat", "lon", "flow_l_min", "vacuum_breaker", "opens", "notes")
CREW_VALUES = ("weekdays", "minutes", "mode", "tank_l", "start_tap", "away")


def overview(ctx: Context) -> dict[str, Any]:
    """Everything the planning rests on beside the planters."""
    names = {one.id: one.name for one in people.people()}
    return {
        "taps": public_taps(),
        "crew": [public_member(row, names) for row in rounds.crew()],
        "ways": public_ways(),
    }


# --- taps ----------------------------------------------------------------------------------------


def add_tap(ctx: Context, body: dict[str, Any], tap_id: str | None = None) -> dict[str, Any]:
    """A new tap. Raises: Refusal 422."""
    values = {key: body[key] for key in TAP_VALUES if key in body}
    with write_transaction():
        values["name"] = _free_name(values["name"], None)
        _check_tap(values)
        made = tap_id or short_id("w")
        rounds.add_tap(made, values)
        tap = _tap(made)
        changes.note(ctx, "tap", made, tap.name, {}, public_tap(tap))
        changes.town_changed()
    changes.follow_up(ctx)
    return public_tap(tap)


def change_tap(
    ctx: Context, tap_id: str, body: dict[str, Any], version: int | None
) -> dict[str, Any]:
    """Change a tap. Raises: Refusal 404, 412 on a stale version, 422."""
    with write_transaction():
        before = _tap(tap_id)
        if version is not None:
            check_version(before.version, version)
        values = {key: body[key] for key in TAP_VALUES if key in body}
        if "name" in values:
            values["name"] = _free_name(values["name"], tap_id)
        _check_tap({"lat": before.lat, "lon": before.lon, **values})
        rounds.change_tap(tap_id, values)
        after = _tap(tap_id)
        changes.note(ctx, "tap", tap_id, after.name, public_tap(before), public_tap(after))
        changes.town_changed()
    changes.follow_up(ctx)
    return public_tap(after)


def calibrate_tap(ctx: Context, tap_id: str, litres_l: float, seconds: float) -> dict[str, Any]:
    """Litres a minute, from a bucket of known litres and the seconds it took to fill."""
    flow = round(litres_l / seconds * 60, 2)
    return change_tap(ctx, tap_id, {"flow_l_min": flow}, None)


def remove_tap(ctx: Context, tap_id: str) -> None:
    """A tap that is no more; whoever began there begins elsewhere, ways to it are forgotten."""
    with write_transaction():
        before = _tap(tap_id)
        began = [one for one in rounds.crew() if one.start_tap == tap_id]
        ways = ways_by_name()
        rounds.remove_tap(tap_id)
        changes.note(ctx, "ways", "town", "", ways, ways_by_name())
        names = {one.id: one.name for one in people.people()}
        for one in began:
            there, gone = {"start_tap": tap_id}, {"start_tap": None}
            changes.note(ctx, "crew", one.person, names.get(one.person, ""), there, gone)
        changes.note(ctx, "tap", tap_id, before.name, public_tap(before), {})
        changes.town_changed()
    changes.follow_up(ctx)


def _tap(tap_id: str) -> rounds.Tap:
    found = rounds.tap(tap_id)
    if found is None:
        raise not_found("tap")
    return found


def _free_name(name: str, own_id: str | None) -> str:
    name = " ".join(name.split())
    if any(name_key(one.name) == name_key(name) and one.id != own_id for one in rounds.taps()):
        raise name_taken(name)
    return name


def _check_tap(values: dict[str, Any]) -> None:
    site = values.get("site")
    if site is not None and site not in {one.id for one in register.sites()}:
        raise _unfit("/site", "This site is not in the register.")
    if (values.get("lat") is None) != (values.get("lon") is None):
        raise _unfit("/lat", "A position needs both: north (lat) and east (lon).")


def _unfit(pointer: str, detail: str) -> Refusal:
    return Refusal(422, "register", "Nothing was changed", detail, [(pointer, detail)])


def check_version(now: int, seen: int) -> None:
    """Refuse a change made from an older version."""
    if now != seen:
        raise Refusal(
            412,
            "stale-version",
            "Changed in the meantime",
            "Somebody else changed this since you opened it. Look again, then change it.",
        )


# --- crew ----------------------------------------------------------------------------------------


def put_member(
    ctx: Context, person: str, body: dict[str, Any], version: int | None
) -> dict[str, Any]:
    """Say how somebody goes out. Raises: Refusal 404, 412, 422."""
    with write_transaction():
        name = _active(person)
        before = rounds.member(person)
        if before is not None and version is not None:
            check_version(before.version, version)
        values = {key: body[key] for key in CREW_VALUES if key in body}
        values["weekdays"] = sorted(set(values["weekdays"]))
        values["away"] = sorted(set(values.get("away") or ()))
        tap = values.get("start_tap")
        if tap is not None and rounds.tap(tap) is None:
            raise _unfit("/start_tap", "This tap is not in the register.")
        rounds.put_member(person, values)
        after = rounds.member(person)
        assert after is not None
        names = {person: name}
        old = public_member(before, names) if before else {}
        changes.note(ctx, "crew", person, name, old, public_member(after, names))
    return public_member(after, names)


def remove_member(ctx: Context, person: str) -> None:
    """Somebody goes out no more."""
    with write_transaction():
        before = rounds.member(person)
        if before is None:
            raise not_found("crew")
        name = {one.id: one.name for one in people.people()}.get(person, "")
        rounds.remove_member(person)
        changes.note(ctx, "crew", person, name, public_member(before, {person: name}), {})


def _active(person: str) -> str:
    try:
        found = people.person(person)
    except LookupError:
        raise not_found("person") from None
    if found.state != "active":
        raise _unfit("/person", "This person is not among the active people.")
    return found.name


# --- ways ----------------------------------------------------------------------------------------


def put_ways(ctx: Context, ways: list[dict[str, Any]]) -> dict[str, Any]:
    """Metres between pairs of places as paced out; metres of null go back to what is reckoned.

    Raises: Refusal 422 naming the place that is not there.
    """
    with write_transaction():
        known = {one.id for one in register.planters()} | {one.id for one in rounds.taps()}
        for at, way in enumerate(ways):
            for side in ("one", "other"):
                if way[side] not in known:
                    raise _unfit(f"/ways/{at}/{side}", "No planter and no tap has this id.")
            if way["one"] == way["other"]:
                raise _unfit(f"/ways/{at}/other", "A way needs two different places.")
        before = ways_by_name()
        for way in ways:
            rounds.put_way(way["one"], way["other"], way["metres"])
        changes.note(ctx, "ways", "town", "", before, ways_by_name())
    return {"ways": public_ways()}


def ways_by_name() -> dict[str, float]:
    """All ways paced out, by the ids of their two places."""
    return {f"{one} {other}": metres for (one, other), metres in rounds.paced_ways().items()}
