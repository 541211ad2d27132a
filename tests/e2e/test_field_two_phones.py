"""Two volunteers at one planter, one of them without signal: in the end both phones agree."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from field import (
    IDS,
    all_sent,
    arrive,
    back_in_signal,
    card,
    check_in,
    do_step,
    eventually,
    kept,
    log_texts,
    news,
)
from phone import Phone
from playwright.sync_api import expect
from server_process import TownServer

PLANTER = "Library yard 5"
WITNESS = "A photo or a second person at the plug"
PULL, PULLED = "Pull the drain plug", "Plug out, water ran"


@pytest.fixture
def both(town: TownServer, phone: Callable[..., Phone]) -> tuple[Phone, Phone]:
    """Wim's and Adele's phones, both with all planters."""
    wim, adele = phone("wim"), phone("adele")
    arrive(wim, town.invite("Wim"), "Wim")
    arrive(adele, town.invite("Adele"), "Adele")
    return wim, adele


def winterization(phone: Phone) -> dict[str, Any]:
    """The list as the server last sent it to this phone."""
    return card(phone, PLANTER)["lists"]["winterization"]  # type: ignore[no-any-return]


def step(phone: Phone, code: str) -> dict[str, Any]:
    """One step of the list."""
    return next(one for one in winterization(phone)["steps"] if one["code"] == code)


def look_again(phone: Phone) -> None:
    """Look at the planter's list again, with whatever is new."""
    news(phone, f"/p/{IDS[PLANTER]}/winter")


def test_the_second_persons_same_step_is_the_proof_and_both_phones_agree(
    town: TownServer, both: tuple[Phone, Phone]
) -> None:
    wim, adele = both
    town.stop()
    do_step(adele, PLANTER, "Stop feed and top-up", "Done")
    do_step(adele, PLANTER, PULL, PULLED)
    expect(adele.page.get_by_text("2 of 9 steps done")).to_be_visible()
    adele.shut()  # in the pocket, still unsent

    town.start("serve")
    wim.open("/planters")
    do_step(wim, PLANTER, "Read and photograph the level", "Done")
    do_step(wim, PLANTER, PULL, PULLED)
    do_step(wim, PLANTER, "Bag the plug, write where it is", "Done", place="box D 5")
    all_sent(wim)
    eventually(lambda: step(wim, "bag-plug")["state"] == "done")
    assert step(wim, "pull-plug")["state"] == "unproven"
    assert WITNESS in winterization(wim)["missing"]
    look_again(wim)
    expect(wim.page.get_by_text(WITNESS).first).to_be_visible()
    assert step(wim, "stop-water")["by"] is None, "what Adele did is not known yet"

    adele.start()
    back_in_signal(adele)
    all_sent(adele)
    look_again(wim)
    eventually(lambda: step(wim, "pull-plug")["state"] == "done")
    for phone in (wim, adele):
        look_again(phone)
        eventually(lambda phone=phone: WITNESS not in winterization(phone)["missing"])  # type: ignore[misc]
        expect(phone.page.get_by_text(WITNESS)).to_have_count(0)
        expect(phone.page.get_by_text("4 of 9 steps done")).to_be_visible()
        assert step(phone, "pull-plug")["state"] == "done"
        assert step(phone, "bag-plug")["plug_place"] == "box D 5"
        assert step(phone, "stop-water")["by"] == "Adele"
        assert step(phone, "read-level")["by"] == "Wim"
    assert winterization(wim) == winterization(adele), "to the last field"

    pulls = [row for one in both for row in kept(one) if '"pull-plug"' in row["text"]]
    assert len(pulls) == 2
    log = log_texts(town)
    assert all(log.count(row["text"]) == 1 for row in pulls), "both records, neither overwritten"
    assert not [row for row in pulls if "second" in json.loads(row["text"])["body"]]


def test_one_person_who_says_it_twice_proves_nothing(
    town: TownServer, both: tuple[Phone, Phone]
) -> None:
    wim, adele = both
    for _ in range(2):
        do_step(wim, PLANTER, PULL, PULLED)
        all_sent(wim)
    eventually(lambda: step(wim, "pull-plug")["state"] == "unproven")
    look_again(adele)
    eventually(lambda: step(adele, "pull-plug")["state"] == "unproven")
    assert WITNESS in winterization(adele)["missing"]
    expect(adele.page.get_by_text(WITNESS).first).to_be_visible()
    assert all(log_texts(town).count(row["text"]) == 1 for row in kept(wim))
    assert len(kept(wim)) == 2


def test_the_later_visit_decides_the_level_on_both_phones_whoever_sends_first(
    town: TownServer, both: tuple[Phone, Phone]
) -> None:
    wim, adele = both
    town.stop()
    check_in(adele, PLANTER, "Empty", "2 failing")  # first at the planter, last to send
    adele.shut()
    later = check_in(wim, PLANTER, "Three quarters", "4 good")
    town.start("serve")
    back_in_signal(wim)
    all_sent(wim)
    adele.start()
    back_in_signal(adele)
    all_sent(adele)
    for phone in (wim, adele):
        news(phone)
        state = card(phone, PLANTER)["state"]
        assert state["level"]["record"] == later
        assert state["level"]["value"] == 0.75
        assert [one["by"] for one in card(phone, PLANTER)["visits"][:2]] == ["Wim", "Adele"]
    assert card(wim, PLANTER) == card(adele, PLANTER)
