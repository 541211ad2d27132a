"""What a volunteer does in the field, as sentences; a look into the stores of phone and town."""

from __future__ import annotations

import json
import os
import re
import signal
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from typing import Any, TypeVar

from phone import Phone
from playwright.sync_api import Error, Page, expect
from server_process import TownServer

T = TypeVar("T")
DEMO = json.loads((Path(__file__).parents[2] / "demo_data" / "town.json").read_text())
CODES: dict[str, str] = {one["name"]: one["code"] for one in DEMO["planters"]}
IDS: dict[str, str] = {one["name"]: one["id"] for one in DEMO["planters"]}
SENT_SECONDS = 60

STORED = """async (store) => {
  const db = await new Promise((done, fail) => {
    const ask = indexedDB.open('potrounds');
    ask.onsuccess = () => done(ask.result);
    ask.onerror = () => fail(ask.error);
  });
  const rows = await new Promise((done) => {
    const ask = db.transaction(store).objectStore(store).getAll();
    ask.onsuccess = () => done(ask.result);
  });
  db.close();
  return rows.map((row) => JSON.parse(JSON.stringify(row, (key, value) =>
    value instanceof ArrayBuffer ? value.byteLength : value)));
}"""
TALKING = """async () => {
  const { held, pending } = await navigator.locks.query();
  return [...held, ...pending].some((one) => one.name.includes('sync'));
}"""


def eventually(check: Callable[[], T], seconds: float = SENT_SECONDS) -> T:
    """The first answer of `check` that is not empty; for what no page shows."""
    deadline = time.monotonic() + seconds
    while True:
        found = check()
        if found:
            return found
        assert time.monotonic() < deadline, f"not within {seconds} s"
        time.sleep(0.05)


# --- the town's store ---------------------------------------------------------------------------


def log_texts(town: TownServer) -> list[str]:
    """The raw text of every record in the server's log, in its order."""
    address = f"file:{town.home}/town/potrounds.sqlite?mode=ro"
    with closing(sqlite3.connect(address, uri=True)) as db:
        return [text for (text,) in db.execute("SELECT text FROM log_entry ORDER BY seq")]


def held_count(town: TownServer) -> int:
    """How many records the server keeps aside for the coordinator."""
    address = f"file:{town.home}/town/potrounds.sqlite?mode=ro"
    with closing(sqlite3.connect(address, uri=True)) as db:
        return int(db.execute("SELECT count(*) FROM held").fetchone()[0])


# --- the phone's store --------------------------------------------------------------------------


def stored(phone: Phone, store: str) -> list[dict[str, Any]]:
    """All rows of one store of this phone; bytes come as their number."""
    return phone.page.evaluate(STORED, store)  # type: ignore[no-any-return]


def kept(phone: Phone) -> list[dict[str, Any]]:
    """This phone's own records, oldest first, with their parsed body."""
    return sorted(stored(phone, "outbox"), key=lambda row: row["n"])


def newest(phone: Phone) -> dict[str, Any]:
    """The record saved last on this phone."""
    return kept(phone)[-1]


def states(phone: Phone) -> list[str]:
    """How far each record has come, oldest first."""
    return [row["state"] for row in kept(phone)]


def card(phone: Phone, planter: str) -> dict[str, Any]:
    """The planter's card as the server last sent it to this phone."""
    rows = stored(phone, "planters")
    return next(row["card"] for row in rows if row["card"]["name"] == planter)


def setting(phone: Phone, name: str) -> Any:
    """One setting of this phone."""
    return phone.page.evaluate(
        """async (name) => {
          const db = await new Promise((done) => {
            const ask = indexedDB.open('potrounds');
            ask.onsuccess = () => done(ask.result);
          });
          const value = await new Promise((done) => {
            const ask = db.transaction('settings').objectStore('settings').get(name);
            ask.onsuccess = () => done(ask.result);
          });
          db.close();
          return value;
        }""",
        name,
    )


# --- what a person does -------------------------------------------------------------------------


def arrive(phone: Phone, link: str, name: str) -> Page:
    """Join, and wait until the planters are on the phone."""
    if phone.context is None:
        phone.start()
    phone.join(link, name)
    page = phone.open("/planters")
    expect(page.locator("a[href^='/p/']")).to_have_count(len(CODES))
    quiet(phone)
    return page


def quiet(phone: Phone, page: Page | None = None) -> None:
    """Wait until this phone is not talking to the server, nor in line for it."""
    eventually(lambda: not (page or phone.page).evaluate(TALKING))


