"""Ways to the desk's screens that take more than an address."""

from __future__ import annotations

import re

from people import Role, World
from playwright.sync_api import expect

FAULTY_CSV = """name,site,size,reservoir_l
Ferry landing 9,Ferry landing,Medium,18
Ferry landing 10,The moon,Medium,18
Ferry landing 11,Ferry landing,Medium,a lot
"""

FAULTY_WEATHER = """date,tmin_c,tmax_c,rain_mm
2026-10-12,8.1,19.4,0.0
2026-10-13,22.0,17.2,6.4
2026-10-14,7.5,71,
"""


def sheet(world: World, role: Role) -> None:
    page = role.phone.open("/register")
    page.get_by_role("link", name="Market street 6", exact=True).click()
    expect(page.get_by_role("heading", name="Market street 6")).to_be_visible()


def place(world: World, role: Role) -> None:
    page = role.phone.open("/register")
    page.get_by_role("link", name="Market street 2", exact=True).click()
    page.get_by_role("link", name="Where it stands").click()
    expect(page.get_by_role("heading", name="What was found")).to_be_visible()


def faulty_import(world: World, role: Role) -> None:
    page = role.phone.open("/register?part=import")
    page.get_by_label("The file").set_input_files(
        {"name": "new.csv", "mimeType": "text/csv", "buffer": FAULTY_CSV.encode()}
    )
    expect(page.get_by_text("2 things to mend.")).to_be_visible()


def faulty_weather(world: World, role: Role) -> None:
    page = role.phone.open("/register?part=weather")
    page.get_by_label("The file").set_input_files(
        {"name": "may.csv", "mimeType": "text/csv", "buffer": FAULTY_WEATHER.encode()}
    )
    expect(page.get_by_text("2 things to mend.")).to_be_visible()


def wet(world: World) -> dict[str, object]:
    """A planter with a reservoir that is known well: its chart is full of fills."""
    return world.named("Market street 3")


def questioned_size(world: World, role: Role) -> None:
    """Inches typed as centimetres: the Medium of the demo, 23.6 in across."""
    page = role.phone.open("/register?part=sizes")
    page.get_by_label("Size, as on the planters").fill("Medium, by the inch")
    page.get_by_label("Diameter at the rim").fill("23.6")
    page.get_by_label("Diameter where the mix stands").fill("18.9")
    page.get_by_label("Depth from there").fill("18.9")
    page.get_by_label("Reservoir").fill("16")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.get_by_text("Were inches typed as centimetres?").first).to_be_visible()


def opened_scheme(world: World, role: Role) -> None:
    page = role.phone.open("/register?part=schemes")
    page.get_by_role("button", name="Change").first.click()
    page.get_by_text("Ferry landing:").first.click()
    expect(page.get_by_role("checkbox", name="Ferry landing 1")).to_be_visible()


def whole_history(world: World, role: Role) -> None:
    page = role.phone.open(f"/p/{wet(world)['id']}/history")
    expect(page.get_by_text(re.compile(r"flags? raised:"))).to_be_visible()
    expect(page.locator(".course__visits > li").first).to_be_visible()
    page.get_by_text("Week by week, as a table").click()


def behind_a_number(world: World, role: Role) -> None:
    page = role.phone.open("/report")
    row = page.get_by_role("row", name="Water as typed")
    row.get_by_role("link").click()
    expect(page.get_by_role("heading", name="Water as typed")).to_be_visible()
    expect(page.get_by_role("table")).to_be_visible()


def fresh_invite(world: World, role: Role) -> None:
    page = role.phone.open("/people")
    page.get_by_label("Their name").fill("Odile")
    page.get_by_role("button", name="Make an invite").click()
    expect(page.get_by_role("img", name="Invite code")).to_be_visible()


def plugs(world: World, role: Role) -> None:
    page = role.phone.open("/winter")
    page.get_by_role("button", name="Plugs").click()
    expect(page.get_by_text("Spring begins with finding the plug")).to_be_visible()


def list_step(world: World, role: Role) -> None:
    page = role.phone.open("/register?part=lists")
    page.get_by_role("button", name="Add a step").click()
    page.get_by_label("For which planters").select_option("site")
    expect(page.get_by_text("At which sites")).to_be_visible()


def seasons(world: World, role: Role) -> None:
    page = role.phone.open("/register?part=seasons")
    page.get_by_role("button", name="Close the season…").click()
    expect(page.get_by_text("Close all the same?")).to_be_visible()


def archive(world: World, role: Role) -> None:
    """A season that was closed and, for the other screens' sake, opened again."""
    seasons(world, role)
    page = role.phone.page
    page.get_by_role("button", name=re.compile("^Close 2")).click()
    page.get_by_role("link", name=re.compile("^Season 2")).click()
    page.get_by_label("Why").fill("the walk goes on")
    page.get_by_role("button", name=re.compile("again$")).click()
    expect(page.get_by_text("the walk goes on")).to_be_visible()
