"""Names for things: short ids of the register, the ids of records the server itself makes, secrets.

An id is never a secret, and nothing is ever read out of one (R1).
"""

from __future__ import annotations

import hashlib
import re
import secrets
from datetime import datetime

CROCKFORD = "0123456789abcdefghjkmnpqrstvwxyz"
UUID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")
#: The device under which the server writes down what passers-by report.
SERVER_DEVICE = "00000000-0000-7000-8000-000000000000"


def short_id(prefix: str) -> str:
    """A short random id such as p-4k2m9x0q."""
    return f"{prefix}-" + "".join(secrets.choice(CROCKFORD) for _ in range(8))


def uuid7(now: datetime) -> str:
    """A UUID of version 7 (RFC 9562), for the records the server makes."""
    number = (int(now.timestamp() * 1000) & (1 << 48) - 1) << 80 | secrets.randbits(80)
    number = number & ~(0xF << 76) | 0x7 << 76
    number = number & ~(0x3 << 62) | 0x2 << 62
    text = f"{number:032x}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))


def new_secret() -> str:
    """A secret of 256 bits for a link or a cookie."""
    return secrets.token_urlsafe(32)


def hashed(secret: str) -> str:
    """How a secret is kept: its SHA-256. Secrets are random, so no salt and no slow hash."""
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()
