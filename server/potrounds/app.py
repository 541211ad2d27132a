"""The Flask app: one database connection per request, and everything of `api` on it."""

from __future__ import annotations

import logging
import time
from datetime import timedelta

from argon2 import PasswordHasher
from flask import Flask, Response, g, request
from werkzeug.middleware.proxy_fix import ProxyFix

from potrounds import __version__, api
from potrounds.api.problems import from_refusal
from potrounds.config import Clock, Settings, from_environment
from potrounds.services import assess, erasure, push_key, push_worker, town_settings, water_pass
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal
from potrounds.services.water_shelf import Shelf
from potrounds.store import database, photos

LOG = logging.getLogger("potrounds.requests")
# No route takes a form; the limits stand against bodies made to cost time.
FORM_LIMITS = {"MAX_FORM_PARTS": 10, "MAX_FORM_MEMORY_SIZE": 64 * 1024}
BIGGEST_BODY = 3 * 1024 * 1024


def open_town(settings: Settings) -> Clock:
    """Open the database of a town, and give its clock."""
    database.open_database(settings.database)
    water_pass.MEMORY.shelf = Shelf(settings.home / "water")
    with database.connection():
        clock = Clock(timedelta(seconds=town_settings.clock_offset_s()))
        photos.sweep(settings.photo_folder)
        erasure.replay(Context(settings, clock))
        push_key.show(Context(settings, clock))
        assess.assess_stale(Context(settings, clock))
    return clock


def create_app(settings: Settings, clock: Clock, hasher: PasswordHasher | None = None) -> Flask:
    """Make the app for an opened town."""
    app = Flask("potrounds", static_folder=None)
    app.config.update(FORM_LIMITS, MAX_CONTENT_LENGTH=BIGGEST_BODY)
    app.json.sort_keys = False  # type: ignore[attr-defined]
    app.extensions["potrounds-context"] = Context(
        settings, clock, hasher=hasher or PasswordHasher()
    )
    if settings.proxies:
        app.wsgi_app = ProxyFix(  # type: ignore[method-assign]
            app.wsgi_app, x_for=settings.proxies, x_proto=settings.proxies
        )
    _log_requests(app)
    api.init_app(app, __version__, database.connect)
    app.teardown_request(_disconnect)
    app.register_error_handler(database.Trouble, _trouble)
    return app


def _disconnect(_: BaseException | None) -> None:
    database.close()


def _log_requests(app: Flask) -> None:
    """One line per request, with the route's pattern: no code, no query, no token, no name."""

    @app.before_request
    def start() -> None:
        g.potrounds_started = time.monotonic()

    @app.after_request
    def finish(response: Response) -> Response:
        rule = request.url_rule.rule if request.url_rule else "no route"
        took_ms = 1000 * (time.monotonic() - g.get("potrounds_started", time.monotonic()))
        LOG.info("%s %s %d %.0f ms", request.method, rule, response.status_code, took_ms)
        return response


def _trouble(error: Exception) -> Response:
    """The database cannot write or cannot be read just now; the phone keeps what it has."""
    LOG.error("the database is in trouble", exc_info=error)
    return from_refusal(
        Refusal(
            503,
            "storage-trouble",
            "The server cannot store this now",
            "Nothing was stored. Try again in a minute.",
            retry_after=60,
        )
    )


def wsgi() -> Flask:
    """The app for a WSGI server of one's own choice: `potrounds.app:wsgi`, a factory."""
    settings = from_environment()
    clock = open_town(settings)
    push_worker.start(Context(settings, clock))
    return create_app(settings, clock)
