"""Copies of the database while it is in use, and going back to one.

Photos are files that never change once they lie in `<home>/photos`: any copy of that folder does.
"""

from __future__ import annotations

import secrets
from pathlib import Path
from typing import Any

from potrounds.services import assess, erasure, water_outlook
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal
from potrounds.store import database, erased, photos, push, whole
from potrounds.store.database import write_transaction


def back_up(ctx: Context, target: Path) -> None:
    """Copy the database to a new file, and read the copy through; the ledger of erased photos
    goes beside it, added to the one that is there.

    Raises: Refusal 409 when the file is there, or for a database that is not SQLite.
    """
    _only_sqlite()
    try:
        whole.copy_database(target)
    except FileExistsError:
        detail = f"{target.name} is there already. Name another file; nothing is overwritten."
        raise Refusal(409, "file-there", "The file is there", detail) from None
    fault = whole.faults_of(target)
    if fault:
        target.unlink(missing_ok=True)
        raise Refusal(500, "backup", "No good copy", f"The copy was not kept: {fault}.")
    erased.merge(erasure.ledger_of(ctx), target.with_name(erased.LEDGER))


def restore(ctx: Context, source: Path) -> dict[str, Any]:
    """Go back to a copy. What is there now is kept beside the database first.

    Phones are told of a new history: they pull from the beginning and send again what they hold,
    and records that are there already are duplicates.
    Returns: the file that keeps what was there, and how many photos are not on this disk.
    Raises: Refusal 422 with what is wrong with the file.
    """
    _only_sqlite()
    if not source.is_file():
        raise Refusal(422, "backup", "No such file", f"There is no file {source}.")
    fault = whole.faults_of(source)
    if fault:
        detail = f"This file cannot be restored: {fault}. Nothing was changed."
        raise Refusal(422, "backup", "Not a copy that can be restored", detail)
    kept = ctx.settings.home / f"before-restore-{ctx.now():%Y%m%d-%H%M%S}.sqlite"
    back_up(ctx, kept)
    # Whatever day the copy is from: what was erased since stays erased (R24).
    erased.merge(source.with_name(erased.LEDGER), erasure.ledger_of(ctx))
    whole.overwrite_database(source)
    with write_transaction():
        whole.rename_history(secrets.token_hex(6))
        push.drop_all_addresses()  # some were given up since; phones in use give theirs again
    water_outlook.forget()
    erasure.replay(ctx)
    assess.rebuild(ctx)
    folder = ctx.settings.photo_folder
    missing = [
        sha for sha in whole.photo_names() if not photos.path_of(folder, sha, "full").is_file()
    ]
    return {"kept": kept, "missing_photos": len(missing)}


def _only_sqlite() -> None:
    if not database.is_sqlite():
        detail = "This copies SQLite files. For PostgreSQL use its own dump and restore."
        raise Refusal(409, "sqlite-only", "Only on SQLite", detail)