def open_check_in(phone: Phone, planter: str, page: Page | None = None) -> Page:
    """Open the check-in of a planter from its record, by the tag's address."""
    page = page or phone.page
    page.goto(f"{phone.url}/T/{CODES[planter]}")
    expect(page.get_by_role("heading", name=planter, level=1)).to_be_visible()
    page.get_by_role("link", name="Check in").click()
    expect(page.get_by_role("radio", name="Empty")).to_be_attached()
    return page


def save(page: Page) -> None:
    """Save, and see that the phone says so."""
    page.get_by_role("button", name="Save").click()
    said = re.compile("Saved on this phone|Sent and confirmed")
    expect(page.get_by_role("heading", name=said)).to_be_visible()


def check_in(phone: Phone, planter: str, level: str = "Half", plants: str = "4 good") -> str:
    """One whole check-in; gives the record's id."""
    page = open_check_in(phone, planter)
    page.get_by_role("radio", name=level, exact=True).click()
    page.get_by_role("radio", name=plants, exact=True).click()
    save(page)
    return str(newest(phone)["id"])


def news(phone: Phone, path: str = "/outbox") -> Page:
    """Open a screen, and wait until a talk that began after that has brought what is new."""
    pulled = re.compile("/sync/pull")
    quiet(phone)  # or the answer might be that of an earlier talk
    with phone.page.expect_response(pulled, timeout=SENT_SECONDS * 1000) as answer:
        page = phone.open(path)
    assert answer.value.ok
    quiet(phone)
    return page


def back_in_signal(phone: Phone) -> Page:
    """Open the app where there is signal: that alone sends what waits, without a press."""
    return phone.open("/outbox")


def send_now(phone: Phone) -> None:
    """Press Send now in the open outbox, once the phone is not in the middle of another try."""
    quiet(phone)
    phone.page.get_by_role("button", name="Send now").click()


def all_sent(phone: Phone) -> None:
    """Everything has arrived by the phone's store, and the phone says the same."""
    eventually(lambda: set(states(phone)) <= {"sent"})
    said = phone.page.get_by_text(re.compile("All sent")).first
    expect(said).to_be_visible(timeout=SENT_SECONDS * 1000)
    quiet(phone)
    assert set(states(phone)) <= {"sent"}


def do_step(phone: Phone, planter: str, title: str, act: str, **more: str) -> None:
    """Record one step of winterization; `second` and `place` are filled in where given."""
    page = phone.page
    if not page.url.endswith(f"/p/{IDS[planter]}/winter"):
        phone.open(f"/p/{IDS[planter]}/winter")
    head = page.get_by_role("button", name=re.compile(f"^{title}"))
    expect(head).to_be_visible()
    step = page.get_by_role("listitem").filter(has=head)
    # The list opens its next step by itself, a moment after it is drawn.
    expect(page.locator(".steps li.is-open")).to_have_count(1)
    if head.get_attribute("aria-expanded") != "true":
        head.click()
    expect(head).to_have_attribute("aria-expanded", "true")
    if "second" in more:
        step.get_by_label("Second person").select_option(label=more["second"])
    if "place" in more:
        step.get_by_label("Where the plug is now").fill(more["place"])
    before = len(kept(phone))
    page.get_by_role("button", name=act, exact=True).click()
    eventually(lambda: len(kept(phone)) == before + 1)


def still_waiting(phone: Phone, count: int = 1) -> None:
    """None of the records has been taken for sent; each waits, once the try under way is over."""
    there = states(phone)
    assert len(there) == count
    assert not set(there) - {"queued", "sending"}, there
    eventually(lambda: states(phone) == ["queued"] * count)


# --- faults -------------------------------------------------------------------------------------


def kill(phone: Phone) -> None:
    """End this phone's browser at once, as a flat battery would; no other process is touched."""
    mine = f"--user-data-dir={phone.profile}"
    pids = []
    for entry in Path("/proc").iterdir():
        if not entry.name.isdigit():
            continue
        with suppress(OSError):
            words = (entry / "cmdline").read_bytes().decode(errors="replace").split("\0")
            if mine in words and not any(word.startswith("--type=") for word in words):
                pids.append(int(entry.name))
    assert len(pids) == 1, f"one browser with this profile, not {pids}"
    os.kill(pids[0], signal.SIGKILL)
    with suppress(Error):
        phone.context.close()  # type: ignore[union-attr]
    phone.context = None
