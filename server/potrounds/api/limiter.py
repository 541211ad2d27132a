"""A limit per minute whose cost in time and memory is the same whoever calls and how often.

Counters stand in one array of fixed size, chosen by a keyed hash of the caller's address. It lives
in this process only: a second process would count for itself.
"""

from __future__ import annotations

import hashlib
import ipaddress
import secrets
import threading
import time
from array import array
from collections.abc import Callable

COUNTERS = 1 << 16
WINDOW_S = 60


def network(address: str) -> str:
    """The part of an address that one subscriber holds: all of IPv4, the /64 of IPv6."""
    try:
        ip = ipaddress.ip_address(address)
    except ValueError:
        return address
    ip = getattr(ip, "ipv4_mapped", None) or ip
    if ip.version == 4:
        return str(ip)
    return str(ipaddress.ip_network(f"{ip}/64", strict=False))


class Limiter:
    """Counts calls per key and minute. Two keys may share a counter, once in 65,536 pairs."""

    def __init__(self, now: Callable[[], float] = time.monotonic) -> None:
        self._now = now
        self._salt = secrets.token_bytes(16)
        self._counts = array("H", bytes(2 * COUNTERS))
        self._window = int(now() // WINDOW_S)
        self._lock = threading.Lock()

    def wait(self, name: str, key: str, most: int) -> int:
        """Count one call; give 0 when it is within the limit, else the seconds to wait."""
        now = self._now()
        digest = hashlib.blake2b(f"{name}\n{key}".encode(), key=self._salt, digest_size=4).digest()
        place = int.from_bytes(digest, "big") % COUNTERS
        with self._lock:
            window = int(now // WINDOW_S)
            if window != self._window:
                self._window = window
                self._counts = array("H", bytes(2 * COUNTERS))
            if self._counts[place] >= most:
                return int((window + 1) * WINDOW_S - now) + 1
            self._counts[place] += 1
        return 0
