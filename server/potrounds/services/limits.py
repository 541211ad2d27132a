"""Limits on tries: a growing delay on sign-in, a number an hour or a day on public reports.

Never a hard lock: whoever keeps guessing cannot keep the right person out for longer than the
longest delay. Addresses are hashed; a day later they are forgotten.
"""

from __future__ import annotations

import ipaddress
import math
from datetime import datetime, timedelta

from potrounds.services.refusal import Refusal
from potrounds.store import people
from potrounds.store.ids import hashed

REMEMBERED = timedelta(days=1)
QUICK_TRIES = 5
FIRST_DELAY_S = 2.0
LONGEST_DELAY_S = 60.0
#: Tries on all accounts together that still look like people mistyping.
QUICK_TRIES_IN_ALL = 30


def neighbourhood(address: str) -> str:
    """What counts as one address: an IPv4 address, or the /64 an IPv6 address lies in."""
    try:
        parsed = ipaddress.ip_address(address)
    except ValueError:
        return hashed(address)
    if isinstance(parsed, ipaddress.IPv6Address):
        if parsed.ipv4_mapped:
            return hashed(str(parsed.ipv4_mapped))
        return hashed(str(ipaddress.IPv6Network((parsed, 64), strict=False)))
    return hashed(str(parsed))


def wait_s(tries: list[datetime], quick: int, now: datetime) -> int:
    """Seconds to wait before the next try: none at first, then twice as long each time."""
    if len(tries) < quick:
        return 0
    delay = min(LONGEST_DELAY_S, FIRST_DELAY_S * 2 ** min(len(tries) - quick, 10))
    left = (tries[-1] + timedelta(seconds=delay) - now).total_seconds()
    return max(0, math.ceil(left))


def sign_in_wait_s(account: str, address: str, now: datetime) -> int:
    """Seconds this account, this address, or everybody has to wait before the next sign-in."""
    since = now - REMEMBERED
    asked = (
        ("account", account, QUICK_TRIES),
        ("address", neighbourhood(address), QUICK_TRIES),
        ("all", "", QUICK_TRIES_IN_ALL),
    )
    return max(
        wait_s(people.knocks_since(f"sign-in-{kind}", key, since), quick, now)
        for kind, key, quick in asked
    )


def take_a_try(account: str, address: str, now: datetime) -> None:
    """Count a try with a password, or refuse it for now. Raises: Refusal 429."""
    wait = sign_in_wait_s(account, address, now)
    if wait:
        raise Refusal(
            429,
            "too-many-tries",
            "Too many tries",
            f"Wait {wait} seconds, then try again.",
            retry_after=wait,
        )
    note_sign_in(account, address, now)


def note_sign_in(account: str, address: str, now: datetime) -> None:
    """Count a try to sign in, before it is checked: tries side by side count too."""
    people.forget_knocks_before(now - REMEMBERED)
    people.knock("sign-in-account", account, now)
    people.knock("sign-in-address", neighbourhood(address), now)
    people.knock("sign-in-all", "", now)


def forget_sign_in(account: str, address: str) -> None:
    """A right password clears the account and the address."""
    people.forget_knocks("sign-in-account", account)
    people.forget_knocks("sign-in-address", neighbourhood(address))


def over(kind: str, key: str, most: int, within: timedelta, now: datetime) -> int:
    """Seconds until this key may try again; 0 when it may now."""
    tries = people.knocks_since(kind, key, now - within)
    if len(tries) < most:
        return 0
    return max(1, math.ceil((tries[-most] + within - now).total_seconds()))


def note_report(keys: list[tuple[str, str]], now: datetime) -> None:
    """Count a public report under each of its limits."""
    people.forget_knocks_before(now - REMEMBERED)
    for kind, key in keys:
        people.knock(kind, key, now)
