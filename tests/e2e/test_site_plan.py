"""The site plan: marks lead to planters, two points place a picture, and no signal is needed."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from typing import Any

import pytest
from desk_helpers import ask, change, send_all
from field import IDS, eventually, stored
from looking import boxes_of, drawn, head_read, overlapping, settle
from phone import LAPTOP, Phone
from PIL import Image, ImageDraw
from playwright.sync_api import Locator, Page, expect
from server_process import TownServer

Phones = Callable[..., Phone]
MARKET, YARD = "s-market00", "s-yard0000"
NATURAL = "(one) => [one.naturalWidth, one.naturalHeight, one.src.slice(0, 5)]"
SPOTS = (
    "(all) => all.map((one) => [Number(one.getAttribute('cx')), Number(one.getAttribute('cy'))])"
)


@pytest.fixture
def desk(town: TownServer, phone: Phones) -> Phone:
    """The coordinator's laptop, signed in, with the planters on it."""
    one = phone("desk", size=LAPTOP)
    one.start()
    one.sign_in(*town.coordinator)
    page = one.open("/planters")
    expect(page.get_by_role("link", name=re.compile("Market street")).first).to_be_visible()
    return one


@pytest.fixture
def volunteer(town: TownServer, phone: Phones) -> Phone:
    """A volunteer's phone with the planters and all pictures on it."""
    one = phone("volunteer")
    one.start()
    page = one.join(town.invite("Wim"), "Wim")
    one.open("/planters")
    expect(page.get_by_role("link", name=re.compile("Market street")).first).to_be_visible()
    eventually(lambda: plan_of(one, MARKET) in kept_pictures(one))
    return one


def plan_of(phone: Phone, scope: str) -> str:
    """The name of a placed plan picture, once this phone knows it."""
    towns = [row for row in stored(phone, "town") if row["id"] == "town"]
    plans = towns[0]["plans"] if towns else []
    return next((one["photo"] for one in plans if one["scope"] == scope and one["fit"]), "none yet")


def kept_pictures(phone: Phone) -> set[str]:
    """The names of the pictures on this phone."""
    return {row["sha"] for row in stored(phone, "pictures")}


def drawing(page: Page) -> Locator:
    return page.get_by_role("group", name=re.compile("The list says the same"))


def marks(page: Page) -> Locator:
    return drawing(page).get_by_role("link")


def spots(page: Page) -> list[list[float]]:
    """Where the planters lie on the drawing, in the order of the marks."""
    return page.locator(".siteplan__spot").evaluate_all(SPOTS)


def listed(page: Page) -> list[str]:
    """The planters beside the drawing, in order."""
    rows = page.locator("#siteplan-list ol .siteplan__row .stack > b")
    return rows.all_inner_texts()


def row_of(page: Page, name: str) -> Locator:
    """A planter, or a site, in the list beside the drawing."""
    heading = page.locator(".stack > b", has_text=re.compile(f"^{name}$"))
    return page.locator("#siteplan-list").get_by_role("listitem").filter(has=heading)


def named(page: Page) -> list[str]:
    """The planters on the drawing, in order: a mark's hidden words and what stands on it."""
    return [" ".join(text.split()) for text in marks(page).locator("b").all_text_contents()]


def test_without_signal_a_volunteer_goes_by_plan_and_picture_to_a_planter(
    volunteer: Phone,
) -> None:
    assert volunteer.context
    volunteer.context.set_offline(True)
    page = volunteer.page
    page.get_by_role("link", name="Site plan").click()
    expect(marks(page)).to_have_count(4)
    expect(page.get_by_role("heading", name="The sites")).to_be_visible()
    marks(page).filter(has_text="Market street").click()
    expect(page.get_by_role("heading", name="At Market street")).to_be_visible()
    picture = drawing(page).locator("img")
    assert drawn(picture).evaluate(NATURAL) == [1500, 640, "blob:"]
    eventually(lambda: len(listed(page)) == 6)
    eventually(lambda: named(page) == listed(page))
    page.reload()
    expect(picture).to_be_visible()
    page.get_by_role("radio", name="Drawing").check(force=True)
    expect(picture).to_have_count(0)
    expect(marks(page)).to_have_count(6)
    expect(page.get_by_text("A square is")).to_be_visible()
    marks(page).filter(has_text="Market street 4").click()
    expect(page.get_by_role("heading", name="Market street 4", level=1)).to_be_visible()


