"""Planting day at the desk: figures against hand arithmetic, paper, no signal, odd measures."""

from __future__ import annotations

import os
import re
from math import ceil
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from desk_helpers import ask, change
from phone import Phone
from playwright.sync_api import Page, expect

PLANTER = "Library yard 4"  # rectangular: the prismoid whose two tapers differ


def prismoid_l(size: dict[str, Any]) -> float:
    """Mix of a rectangular size by the handbook's formula, up to the gap, typed out here anew."""
    height = size["depth_cm"] - size["gap_cm"]
    share = height / size["depth_cm"]
    low_a, low_b = size["bottom_a_cm"], size["bottom_b_cm"]
    top_a = low_a + (size["top_a_cm"] - low_a) * share
    top_b = low_b + (size["top_b_cm"] - low_b) * share
    middle = (low_a + top_a) * (low_b + top_b)
    return height / 6 * (low_a * low_b + middle + top_a * top_b) / 1000


def row_of(page: Page, name: str) -> Any:
    return page.locator(".plan__planter").filter(has=page.get_by_text(name, exact=True))


def test_a_planters_figures_are_those_of_hand_arithmetic(desk: Phone) -> None:
    told = ask(desk, "/plan")
    size = next(one for one in told["sizes"] if one["shape"] == "rectangular")
    own = next(one for one in ask(desk, "/register")["planters"] if one["name"] == PLANTER)
    version = {"If-Match": f'"{own["version"]}"'}
    # A mix volume of its own would stand before its size's.
    change(desk, "PATCH", f"/register/planters/{own['id']}", {"mix_l": None}, **version)
    bag, feed = told["materials"]["bag"], told["materials"]["feed"]
    loose = prismoid_l(size) * (1 + told["materials"]["settling"])
    rate = 0.33 * feed["months"] / (feed["percent_n"] / 100) * 453.59237 / 764.554857984 / 2
    assert (bag["unit"], feed["share"], feed["label_g_l"]) == ("L", 0.5, None)

    page = desk.open("/planting?scope=s-yard0000")
    row = row_of(page, PLANTER)
    expect(row).to_contain_text(f"{loose:.0f}\u00a0L, {loose / bag['amount']:.1f} bags")
    expect(row).to_contain_text(f"{rate * prismoid_l(size):.0f}\u00a0g")
    expect(row).to_contain_text("25\u00a0L")
    expect(row).to_contain_text("never a hand lift")
    expect(page.locator(".plan__planter")).to_have_count(6)
    expect(page.get_by_text("Ferry landing 1", exact=True)).to_have_count(0)


def test_the_order_is_rounded_once_and_the_shed_deducted(desk: Phone) -> None:
    told = ask(desk, "/plan")["materials"]
    plan = ask(desk, "/plan/planting")
    each = [one["loose_l"] for stop in plan["stops"] for one in stop["planters"]]
    bags = ceil(sum(each) / told["bag"]["amount"])
    one_by_one = sum(ceil(one / told["bag"]["amount"]) for one in each)
    page = desk.open("/planting")
    line = page.get_by_role("row", name=re.compile("^Bags of mix"))
    cells = line.get_by_role("cell")
    expect(cells).to_have_text(
        [
            str(bags),
            str(told["bags_in_shed"]),
            str(bags - told["bags_in_shed"]),
            f"{(bags - told['bags_in_shed']) * told['bag']['price']:.2f}\u00a0EUR",
        ]
    )
    expect(page.get_by_text(f"it would be {one_by_one - bags} bags more")).to_be_visible()
    expect(page.get_by_text("no price is typed: blue fescue")).to_be_visible()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_plan_on_paper(desk: Phone, paper: str) -> None:
    plan = ask(desk, "/plan/planting")
    page = desk.open("/planting")
    expect(page.get_by_role("heading", name="Shopping list")).to_be_visible()
    page.emulate_media(media="print")
    expect(page.get_by_role("navigation", name="Main")).to_be_hidden()
    expect(page.get_by_role("button", name="Print")).to_be_hidden()
    data = page.pdf(format=paper)
    if folder := os.environ.get("POTROUNDS_SCREENS"):
        Path(folder, f"planting-{paper}.pdf").write_bytes(data)
    sheets = pypdfium2.PdfDocument(data)
    text = " ".join(" ".join(one.get_textpage().get_text_range() for one in sheets).split())
    for stop in plan["stops"]:
        for planter in stop["planters"]:
            assert planter["name"] in text
    for words in ("Set the empty planter in its place", "Fill the reservoir last", "Drain plug"):
        assert words in text
    assert text.index("Set the empty planter") < text.index("Fill the reservoir last")
    assert "Materials and shed" not in text
    assert len(sheets) <= 4


