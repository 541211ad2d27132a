"""The review in a hurry: a group decided at once, onto the next round, what changed, phones."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from desk_helpers import (
    ask,
    cards,
    case,
    change,
    flag_of,
    group,
    in_hand,
    log_rows,
    review_of,
    send_all,
)
from field import check_in, eventually, quiet, setting
from phone import LAPTOP, Phone
from playwright.sync_api import expect
from server_process import TownServer

PULL, FLAG = "Pull the drain plug", "drain_not_pulled"
Phones = Callable[..., Phone]


@pytest.fixture
def desk(town: TownServer, phone: Phones) -> Phone:
    """The coordinator on a phone, signed in, with the review drawn."""
    one = phone("desk")
    one.start()
    one.sign_in(*town.coordinator)
    review_of(one)
    quiet(one)
    return one


def open_ones(desk: Phone, code: str = FLAG) -> dict[str, Any]:
    """The planters on which this flag waits for a decision, by id."""
    found = {}
    for card in cards(desk).values():
        flag = flag_of(card, code)
        if flag and not flag["quiet"] and flag["decision"] is None:
            found[card["id"]] = card
    return found


def stops_of(desk: Phone, planter: str, day: str) -> list[dict[str, Any]]:
    """This planter's stops on the rounds of a day, as every phone has them."""
    rounds = [one for one in ask(desk, "/rounds")["rounds"] if one["day"] == day]
    return [stop for one in rounds for stop in one["stops"] if stop["planter"] == planter]


def test_a_group_is_decided_at_once_and_taken_back_at_once(desk: Phone, town: TownServer) -> None:
    page, (name, _) = desk.page, town.coordinator
    wanted = open_ones(desk)
    assert len(wanted) >= 3
    before = len(log_rows(town, "decision"))
    group(page, PULL).get_by_role("button", name=f"Choose all {len(wanted)} {PULL}").click()
    expect(page.get_by_text(f"{len(wanted)} chosen")).to_be_visible()
    page.get_by_role("button", name="Seen", exact=True).click()
    expect(page.get_by_text(f"Seen: {len(wanted)} flags.")).to_be_visible()
    expect(group(page, PULL)).to_have_count(0)
    fold = in_hand(page)
    for card in wanted.values():
        line = (
            fold.get_by_role("listitem")
            .filter(has_text=f"{card['name']}: ")
            .filter(has_text=re.compile(f"Seen by {name}"))
        )
        expect(line.first).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text(f"Taken back: {len(wanted)} decisions.")).to_be_visible()
    expect(group(page, PULL).locator("li.case")).to_have_count(len(wanted))
    send_all(desk)
    made = log_rows(town, "decision")[before:]
    assert {row["planter"] for row in made} == set(wanted)
    assert len(made) == len(wanted), "each planter's decision is a record of its own"
    taken_back = {row["body"]["replaces"] for row in log_rows(town, "withdrawal")}
    assert {row["id"] for row in made} <= taken_back
    eventually(lambda: set(open_ones(desk)) == set(wanted))
    expect(group(review_of(desk), PULL).locator("li.case")).to_have_count(len(wanted))


def handed_to(desk: Phone, name: str) -> set[str]:
    """The planters whose drain plug is in that person's hands."""
    decided = {
        one: (flag_of(card, FLAG) or {}).get("decision") for one, card in cards(desk).items()
    }
    return {one for one, made in decided.items() if made and made["to"] == name}


def test_several_are_handed_to_somebody_and_others_kept_quiet(
    desk: Phone, town: TownServer
) -> None:
    page = desk.page
    some = sorted(open_ones(desk).values(), key=lambda card: card["name"])[:2]
    for card in some:
        page.get_by_role("checkbox", name=f"Choose {card['name']}: Drain plug not pulled.").check()
    page.get_by_role("button", name="Hand to…").click()
    page.get_by_label("Who looks after it").select_option(label="Ruth")
    page.get_by_role("button", name="Hand over").click()
    expect(page.get_by_text("Handed to Ruth: 2 flags.")).to_be_visible()
    page.get_by_role("button", name="Close").click()
    other = next(one for key, one in open_ones(desk).items() if key not in {c["id"] for c in some})
    page.get_by_role("checkbox", name=f"Choose {other['name']}: Drain plug not pulled.").check()
    page.get_by_role("button", name="Not a problem until…").click()
    page.get_by_label("Quiet until this day").fill("2026-10-28")
    page.get_by_role("button", name="Keep it quiet").click()
    expect(page.get_by_text("Quiet until Wednesday 28 October: 1 flag.")).to_be_visible()
    send_all(desk)
    eventually(lambda: len(handed_to(desk, "Ruth")) == 2)
    assert handed_to(desk, "Ruth") == {card["name"] for card in some}
    eventually(lambda: flag_of(cards(desk)[other["name"]], FLAG)["quiet"])
    assert len(log_rows(town, "decision")) >= 3


