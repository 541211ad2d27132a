"""What a list is searched, sorted and filtered by stands in its address: set, reload, go, back."""

from __future__ import annotations

import re
from collections.abc import Callable

from field import eventually
from phone import Phone
from playwright.sync_api import Locator, Page, expect
from server_process import TownServer

Phones = Callable[..., Phone]


def texts(rows: Locator) -> list[str]:
    return [text.strip() for text in rows.all_inner_texts()]


def only(rows: Locator, right: Callable[[str], bool]) -> list[str]:
    """The rows, once there are some and each is right; until then none."""
    found = texts(rows)
    return found if all(right(one) for one in found) else []


def comes_back(page: Page, rows: Locator, go: Callable[[], None]) -> None:
    """The same rows in the same order after a reload, and after going somewhere and back."""
    expect(rows.first).to_be_visible()
    address, seen = page.url, texts(rows)
    page.reload()
    expect(rows).to_have_text([re.compile(re.escape(one.split("\n")[0])) for one in seen])
    assert page.url == address
    go()
    page.go_back()
    expect(page).to_have_url(address)
    expect(rows).to_have_text([re.compile(re.escape(one.split("\n")[0])) for one in seen])


def test_planters_on_a_phone(town: TownServer, phone: Phones) -> None:
    one = phone("field")
    one.start()
    one.join(town.invite("Wim"), "Wim")
    page = one.open("/planters")
    rows = page.locator(".planters__row b")
    expect(rows).to_have_count(24)
    page.locator(".planters__top summary").click()
    page.get_by_label("Order").select_option("name")
    page.get_by_label("Show").select_option("flagged")
    page.get_by_label("Search name, site, plant or tag").fill("yard")
    expect(page).to_have_url(re.compile(r"/planters\?order=name&show=flagged&search=yard$"))
    found = eventually(lambda: only(rows, lambda name: "yard" in name))
    assert found == sorted(found)

    def into_a_planter() -> None:
        rows.first.click()
        expect(page.get_by_role("heading", name=found[0], level=1)).to_be_visible()

    comes_back(page, rows, into_a_planter)
    expect(page.get_by_text(f"{len(found)} of 24 planters")).to_be_visible()
    page.get_by_role("button", name="Show all").click()
    expect(rows).to_have_count(24)
    expect(page).to_have_url(re.compile(r"/planters\?order=name$"))
    place = page.get_by_label("Site", exact=True)
    if not place.is_visible():  # the fold is shut again after a reload
        page.locator(".planters__top summary").click()
    place.select_option(label="Ferry landing")
    expect(rows).to_have_text([f"Ferry landing {number}" for number in range(1, 7)])


def test_an_address_that_means_nothing_is_as_usual(town: TownServer, phone: Phones) -> None:
    one = phone("field")
    one.start()
    one.join(town.invite("Wim"), "Wim")
    page = one.open("/planters?order=sideways&show=%3Cb%3E")
    expect(page.locator(".planters__row")).to_have_count(24)


def test_the_registers_planters(desk: Phone) -> None:
    page = desk.open("/register")
    rows = page.locator("tbody .table__way")
    expect(rows).to_have_count(24)
    page.get_by_label("Find by name, site or tag").fill("station")
    page.get_by_label("Order").select_option("reservoir")
    expect(page).to_have_url(re.compile("search=station.*order=res|order=res.*search=station"))
    eventually(lambda: only(rows, lambda name: "station" in name.lower()))

    def largest_first() -> bool:
        cells = page.locator("tbody td.num").all_inner_texts()
        litres = [float(re.sub(r"[^0-9.]", "", text)) for text in cells]
        return bool(litres) and litres == sorted(litres, reverse=True)

    eventually(largest_first)
    name = texts(rows)[0]

    def into_its_sheet() -> None:
        rows.first.click()
        expect(page.get_by_role("heading", name=name, exact=True)).to_be_visible()

    comes_back(page, rows, into_its_sheet)
    page.get_by_label("Status").select_option("lost")
    expect(page.get_by_text("0 planters")).to_be_visible()


def test_the_records_behind_a_number(desk: Phone) -> None:
    page = desk.open("/report/records?of=visits&year=2026")
    rows = page.locator("tbody tr")
    page.get_by_label("Search planter, person, note").fill("landing 2 tomas")
    page.get_by_label("Order").select_option("newest")
    expect(page).to_have_url(re.compile(r"search=landing\+2\+tomas.*order=newest|order=.*search="))
    eventually(lambda: only(rows, lambda text: "Ferry landing 2" in text and "Tomas" in text))

    def into_the_planter() -> None:
        page.get_by_role("link", name="Ferry landing 2").first.click()
        expect(page.get_by_role("heading", name="Ferry landing 2", level=1)).to_be_visible()

    comes_back(page, page.locator("tbody th"), into_the_planter)


def test_the_list_of_changes(desk: Phone) -> None:
    page = desk.open("/register?part=changes")
    rows = page.locator(".changes > li")
    expect(rows.first).to_be_visible()
    page.get_by_label("What", exact=True).select_option("rounds")
    page.get_by_label("By whom").select_option("server")
    expect(page).to_have_url(re.compile("part=changes&what=rounds&by=server"))
    expect(rows).to_have_count(1)
    page.reload()
    expect(rows).to_have_count(1)
    expect(page.get_by_label("What", exact=True)).to_have_value("rounds")
    page.get_by_label("From day").fill("2027-01-01")
    expect(page.get_by_text("No change is like this.")).to_be_visible()


def test_people(desk: Phone) -> None:
    page = desk.open("/people")
    rows = page.locator("section.group").filter(has_text="Who looks after").locator("tbody th")
    page.get_by_label("Role", exact=True).first.select_option("volunteer")
    page.get_by_label("Search names").fill("o")
    expect(page).to_have_url(re.compile("role=volunteer&search=o"))
    eventually(lambda: only(rows, lambda name: "o" in name.lower()))

    def to_the_register() -> None:
        page.get_by_role("link", name="Register", exact=True).click()
        expect(page.get_by_role("heading", name="Register")).to_be_visible()

    comes_back(page, rows, to_the_register)


def test_the_winter_board(desk: Phone) -> None:
    page = desk.open("/winter")
    tiles = page.locator(".tile")
    expect(tiles).to_have_count(24)
    page.get_by_role("button", name="Only what remains").click()
    expect(page).to_have_url(re.compile("show=left"))
    expect(tiles).not_to_have_count(24)
    left = tiles.count()
    assert 0 < left < 24

    def into_a_tile() -> None:
        tiles.first.click()
        expect(page).to_have_url(re.compile("/p/.*/winter"))

    comes_back(page, page.locator(".tile b:first-child"), into_a_tile)
    expect(tiles).to_have_count(left)
