"""What the coordinator's tests share: asking the server as the signed-in desk, and its log."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from typing import Any

from phone import Phone
from playwright.sync_api import Locator, Page, expect
from server_process import TownServer


def ask(desk: Phone, path: str) -> Any:
    """A GET with the desk's own session."""
    answer = desk.page.request.get(f"{desk.url}/api/v1{path}")
    assert answer.ok, answer.text()
    return answer.json()


def change(desk: Phone, method: str, path: str, body: Any, **headers: str) -> Any:
    """A write with the desk's own session, as another desk would make it."""
    answer = desk.page.request.fetch(
        f"{desk.url}/api/v1{path}",
        method=method,
        data=json.dumps(body),
        headers={"Content-Type": "application/json", "Origin": desk.url, **headers},
    )
    assert answer.ok, answer.text()
    return answer.json()


def cards(desk: Phone) -> dict[str, Any]:
    """Planter cards by name, as every phone pulls them."""
    items = ask(desk, "/sync/pull?limit=200")["items"]
    return {item["planter"]["name"]: item["planter"] for item in items if item["what"] == "planter"}


def flag_of(card: dict[str, Any], code: str) -> dict[str, Any] | None:
    """The standing flag of this code, quiet or not."""
    return next((flag for flag in card["flags"] if flag["code"] == code), None)


def log_rows(town: TownServer, kind: str) -> list[dict[str, Any]]:
    """Bodies of the log's records of a kind, read from the database file itself."""
    address = f"file:{town.home}/town/potrounds.sqlite?mode=ro"
    with closing(sqlite3.connect(address, uri=True)) as db:
        found = db.execute(
            "SELECT planter, text FROM log_entry WHERE kind = ? ORDER BY seq", [kind]
        )
        return [{"at": planter, **json.loads(text)} for planter, text in found]


def case(page: Page, words: str) -> Locator:
    """The line of the review with these words."""
    # Also in a fold that is closed, where nothing has a role.
    return page.locator("li").filter(has_text=words).first


def review_of(one: Phone) -> Page:
    """The review, drawn."""
    page = one.open("/review")
    expect(page.locator(".case__words").first).to_be_visible()
    return page


def group(page: Page, act: str) -> Locator:
    """What must be done, with its cases."""
    return page.locator("section.act-group").filter(
        has=page.get_by_role("heading", name=act, exact=True)
    )


def in_hand(page: Page) -> Locator:
    """The fold of what somebody has decided on, opened."""
    fold = page.locator("details").filter(has=page.get_by_text("In hand"))
    if fold.get_attribute("open") is None:
        fold.locator("summary").click()
    return fold


def open_case(page: Page, words: str) -> Locator:
    """The case, opened."""
    line = case(page, words)
    expect(line).to_be_attached()
    fold = page.locator("details").filter(has=line)
    if fold.count() and fold.get_attribute("open") is None:
        fold.locator("summary").click()
    line.locator(".case__words").click()
    expect(line.get_by_role("heading", name="What it rests on")).to_be_visible()
    return line


def send_all(one: Phone) -> None:
    """Send now, and wait until all is confirmed."""
    page = one.open("/outbox")
    # Where everything went by itself the button rests, and pressing it does nothing.
    page.get_by_role("button", name="Send now").dispatch_event("click")
    expect(page.get_by_text("All sent").first).to_be_visible(timeout=60_000)
