"""What the coordinator sets for the whole town: settings and the nights' lows."""

from __future__ import annotations

import re
from datetime import date
from typing import Any
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from potrounds.services import changes, freeze_warning, push_key, push_news, town
from potrounds.services.context import Context
from potrounds.services.moments import day_text
from potrounds.services.refusal import Refusal
from potrounds.store import push, register
from potrounds.store.database import write_transaction
from potrounds.weather.web_forecast import address_fault

SETTABLE = (
    "town_name",
    "zone",
    "tag_address",
    "visit_days",
    "winter_from",
    "spring_from",
    "tap_flow_l_min",
    "units",
    "latitude",
    "elevation_m",
    "weather_url",
    "run_dry_risk",
    "crew_days",
    "feed_days",
    "feed_what",
    "feed_percent_n",
    "feed_ppm_n",
    "feed_can_l",
    "feed_ec_ms",
    "tap_ec_ms",
    "walking_factor",
    "far_m",
    "digest_to",
    "freeze_nights",
    "push_on",
    "push_quiet_from",
    "push_quiet_to",
)
LOCAL_HOSTS = ("localhost", "127.0.0.1", "::1")
#: A host and nothing else: no user, path, query or fragment can hide in it.
HOST = re.compile(r"(?:[A-Za-z0-9-]+\.)*[A-Za-z0-9-]+|\[[0-9A-Fa-f:]+\]")


def change_settings(ctx: Context, body: dict[str, Any]) -> dict[str, Any]:
    """Change settings. Raises: Refusal 422 naming the one that makes no sense."""
    values = {key: body[key] for key in SETTABLE if key in body}
    if values.get("tag_address") is not None:
        values["tag_address"] = checked_tag_address(values["tag_address"])
    if "zone" in values:
        _check_zone(values["zone"])
    if values.get("weather_url") is not None:
        values["weather_url"] = _checked_weather_url(values["weather_url"])
    if "crew_days" in values:
        values["crew_days"] = sorted(set(values["crew_days"]))
    if values.get("push_on"):
        push_key.check_there(ctx)
    with write_transaction():
        before = town.settings()
        for name, value in values.items():
            register.set_setting(name, value)
        after = town.settings()
        _check_seasons(after)
        _switch_pushes(ctx, before["push_on"], after["push_on"])
        changes.note(ctx, "settings", "town", after["town_name"], before, after)
        changes.town_changed(everything=before != after)
    changes.follow_up(ctx)
    return after


def _switch_pushes(ctx: Context, before: bool, after: bool) -> None:
    """What stands when pushes are turned on is not news; what waits when they go off is dropped."""
    if after and not before:
        push_news.take_flags_as_known(ctx)
    if before and not after:
        push.forget_notes()


def checked_tag_address(text: str) -> str:
    """The origin printed on tags: https, or http on this very machine; without a slash at the end.

    Raises: Refusal 422.
    """
    try:
        parts = urlsplit(text.strip().rstrip("/"))
        host, _ = parts.hostname or "", parts.port
    except ValueError:
        raise _no_address() from None
    bare = not (parts.path or parts.query or parts.fragment or "@" in parts.netloc)
    shown = f"[{host}]" if ":" in host else host
    secure = parts.scheme == "https" or (parts.scheme == "http" and host in LOCAL_HOSTS)
    if not (bare and secure and HOST.fullmatch(shown)):
        raise _no_address()
    return f"{parts.scheme}://{parts.netloc.lower()}"


def _no_address() -> Refusal:
    detail = "Write the address of this server as phones reach it: https://planters.example"
    return Refusal(
        422, "tag-address", "Not an address for tags", detail, [("/tag_address", detail)]
    )


def _checked_weather_url(text: str) -> str:
    url = text.strip()
    fault = address_fault(url)
    if fault:
        raise Refusal(422, "weather-url", "Not an address", fault, [("/weather_url", fault)])
    return url


def _check_zone(zone: str) -> None:
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        detail = "Write the zone by its tz name, for example Etc/GMT+6."
        raise Refusal(422, "zone", "No such time zone", detail, [("/zone", detail)]) from None


def _check_seasons(settings: dict[str, Any]) -> None:
    for name in ("winter_from", "spring_from"):
        month, day = town.month_day(settings[name])
        try:
            date(2024, month, day)
        except ValueError:
            detail = "There is no such day. Write month and day, MM-DD."
            raise Refusal(422, "day", "No such day", detail, [(f"/{name}", detail)]) from None
    if settings["winter_from"] == settings["spring_from"]:
        detail = "Winter and spring cannot begin on the same day."
        raise Refusal(422, "day", "No winter", detail, [("/winter_from", detail)])


def put_nights(ctx: Context, nights: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Set the lows of some nights, recorded or forecast; a low of null removes one."""
    with write_transaction():
        today = town.calendar().local_day(ctx.now())
        before = lows_by_night()
        kept = nights_by_key()
        for one in nights:
            day = one["date"]
            register.put_night(
                date.fromisoformat(day) if isinstance(day, str) else day,
                one["kind"],
                one["low_c"],
                today if one["kind"] == "forecast" else None,
            )
        after = lows_by_night()
        both = (kept, nights_by_key())
        changes.note(ctx, "nights", "town", "", before, after, kept=both)
        changes.town_changed(everything=before != after)
    changes.follow_up(ctx)
    freeze_warning.warn(ctx)
    return public_nights()


def public_nights() -> list[dict[str, Any]]:
    """All nights, by date."""
    return [
        {"date": day_text(one.date), "low_c": one.low_c, "kind": one.kind}
        for one in register.nights()
    ]


def nights_by_key() -> dict[str, Any]:
    """All nights as a change keeps them: the low, and the day it was known."""
    return {
        f"{day_text(one.date)} {one.kind}": [one.low_c, day_text(one.known_on)]
        for one in register.nights()
    }


def lows_by_night() -> dict[str, Any]:
    """All nights as the list of changes tells them."""
    return {f"{one['date']} {one['kind']}": one["low_c"] for one in public_nights()}


def clock_offset_s() -> float:
    """How far the town's clock stands from the real one; the demo town's season is over."""
    return float(register.setting("clock_offset_s", 0.0))


def set_clock_offset_s(seconds: float) -> None:
    """Set the town's clock apart from the real one."""
    with write_transaction():
        register.set_setting("clock_offset_s", seconds)
