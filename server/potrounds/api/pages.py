"""The built app as files: one page for every route of the client, and its assets."""

from __future__ import annotations

from pathlib import Path

from flask import Blueprint, Flask, Response, current_app, request, send_file
from werkzeug.exceptions import NotFound
from werkzeug.routing import BaseConverter
from werkzeug.security import safe_join

from potrounds.api.access import context
from potrounds.services import tags
from potrounds.services.refusal import Refusal

# Set by hand: what the system believes about these differs from machine to machine.
TYPES = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".ico": "image/x-icon",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".png": "image/png",
    ".svg": "image/svg+xml; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
    ".woff2": "font/woff2",
}
REVALIDATE = "no-cache"
FOR_A_YEAR = "public, max-age=31536000, immutable"
ROBOTS = "User-agent: *\nDisallow: /\n"
LONGEST_PATH = 200
NO_BUILD = "The app is not built here. Run `pip install .`, or `npm ci && npm run build` in pwa/."

blp = Blueprint("pages", __name__)


class PageConverter(BaseConverter):
    """Any path but those of the API and of the assets, so that these keep their own 404 and 405."""

    regex = r"(?!(?:api|assets)(?:/|$)).+"
    part_isolating = False


def static_folder(app: Flask) -> Path | None:
    """The folder of the built app: the setting's, the package's, or that of a source tree."""
    settings = app.extensions["potrounds-context"].settings
    here = Path(__file__).resolve().parent.parent
    chosen = [settings.static] if settings.static else []
    for folder in [*chosen, here / "static", here.parent.parent / "pwa" / "dist"]:
        if (folder / "index.html").is_file():
            return folder
    return None


def _file(name: str, caching: str, status: int = 200) -> Response:
    folder = static_folder(current_app)
    if folder is None:
        raise Refusal(503, "no-build", "The app is not built", NO_BUILD)
    found = safe_join(str(folder), name)
    path = Path(found) if found and "\x00" not in found else folder
    if not path.is_file() or path.suffix not in TYPES:
        raise NotFound
    zipped = path.with_name(path.name + ".gz")
    use_zipped = zipped.is_file() and "gzip" in request.accept_encodings
    response = send_file(
        zipped if use_zipped else path,
        mimetype=TYPES[path.suffix],
        conditional=status == 200,
        etag=status == 200,
    )
    response.headers["Content-Type"] = TYPES[path.suffix]
    response.headers.remove("Content-Disposition")
    response.status_code = status if status != 200 else response.status_code
    response.headers["Cache-Control"] = caching
    if zipped.is_file():
        response.headers["Vary"] = "Accept-Encoding"
    if use_zipped:
        response.headers["Content-Encoding"] = "gzip"
    return response


def _shell(status: int = 200) -> Response:
    return _file("index.html", REVALIDATE, status)


@blp.get("/")
def home() -> Response:
    """The app."""
    return _shell()


@blp.get("/t/<path:code>")
@blp.get("/T/<path:code>")
def tag(code: str) -> Response:
    """The app on the page of a tag; the status says whether the code is known."""
    known = tags.tag_target(context(), code) is not None
    response = _shell(200 if known else 404)
    response.headers["X-Robots-Tag"] = "noindex, nofollow"
    return response


@blp.get("/robots.txt")
def robots() -> Response:
    """Nothing here is for a search engine."""
    return Response(ROBOTS, mimetype="text/plain")


@blp.get("/assets/<path:name>")
def asset(name: str) -> Response:
    """A file whose name holds the hash of its content. A missing one is never the page (404)."""
    return _file(f"assets/{name}", FOR_A_YEAR)


@blp.get("/<page:path>")
def any_path(path: str) -> Response:
    """A file beside the page, or a route of the client."""
    if len(path) > LONGEST_PATH or "\x00" in path or ".." in path.split("/"):
        raise NotFound
    if "." in path.rsplit("/", 1)[-1]:
        return _file(path, REVALIDATE)
    return _shell()


def init_app(app: Flask) -> None:
    """Serve the pages; called after the API so that nothing of it is shadowed."""
    app.url_map.converters["page"] = PageConverter
    app.register_blueprint(blp)