def test_the_list_says_in_words_what_the_drawing_shows(volunteer: Phone) -> None:
    """24.0 m between neighbours: 0.00031 degrees of longitude at 46.5 are 23.79 m, 0.00003 of
    latitude 3.33 m (Bowditch's series), together 24.03."""
    page = volunteer.open(f"/siteplan?site={MARKET}")
    first = row_of(page, "Market street 1")
    expect(first).to_contain_text("Today")
    expect(first).to_contain_text("60 m west of the middle, 24 m from Market street 2")
    last = row_of(page, "Market street 6")
    expect(last).to_contain_text("60 m east of the middle, 24 m from Market street 5")
    page.get_by_label("Site").select_option("The whole town")
    expect(page.get_by_role("heading", name="The sites")).to_be_visible()
    row = row_of(page, "Station forecourt")
    expect(row).to_contain_text(re.compile("6 planters: 3 today"))
    expect(row).to_contain_text("north-east of the middle")


def test_close_planters_do_not_cover_each_other_and_a_crowd_opens(
    desk: Phone, volunteer: Phone
) -> None:
    """Twenty of the planters are moved within three metres of each other."""
    register = ask(desk, "/register")["planters"]
    for number, planter in enumerate(register[:20]):
        place = {"lat": 46.5031 + (number % 5) * 7e-6, "lon": -38.0068 + (number // 5) * 1e-5}
        body = {**place, "site": MARKET}
        version = f'"{planter["version"]}"'
        path = f"/register/planters/{planter['id']}"
        change(desk, "PATCH", path, body, **{"If-Match": version})
    send_all(volunteer)
    eventually(lambda: sum(at_market(row) for row in stored(volunteer, "planters")) >= 20)
    page = volunteer.open(f"/siteplan?site={MARKET}&view=drawing")
    several = marks(page).filter(has_text="planters")
    expect(several.first).to_be_visible()
    look_apart(page)
    while several.count():
        before = page.url
        several.first.click()
        expect(page).not_to_have_url(before)
        if page.url.endswith("#siteplan-list"):
            break  # these stand at one spot; the list tells them apart
        expect(page.get_by_text(re.compile(r"planters? of Market street"))).to_be_visible()
        look_apart(page)
    page.get_by_role("link", name="All of Market street").click()
    eventually(lambda: len(listed(page)) >= 20)


def at_market(row: dict[str, Any]) -> bool:
    return bool(row["card"]["site"]["id"] == MARKET)


def look_apart(page: Page) -> None:
    """The marks lie apart, once the drawing knows its width."""
    settle(page)

    def apart() -> bool:
        boxes = boxes_of(marks(page))
        return len(boxes) > 1 and overlapping(boxes) == []

    eventually(apart)


def test_planters_without_a_position_are_listed_with_what_to_do(
    desk: Phone, volunteer: Phone
) -> None:
    planter = next(
        one for one in ask(desk, "/register")["planters"] if one["name"].endswith("yard 3")
    )
    path, version = f"/register/planters/{planter['id']}", f'"{planter["version"]}"'
    change(desk, "PATCH", path, {"lat": None, "lon": None}, **{"If-Match": version})
    for one, words in ((volunteer, "Ask a coordinator"), (desk, "stand beside it")):
        send_all(one)
        page = one.open(f"/siteplan?site={YARD}")
        expect(page.get_by_role("heading", name="Not on the drawing")).to_be_visible()
        expect(page.get_by_text(words)).to_be_visible()
        expect(marks(page).filter(has_text="Library yard 3")).to_have_count(0)
    desk.page.get_by_role("link", name="Library yard 3").click()
    expect(desk.page.get_by_role("heading", name="Where Library yard 3 stands")).to_be_visible()


def a_plan() -> bytes:
    """A yard from above, 900 by 600, which nobody has drawn well."""
    img = Image.new("RGB", (900, 600), "#e9e6dc")
    ImageDraw.Draw(img).rectangle((60, 60, 840, 540), outline="#444", width=6)
    out = io.BytesIO()
    img.save(out, "PNG")
    return out.getvalue()


def tap_at(page: Page, x: float, y: float) -> None:
    """Tap the picture at a pixel of its own."""
    aim = page.get_by_role("button", name=re.compile("The picture: tap"))
    box = drawn(aim.locator("img")).bounding_box()
    assert box
    aim.locator("img").click(
        position={"x": x / 900 * box["width"], "y": y / 600 * box["height"]}, force=True
    )


def point(page: Page, number: int, what: str) -> Locator:
    """The form of a point, with what stands there chosen, ready for a tap."""
    form = page.get_by_role("group", name=re.compile(f"^Point {number}"))
    form.get_by_role("button", name=re.compile(f"Point {number}")).click()
    form.get_by_label("What stands there").select_option(what)
    return form


def test_a_picture_is_sent_refused_placed_and_seen_by_all(desk: Phone, volunteer: Phone) -> None:
    page = desk.open(f"/register?part=siteplans&scope={YARD}")
    chooser = page.get_by_label("The picture")
    chooser.set_input_files({"name": "a.png", "mimeType": "image/png", "buffer": b"no picture"})
    expect(page.get_by_text("Send the plan as JPEG, PNG or WebP").first).to_be_visible()
    chooser.set_input_files({"name": "a.png", "mimeType": "image/png", "buffer": a_plan()})
    expect(page.get_by_text("This picture is not placed yet")).to_be_visible()
    place = page.get_by_role("button", name="Place the picture")
    expect(place).to_have_attribute("aria-disabled", "true")
    point(page, 1, "Library yard 1")
    tap_at(page, 200, 500)
    point(page, 2, "Library yard 6")
    tap_at(page, 205, 498)
    place.click()
    expect(page.get_by_text("Both points lie on one spot of the picture").first).to_be_visible()
    point(page, 2, "Library yard 1")
    tap_at(page, 700, 100)
    place.click()
    expect(page.get_by_text("as good as one place").first).to_be_visible()
    point(page, 2, "Library yard 6")
    place.click()
    expect(page.get_by_text("Placed.")).to_be_visible()
    expect(page.get_by_text("points 1 and 2 are 94 m apart")).to_be_visible()
    point(page, 3, "Library yard 3")
    tap_at(page, 400, 340)
    place.click()
    expect(page.get_by_text("Point 3 falls 0 m from where it was marked")).to_be_visible()
    changed = desk.open("/register?part=changes")
    line = changed.get_by_role("listitem").filter(has_text="Plan picture of Library yard")
    expect(line.first).to_contain_text("Library yard 1, Library yard 6")

    send_all(volunteer)
    eventually(lambda: plan_of(volunteer, YARD) in kept_pictures(volunteer))
    assert volunteer.context
    volunteer.context.set_offline(True)
    seen = volunteer.open(f"/siteplan?site={YARD}")
    expect(drawing(seen).locator("img")).to_be_visible()
    expect(marks(seen)).to_have_count(6)
    drawn(drawing(seen).locator("img"))
    settle(seen)
    # The six stand on one line, evenly: their places on the picture follow without any projection.
    shown = float(drawing(seen).locator("img").evaluate("one => one.clientWidth")) / 900
    above = float(drawing(seen).locator("img").evaluate("one => one.offsetTop"))
    for name, (x, y) in zip(listed(seen), spots(seen), strict=True):
        share = (int(name[-1]) - 1) / 5
        assert x == pytest.approx((200 + share * 500) * shown, abs=2)
        assert y == pytest.approx((500 - share * 400) * shown + above, abs=2)


def test_the_whole_town_lies_on_a_picture_too(desk: Phone, volunteer: Phone) -> None:
    sent = desk.page.request.fetch(
        f"{desk.url}/api/v1/siteplans/town/picture",
        method="PUT",
        data=a_plan(),
        headers={"Content-Type": "image/png", "Origin": desk.url},
    )
    assert sent.ok, sent.text()
    points = [
        {"x": 150, "y": 250, "of": "planter", "id": IDS["Market street 1"]},
        {"x": 750, "y": 330, "of": "planter", "id": IDS["Library yard 1"]},
    ]
    change(desk, "PUT", "/siteplans/town/points", {"points": points}, **{"If-Match": '"1"'})
    send_all(volunteer)
    eventually(lambda: plan_of(volunteer, "town") in kept_pictures(volunteer))
    page = volunteer.open("/siteplan")
    picture = drawing(page).locator("img")
    assert drawn(picture).evaluate(NATURAL) == [900, 600, "blob:"]
    expect(marks(page)).to_have_count(4)
    page.get_by_role("radio", name="Drawing").check(force=True)
    expect(picture).to_have_count(0)
    marks(page).filter(has_text="Ferry landing").click()
    expect(page.get_by_role("heading", name="At Ferry landing")).to_be_visible()


def test_points_are_marked_by_keys_alone(desk: Phone) -> None:
    page = desk.open(f"/register?part=siteplans&scope={MARKET}")
    point(page, 2, "Market street 6")
    aim = page.get_by_role("button", name=re.compile("The picture: tap"))
    drawn(aim.locator("img"))
    head_read(page)
    aim.focus()
    form = page.get_by_role("group", name="Point 2")
    expect(form.get_by_label("Pixels from left")).to_have_value("1295.2")
    page.keyboard.press("ArrowRight")
    expect(form.get_by_label("Pixels from left")).to_have_value("1303")
    page.keyboard.press("ArrowUp")
    expect(form.get_by_label("Pixels from top")).to_have_value("293")


def test_a_mark_of_the_demo_is_the_planter_it_names(volunteer: Phone) -> None:
    page = volunteer.open(f"/siteplan?site={YARD}")
    link = marks(page).filter(has_text="Library yard 5")
    expect(link).to_have_attribute("href", f"/p/{IDS['Library yard 5']}")
