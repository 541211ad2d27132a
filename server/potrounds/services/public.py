"""The public page of a tag: little is said, nobody is named, and reports are limited (R28)."""

from __future__ import annotations

import hashlib
import json
import re
from datetime import datetime, timedelta
from typing import Any

from potrounds.services import changes, limits, town
from potrounds.services.context import Context
from potrounds.services.moments import stamp
from potrounds.services.refusal import Refusal
from potrounds.services.tags import find_tag, state_of
from potrounds.store import derived, log, register
from potrounds.store.database import write_transaction
from potrounds.store.ids import SERVER_DEVICE, uuid7
from potrounds.store.log import Sent
from potrounds.store.register import Tag

MOST_PER_ADDRESS = (5, timedelta(hours=1))
MOST_PER_TAG = (20, timedelta(days=1))
MOST_IN_ALL = (200, timedelta(days=1))
#: A link in a report is advertising until a person has looked at it.
LINK = re.compile(r"https?:|www\.|://", re.IGNORECASE)


def tag_page(ctx: Context, code: str) -> dict[str, Any]:
    """What anybody may know about the planter a tag belongs to: the day of the last care, no more.

    Raises: Refusal 404, the same for every code that leads nowhere.
    """
    tag = _tag(code)
    planter = register.planter(tag.planter)
    content = _card(planter.id)
    return {
        "state": state_of(tag),
        "planter_name": planter.name,
        "site_name": register.site(planter.site).name,
        "town": town.settings()["town_name"],
        "last_care_day": _last_care_day(content),
        "plants": (content.get("planting") or {}).get("plants", []),
    }


def report(ctx: Context, code: str, body: dict[str, Any]) -> dict[str, Any]:
    """Write down what a passer-by reports. Raises: Refusal 404; 429 with the seconds to wait."""
    tag, now = _tag(code), ctx.now()
    text = " ".join((body.get("text") or "").split())
    with write_transaction():
        _check_limits(ctx, tag, now)
        sent = _record(tag.planter, body["what"], text, now)
        if LINK.search(text):
            log.hold(sent, "public-report")
        else:
            log.append(sent)
        changes.planters_changed([tag.planter])
    changes.follow_up(ctx)
    return {"received": True}


def _tag(code: str) -> Tag:
    tag = find_tag(code)
    if tag is None:
        raise Refusal(
            404, "no-such-tag", "No such tag", "No planter has this code. Look at it once more."
        )
    return tag


def _card(planter_id: str) -> dict[str, Any]:
    card = derived.get(planter_id)
    return (card.content if card else None) or {}


def _last_care_day(content: dict[str, Any]) -> str | None:
    """The day only, in the town's zone: not the hour, and not who."""
    last = (content.get("state") or {}).get("last_visit")
    if not last:
        return None
    return town.calendar().local_day(datetime.fromisoformat(last["at"])).isoformat()


def _check_limits(ctx: Context, tag: Tag, now: datetime) -> None:
    asked = (
        ("report-address", limits.neighbourhood(ctx.address), *MOST_PER_ADDRESS),
        ("report-tag", tag.planter, *MOST_PER_TAG),
        ("report-all", "", *MOST_IN_ALL),
    )
    wait = max(limits.over(kind, key, most, within, now) for kind, key, most, within in asked)
    if wait:
        raise Refusal(
            429,
            "too-many-reports",
            "Many reports today",
            "Thank you: there have been many reports. Please try again later.",
            retry_after=wait,
        )
    limits.note_report([(kind, key) for kind, key, _, _ in asked], now)


def _record(planter: str, what: str, text: str, now: datetime) -> Sent:
    """The report as a record like any other, made by the server's own device."""
    n, record_id, wall = log.take_number("server-n"), uuid7(now), str(stamp(now))
    record = {
        "v": 1,
        "id": record_id,
        "kind": "report",
        "planter": planter,
        "device": SERVER_DEVICE,
        "n": n,
        "wall": wall,
        "body": {"what": what, "text": text},
    }
    frozen = json.dumps(record, ensure_ascii=False, separators=(",", ":"))
    return Sent(
        id=record_id,
        v=1,
        kind="report",
        planter=planter,
        author=None,
        author_role=None,
        device=SERVER_DEVICE,
        n=n,
        text=frozen,
        fingerprint=hashlib.sha256(frozen.encode()).hexdigest(),
        wall=wall,
        sent_at=now,
        received_at=now,
        observed_at=now,
    )
