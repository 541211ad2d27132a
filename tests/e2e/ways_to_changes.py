"""Ways to the list of changes, and to what it says before something is taken back."""

from __future__ import annotations

from desk_helpers import ask, change
from people import Role, World
from playwright.sync_api import expect


def _edit(role: Role, **values: object) -> int:
    """Edit the register's first planter; the number of the change."""
    first = ask(role.phone, "/register")["planters"][0]
    path = f"/register/planters/{first['id']}"
    change(role.phone, "PATCH", path, values, **{"If-Match": f'"{first["version"]}"'})
    return int(ask(role.phone, "/register")["changes"][0]["number"])


def _asked(role: Role, number: int, words: str) -> None:
    page = role.phone.open(f"/register?part=changes&undo={number}")
    expect(page.get_by_role("heading", name="Undo this change?")).to_be_visible()
    expect(page.get_by_text(words).first).to_be_visible(timeout=30_000)


def undo_asked(world: World, role: Role) -> None:
    """A change that can go back as it is."""
    _asked(role, _edit(role, notes="By the door", reservoir_l=21), "Reservoir, litres")


def undo_in_the_way(world: World, role: Role) -> None:
    """Somebody edited the same value since."""
    number = _edit(role, notes="By the door side")
    _edit(role, notes="By the river side")
    _asked(role, number, "Edited since")


def undo_refused(world: World, role: Role) -> None:
    """A change that has no way back says what to do."""
    told = ask(role.phone, "/register/changes?what=rounds")["changes"][0]
    _asked(role, told["number"], "People have been told")


def just_edited(world: World, role: Role) -> None:
    """Right after an edit at the desk."""
    page = role.phone.open("/register?part=sites")
    page.get_by_label("New site").fill("Weir steps")
    page.get_by_role("button", name="Add the site").click()
    expect(page.get_by_text("Your change is kept.")).to_be_visible(timeout=30_000)
    path = "/register/changes?what=site&search=weir"
    number = ask(role.phone, path)["changes"][0]["number"]
    looked = ask(role.phone, f"/register/changes/{number}/undo")
    change(role.phone, "POST", f"/register/changes/{number}/undo", {"mark": looked["mark"]})


def changes_looked_through(world: World, role: Role) -> None:
    """The list, narrowed to one kind."""
    page = role.phone.open("/register?part=changes&what=rounds&order=oldest")
    expect(page.locator(".changes > li").first).to_contain_text("Rounds told")
