"""Who may call what: one table, and the checks made before any view runs."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import urlsplit

from flask import Flask, Response, current_app, g, request

from potrounds.api.limiter import Limiter, network
from potrounds.services import people
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal

COOKIE = "__Host-potrounds"
WRITES = ("POST", "PUT", "PATCH", "DELETE")
MOST_HEADERS = 100
MOST_HEADER_BYTES = 16 * 1024
PUBLIC_PER_MINUTE = 60
PHOTOS_PER_MINUTE = 120

ANYONE, SENDER, MEMBER, COORDINATOR = "anyone", "sender", "member", "coordinator"

# SENDER: also a phone whose membership has ended, so that its unsent work can be held (R15).
ACCESS: dict[str, str] = {
    "api-docs.openapi_json": ANYONE,
    "auth.join": ANYONE,
    "auth.sign_in": ANYONE,
    "auth.sign_out": MEMBER,
    "auth.confirm": COORDINATOR,
    "auth.me": MEMBER,
    "sync.push": SENDER,
    "sync.pull": MEMBER,
    "sync.hello": SENDER,
    "sync.take_in_file": COORDINATOR,
    "photos.put": MEMBER,
    "photos.get": MEMBER,
    "photos.erase": MEMBER,
    "register.overview": COORDINATOR,
    "register.add_site": COORDINATOR,
    "register.change_site": COORDINATOR,
    "register.add_planters": COORDINATOR,
    "register.change_planter": COORDINATOR,
    "register.add_planting": COORDINATOR,
    "register.replace_tag": COORDINATOR,
    "register.add_siting": COORDINATOR,
    "register.import_planters": COORDINATOR,
    "register.export_planters": COORDINATOR,
    "register.change_settings": COORDINATOR,
    "register.put_nights": COORDINATOR,
    "changes.page": COORDINATOR,
    "changes.look": COORDINATOR,
    "changes.undo": COORDINATOR,
    "people.add_person": COORDINATOR,
    "people.change_person": COORDINATOR,
    "people.create_invite": COORDINATOR,
    "people.revoke_invite": COORDINATOR,
    "people.end_phone": COORDINATOR,
    "people.burn_phone": COORDINATOR,
    "tags.sheet": COORDINATOR,
    "weather.view": MEMBER,
    "weather.put_days": COORDINATOR,
    "weather.import_days": COORDINATOR,
    "weather.fetch": COORDINATOR,
    "weather.put_normals": COORDINATOR,
    "care.feed": COORDINATOR,
    "rounds.overview": COORDINATOR,
    "rounds.add_tap": COORDINATOR,
    "rounds.change_tap": COORDINATOR,
    "rounds.remove_tap": COORDINATOR,
    "rounds.calibrate_tap": MEMBER,
    "rounds.put_member": COORDINATOR,
    "rounds.remove_member": COORDINATOR,
    "rounds.put_ways": COORDINATOR,
    "rounds.ways_from": COORDINATOR,
    "rounds.plan": COORDINATOR,
    "rounds.tell": COORDINATOR,
    "rounds.told": MEMBER,
    "rounds.hours": MEMBER,
    "rounds.links": COORDINATOR,
    "rounds.make_link": COORDINATOR,
    "rounds.revoke_link": COORDINATOR,
    "rounds.feed": ANYONE,
    "weather.import_lows": COORDINATOR,
    "weather.forget_lows": COORDINATOR,
    "siteplans.overview": COORDINATOR,
    "siteplans.put_picture": COORDINATOR,
    "siteplans.put_points": COORDINATOR,
    "siteplans.remove": COORDINATOR,
    "seasons.lists": COORDINATOR,
    "seasons.change_list": COORDINATOR,
    "seasons.list_table": MEMBER,
    "seasons.overview": COORDINATOR,
    "seasons.one": COORDINATOR,
    "seasons.close": COORDINATOR,
    "seasons.reopen": COORDINATOR,
    "plan.overview": COORDINATOR,
    "plan.add_size": COORDINATOR,
    "plan.change_size": COORDINATOR,
    "plan.drop_size": COORDINATOR,
    "plan.add_scheme": COORDINATOR,
    "plan.change_scheme": COORDINATOR,
    "plan.drop_scheme": COORDINATOR,
    "plan.put_materials": COORDINATOR,
    "plan.put_asset": COORDINATOR,
    "plan.swap": COORDINATOR,
    "plan.planting_day": COORDINATOR,
    "files.records": COORDINATOR,
    "files.import_visits": COORDINATOR,
    "files.weather": COORDINATOR,
    "files.planters": COORDINATOR,
    "files.whole_town": COORDINATOR,
    "report.season": COORDINATOR,
    "report.season_table": COORDINATOR,
    "report.behind": COORDINATOR,
    "planters.history": COORDINATOR,
    "planters.visits": COORDINATOR,
    "planters.flags": COORDINATOR,
    "held.list_held": COORDINATOR,
    "held.settle": COORDINATOR,
    "review.desk": COORDINATOR,
    "review.looked": COORDINATOR,
    "review.settle_phone": COORDINATOR,
    "push.turn_on": MEMBER,
    "push.turn_off": MEMBER,
    "public.tag": ANYONE,
    "public.report": ANYONE,
}
#: A coordinator's answer names the change it made, so that the screen can offer to undo it.
CHANGE_HEADER = "Potrounds-Change"
LIMITED = ("public.tag", "public.report", "pages.tag", "auth.join", "auth.sign_in", "rounds.feed")


def context() -> Context:
    """What the services need to know of the present request."""
    found: Context = g.potrounds_context
    return found


def _check_headers() -> None:
    size = sum(len(name) + len(value) for name, value in request.headers.items())
    if len(request.headers) > MOST_HEADERS or size > MOST_HEADER_BYTES:
        raise Refusal(431, "headers-too-big", "Headers too large", "Send fewer or shorter headers.")


def _check_host() -> None:
    try:
        host = urlsplit(f"//{request.environ.get('HTTP_HOST', '')}").hostname or ""
    except ValueError:
        host = ""
    if host not in context().settings.hosts:
        raise Refusal(
            400, "unknown-host", "Unknown host", "This server does not answer to that host name."
        )


def _check_origin() -> None:
    """Let only our own pages write. Browsers name the page; nothing else may leave it out."""
    if request.method not in WRITES:
        return
    site, origin = request.headers.get("Sec-Fetch-Site"), request.headers.get("Origin")
    same_site = site == "same-origin" if site else origin is not None
    same_origin = urlsplit(origin).netloc == request.host if origin else True
    if not (same_site and same_origin):
        detail = "Writing is only possible from the app's own pages (Origin or Sec-Fetch-Site)."
        raise Refusal(403, "other-origin", "Not from our own page", detail)


def _check_rate() -> None:
    limiter: Limiter = current_app.extensions["potrounds-limiter"]
    wait = 0
    if request.endpoint in LIMITED:
        wait = limiter.wait("public", network(context().address), PUBLIC_PER_MINUTE)
    if request.endpoint == "photos.put":
        wait = limiter.wait("photos", request.cookies.get(COOKIE, ""), PHOTOS_PER_MINUTE)
    if wait:
        raise Refusal(
            429, "too-many", "Too many at once", f"Try again in {wait} seconds.", retry_after=wait
        )


def _check_caller() -> None:
    if request.method == "OPTIONS":
        return
    wanted = ACCESS.get(request.endpoint or "", COORDINATOR)
    asked = context()
    caller = people.caller_for(asked, request.cookies.get(COOKIE))
    g.potrounds_context = asked.with_caller(caller)
    if wanted == ANYONE:
        return
    if caller is None:
        detail = "Join again with the link of a coordinator; nothing on this phone is lost."
        raise Refusal(401, "sign-in-needed", "Nobody is signed in", detail)
    if caller.state != "active" and wanted != SENDER:
        detail = "This phone's membership has ended. Ask a coordinator for a new link."
        raise Refusal(401, "membership-ended", "Membership ended", detail)
    if wanted == COORDINATOR and caller.role != "coordinator":
        raise Refusal(403, "coordinator-only", "For coordinators", "Ask a coordinator to do this.")


def init_app(app: Flask, connect: Callable[[], None]) -> None:
    """Check every request before its view runs: cheap checks first, the database last."""
    app.extensions["potrounds-limiter"] = Limiter()

    @app.before_request
    def begin() -> None:
        base: Context = app.extensions["potrounds-context"]
        g.potrounds_context = Context(
            base.settings, base.clock, None, request.remote_addr or "", base.hasher
        )
        _check_headers()
        _check_host()
        _check_origin()
        _check_rate()

    @app.before_request
    def know_the_caller() -> None:
        if request.endpoint is None or request.endpoint.startswith("pages."):
            return  # no route at all, or files of the app, which are the same for everybody
        connect()
        _check_caller()

    @app.after_request
    def name_the_change(response: Response) -> Response:
        made: Context | None = g.get("potrounds_context")
        if made and made.noted and made.caller and made.caller.coordinates:
            response.headers[CHANGE_HEADER] = str(made.noted[-1])
        return response
