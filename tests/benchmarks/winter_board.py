"""What the winter board costs a slow phone: first tile, all tiles, longest block, one tap.

    python tests/benchmarks/winter_board.py [planters, 500] [slower by, 4]

The demo town's cards are copied in the phone's own store until there are enough, the network is
cut, and the browser's processor slowed. POTROUNDS_STATIC=FOLDER measures another build.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "e2e"))

from phone import Phone
from playwright.sync_api import Page, sync_playwright
from server_process import TownServer

TIMES = 5
COPY = """async (count) => {
  const db = await new Promise((done) => {
    const ask = indexedDB.open('potrounds');
    ask.onsuccess = () => done(ask.result);
  });
  const tx = db.transaction('planters', 'readwrite');
  const store = tx.objectStore('planters');
  const rows = await new Promise((done) => {
    const ask = store.getAll();
    ask.onsuccess = () => done(ask.result);
  });
  for (let i = rows.length; i < count; i += 1) {
    const row = structuredClone(rows[i % rows.length]);
    row.id = `p-copy${i}`;
    row.codes = [];
    row.card.id = row.id;
    row.card.name = `${row.card.site.name} ${i + 1}`;
    store.put(row);
  }
  await new Promise((done) => { tx.oncomplete = done; });
  db.close();
}"""
WATCH = """() => {
  window.blocks = [];
  new PerformanceObserver((list) =>
    list.getEntries().forEach((one) => window.blocks.push(one.duration))
  ).observe({type: 'longtask', buffered: true});
  const seen = new MutationObserver(() => {
    const tiles = document.querySelectorAll('a.tile').length;
    if (tiles && !window.first) window.first = performance.now();
    if (tiles) window.last = performance.now();
  });
  document.addEventListener('DOMContentLoaded', () =>
    seen.observe(document.body, {childList: true, subtree: true}));
}"""
TAP = """async () => {
  const button = [...document.querySelectorAll('.board__acts button')].at(-1);
  const start = performance.now();
  button.click();
  await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  return performance.now() - start;
}"""


def one_opening(page: Page, url: str, count: int) -> list[float]:
    """Open the board; the four figures [ms]."""
    page.goto(f"{url}/winter")
    page.wait_for_function(
        f"document.querySelectorAll('a.tile').length >= {count}", timeout=120_000
    )
    page.wait_for_timeout(300)
    tap = page.evaluate(TAP)
    first, last, blocks = page.evaluate("[window.first, window.last, window.blocks]")
    return [first, last, max(blocks, default=0.0), tap]


def main(count: int, slower: float) -> None:
    """Print the medians of some openings."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        town = TownServer(Path(folder))
        town.start("demo")
        phone = Phone(playwright, Path(folder) / "phone", town.url)
        try:
            page = phone.start()
            phone.join(town.invite_link, "Wim")
            phone.open("/planters")
            page.wait_for_function("document.querySelectorAll(\"a[href^='/p/']\").length >= 24")
            page.evaluate(COPY, count)
            phone.context.set_offline(True)  # type: ignore[union-attr]
            page.add_init_script(f"({WATCH})()")
            slow = phone.context.new_cdp_session(page)  # type: ignore[union-attr]
            slow.send("Emulation.setCPUThrottlingRate", {"rate": slower})
            found = [one_opening(page, town.url, count) for _ in range(TIMES)]
        finally:
            phone.shut()
            town.stop()
    names = ("first tile", "all tiles", "longest block", "a tap on Only what remains")
    print(f"{count} planters, processor slowed {slower:g} times, median of {TIMES} openings")
    for name, values in zip(names, zip(*found, strict=True), strict=True):
        print(f"{name:28s} {statistics.median(values):7.0f} ms")


if __name__ == "__main__":
    main(
        int(sys.argv[1]) if len(sys.argv) > 1 else 500,
        float(sys.argv[2]) if len(sys.argv) > 2 else 4.0,
    )
