"""The ways to the states of the review that the walk through all screens looks at."""

from __future__ import annotations

from people import Role, World
from playwright.sync_api import Page, expect


def review(world: World, role: Role) -> Page:
    page = role.phone.open("/review")
    expect(page.locator(".case__words").first).to_be_visible()
    return page


def group_chosen(world: World, role: Role) -> None:
    page = review(world, role)
    page.get_by_role("button", name="Choose all").first.click()
    page.get_by_role("button", name="Hand to…").click()
    expect(page.get_by_label("Who looks after it")).to_be_visible()


def group_decided(world: World, role: Role) -> None:
    page = review(world, role)
    page.get_by_role("button", name="Looked through").click()
    expect(page.get_by_text("nothing has changed")).to_be_visible()
    page.get_by_role("button", name="Choose all").first.click()
    page.get_by_role("button", name="To the next round").click()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Taken back")).to_be_visible()
    page.get_by_text("In hand").click()


def case_opened(world: World, role: Role) -> None:
    page = review(world, role)
    page.locator(".case__words").first.click()
    page.get_by_role("button", name="Hand to…").click()
    expect(page.get_by_label("Who looks after it")).to_be_visible()
