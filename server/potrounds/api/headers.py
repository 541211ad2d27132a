"""The headers that every answer carries, whatever it is."""

from __future__ import annotations

from flask import Flask, Response, request

CSP = "; ".join(
    (
        "default-src 'none'",
        # The scanner is WebAssembly, which counts as script; nothing else is evaluated.
        "script-src 'self' 'wasm-unsafe-eval'",
        "style-src 'self'",
        "img-src 'self' blob:",
        "font-src 'self'",
        "media-src 'self' blob:",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "object-src 'none'",
        "frame-ancestors 'none'",
    )
)
ALWAYS = {
    # A position is asked for by a tap on a planter's sheet in the register, nowhere else.
    "Content-Security-Policy": CSP,
    "Permissions-Policy": "camera=(self), geolocation=(self), microphone=(), payment=(), usb=()",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
TWO_YEARS = "max-age=63072000; includeSubDomains"


def init_app(app: Flask) -> None:
    """Add the headers to every answer that has not set its own."""

    @app.after_request
    def add(response: Response) -> Response:
        for name, value in ALWAYS.items():
            response.headers.setdefault(name, value)
        if request.is_secure:
            response.headers["Strict-Transport-Security"] = TWO_YEARS
        if request.path.startswith("/api/"):
            response.headers.setdefault("Cache-Control", "no-store")
        return response
