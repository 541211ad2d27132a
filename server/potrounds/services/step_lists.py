"""A coordinator edits the lists: steps added, renamed, moved, retired; who and when is kept.

An edit is a new edition of the whole list. Records are never touched by it; what it means for
planters under way is decided in `domain/checklists.py`.
"""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import Any

from potrounds.domain.season_lists import list_begins, season_list
from potrounds.domain.step_lists import CORE, LISTS, Step, find, standard
from potrounds.services import changes, town
from potrounds.services.context import Context
from potrounds.services.moments import day_text, stamp
from potrounds.services.refusal import Fault, Refusal, not_found
from potrounds.store import people, register, seasons
from potrounds.store.database import write_transaction
from potrounds.store.ids import short_id
from potrounds.store.rows import name_key

#: A list nobody can see the end of is not worked through.
MOST_STEPS = 40
#: Under this name a change keeps the order of the steps; no step has such a code.
ORDER = "order"


def view(ctx: Context) -> dict[str, Any]:
    """Both lists as they stand, with what was retired and who edited them."""
    return {"lists": [_view(ctx, name) for name in LISTS]}


def _view(ctx: Context, list_name: str) -> dict[str, Any]:
    calendar, names = town.calendar(), {one.id: one.name for one in people.people()}
    today = calendar.local_day(ctx.now())
    season = calendar.list_season(list_name, today)
    own = [one for one in seasons.editions() if one.list == list_name]
    plan = season_list(calendar, list_name, season)
    now = standing(list_name)
    begins = list_begins(calendar, list_name, season)
    return {
        "list": list_name,
        "version": len(own),
        "season": season,
        "begins": day_text(begins),
        "begun": begins <= today,
        "steps": [
            {
                **town.public_step(step),
                "kept": CORE.get(step.code),
                "new": begins <= today and find(plan.base, step.code) is None,
            }
            for step in now
        ],
        "retired": [town.public_step(step) for step in _retired(list_name, now)],
        "editions": [
            {"at": stamp(one.at), "by": names.get(one.by or "", "the server")}
            for one in reversed(own)
        ],
    }


def by_code(steps: tuple[Step, ...]) -> dict[str, Any]:
    """A list as a change keeps it: each step by its code, and the order of them."""
    told: dict[str, Any] = {
        step.code: {**asdict(step), "which": list(step.which)} for step in steps
    }
    return {**told, ORDER: [step.code for step in steps]}


def standing(list_name: str) -> tuple[Step, ...]:
    """A list as it stands now, without what was retired."""
    own = [one.steps for one in seasons.editions() if one.list == list_name]
    return own[-1] if own else standard(list_name).base


def _retired(list_name: str, now: tuple[Step, ...]) -> list[Step]:
    """Steps that were ever on the list and are not now, as last worded."""
    ever: dict[str, Step] = {step.code: step for step in standard(list_name).base}
    for one in seasons.editions():
        if one.list == list_name:
            ever |= {step.code: step for step in one.steps}
    return [step for code, step in ever.items() if find(now, code) is None]


def change(
    ctx: Context, list_name: str, steps: list[dict[str, Any]], version: int | None
) -> dict[str, Any]:
    """Put a list in place of the present one; steps left out are retired.

    Raises: Refusal 404, 428 without a version, 412 on a stale one, 422 with a pointer per fault.
    """
    if list_name not in LISTS:
        raise not_found("list")
    with write_transaction():
        if version is None:
            raise Refusal(
                428, "version-needed", "Version missing", "Send the version you saw as If-Match."
            )
        if version != seasons.edition_count(list_name):
            detail = "Somebody else changed this list since you opened it. Look again."
            raise Refusal(412, "stale-version", "Changed in the meantime", detail)
        before = standing(list_name)
        known = {step.code: step for step in (*_retired(list_name, before), *before)}
        faults = _faults(list_name, steps, known)
        if faults:
            raise Refusal(
                422, "list", "The list was not changed", "Put right what is marked.", faults
            )
        after = tuple(_step(one, known) for one in steps)
        if after != before:
            seasons.add_edition(list_name, ctx.now(), ctx.person, after)
            both = (by_code(before), by_code(after))
            changes.note(ctx, "list", list_name, list_name, *_told(before, after), kept=both)
            changes.town_changed(everything=True)
    changes.follow_up(ctx)
    return _view(ctx, list_name)


