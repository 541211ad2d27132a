"""The register at the desk: sites, planters, files, tags, nights, and who changed what."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from desk_helpers import ask, cards, change, flag_of
from phone import LAPTOP, Phone
from PIL import Image
from playwright.sync_api import Page, expect
from server_process import TownServer

Phones = Callable[..., Phone]
PLANTER = "Market street 6"
HEAD = "name,site,size,shape,reservoir_l,gauge\n"
FAULTY = (
    HEAD
    + "Ferry landing 7,Ferry landing,Medium,round,16,float\n"
    + "Ferry landing 8,The far side,Medium,round,16,float\n"
    + "Ferry landing 9,Ferry landing,Medium,round,sixteen,float\n"
)
MENDED = FAULTY.replace("The far side", "Ferry landing").replace("sixteen", "16")


@pytest.fixture
def new_town(tmp_path: Path) -> Iterator[TownServer]:
    """A town of one's own, as `potrounds init` makes it: no site, no planter, no tag address."""
    server = TownServer(tmp_path / "fresh")
    server.home.mkdir()
    words = ["--town", "Weir End", "--zone", "CET", "--coordinator", "Odile"]
    server.run("init", *words, "--password", "a long enough password")
    server.start("serve")
    yield server
    server.stop()


def part(desk: Phone, name: str, heading: str) -> Page:
    """A part of the register, read from the server."""
    page = desk.open(f"/register?part={name}")
    expect(page.get_by_role("heading", name=heading, exact=True)).to_be_visible()
    return page


def sheet(desk: Phone, planter: str) -> Page:
    """A planter's sheet, reached by its name."""
    page = desk.open("/register")
    page.get_by_label("Find by name, site or tag").fill(planter)
    page.get_by_role("link", name=planter, exact=True).click()
    expect(page.get_by_role("heading", name=planter, exact=True)).to_be_visible()
    return page


def printed_codes(pdf: bytes) -> list[str]:
    """The texts of all QR codes of a PDF, read by ZXing-C++ from pages rendered by PDFium."""
    found = []
    for sheet_of_tags in pypdfium2.PdfDocument(pdf):
        seen = sheet_of_tags.render(scale=200 / 72).to_pil().convert("L")
        found += [code.text for code in zxingcpp.read_barcodes(seen)]
    return found


def save_sheet(page: Page) -> bytes:
    """The tag sheet as it is saved for the printer."""
    with page.expect_download() as saved:
        page.get_by_role("link", name="Save the sheet (PDF)").click()
    return Path(saved.value.path()).read_bytes()


def test_a_new_town_gets_its_site_its_planters_and_tags_only_with_an_address(
    new_town: TownServer, playwright: object, tmp_path: Path
) -> None:
    desk = Phone(playwright, tmp_path / "new-desk", new_town.url, size=LAPTOP)  # type: ignore[arg-type]
    desk.start()
    try:
        desk.sign_in("Odile", "a long enough password")
        expect(desk.page.get_by_role("link", name="Weir End")).to_be_visible()
        page = desk.open("/register?part=add")
        expect(page.get_by_text("Add a site first")).to_be_visible()
        page = part(desk, "sites", "Sites")
        page.get_by_label("New site").fill("Mill weir")
        page.get_by_role("button", name="Add the site").click()
        expect(page.get_by_label("Mill weir: first freeze expected")).to_be_visible()

        page = part(desk, "add", "Add planters")
        page.get_by_label("Name", exact=True).fill("Mill weir")
        page.get_by_label("Reservoir, litres").fill("18.5")
        page.get_by_label("Gauge").select_option(label="Sight tube")
        page.get_by_label("How many of these").fill("3")
        expect(page.get_by_text("Mill weir 1 to Mill weir 3")).to_be_visible()
        page.get_by_role("button", name="Add 3 planters").click()
        expect(page.get_by_text("3 planters added.")).to_be_visible()
        planters = ask(desk, "/register")["planters"]
        assert [one["name"] for one in planters] == ["Mill weir 1", "Mill weir 2", "Mill weir 3"]
        assert {(one["reservoir_l"], one["gauge"]) for one in planters} == {(18.5, "sight-tube")}

        page = part(desk, "tags", "Print tags")
        expect(page.get_by_text("Keep the address first")).to_be_visible()
        expect(page.get_by_role("link", name="Save the sheet (PDF)")).to_have_count(0)
        refused = page.request.get(f"{desk.url}/api/v1/tags.pdf?planters=all")
        assert refused.status == 409
        page.get_by_label("Address the tags open").fill("https://pots.weir-end.example")
        page.get_by_role("button", name="Keep this address").click()
        every = printed_codes(save_sheet(page))
        assert sorted(every) == sorted(
            f"HTTPS://POTS.WEIR-END.EXAMPLE/T/{one['code']}" for one in planters
        )
        page.get_by_label("Tags of").select_option(label="Mill weir 2")
        assert printed_codes(save_sheet(page)) == [
            f"HTTPS://POTS.WEIR-END.EXAMPLE/T/{planters[1]['code']}"
        ]
    finally:
        desk.shut()


