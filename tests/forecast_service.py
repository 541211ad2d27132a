"""A forecast service on this machine that gives the answer a test recorded."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

# Wind at 10 m that is 1.5 and 2.25 m/s at 2 m, in km/h. FAO-56 Eq. 47: u2 = u10 x 0.748.
ANSWER: dict[str, Any] = {
    "latitude": 48.2,
    "daily_units": {"time": "iso8601", "temperature_2m_min": "°C", "precipitation_sum": "mm"},
    "daily": {
        "time": ["2026-05-04", "2026-05-05", "2026-05-06"],
        "temperature_2m_min": [8.1, 9.0, 7.5],
        "temperature_2m_max": [19.4, 17.2, 21.0],
        "precipitation_sum": [0.0, 6.4, None],
        "wind_speed_10m_mean": [7.2195, None, 10.8293],
    },
}


class Recorded(BaseHTTPRequestHandler):
    """Gives the answer the test recorded."""

    answer: Callable[[BaseHTTPRequestHandler], None]

    def do_GET(self) -> None:
        type(self).answer(self)

    def log_message(self, *args: Any) -> None:
        """Say nothing."""


@contextmanager
def served(answer: Callable[[BaseHTTPRequestHandler], None]) -> Iterator[str]:
    """An address on this machine that answers so."""
    handler = type("Handler", (Recorded,), {"answer": staticmethod(answer)})
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}/daily"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def says(body: bytes, status: int = 200) -> Callable[[BaseHTTPRequestHandler], None]:
    """An answer of these bytes."""

    def answer(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(status)
        handler.send_header("Content-Length", str(len(body)))
        handler.end_headers()
        handler.wfile.write(body)

    return answer


def said(**changes: Any) -> bytes:
    """The recorded answer with some of its lists changed; None takes a list away."""
    daily = {**ANSWER["daily"], **changes}
    kept = {name: values for name, values in daily.items() if values is not None}
    return json.dumps({**ANSWER, "daily": kept}).encode()
