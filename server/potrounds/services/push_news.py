"""What is pushed, and to whom: new flags of today, freezes, rounds told anew, stops handed over.

A push says the planter and what to do, as it may lie open on a locked phone: no name of a person,
no note, no picture. Nothing here raises: a record or an assessment never fails for a push.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime, time, timedelta
from functools import wraps
from typing import Any, ParamSpec
from zoneinfo import ZoneInfo

from potrounds.domain.rounds import read_round_key
from potrounds.domain.spoken import spoken_celsius, spoken_day
from potrounds.services import push as queueing
from potrounds.services import town
from potrounds.services.context import Context
from potrounds.services.push import FLAG
from potrounds.store import derived, push, register, rounds
from potrounds.store.database import savepoint, write_transaction
from potrounds.store.log import Sent
from potrounds.store.push import Address, Note
from potrounds.store.rounds import ToldRound
from potrounds.words import t

logger = logging.getLogger(__name__)

P = ParamSpec("P")
#: A new flag of today is worth a push for so long.
FLAG_LASTS = timedelta(hours=24)
#: A volunteer's planters are those of rounds told for days from so long ago on.
ROUNDS_SINCE = timedelta(days=14)
MOST_NAMED = 4


def quietly(say: Callable[P, None]) -> Callable[P, None]:
    """Say nothing while pushes are off, and let nothing that goes wrong reach the caller."""

    @wraps(say)
    def safe(*args: P.args, **more: P.kwargs) -> None:
        try:
            if town.settings()["push_on"]:
                with write_transaction(), savepoint():
                    say(*args, **more)
        except Exception:
            logger.exception("a push could not be put into the queue")

    return safe


# --- flags of today, to coordinators -------------------------------------------------------------


@quietly
def flags_of(ctx: Context, keys: Iterable[str]) -> None:
    """After an assessment of these cards: push what is new, forget what is over."""
    others = (derived.TOWN, derived.ROUND, derived.ERASED)
    planters = [key for key in keys if not key.startswith(others)]
    for planter in planters:
        card = derived.get(planter)
        content = card.content if card and card.content else {"name": "", "flags": []}
        up = {_flag_tag(planter, one): one for one in content["flags"] if _needs_someone(one)}
        before = push.told(f"{FLAG}{planter} ")
        over = before - set(up)
        if over:
            push.forget_told(over)
            push.forget_notes(over)
        for tag in sorted(set(up) - before):
            _push_flag(ctx, tag, planter, content["name"], up[tag])


def take_flags_as_known(ctx: Context) -> None:
    """When pushes are turned on, what is up already is not news; inside a write transaction."""
    push.forget_told()
    tags = {
        _flag_tag(card.key, flag)
        for card in derived.planter_cards()
        for flag in (card.content or {"flags": []})["flags"]
        if _needs_someone(flag)
    }
    push.note_told(sorted(tags), ctx.now())


def _needs_someone(flag: Mapping[str, Any]) -> bool:
    return flag["urgency"] == "today" and not flag["quiet"]


def _flag_tag(planter: str, flag: Mapping[str, Any]) -> str:
    return f"{FLAG}{planter} {flag['code']}"


def _push_flag(ctx: Context, tag: str, planter: str, name: str, flag: Mapping[str, Any]) -> None:
    push.note_told([tag], ctx.now())
    title = t("push.flag_title", planter=name, flag=flag["name"])
    note = Note(tag, title, flag["advice"], f"/p/{planter}", "high", ctx.now() + FLAG_LASTS)
    queueing.queue(ctx, note, _coordinates)


def _coordinates(to: Address) -> bool:
    return to.role == "coordinator"


# --- a freeze, to everybody whose planters have their plugs in -----------------------------------


@quietly
def freeze(ctx: Context, night: date, low_c: float, plugs_in: Mapping[str, str]) -> None:
    """Warn of a freeze: coordinators of all plugs (name by planter), others of their planters'."""
    theirs = _planters_by_person(town.calendar().local_day(ctx.now()))
    for person, role in sorted({(one.person, one.role) for one in _everybody(ctx)}):
        mine = {
            planter: name
            for planter, name in plugs_in.items()
            if role == "coordinator" or planter in theirs.get(person, ())
        }
        if mine:
            queueing.queue(ctx, _freeze_note(night, low_c, mine), _is(person))


def _freeze_note(night: date, low_c: float, plugs_in: Mapping[str, str]) -> Note:
    names = list(plugs_in.values())
    said = ", ".join(names[:MOST_NAMED])
    if len(names) > MOST_NAMED:
        said = t("push.and_more", names=said, count=len(names) - MOST_NAMED)
    first = next(iter(plugs_in))
    path = f"/p/{first}/winter" if len(names) == 1 else "/winter"
    title = t("push.freeze_title", day=spoken_day(night), low=spoken_celsius(low_c))
    body = t("push.freeze_body", planters=said)
    return Note("freeze", title, body, path, "high", _end_of(night))


def _planters_by_person(today: date) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for one in rounds.told(today - ROUNDS_SINCE):
        found.setdefault(one.person, set()).update(stop["planter"] for stop in one.plan["stops"])
    return found


def _everybody(ctx: Context) -> list[Address]:
    return push.addresses(ctx.now() - queueing.USED_WITHIN)


# --- rounds, to those who walk them --------------------------------------------------------------


@quietly
def rounds_told(
    ctx: Context, before: Mapping[str, ToldRound], after: Mapping[str, ToldRound]
) -> None:
    """Tell each person whose rounds are other than they were told; not who told them."""
    for key in sorted({*before, *after}):
        old, new = before.get(key), after.get(key)
        if old and new and _stops(old) == _stops(new):
            continue
        one = new or old
        if one is None or one.person == ctx.person:
            continue
        word = "changed" if old and new else "new" if new else "off"
        title = t(f"push.round_{word}", day=spoken_day(one.day))
        names = [stop["name"] for stop in one.plan["stops"]] if new else []
        body = t("push.round_body", count=len(names), planters=", ".join(names[:MOST_NAMED]))
        note = Note(key, title, body if names else "", "/round", "normal", _end_of(one.day))
        queueing.queue(ctx, note, _is(one.person))


def _stops(told: ToldRound) -> list[str]:
    return [stop["planter"] for stop in told.plan["stops"]]


@quietly
def stop_handed(ctx: Context, sent: Sent) -> None:
    """Tell a person that a stop of today or later is theirs now."""
    body = sent.body
    to, found = body.get("to"), read_round_key(str(body.get("round") or ""))
    if sent.kind != "stop" or body.get("what") != "handed" or not to or to == sent.author:
        return
    day = found[0] if found else town.calendar().local_day(ctx.now())
    if day < town.calendar().local_day(ctx.now()):
        return
    (planter,) = register.planters([sent.planter]) or (None,)
    if planter is None:
        return
    title = t("push.stop_title", planter=planter.name)
    said = t("push.stop_body", day=spoken_day(day))
    note = Note(f"stop {planter.id}", title, said, f"/p/{planter.id}", "normal", _end_of(day))
    queueing.queue(ctx, note, _is(str(to)))


def _is(person: str) -> Callable[[Address], bool]:
    return lambda to: to.person == person


def _end_of(day: date) -> datetime:
    """The end of a day in the town."""
    zone = ZoneInfo(town.settings()["zone"])
    return datetime.combine(day + timedelta(days=1), time(), zone)
