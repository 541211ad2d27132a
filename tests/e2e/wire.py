"""The line between a phone and the town, cut where a test says; a stranger that answers instead."""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable
from contextlib import suppress
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from ports import free_port

PUSH = b"POST /api/v1/sync/push "


class Wire:
    """Forwards every connection to `to`. `on_request` and `on_answer` happen to the next push."""

    def __init__(self, to: int) -> None:
        self.to = to
        self.port = free_port()
        self.on_request: Callable[[], None] | None = None
        self.on_answer: Callable[[], None] | None = None
        self.cuts = 0
        self._listening = socket.create_server(("127.0.0.1", self.port))
        threading.Thread(target=self._accept, daemon=True).start()

    def shut(self) -> None:
        """Stop listening."""
        self._listening.close()

    def _accept(self) -> None:
        while True:
            try:
                near, _ = self._listening.accept()
            except OSError:
                return
            threading.Thread(target=self._connect, args=(near,), daemon=True).start()

    def _connect(self, near: socket.socket) -> None:
        try:
            far = socket.create_connection(("127.0.0.1", self.to), timeout=60)
        except OSError:
            near.close()
            return
        pushing = threading.Event()
        back = threading.Thread(target=self._answers, args=(far, near, pushing), daemon=True)
        back.start()
        with suppress(OSError):
            while data := near.recv(65536):
                if data.startswith(PUSH):
                    pushing.set()
                    if self._cut("on_request", near, far):
                        return
                elif pushing.is_set() and data[:5] in (b"GET /", b"PUT /", b"POST "):
                    pushing.clear()
                far.sendall(data)
        self._close(near, far)

    def _answers(self, far: socket.socket, near: socket.socket, pushing: threading.Event) -> None:
        with suppress(OSError):
            while data := far.recv(65536):
                if pushing.is_set() and self._cut("on_answer", near, far):
                    return
                near.sendall(data)
        self._close(near, far)

    def _cut(self, which: str, near: socket.socket, far: socket.socket) -> bool:
        act = getattr(self, which)
        if act is None:
            return False
        setattr(self, which, None)
        act()
        self.cuts += 1
        self._close(near, far)
        return True

    @staticmethod
    def _close(*ends: socket.socket) -> None:
        for end in ends:
            with suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)
            end.close()


LOGIN = b"<!doctype html><title>Guest network</title><h1>Please log in</h1>"
#: What a stranger may answer to a push: a page, a page by redirect, JSON that is not ours.
STRANGE: list[tuple[int, str, bytes]] = [
    (200, "text/html", LOGIN),
    (302, "text/html", b""),
    (200, "application/json", b'{"status": "ok", "results": []}'),
    (200, "application/json", b'{"proto": "sync/1", "batch": "'),
    (401, "text/html", LOGIN),
    (403, "text/html", LOGIN),
    (422, "text/html", LOGIN),
    (511, "text/html", LOGIN),
]


class Portal:
    """A guest network's login page that answers in the town's place, and keeps what it gave."""

    def __init__(self, port: int) -> None:
        self.answer = STRANGE[0]
        self.given: list[tuple[int, str, bytes]] = []  # to pushes, in their order
        portal = self

        class Stranger(BaseHTTPRequestHandler):  # HTTP/1.0: no connection outlives it
            def do_GET(self) -> None:
                self.give(200, "text/html", LOGIN)

            def do_POST(self) -> None:
                self.rfile.read(int(self.headers.get("Content-Length") or 0))
                answer = portal.answer
                self.give(*answer)
                if self.path.endswith("/sync/push"):
                    portal.given.append(answer)

            do_PUT = do_POST

            def give(self, status: int, kind: str, body: bytes) -> None:
                self.send_response(status)
                if status == 302:
                    self.send_header("Location", "/login")
                self.send_header("Content-Type", kind)
                self.send_header("Content-Length", str(len(body)))
                self.end_headers()
                self.wfile.write(body)

            def log_message(self, *_: object) -> None:
                """Say nothing."""

        self._server = ThreadingHTTPServer(("127.0.0.1", port), Stranger)
        self._server.daemon_threads = True
        threading.Thread(target=self._server.serve_forever, daemon=True).start()

    def shut(self) -> None:
        """Stop answering."""
        self._server.shutdown()
        self._server.server_close()
