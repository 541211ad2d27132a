"""The coordinator's review: the flags with what they rest on, the decisions, held records."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from desk_helpers import (
    ask,
    cards,
    case,
    flag_of,
    group,
    log_rows,
    open_case,
    review_of,
    send_all,
)
from field import eventually, quiet
from looking import drawn
from phone import LAPTOP, Phone
from playwright.sync_api import expect
from server_process import TownServer

DRY = "Station forecourt 6"
DRY_CASE = f"{DRY}: Running dry."
Phones = Callable[..., Phone]


@pytest.fixture
def desk(desk: Phone) -> Phone:
    """The coordinator's laptop, signed in, with the planters on it."""
    review_of(desk)
    quiet(desk)
    return desk


def test_flags_stand_by_what_must_be_done_and_a_case_shows_the_very_visits(desk: Phone) -> None:
    page = desk.page
    known = cards(desk)
    open_flags = [
        (card["name"], flag)
        for card in known.values()
        for flag in card["flags"]
        if not flag["quiet"] and (flag["decision"] is None or flag["decision"]["outdated"])
    ]
    acts = {flag["act"] for _, flag in open_flags}
    for act in acts:
        mine = [(name, flag) for name, flag in open_flags if flag["act"] == act]
        lines = group(page, act).locator("li.case")
        expect(lines).to_have_count(len(mine))
        for name, flag in mine:
            expect(lines.filter(has_text=f"{name}: {flag['name']}.")).to_have_count(1)
    stakes = page.locator("section.act-group > .group__head .stake").all_text_contents()
    order = ["Today", "This week", "Watch"]
    assert [order.index(one) for one in stakes] == sorted(order.index(one) for one in stakes)
    assert set(stakes) == set(order)

    card = known["Ferry landing 5"]
    flag = flag_of(card, "standing_water")
    assert flag is not None
    rests_on = [v for v in card["visits"] + card["evidence"] if v["record"] in flag["records"]]
    assert rests_on, "the demo's case rests on at least one visit"
    line = open_case(page, f"{card['name']}: {flag['name']}.")
    shown = line.locator(".visits > li")
    expect(shown).to_have_count(len(rests_on))
    for visit in rests_on:
        expect(shown.filter(has_text=visit["by"]).filter(has_text=visit["note"])).to_have_count(1)
    photos = [sha for visit in rests_on for sha in visit["photos"]]
    expect(line.locator(".case__open img.thumb")).to_have_count(len(photos))
    for seen in line.locator(".case__open img.thumb").all():
        assert drawn(seen).evaluate("img => img.naturalWidth") > 100
    open_case(page, DRY_CASE)
    expect(page.locator(".pot")).to_have_count(1)


def test_seen_and_handed_stay_in_the_list_with_who_decided(desk: Phone, town: TownServer) -> None:
    page, (name, _) = desk.page, town.coordinator
    line = open_case(page, DRY_CASE)
    line.get_by_label("Note for the others").fill("Ask at the kiosk for water.")
    line.get_by_role("button", name="Seen", exact=True).click()
    line = case(page, DRY_CASE)
    expect(line).to_contain_text(f"Seen by {name}")
    expect(line).to_contain_text("Ask at the kiosk for water.")
    line = open_case(page, DRY_CASE)
    line.get_by_role("button", name="Hand to…").click()
    line.get_by_label("Who looks after it").select_option(label="Ruth")
    line.get_by_role("button", name="Hand over").click()
    expect(case(page, DRY_CASE)).to_contain_text(f"Handed to Ruth by {name}")
    send_all(desk)
    made = log_rows(town, "decision")[-2:]
    assert [row["body"]["decision"] for row in made] == ["seen", "handed"]
    people = {one["name"]: one["id"] for one in ask(desk, "/register")["people"]}
    assert made[1]["body"]["to"] == people["Ruth"]
    flag = flag_of(cards(desk)[DRY], "running_dry")
    assert flag is not None
    assert made[1]["body"]["evidence"] == flag["records"]


