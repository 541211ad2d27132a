"""The common check-in, counted: taps of a finger, from the planter's record to "Saved"."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from typing import Any

import pytest
from field import CODES, all_sent, arrive, back_in_signal, card, eventually, log_texts, newest
from phone import Phone
from playwright.sync_api import Page, expect
from server_process import TownServer

PLANTER = "Library yard 3"

# Trusted pointers only, counted before any handler of the app; kept over reloads of the page.
COUNT_TAPS = """() => {
  const read = () => JSON.parse(sessionStorage.getItem('taps') ?? '[]');
  addEventListener('pointerdown', (event) => {
    if (!event.isTrusted) return;
    const on = event.target.closest('a, button, label, input, svg')?.textContent || event.target.id;
    sessionStorage.setItem('taps', JSON.stringify([...read(), `${event.pointerType} ${on}`]));
  }, {capture: true});
}"""
TAPS = "() => JSON.parse(sessionStorage.getItem('taps') ?? '[]')"


@pytest.fixture
def volunteer(town: TownServer, phone: Callable[..., Phone]) -> Phone:
    """A volunteer whose phone has all planters, and counts every touch of the glass."""
    one = phone("field")
    one.start()
    one.context.add_init_script(f"({COUNT_TAPS})()")  # type: ignore[union-attr]
    arrive(one, town.invite("Wim"), "Wim")
    return one


def stand_before(volunteer: Phone) -> Page:
    """The phone's own camera opened the tag: the record is on the screen, nothing tapped yet."""
    page = volunteer.open(f"/T/{CODES[PLANTER]}")
    expect(page.get_by_role("heading", name=PLANTER, level=1)).to_be_visible()
    page.evaluate("() => sessionStorage.removeItem('taps')")
    return page


def figures(page: Page, began: float, record_property: Callable[[str, Any], None]) -> list[str]:
    """Taps and seconds, also for whoever reads the run."""
    seconds = round(time.monotonic() - began, 2)
    taps: list[str] = page.evaluate(TAPS)
    record_property("taps", len(taps))
    record_property("seconds", seconds)
    print(f"\n{len(taps)} taps, {seconds} s from the first to saved: {taps}")
    assert all(tap.startswith("touch ") for tap in taps), "fingers, not a mouse"
    return taps


def test_without_signal_the_common_check_in_is_four_taps(
    town: TownServer, volunteer: Phone, record_property: Callable[[str, Any], None]
) -> None:
    town.stop()
    page = stand_before(volunteer)
    began = time.monotonic()
    page.get_by_role("link", name="Check in").tap()
    page.get_by_role("radio", name="Quarter", exact=True).tap()
    page.get_by_role("radio", name="4 good").tap()
    page.get_by_role("button", name="Save").tap()
    expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible()
    assert len(figures(page, began, record_property)) == 4

    record = newest(volunteer)
    assert record["state"] != "sent"
    text = json.loads(record["text"])
    assert text["body"] == {"level": 0.25, "read_by": "dipstick", "plants": 4}
    town.start("serve")
    back_in_signal(volunteer)
    all_sent(volunteer)
    assert log_texts(town).count(record["text"]) == 1


def test_the_fifth_tap_says_that_the_expected_litres_went_in_and_the_overflow_ran(
    town: TownServer, volunteer: Phone, record_property: Callable[[str, Any], None]
) -> None:
    mark = next(one for one in card(volunteer, PLANTER)["top_up"] if one["level"] == 0.25)
    page = stand_before(volunteer)
    began = time.monotonic()
    page.get_by_role("link", name="Check in").tap()
    page.get_by_role("radio", name="Quarter", exact=True).tap()
    page.get_by_role("radio", name="4 good").tap()
    page.get_by_role("button", name=f"Filled: {mark['litres_l']:g} L, overflow ran").tap()
    page.get_by_role("button", name="Save").tap()
    expect(page.get_by_text("The overflow ran, so this planter is full.")).to_be_visible()
    assert len(figures(page, began, record_property)) == 5

    all_sent(volunteer)
    record = newest(volunteer)
    assert json.loads(record["text"])["body"] == {
        "level": 0.25,
        "read_by": "dipstick",
        "litres_l": mark["litres_l"],
        "litres_how": "to-overflow",
        "overflow": "ran-while-filling",
        "plants": 4,
    }
    assert log_texts(town).count(record["text"]) == 1

    def assessed() -> dict[str, Any] | None:
        level = card(volunteer, PLANTER)["state"]["level"]
        return level if level["record"] == record["id"] else None

    assert eventually(assessed)["value"] == 1, "the server, too, takes it for full now"


def test_the_save_button_is_in_reach_all_the_time(town: TownServer, volunteer: Phone) -> None:
    town.stop()
    page = stand_before(volunteer)
    expect(page.get_by_role("link", name="Check in")).to_be_in_viewport(ratio=1)
    page.get_by_role("link", name="Check in").tap()
    for name in ("Full", "Empty"):
        expect(page.get_by_role("radio", name=name, exact=True)).to_be_in_viewport()
    expect(page.get_by_role("button", name="Save")).to_be_in_viewport(ratio=1)
    page.get_by_label("Note").scroll_into_view_if_needed()
    expect(page.get_by_role("button", name="Save")).to_be_in_viewport(ratio=1)
