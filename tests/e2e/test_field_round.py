"""Two phones walk rounds of one day, offline and online: nothing lost, nothing done twice."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from typing import Any

import pytest
from field import (
    IDS,
    all_sent,
    arrive,
    back_in_signal,
    eventually,
    kept,
    log_texts,
    news,
    save,
    stored,
)
from phone import LAPTOP, Phone
from playwright.sync_api import expect
from server_process import TownServer
from told import call, goes_out, nobody_goes_out, tell


@pytest.fixture
def desk(town: TownServer, phone: Callable[..., Phone]) -> Phone:
    one = phone("desk", size=dict(LAPTOP))
    one.start()
    one.sign_in(*town.coordinator)
    return one


@pytest.fixture
def both(town: TownServer, phone: Callable[..., Phone], desk: Phone) -> tuple[Phone, Phone]:
    """Wim and Adele, who alone go out, on every day; told their rounds."""
    wim, adele = phone("wim"), phone("adele")
    arrive(wim, town.invite("Wim"), "Wim")
    arrive(adele, town.invite("Adele"), "Adele")
    nobody_goes_out(desk)
    for name in ("Wim", "Adele"):
        goes_out(desk, name)
    tell(desk)
    told = in_the_town(town)
    assert told, "a round was told"
    for one in (wim, adele):
        news(one, "/round")
        eventually(lambda one=one: {card["id"] for card in stored(one, "rounds")} >= told)  # type: ignore[misc]
    return wim, adele


def in_the_town(town: TownServer) -> set[str]:
    """Keys of the rounds that the town's server tells its phones."""
    address = f"file:{town.home}/town/potrounds.sqlite?mode=ro"
    with closing(sqlite3.connect(address, uri=True)) as db:
        rows = db.execute("SELECT key FROM card WHERE key LIKE 'round-%' AND content IS NOT NULL")
        return {key for (key,) in rows}


def add(phone: Phone, planter: str) -> None:
    phone.page.get_by_label("Add a planter").select_option(label=planter)
    phone.page.get_by_role("button", name="Add it to my round").click()
    expect(line(phone, planter)).to_be_visible()


def line(phone: Phone, planter: str) -> Any:
    """A planter on the own round: the raised part, or a line of the hose."""
    own = phone.page.locator("main > section.pot, main > section > ol.hose > li")
    return own.filter(has_text=planter).first


def lead(phone: Phone) -> str:
    """The planter that is next."""
    return phone.page.locator("section.pot h2").inner_text()


def done_here(phone: Phone, planter: str) -> None:
    """Check the next stop in from the round."""
    page = phone.page
    assert lead(phone) == planter
    page.get_by_role("link", name=f"Check in {planter}").click()
    page.get_by_role("radio", name="Half", exact=True).click()
    page.get_by_role("button", name="Save").click()
    page.get_by_role("link", name="Back to the round").click()
    expect(page.locator("li[data-state=done]").filter(has_text=planter).first).to_be_visible()


def stops_of(phone: Phone) -> dict[str, tuple[str, str]]:
    """Holder and state of each stop of today, as the server last told this phone."""
    day = phone.page.evaluate("() => document.title") and today(phone)
    return {
        stop["name"]: (card["person"]["name"], stop["state"])
        for card in stored(phone, "rounds")
        if card["day"] == day
        for stop in card["stops"]
    }


def today(phone: Phone) -> str:
    return next(str(row["today"]) for row in stored(phone, "town") if row["id"] == "town")


