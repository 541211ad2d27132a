"""The town as the domain sees it: its calendar and planters, read from the register; its card."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from datetime import date, datetime
from typing import Any

from potrounds.domain import planter as domain
from potrounds.domain.calendar import Night, Site, TownCalendar, local_day
from potrounds.domain.feed_rules import FeedRules
from potrounds.domain.planting import PlanterSize, Scheme
from potrounds.domain.season_lists import list_begins, season_list
from potrounds.domain.siting import ClearPath
from potrounds.domain.step_lists import LISTS, Edition, Step
from potrounds.services import (
    crew_view,
    feed_doses,
    freeze_record,
    planter_history,
    site_plans_view,
    size_questions,
    weather_record,
)
from potrounds.services.moments import day_text
from potrounds.services.siting_view import clear_path_of
from potrounds.store import people, planting, register, seasons, siting
from potrounds.store.derived import TOWN

#: What the coordinator may set, and what holds until then.
DEFAULTS: dict[str, Any] = {
    "town_name": "Our town",
    "zone": "UTC",
    "tag_address": None,
    "visit_days": 7,
    "winter_from": "09-15",
    "spring_from": "03-15",
    "tap_flow_l_min": None,
    "units": "metric",
    "latitude": None,
    "elevation_m": None,
    "weather_url": None,
    "run_dry_risk": 0.1,
    "crew_days": [],
    "feed_days": None,
    "feed_what": None,
    "feed_percent_n": None,
    "feed_ppm_n": None,
    "feed_can_l": None,
    "feed_ec_ms": None,
    "tap_ec_ms": None,
    "walking_factor": 1.3,
    "far_m": 1500.0,
    "digest_to": [],
    "freeze_nights": 3,
    "push_on": False,
    "push_quiet_from": "21:00",
    "push_quiet_to": "07:00",
    "demo": False,
}
#: The town card shows the nights of so many days before and after today.
NIGHTS_SHOWN = 14


def settings() -> dict[str, Any]:
    """The town's settings, with defaults for what nobody set."""
    stored = register.settings()
    return {name: stored.get(name, default) for name, default in DEFAULTS.items()}


def calendar() -> TownCalendar:
    """The town's calendar."""
    chosen = settings()
    return TownCalendar(
        zone=chosen["zone"],
        sites=tuple(Site(one.id, one.name, one.freeze_on) for one in register.sites()),
        nights=tuple(
            Night(one.date, one.low_c, one.kind, one.known_on) for one in register.nights()
        ),
        winter_from=month_day(chosen["winter_from"]),
        spring_from=month_day(chosen["spring_from"]),
        visit_days=chosen["visit_days"],
        crew_days=tuple(chosen["crew_days"]),
        run_dry_risk=chosen["run_dry_risk"],
        care=FeedRules(
            every_days=chosen["feed_days"],
            what=chosen["feed_what"] or "",
            percent_n=chosen["feed_percent_n"],
            ppm_n=chosen["feed_ppm_n"],
            can_l=chosen["feed_can_l"],
            feed_ec_ms=chosen["feed_ec_ms"],
            tap_ec_ms=chosen["tap_ec_ms"],
        ),
        odds_on=freeze_record.warn_on(),
        editions=tuple(
            Edition(one.list, one.at, local_day(one.at, chosen["zone"]), one.steps)
            for one in seasons.editions()
        ),
        closed=tuple(
            (one.year, local_day(one.closed_at, chosen["zone"]))
            for one in seasons.all_closed()
            if one.reopened_at is None
        ),
    )


def month_day(text: str) -> tuple[int, int]:
    """(9, 15) from "09-15"."""
    month, day = text.split("-")
    return int(month), int(day)


def planters(
    town: TownCalendar, now: datetime | None = None, only: Iterable[str] | None = None
) -> dict[str, domain.Planter]:
    """Planters by id, all or some. With `now`: with the planting of that day and their tag."""
    day = town.local_day(now) if now else None
    plantings = register.plantings(only) if day else {}
    tags = register.tags(only) if day else {}
    schemes = {one.id: one for one in planting.schemes()} if day else {}
    chosen = planting.planned() if day else {}
    paths = _clear_paths(town, only) if day else {}
    sizes = planting.sizes()
    found = {}
    for row in register.planters(only):
        mix_l, top_area_m2 = _measures(row, sizes)
        made = [tag.issued_at for tag in tags.get(row.id, []) if tag.retired_at is None]
        found[row.id] = domain.Planter(
            id=row.id,
            name=row.name,
            site=row.site,
            size=row.size,
            shape=row.shape,
            reservoir_l=row.reservoir_l,
            gauge=row.gauge,
            status=row.status,
            weight_moist_kg=row.weight_moist_kg,
            weight_full_kg=row.weight_full_kg,
            installed=row.installed_on,
            planting=_planting(plantings.get(row.id, []), day),
            planned=_planned(plantings.get(row.id, []), day, schemes.get(chosen.get(row.id, ""))),
            tag_made=town.local_day(made[-1]) if made else None,
            mix_l=mix_l,
            top_area_m2=top_area_m2,
            canopy_m2=row.canopy_m2,
            sun=row.sun,
            wind=row.wind,
            rain_reaches=row.rain_reaches,
            clear_path=paths.get(row.id),
            lat=row.lat,
            lon=row.lon,
        )
    return found


