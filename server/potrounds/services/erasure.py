"""A photo erased at once and for good (R24): immutability stops at privacy.

The order is: ledger, files, row. A process that dies in between finishes at its next start, and a
database that is put back to an older day is taken through the ledger before it answers anything.
"""

from __future__ import annotations

from pathlib import Path

from potrounds.services import assess, changes, site_plans
from potrounds.services.context import Context
from potrounds.services.moments import read_moment, stamp
from potrounds.services.photos import checked_hash
from potrounds.services.refusal import Refusal, not_found
from potrounds.store import derived, erased, photos, register
from potrounds.store.database import write_transaction
from potrounds.store.erased import Erased


def ledger_of(ctx: Context) -> Path:
    """Where the ledger lies. It belongs to every backup."""
    return ctx.settings.home / erased.LEDGER


def erase(ctx: Context, sha: str) -> None:
    """Erase a photo: its files now, its hash refused for ever. Again is no fault.

    Raises: Refusal 404 for a hash nobody named; 403 for who neither took it nor coordinates.
    """
    if not photos.is_known(checked_hash(sha)):
        raise not_found("photo")
    caller = ctx.caller
    mine = ctx.person is not None and photos.is_named_by(sha, ctx.person)
    if not mine and not (caller and caller.coordinates):
        detail = "Whoever took a photo, or a coordinator, can remove it. Ask a coordinator."
        raise Refusal(403, "not-your-photo", "Not your photo", detail)
    entry = Erased(sha, ctx.person, stamp(ctx.now()) or "")
    erased.add(ledger_of(ctx), [entry])
    assess.assess_quietly(ctx, _apply(ctx, entry))


def replay(ctx: Context) -> int:
    """Hold files and rows to the ledger, and the ledger to the rows; return how many were mended.

    Called before the server answers its first request, and after a copy was put back.
    """
    path = ledger_of(ctx)
    known = erased.read(path)
    rows = photos.erased()
    erased.add(path, [Erased(sha, by, stamp(at) or "") for sha, (by, at) in rows.items()])
    folder = ctx.settings.photo_folder
    open_ones = [
        one for one in known.values() if one.sha not in rows or photos.files_of(folder, one.sha)
    ]
    touched: list[str] = []
    for one in open_ones:
        touched += _apply(ctx, one)
    assess.assess_quietly(ctx, touched)
    return len(open_ones)


def _apply(ctx: Context, entry: Erased) -> list[str]:
    """Files, then the row; returns the cards that change."""
    sha = entry.sha
    photos.remove_files(ctx.settings.photo_folder, sha)
    with write_transaction():
        photos.mark_erased(sha, entry.by, read_moment(entry.at) or ctx.now())
        touched = [f"{derived.ERASED}{sha}", *photos.planters_of(sha)]
        for planter in register.planters():
            if planter.picture == sha:
                after = register.change_planter(planter.id, {"picture": None})
                before = {"picture": sha}
                told = (after.id, after.name, before, {"picture": None})
                changes.note(ctx, "planter", *told, by=entry.by)
                touched.append(planter.id)
        if site_plans.take_down(ctx, sha, entry.by):
            touched.append(derived.TOWN)
        derived.mark_stale(touched)
    return touched