def test_not_a_problem_keeps_quiet_until_something_new_is_seen(
    desk: Phone, town: TownServer, phone: Phones
) -> None:
    page = desk.page

    def is_quiet() -> bool:
        flag = flag_of(cards(desk)[DRY], "running_dry")
        assert flag is not None
        return bool(flag["quiet"])

    before = int(re.findall(r"\d+", page.get_by_text("kept quiet by a decision").inner_text())[0])
    line = open_case(page, DRY_CASE)
    line.get_by_role("button", name="Not a problem until…").click()
    expect(line.get_by_label("Quiet until this day")).to_have_value("2026-11-03")
    line.get_by_label("Quiet until this day").fill("2026-10-28")
    line.get_by_role("button", name="Keep it quiet").click()
    fold = page.locator("details").filter(has_text="kept quiet by a decision")
    expect(fold.locator("summary")).to_have_text(re.compile(f"^{before + 1} flags"))
    fold.locator("summary").click()
    expect(fold.locator("li.case").filter(has_text=DRY_CASE)).to_contain_text(
        "Not a problem until Wednesday 28 October"
    )
    expect(page.locator("section.group li.case").filter(has_text=DRY_CASE)).to_have_count(0)
    send_all(desk)
    eventually(is_quiet)

    volunteer = phone("field")
    volunteer.start()
    volunteer.join(town.invite("Wim"), "Wim")
    seen = volunteer.open("/planters")
    seen.get_by_role("link", name=re.compile(DRY)).click()
    seen.get_by_role("link", name="Check in").click()
    seen.get_by_role("radio", name="Empty").click()
    seen.get_by_role("radio", name="3 stressed").click()
    seen.get_by_role("button", name="Save").click()
    expect(seen.get_by_role("heading", name=re.compile("Saved on|Sent"))).to_be_visible()
    send_all(volunteer)
    eventually(lambda: not is_quiet())
    page = review_of(desk)
    back = page.locator("section.group li.case").filter(has_text=DRY_CASE)
    expect(back).to_have_count(1, timeout=60_000)
    expect(back).to_contain_text("Wim")


def test_settled_by_a_visit_names_the_visit(desk: Phone, town: TownServer) -> None:
    page = desk.page
    line = open_case(page, DRY_CASE)
    line.get_by_role("button", name="Settled by a visit…").click()
    visits = [v for v in cards(desk)[DRY]["visits"] if v["kind"] == "check-in"]
    chosen = line.get_by_label("Which visit settled it")
    expect(chosen.locator("option")).to_have_count(len(visits))
    expect(chosen).to_have_value(visits[0]["record"])
    line.get_by_role("button", name="Settled", exact=True).click()
    expect(page.locator("section.group li.case").filter(has_text=DRY_CASE)).to_have_count(0)
    send_all(desk)
    made = log_rows(town, "decision")[-1]["body"]
    assert (made["decision"], made["check_in"]) == ("settled", visits[0]["record"])


def test_decisions_work_with_the_server_gone_and_go_later(desk: Phone, town: TownServer) -> None:
    before = len(log_rows(town, "decision"))
    town.stop()
    page = review_of(desk)
    line = open_case(page, DRY_CASE)
    line.get_by_role("button", name="Seen", exact=True).click()
    expect(case(page, DRY_CASE)).to_contain_text("not sent yet")
    page.reload()
    expect(case(page, DRY_CASE)).to_contain_text("not sent yet")
    assert [row["kind"] for row in desk.outbox() if row["state"] != "sent"] == ["decision"]
    town.start("serve")
    send_all(desk)
    assert len(log_rows(town, "decision")) == before + 1
    page = review_of(desk)
    expect(case(page, DRY_CASE)).to_contain_text("Seen by")
    expect(case(page, DRY_CASE)).not_to_contain_text("not sent yet")


def test_a_held_record_is_taken_in_for_the_planter_a_person_names(
    desk: Phone, town: TownServer
) -> None:
    held = ask(desk, "/held")["held"]
    assert [one["reason"] for one in held] == ["unknown-planter"]
    page = desk.page
    line = case(page, "A planter nobody knows")
    expect(line).to_contain_text("“Old pot behind the shed, still has a tag.”")
    expect(line).to_contain_text("broken or missing")
    take = line.get_by_role("button", name="Take it in")
    expect(take).to_be_disabled()
    line.get_by_label("Which planter was it?").select_option(label="Library yard 3")
    take.click()
    expect(page.get_by_text("A planter nobody knows")).to_have_count(0)
    assert ask(desk, "/held")["held"] == []
    row = next(r for r in log_rows(town, "check-in") if r["id"] == held[0]["record"])
    assert row["at"] == cards(desk)["Library yard 3"]["id"]
    assert row["planter"] != row["at"], "the phone's own words stay as they were"


def test_a_wrong_password_and_an_unknown_name_are_refused_alike_and_slowed_down(
    town: TownServer, phone: Phones
) -> None:
    one = phone("stranger", size=LAPTOP)
    one.start()
    name, _ = town.coordinator

    def refusal(who: str) -> str:
        page = one.open("/sign-in")
        page.get_by_label("Name").fill(who)
        page.get_by_label("Password").fill("not the password at all")
        page.get_by_role("button", name="Sign in").click()
        expect(page.get_by_role("alert")).to_be_visible()
        return page.get_by_role("alert").inner_text()

    known, unknown = refusal(name), refusal("Nobody Such")
    assert known == unknown
    # Each try doubles the wait for the next one: soon it is longer than a try takes.
    said = next(words for words in (refusal(name) for _ in range(8)) if "Too many" in words)
    assert "Too many tries" in said
    assert re.search(r"Wait \d+ seconds", said)
    page = one.open("/review")
    expect(page.get_by_role("link", name="Join with a link")).to_be_visible()