def test_a_file_with_faults_is_told_row_by_row_and_nothing_is_taken(desk: Phone) -> None:
    before = len(ask(desk, "/register")["planters"])
    page = part(desk, "import", "Planters from a file")

    def choose(text: str) -> None:
        page.get_by_label("The file").set_input_files(
            {"name": "new.csv", "mimeType": "text/csv", "buffer": text.encode()}
        )

    choose(FAULTY)
    faults = page.get_by_role("alert").get_by_role("row")
    expect(page.get_by_text("2 things to mend. Nothing was taken in.")).to_be_visible()
    expect(faults.filter(has_text="Row 3")).to_contain_text("There is no site The far side.")
    expect(faults.filter(has_text="Row 4")).to_contain_text("sixteen is no number.")
    expect(faults.filter(has_text="Row 2")).to_have_count(0)
    expect(page.get_by_role("button", name="Take in")).to_have_count(0)
    assert len(ask(desk, "/register")["planters"]) == before

    choose(MENDED)
    expect(page.get_by_text("All 3 rows are right.")).to_be_visible()
    assert len(ask(desk, "/register")["planters"]) == before, "trying takes nothing in"
    page.get_by_role("button", name="Take in 3 planters").click()
    # New planters have the season's water reckoned anew before the answer comes.
    expect(page.get_by_text("3 planters taken in.")).to_be_visible(timeout=30_000)
    names = [one["name"] for one in ask(desk, "/register")["planters"]]
    assert len(names) == before + 3
    assert {"Ferry landing 7", "Ferry landing 8", "Ferry landing 9"} <= set(names)


def test_a_sheet_changed_meanwhile_is_not_overwritten(desk: Phone) -> None:
    page = sheet(desk, PLANTER)
    theirs = next(one for one in ask(desk, "/register")["planters"] if one["name"] == PLANTER)
    change(
        desk,
        "PATCH",
        f"/register/planters/{theirs['id']}",
        {"notes": "Key at the bakery."},
        **{"If-Match": f'"{theirs["version"]}"'},
    )
    page.get_by_label("Reservoir, litres").fill("18")
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("alert")).to_contain_text("Somebody else changed this")
    expect(page.get_by_label("Notes")).to_have_value("Key at the bakery.")
    expect(page.get_by_label("Reservoir, litres")).to_have_value("18")
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_text("Kept, with your name and the time.")).to_be_visible()
    now = next(one for one in ask(desk, "/register")["planters"] if one["name"] == PLANTER)
    assert (now["notes"], now["reservoir_l"]) == ("Key at the bakery.", 18)


def test_every_change_shows_who_when_and_what_it_was(desk: Phone, town: TownServer) -> None:
    page = sheet(desk, PLANTER)
    page.get_by_label("Reservoir, litres").fill("19")
    page.get_by_label("Status").select_option(label="In store")
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_text("Kept, with your name")).to_be_visible()
    page.get_by_label("Plants", exact=True).fill("winter heath, ivy")
    page.get_by_role("button", name="Record the planting").click()
    expect(page.get_by_text("winter heath, ivy")).to_be_visible()
    assert cards(desk)[PLANTER]["planting"]["plants"] == ["winter heath", "ivy"]

    page = part(desk, "changes", "What changed")
    lines = page.locator(".changes > li")
    sheet_line = lines.filter(has_text=f"Planter {PLANTER}").first
    expect(sheet_line).to_contain_text(re.compile(rf"today \d\d:\d\d, {town.coordinator[0]}"))
    expect(sheet_line).to_contain_text("Reservoir, litres: 16 → 19")
    expect(sheet_line).to_contain_text("Status: In use → In store")
    expect(lines.first).to_contain_text(f"Planting of {PLANTER}")
    expect(lines.first).to_contain_text("winter heath, ivy")
    expect(page.get_by_text("[object")).to_have_count(0)