def test_a_flag_put_on_the_next_round_is_a_stop_there_with_its_reason(
    desk: Phone, town: TownServer
) -> None:
    page, (name, _) = desk.page, town.coordinator
    told = sorted(
        (one for one in ask(desk, "/rounds")["rounds"] if one["state"] == "planned"),
        key=lambda one: (one["day"], one["person"]["name"]),
    )
    first = [one for one in told if one["day"] == told[0]["day"]]
    there = {stop["planter"] for one in first for stop in one["stops"]}
    known = cards(desk)
    code, card = next(
        (flag["code"], card)
        for card in known.values()
        for flag in card["flags"]
        if card["id"] not in there and not flag["quiet"] and flag["decision"] is None
    )
    flag = flag_of(card, code)
    assert flag is not None
    words = f"{card['name']}: {flag['name']}."
    page.get_by_role("checkbox", name=f"Choose {words}").check()
    page.get_by_role("button", name="To the next round").click()
    expect(page.get_by_text("Put on the next round: 1 flag.")).to_be_visible()
    fold = in_hand(page)
    expect(fold.get_by_role("listitem").filter(has_text=words)).to_contain_text(
        f"put there by {name}"
    )
    send_all(desk)
    reason = f"{flag['name']}: {flag['sentence']} Put on the round by {name}."
    on = eventually(lambda: stops_of(desk, card["id"], told[0]["day"]))
    assert len(on) == 1, "on one round of that day"
    assert on[0]["must"]
    assert reason in on[0]["why"]
    page = desk.open("/rounds")
    stop = page.locator("ol.rounds__stops > li").filter(has_text=f"Put on the round by {name}")
    expect(stop.first).to_be_visible(timeout=60_000)
    expect(stop.first).to_contain_text(card["name"])
    expect(stop.first).to_contain_text("Must:")


def newest_visit(desk: Phone, planter: str) -> str:
    """The record of the last visit that the planter's card tells of."""
    return str(cards(desk)[planter]["visits"][0]["record"])


def looked_through(one: Phone) -> None:
    """Press it, see that nothing is left to tell, and that the server knows."""
    with one.page.expect_response(re.compile("/review/looked$")) as told:
        one.page.get_by_role("button", name="Looked through").click()
    assert told.value.ok
    expect(one.page.get_by_text("nothing has changed.")).to_be_visible()


def test_what_changed_since_the_last_look_is_told_on_any_of_ones_phones(
    desk: Phone, town: TownServer, phone: Phones
) -> None:
    page = desk.page
    expect(page.get_by_text("Press “Looked through”")).to_be_visible()
    looked_through(desk)
    expect(page.locator(".news")).to_have_count(0)
    before = {(card["id"], flag["code"]) for card in cards(desk).values() for flag in card["flags"]}

    volunteer = phone("field")
    volunteer.start()
    volunteer.join(town.invite("Wim"), "Wim")
    quiet(volunteer)
    for planter, level, plants in (
        ("Library yard 2", "Half", "1 dead or gone"),
        ("Station forecourt 6", "Full", "4 good"),
    ):
        record = check_in(volunteer, planter, level, plants)
        send_all(volunteer)
        eventually(
            lambda name=planter, made=record: cards(desk)[name]["visits"][0]["record"] == made
        )

    def up() -> dict[tuple[str, str], str]:
        return {
            (card["id"], flag["code"]): card["name"]
            for card in cards(desk).values()
            for flag in card["flags"]
        }

    after = up()
    fresh, cleared = set(after) - before, before - set(after)
    assert fresh
    assert cleared
    laptop = phone("laptop", size=LAPTOP)
    laptop.start()
    laptop.sign_in(*town.coordinator)
    for one in (desk, laptop):
        page = review_of(one)
        expect(page.get_by_text(f"{len(cleared)} cleared")).to_be_visible(timeout=60_000)
        expect(page.locator(".news").filter(has_text="New")).to_have_count(len(fresh))
        page.get_by_text("What cleared and what others decided").click()
        line = page.get_by_role("listitem").filter(has_text="Station forecourt 6: Running dry.")
        expect(line.first).to_contain_text("Cleared after Wim was there")
    looked_through(laptop)
    expect(review_of(desk).get_by_text("nothing has changed.")).to_be_visible()


def test_a_phone_with_old_work_is_a_case_until_it_is_settled(
    desk: Phone, town: TownServer, phone: Phones
) -> None:
    volunteer = phone("field")
    volunteer.start()
    volunteer.join(town.invite("Wim"), "Wim")
    check_in(volunteer, "Library yard 2")
    send_all(volunteer)
    quiet(volunteer)
    assert setting(volunteer, "n") == 1
    change(
        volunteer,
        "POST",
        "/sync/hello",
        {"n_max": 3, "unsent": 2, "photos": 0, "oldest_s": 3 * 24 * 3600},
    )
    page = review_of(desk)
    line = case(page, "Wim’s phone.")
    expect(line).to_contain_text("2 records wait on it since")
    expect(line).to_contain_text("Ask Wim to open Potrounds")
    line.get_by_role("button", name="Stop asking…").click()
    expect(line).to_contain_text("taken as lost")
    line.get_by_role("button", name="They will not come").click()
    expect(page.get_by_text("Wim’s phone.")).to_have_count(0)
    assert "Wim" not in [one["who"] for one in ask(desk, "/review")["phones"]]
