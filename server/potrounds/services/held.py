"""Records that wait for a person: looked at, then taken into the log or left where they are."""

from __future__ import annotations

from typing import Any

from potrounds.services import changes
from potrounds.services.context import Context
from potrounds.services.moments import stamp
from potrounds.services.refusal import Refusal, not_found
from potrounds.services.sync import settle_order
from potrounds.store import derived, log, people, register
from potrounds.store.database import write_transaction
from potrounds.store.log import HeldRecord

#: What no decision can put into the log: the first record of an id stays, a circle of corrections
#: says nothing, and what this server cannot read waits for a newer one.
NOT_TAKEABLE = {
    "conflict": "The first record with this id stays. Put it right with a correction instead.",
    "loop": "These corrections replace each other. Put the check-in right with a new one.",
    "newer": "This server is older than the app that wrote it. Update the server first.",
    "other-kind": "Only a check-in can be corrected by a check-in.",
    "other-planter": "A correction stays at the planter of the record it corrects.",
}


def list_held(ctx: Context) -> list[dict[str, Any]]:
    """Everything that waits, oldest first."""
    names = {one.id: one.name for one in people.people()}
    return [
        {
            "id": row.id,
            "record": row.sent.id,
            "reason": row.reason,
            "text": row.sent.text,
            "by": names.get(row.sent.author or ""),
            "at": stamp(row.sent.observed_at),
            "planter": row.sent.planter,
            "kind": row.sent.kind,
        }
        for row in log.waiting()
    ]


def settle_held(
    ctx: Context, held_id: str, take: bool, planter: str | None = None
) -> dict[str, Any]:
    """Take a held record into the log, under another planter if need be, or leave it.

    Left records stay in the database; they are only asked about no more.
    Raises: Refusal 404, 409 for what cannot be taken, 422 when a planter is needed.
    """
    with write_transaction():
        row = log.held(held_id)
        if row is None or row.resolved is not None:
            raise not_found("held-record")
        answer: dict[str, Any] = {"id": held_id, "taken": take}
        if take:
            answer["seq"] = _take(row, planter)
        log.resolve_held(held_id, "taken" if take else "left", ctx.person, ctx.now())
        changes.planters_changed(
            one for one in {row.sent.planter, planter} if one and register.planter_exists(one)
        )
        changes.planters_changed(settle_order(row.sent.device))
    changes.follow_up(ctx)
    return answer


def _take(row: HeldRecord, planter: str | None) -> int:
    _refuse_what_cannot_be_taken(row)
    where = planter or row.sent.planter
    of_the_town = row.sent.kind in ("round", "withdrawal") and where == derived.TOWN
    if not of_the_town and not register.planter_exists(where):
        detail = "Say which planter this belongs to."
        raise Refusal(422, "planter-needed", "Which planter?", detail, [("/planter", detail)])
    return log.append(log.taken_from_held(row.sent, where)).seq


def _refuse_what_cannot_be_taken(row: HeldRecord) -> None:
    detail = NOT_TAKEABLE.get(row.reason, "")
    if not detail and not log.known(row.sent):
        detail = NOT_TAKEABLE["newer"]
    if not detail and log.find(row.sent.id) is not None:
        detail = NOT_TAKEABLE["conflict"]
    if detail:
        raise Refusal(409, "not-takeable", "This cannot be taken in", detail)