def test_a_replaced_tag_says_so_to_neighbour_and_passer_by(
    desk: Phone, town: TownServer, phone: Phones
) -> None:
    old = cards(desk)[PLANTER]["code"]
    page = sheet(desk, PLANTER)
    expect(page.get_by_role("button", name="Give it a new tag")).to_be_disabled()
    page.get_by_label("Why a new tag").fill("Scratched")
    page.get_by_role("button", name="Give it a new tag").click()
    expect(page.get_by_text("Replaced earlier:")).to_be_visible()
    new = cards(desk)[PLANTER]["code"]
    assert new != old

    volunteer, passer_by = phone("field"), phone("passer-by")
    volunteer.start()
    passer_by.start()
    volunteer.join(town.invite("Wim"), "Wim")
    seen = volunteer.open("/planters")
    expect(seen.get_by_text(PLANTER).first).to_be_visible()
    seen = volunteer.open(f"/t/{old}")
    expect(seen.get_by_role("heading", name=PLANTER, level=1)).to_be_visible()
    expect(seen.get_by_text("This tag was replaced.")).to_be_visible()
    seen = volunteer.open(f"/t/{new}")
    expect(seen.get_by_role("heading", name=PLANTER, level=1)).to_be_visible()
    expect(seen.get_by_text("This tag was replaced.")).to_have_count(0)
    expect(passer_by.open(f"/t/{old}").get_by_text("replaced by a newer one")).to_be_visible()


def test_typed_nights_move_the_freeze_and_its_flags(desk: Phone) -> None:
    before = flag_of(cards(desk)[PLANTER], "drain_not_pulled")
    assert before is not None
    page = desk.open("/winter")
    expect(page.locator(".count")).to_contain_text("nights to the freeze")
    expect(page.locator(".count .huge")).to_have_text("5")

    page = part(desk, "sites", "Sites")
    page.get_by_label("Night to", exact=True).fill("2026-10-22")
    page.get_by_label("Low, °C").fill("-4")
    page.get_by_role("button", name="Keep this low").click()
    row = page.get_by_role("row").filter(has_text="Thursday 22 October").filter(has_text="−4")
    expect(row).to_have_count(1)
    colder = flag_of(cards(desk)[PLANTER], "drain_not_pulled")
    assert colder is not None
    assert "−4\u00a0°C" in colder["sentence"]
    assert "Thursday 22 October" in colder["sentence"]
    page = desk.open("/winter")
    expect(page.locator(".count .huge")).to_have_text("2")

    page = part(desk, "sites", "Sites")
    row = page.get_by_role("row").filter(has_text="Thursday 22 October").filter(has_text="−4")
    row.get_by_role("button", name="Remove").click()
    expect(row).to_have_count(0)
    again = flag_of(cards(desk)[PLANTER], "drain_not_pulled")
    assert again is not None
    assert "22 October" not in again["sentence"]


def test_an_invite_joins_by_its_code_and_a_phone_is_ended_or_burned(
    desk: Phone, phone: Phones
) -> None:
    page = desk.open("/people")
    page.get_by_label("Their name").fill("Odile")
    page.get_by_role("button", name="Make an invite").click()
    code = page.get_by_role("img", name="Invite code")
    expect(code).to_be_visible()
    seen = Image.open(io.BytesIO(code.screenshot())).convert("L")
    read = zxingcpp.read_barcodes(seen)
    assert [one.text for one in read] == [page.get_by_label("Link").input_value()]
    page.reload()
    expect(page.get_by_text("Odile").first).to_be_visible()
    expect(page.get_by_role("img", name="Invite code")).to_have_count(0)

    odile = phone("odile")
    odile.start()
    odile.join(read[0].text, "Odile")
    page.reload()
    row = page.locator("table").last.get_by_role("row").filter(has_text="Odile")
    row.get_by_role("button", name="End", exact=True).click()
    expect(row).to_contain_text("Ended")
    row.get_by_role("button", name="Burn").click()
    expect(row).to_contain_text("cannot be sent")
    row.get_by_role("button", name="Burn this phone now").click()
    expect(row).to_contain_text("Burned")
    expect(row.get_by_role("button")).to_have_count(0)
    assert odile.page.request.get(f"{desk.url}/api/v1/me").status == 401
    second = phone("second")
    second.start()
    second.page.goto(read[0].text)
    second.page.get_by_label("Your name").fill("Somebody else")
    second.page.get_by_role("button", name="Join").click()
    expect(second.page.get_by_role("alert")).to_contain_text("ask the coordinator for a new one")
