"""A hose timed by a bucket once, then by one large button: nothing stops its count."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from field import IDS, arrive, eventually, newest, news, open_check_in, quiet, save, stored
from phone import Phone
from playwright.sync_api import Page, expect
from server_process import TownServer

PLANTER, TAP = "Ferry landing 1", "Ramp tap"  # the one tap of its site, which nobody has timed
MORE = "Another amount, or the overflow did not run"
#: A phone that notes when it is asked to keep its screen awake, and when to let it sleep.
AWAKE = """() => {
  const said = (window.awake = []);
  const request = async () => {
    said.push('awake');
    return { release: async () => void said.push('asleep') };
  };
  Object.defineProperty(navigator, 'wakeLock', { value: { request }, configurable: true });
}"""


@pytest.fixture
def wim(town: TownServer, phone: Callable[..., Phone]) -> Phone:
    one = phone("wim")
    arrive(one, town.invite("Wim"), "Wim")
    one.page.add_init_script(f"({AWAKE})()")
    one.page.clock.install(time=one.page.evaluate("Date.now() / 1000"))
    return one


def opened(phone: Phone, planter: str = PLANTER) -> Page:
    page = open_check_in(phone, planter)
    page.get_by_text(MORE).click()
    return page


def draft(phone: Phone) -> dict[str, Any]:
    rows = [row for row in stored(phone, "drafts") if row["key"] == f"check-in:{IDS[PLANTER]}"]
    return rows[0]["form"] if rows else {}


def flow(phone: Phone) -> float | None:
    town = next(row for row in stored(phone, "town") if row["id"] == "town")
    return next(one["flow_l_min"] for one in town["taps"] if one["name"] == TAP)


def still(page: Page) -> None:
    """From here on the phone's clock moves only where the test moves it."""
    page.clock.pause_at(page.evaluate("Date.now()") / 1000 + 60)


def asked_of_screen(page: Page, *said: str) -> None:
    """All that was asked of the phone's screen since its page was opened, in this order."""
    page.wait_for_function("(said) => awake.join() === said", arg=",".join(said))


def time_a_bucket(page: Page, litres: int, seconds: int) -> None:
    """Between the two taps lie so many seconds of the phone's clock, to the millisecond."""
    page.get_by_label("The bucket holds").fill(str(litres))
    still(page)
    page.get_by_role("button", name="Tap on, fill the bucket").click()
    expect(page.get_by_role("button", name="Bucket full")).to_be_visible()
    page.clock.run_for(seconds * 1000)
    page.get_by_role("button", name="Bucket full").click()
    page.clock.resume()


def test_a_bucket_once_times_the_tap_for_everybody(wim: Phone) -> None:
    """Ten litres in forty seconds are fifteen litres a minute."""
    page = opened(wim)
    assert flow(wim) is None
    with page.expect_response(re.compile("/calibration$")) as told:
        time_a_bucket(page, 10, 40)
    assert told.value.status == 200
    expect(
        page.get_by_role("button", name="Hose timer, 15\N{NO-BREAK SPACE}L a minute")
    ).to_be_visible()
    eventually(lambda: draft(wim).get("hose_flow") == 15)
    news(wim, "/planters")
    eventually(lambda: flow(wim) == 15)
    page = opened(wim, "Ferry landing 2")  # known now: no bucket is asked for again
    expect(page.get_by_role("button", name="Hose timer")).to_be_visible()
    expect(page.get_by_label("The bucket holds")).to_have_count(0)


def test_the_count_survives_reload_and_lock_screen_and_fills_the_litres_in(wim: Phone) -> None:
    page = opened(wim)
    with page.expect_response(re.compile("/calibration$")):
        time_a_bucket(page, 10, 50)  # 12 L/min
    asked_of_screen(page, "awake", "asleep")
    still(page)
    page.get_by_role("button", name="Hose timer").click()
    began = eventually(lambda: draft(wim).get("hose_from"))
    page.clock.run_for(20_400)  # its ticks begin a moment after the tap
    expect(page.get_by_text("20 s, ")).to_be_visible()
    asked_of_screen(page, "awake", "asleep", "awake")

    # Locked and unlocked: no tick came meanwhile, and the lock on the screen is asked for again.
    page.clock.fast_forward(25_000)
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    asked_of_screen(page, "awake", "asleep", "awake", "awake")
    expect(page.get_by_text("45 s, ")).to_be_visible()

    page.clock.resume()
    page.reload()
    expect(page.get_by_role("button", name="Hose off")).to_be_visible()
    asked_of_screen(page, "awake")
    still(page)
    ran_s = (page.evaluate("Date.now()") - began) / 1000
    assert ran_s >= 45
    page.get_by_role("button", name="Hose off").click()
    page.clock.resume()
    asked_of_screen(page, "awake", "asleep")
    # Twelve litres a minute, to the tenth of a litre.
    litres = pytest.approx(ran_s / 60 * 12, abs=0.051)
    eventually(lambda: draft(wim).get("litres_l") == litres)
    page.get_by_role("radio", name="Quarter", exact=True).click()
    save(page)
    quiet(wim)
    body = json.loads(newest(wim)["text"])["body"]
    assert body["litres_how"] == "hose-timer"
    assert body["litres_l"] == litres


def test_a_bucket_timed_without_signal_counts_here_and_is_said(wim: Phone) -> None:
    page = opened(wim)
    wim.context.set_offline(True)  # type: ignore[union-attr]
    time_a_bucket(page, 10, 40)
    expect(page.get_by_text("The flow counts for this check-in.")).to_be_visible()
    expect(page.get_by_role("button", name="Hose timer")).to_be_visible()
    eventually(lambda: draft(wim).get("hose_flow") == 15)
