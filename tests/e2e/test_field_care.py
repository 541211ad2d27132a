"""Planting by scan, and feed that nobody gives twice: in the field, with and without signal."""

from __future__ import annotations

import json
import re
from collections.abc import Callable

from desk_helpers import ask, cards, change, flag_of
from field import (
    CODES,
    IDS,
    all_sent,
    arrive,
    back_in_signal,
    card,
    eventually,
    log_texts,
    newest,
    open_check_in,
    quiet,
    save,
    stored,
)
from phone import Phone
from playwright.sync_api import Page, expect
from server_process import TownServer

PLANTER = "Library yard 3"
NEXT_SPRING = {"planted_on": "2026-10-22", "plants": ["pansy", "ivy"], "scheme": "Winter show"}
NOT_YET = "Roots not down yet: the reservoir does not count yet."
Phones = Callable[..., Phone]


def scanned(one: Phone) -> Page:
    """The phone's own camera opened the tag: the record is on the screen."""
    page = one.open(f"/T/{CODES[PLANTER]}")
    expect(page.get_by_role("heading", name=PLANTER, level=1)).to_be_visible()
    return page


def test_what_the_register_plans_is_planted_without_signal_in_two_taps(
    town: TownServer, desk: Phone, phone: Phones
) -> None:
    change(desk, "POST", f"/register/planters/{IDS[PLANTER]}/plantings", NEXT_SPRING)
    wim = phone("wim")
    arrive(wim, town.invite("Wim"), "Wim")
    town.stop()
    page = scanned(wim)
    page.get_by_role("link", name="Planted today").tap()
    expect(page.get_by_label("Plant 1")).to_have_value("pansy")
    page.get_by_role("button", name="Save").tap()
    expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible()
    expect(page.get_by_text("Water in slowly from above now")).to_be_visible()
    record = newest(wim)
    text = json.loads(record["text"])
    assert (text["kind"], text["body"]) == (
        "planting",
        {"plants": [{"name": "pansy"}, {"name": "ivy"}], "scheme": "Winter show"},
    )
    page = scanned(wim)
    expect(page.get_by_text(f"{NOT_YET} Water from above.")).to_be_visible()
    expect(page.get_by_text("planted Winter show: pansy, ivy")).to_be_visible()

    town.start("serve")
    back_in_signal(wim)
    all_sent(wim)
    assert log_texts(town).count(record["text"]) == 1
    eventually(lambda: (card(wim, PLANTER)["planting"] or {}).get("record") == record["id"])
    page = scanned(wim)
    # Planted on a Tuesday in late October: by the weather on record, the longest interval.
    expect(page.get_by_text(f"{NOT_YET} Water from above by Friday.")).to_be_visible()
    assert card(wim, PLANTER)["planting"]["by"] == "Wim"


def test_other_plants_are_named_and_counted_and_a_draft_outlives_a_restart(
    town: TownServer, phone: Phones
) -> None:
    wim = phone("wim")
    arrive(wim, town.invite("Wim"), "Wim")
    page = scanned(wim)
    page.get_by_role("link", name="Planted today").tap()
    # The scheme chosen for planting day stands there; today it was something else.
    expect(page.get_by_label("Plant 1")).to_have_value("fountain grass")
    for plant in ("fountain grass", "zonal pelargonium", "trailing verbena"):
        page.get_by_role("button", name=f"Remove {plant}").tap()
    page.get_by_label("Planting scheme").fill("")
    page.get_by_role("button", name="Save").tap()
    expect(page.get_by_text("No plant and no scheme named")).to_be_visible()
    page.get_by_role("button", name="Change it").tap()
    page.get_by_role("button", name="Add a plant").tap()
    page.get_by_label("Plant 1").fill("heather")
    page.get_by_label("How many").fill("6x")
    expect(page.get_by_label("How many")).to_have_value("6")
    page.get_by_role("checkbox", name="Topped up to the mark").check(force=True)
    eventually(lambda: any(row["form"].get("retopped") for row in stored(wim, "drafts")))
    page.reload()
    expect(page.get_by_label("Plant 1")).to_have_value("heather")
    save(page)
    assert json.loads(newest(wim)["text"])["body"] == {
        "plants": [{"name": "heather", "count": 6}],
        "retopped": True,
    }
    all_sent(wim)


def winter_is_far(desk: Phone) -> None:
    """The town's clock stands in late October, when nobody feeds: move its winter away."""
    change(desk, "PATCH", "/register/settings", {"winter_from": "12-31"})
    for site in ask(desk, "/register")["sites"]:
        change(desk, "PATCH", f"/register/sites/{site['id']}", {"freeze_on": "2026-12-31"})


def fed(page: Page) -> None:
    page.get_by_role("checkbox", name="Fed", exact=True).check(force=True)


