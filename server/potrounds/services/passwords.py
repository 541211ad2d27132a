"""Passwords: argon2id with the library's default costs, 15 to 128 characters as typed."""

from __future__ import annotations

import threading

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from potrounds.services.refusal import Refusal
from potrounds.store.ids import new_secret

SHORTEST_PASSWORD = 15
LONGEST_PASSWORD = 128
#: Each hash takes 64 MiB: no more than two at once, however many knock.
_hashing = threading.BoundedSemaphore(2)


def quick_hasher() -> PasswordHasher:
    """A cheap hasher for tests. Never for a town."""
    return PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)


def checked_hash(hasher: PasswordHasher, password: str | None) -> str | None:
    """The hash of a new password. Raises: Refusal 422 for its length."""
    if password is None:
        return None
    if not SHORTEST_PASSWORD <= len(password) <= LONGEST_PASSWORD:
        detail = f"A password has {SHORTEST_PASSWORD} to {LONGEST_PASSWORD} characters."
        raise Refusal(
            422,
            "password-length",
            "Password too short or too long",
            detail,
            [("/password", detail)],
        )
    with _hashing:
        return hasher.hash(password)


_decoys: dict[tuple[int, int, int], str] = {}


def decoy(hasher: PasswordHasher) -> str:
    """A hash nobody's password has, made with the same costs, to spend the same time on."""
    costs = (hasher.time_cost, hasher.memory_cost, hasher.parallelism)
    if costs not in _decoys:
        _decoys[costs] = hasher.hash(new_secret())
    return _decoys[costs]


def matches(hasher: PasswordHasher, stored: str, password: str) -> bool:
    """Whether this is the password behind a hash."""
    try:
        with _hashing:
            return hasher.verify(stored, password)
    except (VerificationError, InvalidHashError):
        return False
