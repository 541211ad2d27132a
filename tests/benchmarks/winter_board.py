"""What the winter board costs a slow phone: first tile, at rest, longest block, scrolling on.

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
from playwright.sync_api import Page, expect, sync_playwright
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
SCROLL = """async (count) => {
  const start = performance.now();
  while (document.querySelectorAll('a.tile').length < count) {
    window.scrollTo(0, document.documentElement.scrollHeight);
    await new Promise((done) => setTimeout(done, 16));
  }
  return performance.now() - start;
}"""


def one_opening(page: Page, url: str, count: int) -> list[float]:
    """Open the board; the four figures [ms]."""
    page.goto(f"{url}/winter")
    expect(page.locator("a.tile").first).to_be_visible(timeout=120_000)
    page.wait_for_timeout(3_000)
    first, last, blocks = page.evaluate("[window.first, window.last, window.blocks]")
    scroll = page.evaluate(SCROLL, count)
    return [first, last, max(blocks, default=0.0), scroll]


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
            expect(page.locator("a[href^='/p/']").first).to_be_visible()
            page.wait_for_timeout(1_000)
            page.evaluate(COPY, count)
            phone.context.set_offline(True)  # type: ignore[union-attr]
            page.add_init_script(f"({WATCH})()")
            slow = phone.context.new_cdp_session(page)  # type: ignore[union-attr]
            slow.send("Emulation.setCPUThrottlingRate", {"rate": slower})
            found = [one_opening(page, town.url, count) for _ in range(TIMES)]
        finally:
            phone.shut()
            town.stop()
    names = ("first tile", "at rest", "longest block", "scrolled to the end")
    print(f"{count} planters, processor slowed {slower:g} times, median of {TIMES} openings")
    for name, values in zip(names, zip(*found, strict=True), strict=True):
        print(f"{name:28s} {statistics.median(values):7.0f} ms")


if __name__ == "__main__":
    main(
        int(sys.argv[1]) if len(sys.argv) > 1 else 500,
        float(sys.argv[2]) if len(sys.argv) > 2 else 4.0,
    )