def _step(body: dict[str, Any], known: dict[str, Step]) -> Step:
    code = body.get("code")
    old = known.get(code or "")
    core = code in CORE and old is not None
    applies = body.get("applies_to") or "all"
    made = Step(
        code=code or short_id("k"),
        title=" ".join(body["title"].split()),
        why=" ".join((body.get("why") or "").split()),
        proof=body.get("proof") or "none",
        applies_to=applies,
        which=tuple(dict.fromkeys(body.get("which") or ())) if applies in ("size", "site") else (),
    )
    return replace(made, proof=old.proof, applies_to="all", which=()) if core and old else made


def _faults(list_name: str, steps: list[dict[str, Any]], known: dict[str, Step]) -> list[Fault]:
    faults: list[Fault] = []
    sites = {site.id for site in register.sites()}
    seen: set[str] = set()
    codes: set[str] = set()
    for index, body in enumerate(steps):
        at, title = f"/steps/{index}", name_key(body["title"])
        if not title:
            faults.append((f"{at}/title", "Give the step a name."))
        elif title in seen:
            faults.append((f"{at}/title", f"Two steps are called “{body['title']}”."))
        seen.add(title)
        code = body.get("code")
        if code and (code not in known or code in codes):
            why = "This step stands here twice." if code in codes else "There is no such step."
            faults.append((f"{at}/code", why))
        codes.add(code or "")
        faults += [(f"{at}{where}", why) for where, why in _sense_faults(body, known, sites)]
    for code, step in known.items():
        if code in CORE and code not in codes:
            why = f"“{step.title}” stays on the list: {CORE[code]} It may be renamed or moved."
            faults.append(("/steps", why))
    return faults


def _sense_faults(body: dict[str, Any], known: dict[str, Step], sites: set[str]) -> list[Fault]:
    code, which = body.get("code") or "", body.get("which") or []
    if code in CORE and code in known:
        if (body.get("proof") or "none") != known[code].proof:
            return [("/proof", f"The proof of this step stays: {CORE[code]}")]
        if (body.get("applies_to") or "all") != "all":
            return [("/applies_to", f"This step is for every planter: {CORE[code]}")]
        return []
    applies = body.get("applies_to") or "all"
    if applies in ("size", "site") and not which:
        return [("/which", f"Say for which {applies} this step is.")]
    if applies == "site" and not set(which) <= sites:
        return [("/which", "This site is not in the register.")]
    return []


def _told(
    before: tuple[Step, ...], after: tuple[Step, ...]
) -> tuple[dict[str, Any], dict[str, Any]]:
    """What changed, in lines of their own, for the register's list of changes."""
    then, now = {one.code: one for one in before}, {one.code: one for one in after}
    told = {
        "step_added": [one.title for one in after if one.code not in then],
        "step_retired": [one.title for one in before if one.code not in now],
        "step_renamed": [
            f"{then[one.code].title} → {one.title}"
            for one in after
            if one.code in then and then[one.code].title != one.title
        ],
        "step_asked": [
            one.title for one in after if one.code in then and _asked(then[one.code]) != _asked(one)
        ],
    }
    order = [one.title for one in after if one.code in then]
    moved = [one.code for one in after if one.code in then] != [
        one.code for one in before if one.code in now
    ]
    return {}, {
        **{key: said for key, said in told.items() if said},
        **({"step_order": order} if moved else {}),
    }


def _asked(step: Step) -> tuple[Any, ...]:
    return (step.why, step.proof, step.applies_to, step.which)
