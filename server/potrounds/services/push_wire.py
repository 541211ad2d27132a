"""Hands a push to the push service of a phone's browser: keys, encryption, one HTTPS request.

The one file that knows the libraries: http_ece encrypts (RFC 8291, aes128gcm), py_vapid signs
(RFC 8292), the standard library sends (RFC 8030).

The address of a phone is whatever its browser said, so it is not trusted: https on the usual port,
a host by name, and only addresses of the open internet, looked up once and then connected to by
number, so that a name cannot point elsewhere between the look and the call. No redirect is
followed, little is read, and a clock ends every call. Addresses and keys are never logged.
"""

from __future__ import annotations

import base64
import binascii
import http.client
import ipaddress
import os
import socket
import ssl
import threading
import time
from contextlib import suppress
from dataclasses import dataclass
from email.utils import parsedate_to_datetime
from pathlib import Path
from urllib.parse import SplitResult, urlsplit

import http_ece  # type: ignore[import-untyped]
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from py_vapid import Vapid02  # type: ignore[import-untyped]

#: Ends a call to a push service, however slowly it answers. [s]
CALL_S = 10.0
#: A signed token is good for so long; RFC 8292 section 2 allows 24 h at most. [s]
TOKEN_S = 12 * 3600
LONGEST_ENDPOINT = 1024
#: RFC 8291 section 4: a push service may refuse more than 4096 bytes, 103 of them not text.
MOST_TEXT = 3993
LOCAL = ("localhost", "127.0.0.1")
#: Addresses of the NAT64 of RFC 6052 hold an IPv4 address in their last four bytes.
NAT64 = ipaddress.IPv6Network("64:ff9b::/96")


@dataclass(frozen=True)
class Answer:
    """What a push service said: the status, and in how many seconds to come back. 0: nothing."""

    status: int
    retry_after_s: float | None = None


# --- the town's key ------------------------------------------------------------------------------


def make_key(path: Path) -> None:
    """Write a new key to a file that only its owner can read. Raises: FileExistsError."""
    key = Vapid02()
    key.generate_keys()
    made = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(made, "wb") as file:
        file.write(key.private_pem())


def read_key(path: Path) -> Vapid02 | None:
    """The town's key; None where there is none. Raises: ValueError for a file that is no key."""
    try:
        return Vapid02.from_pem(path.read_bytes())
    except FileNotFoundError:
        return None
    except (ValueError, IndexError, TypeError) as broken:
        raise ValueError(f"{path} holds no key for pushes") from broken


def public_key(key: Vapid02) -> str:
    """The public half as browsers take it: the uncompressed point in base64url."""
    return to_text(key.public_key.public_bytes(Encoding.X962, PublicFormat.UncompressedPoint))