def test_without_signal_the_plan_is_as_last_worked_out(desk: Phone) -> None:
    page = desk.open("/planting")
    expect(row_of(page, PLANTER)).to_be_visible()
    assert desk.context is not None
    desk.context.set_offline(True)
    page = desk.open("/planting")
    expect(row_of(page, PLANTER)).to_contain_text("25\u00a0L")
    expect(page.get_by_text("this is the plan as last worked out")).to_be_visible()
    page.get_by_label("Plan for").select_option(label="Library yard")
    expect(page.get_by_role("alert")).to_contain_text("No answer")


def test_inches_typed_as_centimetres_are_asked_about_and_kept_only_on_a_persons_word(
    desk: Phone,
) -> None:
    page = desk.open("/register?part=sizes")
    typed = {
        "Size, as on the planters": "Medium, small print",
        "Diameter at the rim": "23.6",
        "Diameter where the mix stands": "18.9",
        "Depth from there": "18.9",
        "Reservoir": "16",
    }
    for label, value in typed.items():
        page.get_by_label(label).fill(value)
    keep = page.get_by_role("button", name="Keep", exact=True)
    keep.click()
    expect(page.get_by_text("Were inches typed as centimetres?").first).to_be_visible()
    assert len(ask(desk, "/plan")["sizes"]) == 6
    page.get_by_label("Measured again, it is so").check()
    keep.click()
    expect(page.get_by_role("heading", name="Medium, small print, round")).to_be_visible()
    assert len(ask(desk, "/plan")["sizes"]) == 7


def test_a_scheme_changed_changes_the_plan(desk: Phone) -> None:
    page = desk.open("/register?part=schemes")
    row = page.locator(".plan__row").filter(has=page.get_by_role("heading", name="Low"))
    row.get_by_role("button", name="Change").click()
    row.get_by_label("Plants a planter").fill("5")
    row.get_by_role("button", name="Keep", exact=True).click()
    expect(row.get_by_text("5 petunia (filler)")).to_be_visible()
    page = desk.open("/planting")
    expect(row_of(page, "Library yard 6")).to_contain_text("5 petunia (filler)")


def test_prices_are_typed_and_without_any_no_cost_is_named(desk: Phone) -> None:
    told = ask(desk, "/plan")["materials"]
    version = told.pop("version")
    for line in (*told["plants"], *told["parts"]):
        line["price"] = None
    told["bag"]["price"] = told["feed"]["price_kg"] = None
    change(desk, "PUT", "/plan/materials", told, **{"If-Match": f'"{version}"'})
    page = desk.open("/planting")
    expect(page.get_by_text("No cost: no prices are typed yet")).to_be_visible()
    page = desk.open("/register?part=materials")
    page.get_by_label("Price of a bag").fill("10")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.get_by_text("Kept, with your name")).to_be_visible()
    page = desk.open("/planting")
    buy = ask(desk, "/plan/planting")["bags"]["buy"]
    expect(page.get_by_text(f"{buy * 10}.00\u00a0EUR in all")).to_be_visible()


def test_two_planters_change_places_and_keep_their_history(desk: Phone) -> None:
    page = desk.open("/register?part=assets")
    expect(page.get_by_text("Warranty ends Monday 30 November, in 41 days")).to_be_visible()
    page.get_by_label(re.compile("^Planter")).select_option(label=PLANTER)
    page.get_by_label(re.compile("^With")).select_option(label="Ferry landing 2")
    page.get_by_role("button", name="They changed places").click()
    expect(page.get_by_label(re.compile("^With"))).to_have_value("")
    code = next(one for one in ask(desk, "/register")["planters"] if one["name"] == PLANTER)["code"]
    page = desk.open(f"/t/{code}")
    expect(page.get_by_role("heading", name=PLANTER)).to_be_visible()
    expect(page.get_by_text("Moved from Library yard to Ferry landing")).to_be_visible()
