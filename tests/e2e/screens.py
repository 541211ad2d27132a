"""Every screen of the app, and how a person gets there."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from random import Random

import ways_to_changes
from desk_ways import (
    archive,
    behind_a_number,
    faulty_import,
    faulty_weather,
    fresh_invite,
    list_step,
    opened_scheme,
    place,
    plugs,
    questioned_size,
    seasons,
    sheet,
    wet,
    whole_history,
)
from people import Role, World
from playwright.sync_api import Page, expect
from review_ways import case_opened, group_chosen, group_decided, review
from screens_rounds import begun_round, fresh_calendar, opened, paced_way, told_round
from screens_site_plan import opened_ways, plan_points, site_plan
from ways import alerts_blocked, alerts_off, photo_erase

from potrounds.domain.tag_code import new_code


@dataclass(frozen=True)
class Screen:
    """A name, who sees it, and the way there. `refused`: answers the browser itself reports."""

    name: str
    who: str
    way: Callable[[World, Role], object]
    refused: tuple[str, ...] = ()


def at(path: str, heading: str | re.Pattern[str] | None = None) -> Callable[[World, Role], None]:
    """An address, and the heading that says it has been drawn."""

    def go(world: World, role: Role) -> None:
        page = role.phone.open(path)
        seen = page.get_by_role("heading", name=heading) if heading else page.locator("h1")
        expect(seen.first).to_be_visible()

    return go


def public(world: World, role: Role) -> Page:
    page = role.phone.open(f"/t/{world.quiet()['code']}")
    expect(page.get_by_role("button", name="Something wrong here?")).to_be_visible()
    return page


def report_form(world: World, role: Role) -> None:
    page = public(world, role)
    page.get_by_role("button", name="Something wrong here?").click()
    page.get_by_role("radio", name="In the way").click()
    expect(page.get_by_text("don’t move")).to_be_visible()


def planter(pick: Callable[[World], dict[str, object]], more: str = "") -> Callable[..., Page]:
    def go(world: World, role: Role) -> Page:
        card = pick(world)
        page = role.phone.open(f"/p/{card['id']}{more}")
        expect(page.get_by_role("heading", name=str(card["name"]), level=1)).to_be_visible()
        return page

    return go


def filled_check_in(world: World, role: Role) -> None:
    page = planter(World.running_dry, "/check-in")(world, role)
    page.get_by_role("radio", name="Quarter", exact=True).click()
    page.get_by_role("radio", name="3 stressed").click()
    page.get_by_role("checkbox", name="Wilting").click()


def planting_form(world: World, role: Role) -> None:
    page = planter(World.quiet, "/planting")(world, role)
    expect(page.get_by_label("Plant 1")).to_be_visible()


def fed_check_in(world: World, role: Role) -> None:
    page = planter(World.quiet, "/check-in")(world, role)
    page.get_by_role("checkbox", name="Fed", exact=True).check(force=True)
    page.get_by_text("Salt reading with a meter").click()
    page.get_by_label("Reading, mS/cm").fill("1300")
    expect(page.get_by_role("button", name="Take it as 1.3 mS/cm")).to_be_visible()


def feed_worked_out(world: World, role: Role) -> None:
    page = role.phone.open("/register?part=feed")
    page.get_by_label("Injector, 1 to").fill("200")
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_text("100 ppm N")).to_be_visible()


def saved(world: World, role: Role) -> None:
    kept = next(row for row in role.phone.outbox() if row["kind"] == "check-in")
    page = role.phone.open(f"/saved/{kept['id']}")
    expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible()


def scan(world: World, role: Role) -> None:
    page = role.phone.open("/scan")
    expect(page.get_by_text("Hold the tag inside the frame")).to_be_visible()


def waiting(world: World, role: Role) -> None:
    page = role.phone.open("/outbox")
    name = json.loads(role.phone.outbox()[0]["text"])["planter"]
    card = next(card for card in world.cards if card["id"] == name)
    expect(page.get_by_text(card["name"]).first).to_be_visible()


UNUSED = new_code(Random(7))  # a right code that no tag carries
OFFLINE = ("ERR_INTERNET_DISCONNECTED",)

SCREENS = [
    Screen("start", "nobody", at("/")),
    Screen("join", "nobody", at("/join#some-secret", "Join")),
    Screen("sign-in", "nobody", at("/sign-in", "Coordinator: sign in")),
    Screen("public", "nobody", public),
    Screen("public-unknown", "nobody", at(f"/t/{UNUSED}", "No planter for this code"), ("404",)),
    Screen("report", "nobody", report_form),
    Screen("planters", "volunteer", at("/planters", "Osier Bend")),
    Screen("planters-desk", "desk", at("/planters", "Osier Bend")),
    Screen("desk-ways", "desk", opened_ways),
    Screen("site-plan-town", "volunteer", site_plan("")),
    Screen("site-plan-picture", "volunteer", site_plan("?site=s-market00")),
    Screen("site-plan-drawn", "american", site_plan("?site=s-yard0000")),
    Screen("site-plan-desk", "desk", site_plan("?site=s-market00")),
    Screen("register-siteplans", "desk", plan_points),
    Screen("planters-some", "volunteer", at("/planters?show=flagged&order=visit", "Osier Bend")),
    Screen("planter-today", "volunteer", planter(World.running_dry)),
    Screen("planter-quiet", "volunteer", planter(World.quiet)),
    Screen("planter-drained", "volunteer", planter(World.drained)),
    Screen("check-in", "volunteer", planter(World.quiet, "/check-in")),
    Screen("check-in-filled", "volunteer", filled_check_in),
    Screen("check-in-fed", "volunteer", fed_check_in),
    Screen("planter-new", "volunteer", planter(World.newly_planted)),
    Screen("round-none", "volunteer", at("/round", "My round")),
    Screen("rounds-plan", "desk", at("/rounds", "Visits against dry planters")),
    Screen("rounds-crew", "desk", opened("crew", "Change what Ines")),
    Screen("rounds-taps", "desk", opened("taps", "Change Bicycle stand tap")),
    Screen("rounds-ways", "desk", paced_way),
    Screen("rounds-hours", "desk", at("/rounds?part=hours", "Rounds")),
    Screen("rounds-calendar", "desk", fresh_calendar),
    Screen("round-told", "walker", told_round),
    Screen("round-begun", "walker", begun_round),
    Screen("planted-today", "volunteer", planting_form),
    Screen("planter-water", "volunteer", planter(wet)),
    Screen("planter-water-desk", "desk", planter(wet)),
    Screen("planter-water-us", "american", planter(wet)),
    Screen("planter-history", "desk", whole_history),
    Screen(
        "planter-history-volunteer",
        "volunteer",
        lambda world, role: at(f"/p/{wet(world)['id']}/history", "Whole history")(world, role),
    ),
    Screen("planter-doubt", "volunteer", planter(lambda w: w.named("Market street 6"))),
    Screen("planter-leak", "volunteer", planter(lambda w: w.named("Library yard 3"))),
    Screen("check-in-water", "volunteer", planter(wet, "/check-in")),
    Screen("check-in-us", "american", planter(wet, "/check-in")),
    Screen("saved", "far", saved, OFFLINE),
    Screen("scan", "volunteer", scan),
    Screen("outbox-empty", "volunteer", at("/outbox", "Waiting to send")),
    Screen("outbox-waiting", "far", waiting, OFFLINE),
    Screen("settings", "volunteer", at("/settings", "Settings")),
    Screen("winter", "volunteer", planter(lambda world: world.drained("under-way"), "/winter")),
    Screen("winter-unproven", "volunteer", planter(lambda w: w.drained("unproven"), "/winter")),
    Screen("start-up", "volunteer", planter(World.quiet, "/start-up")),
    Screen("winter-board", "desk", at("/winter", re.compile("still to prove"))),
    Screen("winter-board-volunteer", "volunteer", at("/winter", re.compile("still to prove"))),
    Screen("freeze-dates", "volunteer", at("/freeze", "First cold night in fall")),
    Screen("freeze-dates-desk", "desk", at("/freeze", "Daily lows from a file")),
    Screen("winter-plugs", "desk", plugs),
    Screen("winter-sheet", "desk", at("/winter/print?list=winterization", "Ferry landing")),
    Screen("winter-sheet-volunteer", "volunteer", at("/winter/print?what=plugs")),
    Screen("start-up-board", "volunteer", at("/winter?list=start-up", re.compile("to start"))),
    Screen("register-lists", "desk", list_step),
    Screen("register-seasons", "desk", seasons),
    Screen("register-season", "desk", archive),
    Screen("review", "desk", review),
    Screen("review-open", "desk", case_opened),
    Screen("review-chosen", "desk", group_chosen),
    Screen("review-decided", "desk", group_decided),
    Screen("register-planters", "desk", at("/register", "Register")),
    Screen("register-planters-some", "desk", at("/register?search=landing&order=reservoir")),
    Screen("register-sheet", "desk", sheet),
    Screen("register-place", "desk", place),
    Screen("register-add", "desk", at("/register?part=add", "Add planters")),
    Screen("register-import", "desk", faulty_import, ("422",)),
    Screen("register-tags", "desk", at("/register?part=tags", "Print tags")),
    Screen("register-sites", "desk", at("/register?part=sites", "Sites")),
    Screen("register-feed", "desk", feed_worked_out),
    Screen("register-sizes", "desk", at("/register?part=sizes", "Add a size")),
    Screen("register-size-questioned", "desk", questioned_size, ("422",)),
    Screen("register-schemes", "desk", opened_scheme),
    Screen("register-materials", "desk", at("/register?part=materials", "Spare parts")),
    Screen("register-assets", "desk", at("/register?part=assets", "Falls due")),
    Screen("planting", "desk", at("/planting", "Shopping list")),
    Screen("register-town", "desk", at("/register?part=town", "The town")),
    Screen("register-weather", "desk", at("/register?part=weather", "The last 14 days")),
    Screen("register-weather-file", "desk", faulty_weather, ("422",)),
    Screen("register-changes", "desk", at("/register?part=changes", "What changed")),
    Screen("register-changes-some", "desk", ways_to_changes.changes_looked_through),
    Screen("undo", "desk", ways_to_changes.undo_asked),
    Screen("undo-edited-since", "desk", ways_to_changes.undo_in_the_way),
    Screen("undo-refused", "desk", ways_to_changes.undo_refused),
    Screen("just-edited", "desk", ways_to_changes.just_edited),
    Screen("register-files", "desk", at("/register?part=files", "Save as a file")),
    Screen("report", "desk", at("/report", "Flags, and how fast they cleared")),
    Screen("report-records", "desk", behind_a_number),
    Screen("people", "desk", fresh_invite),
    Screen("people-some", "desk", at("/people?role=volunteer", "People")),
    Screen("photo-erase", "desk", photo_erase),
    Screen("settings-alerts", "american", alerts_off),
    Screen("settings-alerts-blocked", "american", alerts_blocked),
    Screen("not-found", "volunteer", at("/nowhere", "There is nothing at this address")),
]