def to_text(data: bytes) -> str:
    """base64url without padding (RFC 7515, appendix C)."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def from_text(text: str) -> bytes:
    """Bytes of base64url, padded or not. Raises: ValueError."""
    try:
        return base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
    except binascii.Error as broken:
        raise ValueError("no base64url") from broken


# --- what a browser said -------------------------------------------------------------------------


def endpoint_fault(endpoint: str, local: bool) -> str | None:
    """Why an endpoint is not written to, in words; None where it may be.

    Parameters: local : whether http and this machine are allowed too, as tests need.
    """
    try:
        parts = urlsplit(endpoint)
        host, port = parts.hostname or "", parts.port
    except ValueError:
        return "This is no address."
    if len(endpoint) > LONGEST_ENDPOINT or not endpoint.isascii() or not endpoint.isprintable():
        return "This address is too long, or holds letters no address has."
    if local and host in LOCAL:
        return None
    if parts.scheme != "https" or "@" in parts.netloc or port not in (None, 443):
        return "A push service is reached by https on its usual port."
    if " " in endpoint or "." not in host or host.endswith(".") or _number(host):
        return "A push service has a host name on the open internet."
    return None


def _number(host: str) -> bool:
    """Whether a host is an address in any of the forms a resolver takes without asking anyone."""
    with suppress(ValueError):
        return bool(ipaddress.ip_address(host))
    return host.rpartition(".")[2][:1].isdigit()  # no top-level domain begins with a digit


def keys_fault(p256dh: str, auth: str) -> str | None:
    """Why the keys of a subscription cannot be encrypted to; None where they can."""
    try:
        ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), from_text(p256dh))
        if len(from_text(auth)) == 16:
            return None
    except ValueError:
        pass
    return "These are no keys of a push subscription."


# --- a push --------------------------------------------------------------------------------------


def encrypt(
    text: bytes,
    p256dh: str,
    auth: str,
    salt: bytes | None = None,
    sender: ec.EllipticCurvePrivateKey | None = None,
) -> bytes:
    """The body of a push (RFC 8291 section 4), with a new key and salt unless a test gives them."""
    if len(text) > MOST_TEXT:
        raise ValueError(f"a push holds at most {MOST_TEXT} bytes")
    body: bytes = http_ece.encrypt(
        text,
        salt=salt or os.urandom(16),
        private_key=sender or ec.generate_private_key(ec.SECP256R1()),
        dh=from_text(p256dh),
        auth_secret=from_text(auth),
        version="aes128gcm",
    )
    return body


def authorization(key: Vapid02, endpoint: str, contact: str, now_s: float) -> str:
    """The header that says who sends (RFC 8292 section 3). `contact`: mailto: or https:."""
    parts = urlsplit(endpoint)
    claims = {
        "aud": f"{parts.scheme}://{parts.netloc}",
        "exp": int(now_s + TOKEN_S),
        "sub": contact,
    }
    header: str = key.sign(claims)["Authorization"]
    return header


def send(
    endpoint: str, body: bytes, headers: dict[str, str], local: bool, call_s: float = CALL_S
) -> Answer:
    """Hand a push over. Whatever goes wrong on the way is an answer with status 0."""
    try:
        if endpoint_fault(endpoint, local):
            return Answer(0)
        parts = urlsplit(endpoint)
        connection = _connect(parts, local, call_s)
    except (OSError, ValueError):
        return Answer(0)
    # A timeout alone starts anew with every byte; this ends the call.
    ender = threading.Timer(call_s, _break_off, [connection])
    ender.daemon = True
    ender.start()
    try:
        if isinstance(connection.sock, ssl.SSLSocket):
            connection.sock.do_handshake()
        path = parts.path + (f"?{parts.query}" if parts.query else "")
        connection.request("POST", path or "/", body, headers)
        answer = connection.getresponse()
        return Answer(answer.status, retry_after_s(answer.getheader("Retry-After"), time.time()))
    except (OSError, http.client.HTTPException, ValueError):
        return Answer(0)
    finally:
        ender.cancel()
        connection.close()


def _connect(parts: SplitResult, local: bool, call_s: float) -> http.client.HTTPConnection:
    """A connection to one checked address of a host. Raises: OSError; ValueError for the host."""
    host = parts.hostname or ""
    secure = parts.scheme == "https"
    port = parts.port or (443 if secure else 80)
    plain = socket.create_connection((_checked_address(host, port, local), port), call_s)
    connection = http.client.HTTPConnection(host, port, timeout=call_s)
    connection.sock = plain
    if secure:
        connection.sock = ssl.create_default_context().wrap_socket(
            plain, server_hostname=host, do_handshake_on_connect=False
        )
    return connection


def _checked_address(host: str, port: int, local: bool) -> str:
    """The first address of a host. Raises: ValueError where any of them is not of the internet."""
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    numbers = [str(one[4][0]) for one in found]
    if not numbers or not ((local and host in LOCAL) or all(map(is_open, numbers))):
        raise ValueError("not a host of the open internet")
    return numbers[0]


def is_open(number: str) -> bool:
    """Whether an address belongs to the open internet, whatever it is wrapped in."""
    address = ipaddress.ip_address(number.partition("%")[0])
    if isinstance(address, ipaddress.IPv6Address):
        inner = [address.ipv4_mapped, address.sixtofour, *(address.teredo or ())]
        if address in NAT64:
            inner.append(ipaddress.IPv4Address(int(address) & 0xFFFFFFFF))
        if any(one is not None and not one.is_global for one in inner):
            return False
        if address.ipv4_mapped:
            return True
    return address.is_global and not address.is_multicast


def _break_off(connection: http.client.HTTPConnection) -> None:
    with suppress(OSError):
        if connection.sock is not None:
            connection.sock.shutdown(socket.SHUT_RDWR)


def retry_after_s(header: str | None, now_s: float) -> float | None:
    """Seconds a service asks to wait: a number or a date (RFC 9110, 10.2.3); None for neither."""
    if header is None:
        return None
    text = header.strip()
    if text.isascii() and text.isdigit() and len(text) < 10:
        return float(text)
    try:
        return max(0.0, parsedate_to_datetime(text).timestamp() - now_s)
    except (ValueError, TypeError, OverflowError):
        return None
