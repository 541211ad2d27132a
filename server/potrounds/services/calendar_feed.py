"""The calendar: rounds as told, nights of freeze, dates of the lists, for any calendar app.

The only file that knows the calendar library. An address is a secret that can be taken back; what
it shows is no more than first names, planters and sites.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any

from icalendar import Calendar, Event, vDuration

from potrounds.domain.calendar import TownCalendar
from potrounds.domain.rounds import first_name
from potrounds.domain.spoken import spoken_celsius, spoken_count
from potrounds.services import changes, town
from potrounds.services.context import Context
from potrounds.services.list_days import StepDays, steps_due
from potrounds.services.moments import stamp
from potrounds.services.refusal import Refusal, not_found
from potrounds.services.round_day import people_names
from potrounds.store import derived, register, rounds
from potrounds.store.database import write_transaction
from potrounds.store.ids import hashed, new_secret, short_id
from potrounds.store.rounds import CalendarLink, ToldRound

PRODUCT = "-//Potrounds//Rounds//EN"
#: How often a calendar app may ask again.
REFRESH = timedelta(hours=6)
PAST_DAYS = 30


def make_link(ctx: Context, body: Mapping[str, Any], origin: str) -> dict[str, Any]:
    """A new address of the calendar, of all rounds or of one person's; it is shown once.

    Raises: Refusal 422 when the person is nobody active.
    """
    secret, link_id, person = new_secret(), short_id("c"), body.get("person")
    if person is not None and person not in people_names():
        detail = "This person is not among the active people."
        raise Refusal(422, "no-such-person", "Nobody to show", detail, [("/person", detail)])
    name = " ".join(body["name"].split())
    with write_transaction():
        rounds.add_link(link_id, hashed(secret), name, person, ctx.now(), ctx.person)
        changes.note(ctx, "calendar", link_id, name, {}, {"name": name, "person": person})
    url = f"{origin.rstrip('/')}/api/v1/calendar/{secret}.ics"
    return {"id": link_id, "name": name, "person": person, "url": url}


def links(ctx: Context) -> list[dict[str, Any]]:
    """All addresses, without their secrets."""
    return [
        {
            "id": one.id,
            "name": one.name,
            "person": one.person,
            "made_at": stamp(one.made_at),
            "revoked_at": stamp(one.revoked_at),
        }
        for one in rounds.links()
    ]


def revoke_link(ctx: Context, link_id: str) -> None:
    """Take an address back: from now on it shows nothing."""
    found = {one.id: one for one in rounds.links()}.get(link_id)
    if found is None:
        raise not_found("calendar-link")
    if found.revoked_at is not None:
        return
    with write_transaction():
        rounds.revoke_link(link_id, ctx.now())
        changes.note(ctx, "calendar", link_id, found.name, {"state": "open"}, {"state": "revoked"})


def feed(ctx: Context, secret: str) -> bytes:
    """The calendar behind an address, as RFC 5545 has it.

    Raises: Refusal 404, the same for an address that never was and one that was taken back.
    """
    link = rounds.link_with(hashed(secret))
    if link is None:
        raise not_found("calendar")
    calendar = town.calendar()
    today = calendar.local_day(ctx.now())
    return bytes(_written(ctx, link, calendar, today).to_ical())


def _written(ctx: Context, link: CalendarLink, calendar: TownCalendar, today: date) -> Calendar:
    name = str(town.settings()["town_name"])
    names = {one: first_name(full) for one, full in people_names().items()}
    written = Calendar()
    written.add("prodid", PRODUCT)
    written.add("version", "2.0")
    written.add("calscale", "GREGORIAN")
    written.add("method", "PUBLISH")
    written.add("x-wr-calname", f"{name}: rounds")
    written.add("refresh-interval", vDuration(REFRESH), {"VALUE": "DURATION"})
    for event in [
        *_rounds(link, names, today),
        *_freezes(calendar, today, ctx.now()),
        *_lists(calendar, today, ctx.now()),
    ]:
        written.add_component(event)
    return written


def _all_day(uid: str, day: date, summary: str, text: str, at: datetime) -> Event:
    """An entry of one whole day; the day after it is its end (RFC 5545, 3.6.1)."""
    event = Event()
    event.add("uid", f"{uid}@potrounds")
    event.add("dtstamp", at.astimezone(UTC).replace(microsecond=0))
    event.add("dtstart", day)
    event.add("dtend", day + timedelta(days=1))
    event.add("summary", summary)
    event.add("description", text)
    event.add("transp", "TRANSPARENT")
    return event


def _rounds(link: CalendarLink, names: Mapping[str, str], today: date) -> Iterable[Event]:
    for one in rounds.told(today - timedelta(days=PAST_DAYS)):
        if one.person in names and link.person in (None, one.person):
            yield _all_day(
                one.key,
                one.day,
                f"Round: {names[one.person]}, {spoken_count(len(one.plan['stops']), 'planter')}",
                _round_text(one),
                one.told_at,
            )


def _round_text(one: ToldRound) -> str:
    plan = one.plan
    stops = [f"{stop['name']} ({stop['site']['name']})" for stop in plan["stops"]]
    return (
        f"About {plan['litres_l']:.0f} L, {plan['takes_min']} min, "
        f"{plan['walk_m'] / 1000:.1f} km on foot.\n" + "\n".join(stops)
    )


def _freezes(calendar: TownCalendar, today: date, now: datetime) -> Iterable[Event]:
    for night in calendar.nights:
        if night.kind == "forecast" and night.is_freeze() and night.date >= today:
            yield _all_day(
                f"freeze-{night.date.isoformat()}",
                night.date,
                f"Freeze: {spoken_celsius(night.low_c)} in the morning",
                "Drain plugs out before; no top-up in the two days before.",
                now,
            )


def _lists(calendar: TownCalendar, today: date, now: datetime) -> Iterable[Event]:
    freeze = calendar.next_freeze(None, today)
    if freeze is not None and freeze.source == "site date" and freeze.date >= today:
        yield _all_day(
            f"expected-freeze-{freeze.date.isoformat()}",
            freeze.date,
            "First freeze to be expected",
            "By the sites' own dates: winterization done before.",
            now,
        )
    for name, title, month_day in (
        ("winterization", "Winterization", calendar.winter_from),
        ("start-up", "Start-up", calendar.spring_from),
    ):
        day = _next_on(month_day, today)
        yield _all_day(
            f"{name}-{day.isoformat()}",
            day,
            f"{title}: the list begins",
            "Steps and proof stand in the app, planter by planter.",
            now,
        )
    yield from _steps(calendar, today, now)


def _steps(calendar: TownCalendar, today: date, now: datetime) -> Iterable[Event]:
    """Steps with a day, one entry for all planters they fall due at on that day: the very days
    that rounds are planned by."""
    in_use = {row.id for row in register.planters() if row.status == "in-use"}
    due: dict[tuple[date, str], list[tuple[str, StepDays]]] = {}
    for card in derived.planter_cards():
        if card.content is None or card.key not in in_use:
            continue
        for one in steps_due(card.content, calendar, today):
            if one.firm:
                day = one.earliest if one.earliest > today else one.latest
                due.setdefault((day, one.code), []).append((card.content["name"], one))
    for (day, code), planters in sorted(due.items()):
        one = planters[0][1]
        why = sorted({each.why for _, each in planters} - {""})
        yield _all_day(
            f"{code}-{day.isoformat()}",
            day,
            f"{one.title}: {one.step}, {spoken_count(len(planters), 'planter')}",
            "\n".join([*why, *sorted(name for name, _ in planters)]),
            now,
        )


def _next_on(month_day: tuple[int, int], today: date) -> date:
    month, day = month_day
    for year in (today.year, today.year + 1):
        found = date(year, month, min(day, 28) if month == 2 else day)
        if found >= today:
            return found
    raise AssertionError("a day of every year lies within a year")