def test_two_phones_walk_one_day_and_nothing_is_lost_or_done_twice(
    town: TownServer, both: tuple[Phone, Phone]
) -> None:
    wim, adele = both
    names = [f"Market street {n}" for n in (1, 3, 4)]
    expect(wim.page.get_by_label("Add a planter")).to_be_visible()
    for name in names:
        if not line(wim, name).is_visible():
            add(wim, name)
    all_sent(wim)
    news(adele, "/round")
    eventually(lambda: stops_of(adele).get(names[-1]) == ("Wim", "to-do"))

    # Wim loses his signal and walks on; the browser stays the same.
    wim.context.set_offline(True)  # type: ignore[union-attr]
    page = wim.open("/round")
    page.get_by_role("button", name="Begin the round").click()
    expect(page.get_by_role("link", name="Check in")).to_be_visible()
    order = []
    while True:
        now = lead(wim)
        if now in names:
            order.append(now)
        if len(order) == 1 and now == order[0]:
            done_here(wim, now)
        elif len(order) == 2 and now == order[1]:
            page.get_by_role("button", name="Skip", exact=True).click()
            page.get_by_role("radio", name="Could not get there").click(force=True)
            page.get_by_role("button", name="Skip this stop").click()
            skipped = page.locator("li[data-state=skipped]").filter(has_text=now)
            expect(skipped.first).to_be_visible()
        elif len(order) == 3:
            page.get_by_role("button", name="Hand to…").click()
            page.get_by_role("button", name="Adele", exact=True).click()
            expect(page.locator("section.pot h2").filter(has_text=now)).to_have_count(0)
            break
        else:
            page.get_by_role("button", name="Skip", exact=True).click()
            page.get_by_role("radio", name="No time left").click(force=True)
            page.get_by_role("button", name="Skip this stop").click()
            expect(page.locator("section.pot h2").filter(has_text=now)).to_have_count(0)
    done, left_out, handed = order
    told = stops_of(wim)  # who got which planter is the plan's choice
    offered = wim.page.get_by_label("Add a planter").locator("option").all_inner_texts()
    fourth = next(name for name in offered if name in IDS and name not in told)
    add(wim, fourth)
    assert "sent" not in {row["state"] for row in kept(wim) if row["kind"] == "round"}
    wim.shut()  # in the pocket, still unsent

    # Adele, with signal, does the very stop that Wim has done without.
    adele.open(f"/p/{IDS[done]}/check-in")
    adele.page.get_by_role("radio", name="Quarter", exact=True).click()
    save(adele.page)
    eventually(lambda: {row["state"] for row in kept(adele)} == {"sent"})
    all_sent(adele)

    wim.start()
    back_in_signal(wim)
    all_sent(wim)
    for one in (wim, adele):
        news(one, "/round")
        eventually(lambda one=one: stops_of(one).get(handed) == ("Adele", "to-do"))  # type: ignore[misc]
        seen = stops_of(one)
        assert seen[done] == ("Wim", "done")
        assert seen[left_out] == ("Wim", "skipped")
        assert seen[fourth] == ("Wim", "to-do")
    expect(line(adele, handed)).to_be_visible()
    assert stops_of(wim) == stops_of(adele)

    own = [row for one in both for row in kept(one)]
    log = log_texts(town)
    assert all(log.count(row["text"]) == 1 for row in own), "every record once"
    rounds = [json.loads(row["text"]) for row in own if row["kind"] in ("round", "stop")]
    assert {one["body"]["what"] for one in rounds} >= {"started", "skipped", "handed", "added"}
    cards = [card for card in stored(adele, "rounds") if card["day"] == today(adele)]
    held = [stop["planter"] for card in cards for stop in card["stops"]]
    assert len(held) == len(set(held)), "every stop in exactly one round"


def test_a_town_without_positions_taps_and_days_gets_sentences_and_a_plan(desk: Phone) -> None:
    for one in call(desk, "GET", "/rounds/crew")["taps"]:
        call(desk, "DELETE", f"/rounds/taps/{one['id']}")
    for planter in call(desk, "GET", "/register")["planters"][:3]:
        path, version = f"/register/planters/{planter['id']}", f'"{planter["version"]}"'
        call(desk, "PATCH", path, {"lat": None, "lon": None}, If_Match=version)
    crew = call(desk, "GET", "/rounds/crew")["crew"]
    for one in (one for one in crew if one["name"] == "Joss"):
        keys = ("minutes", "mode", "tank_l", "start_tap")
        body = {**{key: one[key] for key in keys}, "weekdays": []}
        call(desk, "PUT", f"/rounds/crew/{one['person']}", body)
    call(desk, "PATCH", "/register/settings", {"crew_days": []})
    notes = call(desk, "POST", "/rounds/plan", {})["notes"]
    assert len(notes) >= 2
    page = desk.open("/rounds")
    expect(page.get_by_role("heading", name="Visits against dry planters")).to_be_visible()
    for note in notes:
        expect(page.get_by_text(note)).to_be_visible()
    expect(page.locator(".rounds__stops li").first).to_be_visible()


def test_a_small_tank_a_far_planter_and_nobody_at_all_get_sentences(desk: Phone) -> None:
    nobody_goes_out(desk)
    tap = call(desk, "GET", "/rounds/crew")["taps"][0]["id"]
    goes_out(desk, "Ines", mode="cart", tank_l=5, start_tap=tap)
    far = {"one": tap, "other": IDS["Library yard 6"], "metres": 90_000}
    call(desk, "PUT", "/rounds/ways", {"ways": [far]})
    page = desk.open("/rounds")
    expect(page.get_by_text("The largest tank holds 5 L, less than")).to_be_visible()
    expect(page.get_by_text("Library yard 6 is reached by nobody").first).to_be_visible()
    expect(page.locator(".rounds__stops li").first).to_be_visible()

    nobody_goes_out(desk)
    call(desk, "PATCH", "/register/settings", {"crew_days": []})
    page = desk.open("/rounds")
    expect(page.get_by_text("No days are set on which anybody goes out")).to_be_visible()
    expect(page.get_by_role("heading", name="Visits against dry planters")).to_be_visible()
