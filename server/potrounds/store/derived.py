"""The finished cards the phones pull. All of it may be wiped and computed again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from potrounds.store.log import take_number
from potrounds.store.tables import Card as CardRow

TOWN = "town"
#: How the keys of rounds begin.
ROUND = "round-"
#: How the keys of erased photos begin: phones are told to drop what they kept of them.
ERASED = "erased-"
#: Keys that say when a card was made, not what it says.
STAMPS = ("seq", "assessed_at")


@dataclass(frozen=True)
class Card:
    """A card under its key: "town" or a planter's id. No content: the planter is gone."""

    key: str
    seq: int
    content: dict[str, Any] | None


def save(key: str, content: dict[str, Any] | None) -> bool:
    """Keep a card; only when it says something new does it move to a new number."""
    row = CardRow.get_or_none(CardRow.key == key)
    if row is not None and _same(row.content, content):
        if row.stale:
            CardRow.update(stale=False).where(CardRow.key == key).execute()
        return False
    seq = take_number()
    kept = None if content is None else {**content, "seq": seq}
    CardRow.insert(key=key, seq=seq, stale=False, content=kept).on_conflict(
        conflict_target=[CardRow.key],
        update={CardRow.seq: seq, CardRow.stale: False, CardRow.content: kept},
    ).execute()
    return True


def get(key: str) -> Card | None:
    """One card."""
    row = CardRow.get_or_none(CardRow.key == key)
    return _card(row) if row else None


def since(seq: int, upto: int, limit: int) -> list[Card]:
    """Cards that moved after a number, in order."""
    query = (
        CardRow.select()
        .where(CardRow.seq > seq, CardRow.seq <= upto)
        .order_by(CardRow.seq)
        .limit(limit)
    )
    return [_card(row) for row in query]


def all_cards() -> list[Card]:
    """Every card, by key."""
    return [_card(row) for row in CardRow.select().order_by(CardRow.key)]


def planter_cards() -> list[Card]:
    """The cards of planters that are there, by key."""
    others = (TOWN, ROUND, ERASED)
    return [card for card in all_cards() if card.content and not card.key.startswith(others)]


def mark_stale(keys: Iterable[str]) -> None:
    """Ask for a new assessment, in the transaction that made it needed.

    A card that does not exist yet gets an empty, stale row with number 0, which nobody pulls.
    """
    for key in dict.fromkeys(keys):
        if not CardRow.update(stale=True).where(CardRow.key == key).execute():
            CardRow.create(key=key, seq=0, stale=True, content=None)


def stale_keys() -> list[str]:
    """Cards that wait for an assessment."""
    return [row.key for row in CardRow.select().where(CardRow.stale).order_by(CardRow.key)]


def wipe() -> list[str]:
    """Forget everything computed; return the keys there were."""
    keys = [row.key for row in CardRow.select(CardRow.key).order_by(CardRow.key)]
    CardRow.delete().execute()
    return keys


def _same(old: dict[str, Any] | None, new: dict[str, Any] | None) -> bool:
    if old is None or new is None:
        return old is new
    return _bare(old) == _bare(new)


def _bare(content: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in content.items() if key not in STAMPS}


def _card(row: CardRow) -> Card:
    return Card(key=row.key, seq=row.seq, content=row.content)
