"""A winter in a test: the clock moved on, steps on the screen, steps put into an outbox."""

from __future__ import annotations

import json
import re
import sqlite3
from contextlib import closing
from typing import Any

from field import IDS, eventually, kept
from phone import Phone
from playwright.sync_api import expect
from server_process import TownServer

WAYS = {"winterization": "winter", "start-up": "start-up"}

# Rows as `store/outbox.ts` writes them, in one transaction with the phone's own counter.
INTO_OUTBOX = """async (bodies) => {
  const db = await new Promise((done, fail) => {
    const ask = indexedDB.open('potrounds');
    ask.onsuccess = () => done(ask.result);
    ask.onerror = () => fail(ask.error);
  });
  const tx = db.transaction(['outbox', 'settings'], 'readwrite');
  const read = (name) => new Promise((done) => {
    const ask = tx.objectStore('settings').get(name);
    ask.onsuccess = () => done(ask.result);
  });
  const [me, device, last] = [await read('me'), await read('device'), (await read('n')) ?? 0];
  const hex = (bytes) => [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  let n = last;
  for (const [planter, body] of bodies) {
    n += 1;
    const now = new Date();
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    const time = now.getTime();
    for (let i = 0; i < 6; i += 1) bytes[i] = Math.floor(time / 256 ** (5 - i)) % 256;
    bytes[6] = 0x70 | (bytes[6] & 0x0f);
    bytes[8] = 0x80 | (bytes[8] & 0x3f);
    const id = hex(bytes).replace(/^(.{8})(.{4})(.{4})(.{4})/, '$1-$2-$3-$4-');
    const wall = now.toISOString().replace('Z', '+00:00');
    const text = JSON.stringify({v: 1, id, kind: 'step', planter, device, n, wall, body});
    tx.objectStore('outbox').add({
      id, kind: 'step', planter, person: me.person.id, by: me.person.name, n, wall,
      saved_at: time, text, body, photos: [], state: 'queued', outcome: null, note: null,
      seq: null, confirmed_at: null, not_before: 0, problem: null, fixed_by: null,
    });
  }
  tx.objectStore('settings').put(n, 'n');
  await new Promise((done, fail) => {
    tx.oncomplete = done;
    tx.onerror = () => fail(tx.error);
  });
  db.close();
}"""


def move_clock(town: TownServer, days: float) -> None:
    """Stop the town, set its clock on by so many days, and start it again."""
    town.stop()
    with closing(sqlite3.connect(town.home / "town" / "potrounds.sqlite")) as db:
        (value,) = db.execute("SELECT value FROM setting WHERE name='clock_offset_s'").fetchone()
        later = json.dumps(json.loads(value) + days * 86400)
        db.execute("UPDATE setting SET value = ? WHERE name = 'clock_offset_s'", [later])
        db.commit()
    town.start("serve")


def step_body(list_name: str, season: int, step: str, **more: Any) -> dict[str, Any]:
    """The body of a step that was done."""
    return {"list": list_name, "season": season, "step": step, "outcome": "done", **more}


def into_outbox(phone: Phone, *steps: tuple[str, dict[str, Any]]) -> None:
    """Put records into this phone's outbox as its own app does; they go by its own sync."""
    before = len(kept(phone))
    phone.page.evaluate(INTO_OUTBOX, [[IDS[name], body] for name, body in steps])
    assert len(kept(phone)) == before + len(steps)


def on_screen(
    phone: Phone, list_name: str, planter: str, title: str, act: str, **more: str
) -> None:
    """Do one step on the list's screen: open it, give its proof, tap its act."""
    page, way = phone.page, f"/p/{IDS[planter]}/{WAYS[list_name]}"
    if not page.url.endswith(way):
        phone.open(way)
    head = page.get_by_role("button", name=re.compile(f"^{title}"))
    expect(head).to_be_visible()
    # A list opens its next step by itself, a moment after it is drawn.
    expect(page.locator(".steps li.is-open")).to_have_count(1)
    if head.get_attribute("aria-expanded") != "true":
        head.click()
    expect(head).to_have_attribute("aria-expanded", "true")
    step = page.get_by_role("listitem").filter(has=head)
    if "second" in more:
        step.get_by_label("Second person").select_option(label=more["second"])
    if "place" in more:
        step.get_by_label("Where the plug is now").fill(more["place"])
    if "found" in more:
        step.get_by_role("radio", name=more["found"], exact=True).click()
    before = len(kept(phone))
    page.get_by_role("button", name=act, exact=True).click()
    eventually(lambda: len(kept(phone)) == before + 1)