def test_the_second_phone_says_who_fed_and_asks_once(
    town: TownServer, desk: Phone, phone: Phones
) -> None:
    winter_is_far(desk)
    wim, adele = phone("wim"), phone("adele")
    arrive(wim, town.invite("Wim"), "Wim")
    arrive(adele, town.invite("Adele"), "Adele")
    page = open_check_in(wim, PLANTER)
    # A look that finds the plants well: nothing holds the next feed back.
    page.get_by_role("radio", name="4 good").check(force=True)
    fed(page)
    expect(page.get_by_text(re.compile("10\\sL can: 5\\sg"))).to_be_visible()
    save(page)
    all_sent(wim)
    body = json.loads(newest(wim)["text"])["body"]
    assert body["feed"] == {"what": "Water-soluble 20-10-20", "ppm_n": 100, "litres_l": 10}

    back_in_signal(adele)
    quiet(adele)
    eventually(lambda: (card(adele, PLANTER)["state"]["last_fed"] or {}).get("by") == "Wim")
    town.stop()
    page = open_check_in(adele, PLANTER)
    # 14 days on from 20 October
    said = re.compile("Fed .* by Wim, 100\\sppm. Next feed from Tuesday 3 November on.")
    expect(page.get_by_text(said)).to_be_visible()
    fed(page)
    page.get_by_role("button", name="Save").tap()
    expect(page.get_by_text(re.compile("by Wim already.*Did you feed again"))).to_be_visible()
    page.get_by_role("button", name="Change it").tap()
    page.get_by_role("checkbox", name="Fed", exact=True).uncheck(force=True)
    page.get_by_role("radio", name="4 good").check(force=True)
    save(page)
    assert "done" not in json.loads(newest(adele)["text"])["body"]


def test_two_phones_without_signal_that_both_fed_raise_a_flag_for_the_coordinator(
    town: TownServer, desk: Phone, phone: Phones
) -> None:
    wim, adele = phone("wim"), phone("adele")
    arrive(wim, town.invite("Wim"), "Wim")
    arrive(adele, town.invite("Adele"), "Adele")
    town.stop()
    for one in (wim, adele):
        page = open_check_in(one, PLANTER)
        fed(page)
        save(page)
    # On the very phone that fed, the own unsent record warns as well.
    page = open_check_in(adele, PLANTER)
    expect(page.get_by_text(re.compile("Fed .* by Adele, 100\\sppm"))).to_be_visible()
    town.start("serve")
    for one in (wim, adele):
        back_in_signal(one)
        all_sent(one)
    raised = eventually(lambda: flag_of(cards(desk)[PLANTER], "fed_twice"))
    assert "Wim" in raised["sentence"]
    assert "Adele" in raised["sentence"]
    assert len(raised["records"]) == 2


def test_a_meter_in_microsiemens_is_put_right_before_it_is_saved(
    town: TownServer, phone: Phones
) -> None:
    wim = phone("wim")
    arrive(wim, town.invite("Wim"), "Wim")
    page = open_check_in(wim, PLANTER)
    page.get_by_text("Salt reading with a meter").click()
    page.get_by_role("radio", name="Pour-through").check(force=True)
    page.get_by_label("Reading, mS/cm").fill("7000")
    page.get_by_role("button", name="Save").tap()
    expect(page.get_by_text("7,000 mS/cm cannot be. If the meter shows")).to_be_visible()
    expect(page.get_by_role("button", name="Yes, save")).to_have_count(0)
    page.get_by_role("button", name="Change it").tap()
    page.get_by_role("button", name="Take it as 7 mS/cm").tap()
    save(page)
    assert json.loads(newest(wim)["text"])["body"]["ec"] == {"method": "pour-through", "ms_cm": 7}
    all_sent(wim)
    eventually(lambda: ((card(wim, PLANTER)["salts"] or {})["reading"] or {}).get("word"))
    page = scanned(wim)
    expect(page.get_by_text(re.compile("7 mS/cm by pour-through: very high"))).to_be_visible()
    expect(page.get_by_text("Salt reading high").first).to_be_visible()


def test_the_calculator_works_out_a_dose_at_the_desk(desk: Phone) -> None:
    page = desk.open("/register?part=feed")
    expect(page.get_by_role("heading", name="Feed calculator")).to_be_visible()
    # 200 ppm N cut by half for a reservoir, from 20-10-20 in 10 L: 5 g (1.000 g/L is 200 ppm)
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_text(re.compile("5\\sg, 0.18\\soz"))).to_be_visible()
    expect(page.get_by_text("The product's label comes first")).to_be_visible()
    page.get_by_role("radio", name="Dose to rate").check(force=True)
    page.get_by_label("Dose", exact=True).fill("1")
    page.get_by_role("radio", name="fl oz in the can").check(force=True)
    page.get_by_role("button", name="Work it out").click()
    expect(
        page.get_by_text(re.compile("A fluid ounce and a millilitre are volumes")).first
    ).to_be_visible()
