"""A push service on this machine, and the browser behind it: keeps what comes in, answers as told.

The browser's side decrypts by the steps of RFC 8291 section 3.4 and RFC 8188 with the primitives
of `cryptography` alone, so that it shares no code with what encrypts.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Event, Thread
from typing import Any

from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from potrounds.services.push_wire import to_text

CURVE = ec.SECP256R1()
#: A caller that is held so long waits for the service, not for its own patience.
HELD_S = 60.0


def point(key: ec.EllipticCurvePublicKey) -> bytes:
    """The uncompressed point."""
    return key.public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)


def _hkdf(salt: bytes, ikm: bytes, info: bytes, length: int) -> bytes:
    return HKDF(hashes.SHA256(), length, salt, info).derive(ikm)


def decrypt(body: bytes, key: ec.EllipticCurvePrivateKey, auth: bytes) -> bytes:
    """The text of a push as a browser reads it."""
    salt, size, length = body[:16], int.from_bytes(body[16:20], "big"), body[20]
    sender, sealed = body[21 : 21 + length], body[21 + length :]
    assert len(sealed) <= size
    secret = key.exchange(ec.ECDH(), ec.EllipticCurvePublicKey.from_encoded_point(CURVE, sender))
    info = b"WebPush: info\0" + point(key.public_key()) + sender
    ikm = _hkdf(auth, secret, info, 32)
    cek = _hkdf(salt, ikm, b"Content-Encoding: aes128gcm\0", 16)
    nonce = _hkdf(salt, ikm, b"Content-Encoding: nonce\0", 12)
    padded = AESGCM(cek).decrypt(nonce, sealed, None).rstrip(b"\0")
    assert padded.endswith(b"\2")  # the last record, RFC 8188 section 2
    return padded[:-1]


@dataclass
class Browser:
    """One phone's browser with its subscription."""

    service: PushService
    name: str
    key: ec.EllipticCurvePrivateKey = field(default_factory=lambda: ec.generate_private_key(CURVE))
    auth: bytes = field(default_factory=lambda: os.urandom(16))

    @property
    def subscription(self) -> tuple[str, str, str]:
        """Endpoint and keys, as the browser hands them out."""
        p256dh = to_text(point(self.key.public_key()))
        return f"{self.service.url}/{self.name}", p256dh, to_text(self.auth)

    def shown(self) -> list[dict[str, Any]]:
        """What the pushes that were taken say."""
        return [
            json.loads(decrypt(one["body"], self.key, self.auth))
            for one in self.service.taken
            if one["path"] == f"/{self.name}"
        ]


@dataclass
class PushService:
    """Keeps every request it took, and answers each path as it was told to."""

    url: str = ""
    asked: list[str] = field(default_factory=list)
    taken: list[dict[str, Any]] = field(default_factory=list)
    answers: dict[str, tuple[int, dict[str, str]]] = field(default_factory=dict)
    raw: dict[str, bytes] = field(default_factory=dict)
    #: Paths that get no answer, and such that get it byte by byte, until the service ends.
    hang: set[str] = field(default_factory=set)
    drip: set[str] = field(default_factory=set)
    over: Event = field(default_factory=Event)


@contextmanager
def push_service() -> Iterator[PushService]:
    """A push service, until the block ends."""
    told = PushService()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            told.asked.append(self.path)
            if self.path in told.hang:
                told.over.wait(HELD_S)
                return
            if self.path in told.drip:
                with suppress(OSError):
                    for _ in range(int(HELD_S / 0.1)):
                        self.wfile.write(b"H")
                        if told.over.wait(0.1):
                            return
                return
            if self.path in told.raw:
                self.wfile.write(told.raw[self.path])
                return
            status, headers = told.answers.get(self.path, (201, {}))
            if 200 <= status < 300:
                told.taken.append({"path": self.path, "body": body, **dict(self.headers)})
            self.send_response(status)
            for name, value in headers.items():
                self.send_header(name, value)
            self.send_header("Content-Length", "0")
            self.end_headers()

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    told.url = f"http://127.0.0.1:{server.server_address[1]}"
    thread = Thread(target=server.serve_forever, args=(0.05,))
    thread.start()
    try:
        yield told
    finally:
        told.over.set()
        server.shutdown()
        server.server_close()
        thread.join()