def _measures(row: register.Planter, sizes: list[PlanterSize]) -> tuple[float | None, float | None]:
    """Litres of mix and its top: as the planter's sheet has them, else as its size was measured."""
    size = size_questions.size_of(row, sizes)
    if size is None:
        return row.mix_l, row.top_area_m2
    mix_l = size_questions.mix_l(size) if row.mix_l is None else row.mix_l
    top_m2 = size_questions.surface(size).area_cm2 / 1e4
    return mix_l, top_m2 if row.top_area_m2 is None else row.top_area_m2


def _clear_paths(town: TownCalendar, only: Iterable[str] | None) -> dict[str, ClearPath]:
    """What the latest siting check says of each planter's path; one from before it was moved,
    or swapped with another, speaks of another place."""
    measured, names, found = siting.checks(only), _names(), {}
    moves = planter_history.last_moves(measured)
    for planter, checks in measured.items():
        last, moved = checks[-1], moves.get(planter)
        if moved is None or last.at >= moved:
            found[planter] = clear_path_of(
                last, town.local_day(last.at), names.get(last.by or "", "")
            )
    return found


def _names() -> dict[str, str]:
    return {one.id: one.name for one in people.people()}


def _planting(plantings: list[register.Planting], day: date | None) -> domain.Planting | None:
    """What grows on a day: the latest planting that is not in the future."""
    done = [one for one in plantings if day is None or one.planted_on <= day]
    if not done:
        return None
    latest = done[-1]
    return domain.Planting(latest.planted_on, tuple(latest.plants), latest.scheme)


def _planned(
    plantings: list[register.Planting], day: date | None, scheme: Scheme | None
) -> domain.Planned | None:
    """What grows here next: by a day still to come, else by the scheme chosen for planting day.

    A scheme that was planted already is not offered again.
    """
    ahead = [one for one in plantings if day is not None and one.planted_on > day]
    if ahead:
        return domain.Planned(tuple(ahead[0].plants), ahead[0].scheme)
    if scheme is None or any(one.scheme == scheme.name for one in plantings):
        return None
    names = tuple(plant.name for plant in scheme.plants)
    return domain.Planned(names, scheme.name, tuple(plant.count for plant in scheme.plants))


def card(town: TownCalendar, today: date) -> dict[str, Any]:
    """The card of the whole town, without its number."""
    chosen = settings()
    year = town.season_year(today)
    freeze = town.next_freeze(None, today)
    nights = [
        {"date": day_text(one.date), "low_c": one.low_c, "kind": one.kind}
        for one in town.nights
        if abs((one.date - today).days) <= NIGHTS_SHOWN
    ]
    return {
        "id": TOWN,
        "name": chosen["town_name"],
        "zone": chosen["zone"],
        "tag_address": chosen["tag_address"],
        "demo": chosen["demo"],
        "today": day_text(today),
        "freeze": {
            "date": day_text(freeze.date) if freeze else None,
            "source": freeze.source if freeze else None,
            "nights": nights,
        },
        "season": {
            "year": year,
            "winter_from": day_text(_winter(town, year)),
            "spring_from": day_text(_on(year, town.spring_from)),
            "closed": [one.year for one in seasons.all_closed() if one.reopened_at is None],
        },
        "checklists": [_checklist(town, name, today) for name in LISTS],
        "visit_days": chosen["visit_days"],
        "sites": [
            {"id": one.id, "name": one.name, "freeze_on": day_text(one.freeze_on)}
            for one in town.sites
        ],
        "people": [
            {"id": one.id, "name": one.name, "role": one.role}
            for one in people.people()
            if one.state == "active"
        ],
        "tap_flow_l_min": chosen["tap_flow_l_min"],
        "units": chosen["units"],
        "crew_days": list(town.crew_days),
        "feeding": feed_doses.standing(town.care),
        "weather_notes": weather_record.notes(today),
        "taps": crew_view.public_taps(),
        "plans": site_plans_view.public_plans(),
        "freeze_odds": freeze_record.odds_card(today),
        "freeze_record": freeze_record.record_card(_names()),
        "push_key": register.setting("push_key") if chosen["push_on"] else None,
    }


def _checklist(town: TownCalendar, list_name: str, today: date) -> dict[str, Any]:
    """A list of today's season, for a phone to draw it without a planter."""
    season = town.list_season(list_name, today)
    return {
        "list": list_name,
        "season": season,
        "version": seasons.edition_count(list_name),
        "begins": day_text(list_begins(town, list_name, season)),
        "active": town.list_active(list_name, today),
        "steps": [public_step(one) for one in season_list(town, list_name, season).now],
    }


def public_step(step: Step) -> dict[str, Any]:
    """A step of a list as it goes over the wire."""
    return {**asdict(step), "which": list(step.which)}


def _winter(town: TownCalendar, year: int) -> date:
    """The start of the winter within the season that begins in the spring of that year."""
    later = town.winter_from >= town.spring_from
    return _on(year if later else year + 1, town.winter_from)


def _on(year: int, at: tuple[int, int]) -> date:
    month, day = at
    try:
        return date(year, month, day)
    except ValueError:
        return date(year, month, 28)
