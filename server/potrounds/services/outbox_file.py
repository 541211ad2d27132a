"""Takes in what a phone saved to a file: its unsent records and photos (R14, R30).

The same code as a push: same outcomes, same ids, so the phone may still send them too. Who wrote a
record is what the server knows of its phone; the file's word counts only where that person did
join with that phone. A phone that never joined is refused: nobody could have written on it.
"""

from __future__ import annotations

import base64
import io
from typing import Any

from potrounds.services import assess, changes, photos
from potrounds.services.context import Caller, Context
from potrounds.services.moments import stamp
from potrounds.services.refusal import ItemRefused, Refusal
from potrounds.services.sync import Item, ReadItem, read, take_all
from potrounds.store import derived, people
from potrounds.store.database import write_transaction

Read = tuple[str, Item | ItemRefused]


def take_in(ctx: Context, asked: dict[str, Any], read_item: ReadItem) -> dict[str, Any]:
    """Take in a part of a file; an outcome a record and a photo, in their order."""
    items = [read(one["text"], read_item) for one in asked["records"]]
    results: list[dict[str, Any]] = [{} for _ in items]
    touched: list[str] = []
    with write_transaction():
        for caller, numbers in _by_author(asked["records"], items, results).items():
            # The file does not say when it was handed over: the phone's clock is believed.
            envelope = {"sent_at": ctx.now()}
            some, cards = take_all(ctx, caller, envelope, [items[number] for number in numbers])
            touched += cards
            for number, result in zip(numbers, some, strict=True):
                results[number] = result
        derived.mark_stale(touched)
        stored = [one["id"] for one in results if one["outcome"] == "stored"]
        if stored:
            note = {"records": len(stored), "phone": asked.get("phone") or ""}
            changes.note(ctx, "outbox-file", stored[0], note["phone"], {}, note)
    assess.assess_quietly(ctx, touched)
    return {
        "server_time": stamp(ctx.now()),
        "results": results,
        "photos": [_photo(ctx, one) for one in asked.get("photos", [])],
    }


def _by_author(
    told: list[dict[str, Any]], items: list[Read], results: list[dict[str, Any]]
) -> dict[Caller, list[int]]:
    """The records of each phone and person; what has no author is refused in `results`."""
    found: dict[Caller, list[int]] = {}
    for number, (one, (_, item)) in enumerate(zip(told, items, strict=True)):
        if isinstance(item, ItemRefused):
            results[number] = {"id": item.id, "outcome": "rejected", "problem": item.problem()}
            continue
        caller = _author(item["device"], one.get("person"))
        if caller is None:
            results[number] = {"id": item["id"], "outcome": "rejected", "problem": NOBODY.problem()}
        else:
            found.setdefault(caller, []).append(number)
    return found


NOBODY = ItemRefused(
    "unknown-phone",
    "A phone nobody joined with",
    "The phone that wrote this never joined this town. Type the visit in by hand.",
)


def _author(device: str, person: str | None) -> Caller | None:
    """Who wrote on a phone. Of an ended person or phone all is held (R15)."""
    joined = people.phones_of_device(device)
    phone = next((one for one in joined if one.person == person), joined[0] if joined else None)
    if phone is None:
        return None
    who = people.person(phone.person)
    state = "active" if who.state == "active" and phone.state == "active" else "ended"
    return Caller(phone.id, who.id, who.name, who.role, device, state)


def _photo(ctx: Context, told: dict[str, str]) -> dict[str, str]:
    """One photo, for whoever's record names it."""
    sha = told["sha256"]
    try:
        data = base64.b64decode(told["base64"], validate=True)
        author = photos.author_of(sha)
        as_author = ctx.with_caller(Caller("", author, "", "volunteer", "")) if author else ctx
        photos.put(as_author, sha, io.BytesIO(data), len(data), None)
    except ValueError:
        return {"sha256": sha, "outcome": "rejected", "detail": "This is no base64."}
    except Refusal as refused:
        return {"sha256": sha, "outcome": "rejected", "detail": refused.detail}
    return {"sha256": sha, "outcome": "stored", "detail": ""}
