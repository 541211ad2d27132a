"""Ports for the servers of tests: none that the system gives away while a server is stopped."""

from __future__ import annotations

import os
import socket
from collections.abc import Iterator

#: Below those that systems give to outgoing connections, above those that browsers refuse.
FIRST, LAST = 12_000, 30_000


def _own() -> Iterator[int]:
    """Every port once, each process from a place of its own."""
    count = LAST - FIRST
    start = os.getpid() * 97
    for number in range(count):
        yield FIRST + (start + number) % count


_ports = _own()


def free_port() -> int:
    """A port nobody listens on, and that this process was not given before."""
    for port in _ports:
        with socket.socket() as probe:
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
        return port
    raise AssertionError("no free port")
