"""Who comes by a link and who comes by a tag: one joins once, the other sees what is public."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from field import CODES, DEMO, IDS, arrive, card, eventually, setting, stored
from phone import Phone
from playwright.sync_api import Page, Request, expect
from server_process import TownServer

WORKERS = "async () => (await navigator.serviceWorker.getRegistrations()).length"
PLANTER = "Ferry landing 2"
NAMES = [one["name"] for one in DEMO["people"]]


def test_an_invite_joins_one_phone_and_its_secret_leaves_the_address_bar(
    town: TownServer, phone: Callable[..., Phone]
) -> None:
    link = town.invite("Wim")
    secret = link.split("#")[1]
    first = phone("first")
    page = first.start()
    asked: list[Request] = []
    page.on("request", lambda request: asked.append(request))
    page.goto(link)
    expect(page.get_by_label("Your name")).to_be_visible()
    assert page.url == f"{town.url}/join", "gone before anybody looks over the shoulder"
    assert stored(first, "planters") == [], "opening the link does nothing yet"
    page.get_by_label("Your name").fill("Wim")
    page.get_by_role("button", name="Join", exact=True).click()
    expect(page.get_by_text("Welcome, Wim")).to_be_visible()
    eventually(lambda: len(stored(first, "planters")) == 24)
    page.go_back()
    assert secret not in page.url
    first.open("/planters")
    assert not [one.url for one in asked if secret in one.url or secret in str(one.headers)]
    kept = json.dumps([stored(first, store) for store in ("settings", "drafts", "outbox")])
    assert secret not in kept, "the phone does not keep it either"

    second = phone("second")
    second.start().goto(link)
    second.page.get_by_label("Your name").fill("Somebody else")
    second.page.get_by_role("button", name="Join", exact=True).click()
    refusal = second.page.get_by_role("alert")
    expect(refusal).to_contain_text("This link does not work any more")
    expect(refusal).to_contain_text(re.compile("[Aa]sk a coordinator for a new link"))
    assert not setting(second, "me")
    assert stored(second, "planters") == []


@pytest.fixture
def passer_by(town: TownServer, phone: Callable[..., Phone]) -> Phone:
    """Somebody whose phone has never been here."""
    one = phone("passer-by")
    one.start()
    return one


def nothing_private(said: str) -> None:
    """No volunteer, no litres, no time of day."""
    for name in NAMES:
        assert not re.search(rf"\b{name}\b", said), name
    for private in (
        r"\d\s*(L|l|gal)\b",
        r"[Ll]it(re|er)",
        r"reservoir_l",
        r"\d\d:\d\d",
        r"u-\w{8}",
    ):
        assert not re.search(private, said), re.search(private, said)


def public_page(passer_by: Phone, way: str = "/T/") -> Page:
    """What the phone's camera opens when it sees the tag."""
    page = passer_by.open(f"{way}{CODES[PLANTER]}")
    expect(page.get_by_role("heading", name=PLANTER, level=1)).to_be_visible()
    return page


def test_a_passer_by_sees_the_public_page_and_nothing_private(
    town: TownServer, passer_by: Phone
) -> None:
    answers: list[Any] = []
    passer_by.page.on("response", lambda answer: answers.append(answer))
    page = public_page(passer_by)
    expect(page.get_by_text("Neighbours look after this planter.")).to_be_visible()
    expect(page.get_by_text(re.compile("Last looked after on"))).to_be_visible()
    nothing_private(page.locator("body").inner_text())
    asked = [one for one in answers if "/api/" in one.url]
    assert [one.url.split("/api/v1/")[1] for one in asked] == [f"public/tags/{CODES[PLANTER]}"]
    told = asked[0].json()
    nothing_private(json.dumps(told))
    assert set(told) == {"state", "planter_name", "site_name", "town", "last_care_day", "plants"}
    assert all(one.url.startswith(town.url) for one in answers), "nobody else is asked"
    assert page.evaluate(WORKERS) == 0
    public_page(passer_by, "/t/")
    page.reload()
    expect(page.get_by_role("heading", name=PLANTER, level=1)).to_be_visible()
    assert page.evaluate(WORKERS) == 0, "a passer-by's phone is left alone"


def test_what_members_see_is_closed_to_a_passer_by(town: TownServer, passer_by: Phone) -> None:
    for path in (f"/p/{IDS[PLANTER]}", "/planters", "/winter", "/review", "/register", "/people"):
        page = passer_by.open(path)
        expect(page.get_by_role("link", name=re.compile("^Coordinator: sign in"))).to_be_visible()
        nothing_private(page.locator("body").inner_text())
    for path in ("sync/pull", "register", "me", "held"):
        assert page.request.get(f"{town.url}/api/v1/{path}").status == 401


def test_a_passer_bys_report_becomes_a_flag_on_every_volunteers_phone(
    town: TownServer, passer_by: Phone, phone: Callable[..., Phone]
) -> None:
    volunteer = phone("volunteer")
    arrive(volunteer, town.invite("Wim"), "Wim")
    assert not [one for one in card(volunteer, PLANTER)["flags"] if "report" in one["code"]]

    page = public_page(passer_by)
    page.get_by_role("button", name="Something wrong here?").click()
    page.get_by_role("radio", name="Leaking").click()
    page.get_by_label("In your words, if you like").fill("A puddle at the <b>corner</b>")
    page.get_by_role("button", name="Tell the neighbours").click()
    expect(page.get_by_role("heading", name="Thank you")).to_be_visible()
    assert page.evaluate(WORKERS) == 0

    page = volunteer.open(f"/p/{IDS[PLANTER]}")
    flagged = eventually(
        lambda: [
            one
            for one in card(volunteer, PLANTER)["flags"]
            if one["code"] == "public_report_waiting"
        ]
    )
    expect(page.get_by_text(flagged[0]["sentence"]).first).to_be_visible()
    visit = page.locator(".visits > li").first
    expect(visit).to_contain_text("Passer-by")
    expect(visit).to_contain_text("Leaking")
    expect(visit).to_contain_text("A puddle at the <b>corner</b>")
    assert card(volunteer, PLANTER)["visits"][0]["record"] in flagged[0]["records"]
