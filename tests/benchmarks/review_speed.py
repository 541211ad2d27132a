"""What the review costs a slow phone: first case, at rest, longest block, and each tap's answer.

    python tests/benchmarks/review_speed.py [planters, 500] [flags, 60] [slower by, 4]

A phone of 360 x 740. The demo town's cards are copied in the phone's own store until there are
enough, with so many of its flags spread over them, one a planter; the network is cut, so that only
the phone is measured. Medians, with the processor slowed and as it is, and the share of what is
aimed at. POTROUNDS_STATIC=FOLDER measures another build.
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
#: Aims in ms: something to read within a second and a half, a tap answered within a fifth.
FIRST_AIM, TAP_AIM = 1500, 200
AIMS = {
    "first case": FIRST_AIM,
    **dict.fromkeys(("at rest", "longest block", "decide: all kept", "take it all back")),
}
FILL = """async ([count, flagged]) => {
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
  const pool = rows.flatMap((row) => row.card.flags
    .filter((flag) => !flag.quiet && !flag.decision)
    .map((flag) => ({flag, row})));
  let put = 0;
  for (let i = 0; i < count; i += 1) {
    // A flag goes with the card it was raised on: its evidence and picture come along.
    const wanted = Math.floor(((i + 1) * flagged) / count) > put;
    const from = wanted ? pool[put % pool.length] : {flag: null, row: rows[i % rows.length]};
    const row = structuredClone(from.row);
    if (i < rows.length) row.id = rows[i].id;
    else row.id = `p-copy${i}`;
    row.codes = i < rows.length ? rows[i].codes : [];
    row.card.id = row.id;
    row.card.name = `${row.card.site.name} ${i + 1}`;
    row.card.flags = from.flag ? [structuredClone(from.flag)] : [];
    put += wanted ? 1 : 0;
    // As a pull would keep it.
    if (row.card.flags.length || row.card.establishment) row.needs = 1;
    else delete row.needs;
    store.put(row);
  }
  await new Promise((done) => { tx.oncomplete = done; });
  db.close();
  return put;
}"""
WATCH = """() => {
  window.blocks = [];
  window.last = 0;
  new PerformanceObserver((list) =>
    list.getEntries().forEach((one) => {
      window.blocks.push(one.duration);
      window.last = Math.max(window.last, one.startTime + one.duration);
    })
  ).observe({type: 'longtask', buffered: true});
  const painted = () => new Promise((done) =>
    requestAnimationFrame(() => setTimeout(() => done(performance.now()), 0)));
  window.painted = painted;
  const seen = new MutationObserver(async () => {
    const cases = document.querySelectorAll('.act-group .case__tick').length;
    if (!cases) return;
    window.last = Math.max(window.last, performance.now());
    if (!window.first) {
      window.first = -1;
      window.first = await painted();
    }
  });
  document.addEventListener('DOMContentLoaded', () =>
    seen.observe(document.body, {childList: true, subtree: true}));
}"""
# Presses a button and gives the times until its first answer, and then what it should bring about,
# have been painted.
TAP = """async ([button, words]) => {
  const all = [...document.querySelectorAll(button)];
  const one = words ? all.filter((each) => each.textContent.includes(words))[0] : all[0];
  one.scrollIntoView({block: 'center'});
  await window.painted();
  await new Promise((done) => setTimeout(done, 400));
  const there = () => UNTIL;
  const start = performance.now();
  one.click();
  const frame = () => new Promise((done) => requestAnimationFrame(done));
  while (!there()) await frame();
  const answered = (await window.painted()) - start;
  while (!(THEN)) await frame();
  return [answered, (await window.painted()) - start];
}"""
KERB = "document.querySelector('.kerb')"
CHOSEN = "document.querySelectorAll('.case__tick input:checked').length"
CASES = "document.querySelectorAll('.act-group .case__tick').length"
NAMES = (
    *("first case", "at rest", "longest block", "open a case", "tick a case"),
    *("choose a group", "decide: answered", "decide: all kept", "take it all back"),
)


def one_opening(page: Page, url: str, flagged: int) -> list[float]:
    """Open the review and work in it; the figures in the order of NAMES [ms]."""
    page.goto(f"{url}/review")
    expect(page.locator(".act-group li.case").first).to_be_visible(timeout=120_000)
    page.wait_for_timeout(3_000)
    first, last, blocks = page.evaluate("[window.first, window.last, window.blocks]")
    here = page.evaluate(CASES)
    assert here == flagged, f"{here} cases are shown, not {flagged}"

    def both(button: str, words: str, until: str, then: str) -> list[float]:
        script = TAP.replace("UNTIL", until).replace("THEN", then)
        return page.evaluate(script, [button, words])  # type: ignore[no-any-return]

    def tap(button: str, words: str, until: str) -> float:
        return both(button, words, until, until)[1]

    opened = tap(".case__words", "", "document.querySelector('.case__open')")
    tap(".case__words[aria-expanded=true]", "", "!document.querySelector('.case__open')")
    ticked = tap(".case__tick input", "", f"{KERB} && {CHOSEN} === 1")
    tap(".kerb .btn", "Choose none", f"!{KERB}")
    group = page.evaluate(
        """() => [...document.querySelectorAll('.group__all')]
          .map((one) => one.firstChild.textContent)
          .sort((one, other) => parseInt(other.match(/\\d+/)) - parseInt(one.match(/\\d+/)))[0]"""
    )
    many = int(group.split()[-1])
    chosen = tap(".group__all", group, f"{CHOSEN} === {many}")
    answered, kept = both(
        ".bulk__ways .btn",
        "Seen",
        f"!{KERB}.innerText.includes('chosen')",
        f"{CASES} === {flagged - many}",
    )
    undone = tap(".kerb .btn", "Undo", f"{CASES} === {flagged}")
    return [first, last, max(blocks, default=0.0), opened, ticked, chosen, answered, kept, undone]


def measure(page: Page, url: str, flagged: int) -> list[float]:
    """The medians of some openings."""
    found = [one_opening(page, url, flagged) for _ in range(TIMES)]
    return [statistics.median(values) for values in zip(*found, strict=True)]


def main(count: int, flagged: int, slower: float) -> None:
    """Print the medians, slowed and as it is, and what they are of the aim."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        town = TownServer(Path(folder))
        town.start("demo")
        phone = Phone(playwright, Path(folder) / "phone", town.url)
        try:
            page = phone.start()
            phone.sign_in(*town.coordinator)
            phone.open("/planters")
            expect(page.locator("a[href^='/p/']").first).to_be_visible()
            page.wait_for_timeout(1_000)
            assert page.evaluate(FILL, [count, flagged]) == flagged
            phone.context.set_offline(True)  # type: ignore[union-attr]
            page.add_init_script(f"({WATCH})()")
            slow = phone.context.new_cdp_session(page)  # type: ignore[union-attr]
            figures = []
            for rate in (1.0, slower):
                slow.send("Emulation.setCPUThrottlingRate", {"rate": rate})
                figures.append(measure(page, town.url, flagged))
        finally:
            phone.shut()
            town.stop()
    print(f"{count} planters, {flagged} flags, 360 x 740, median of {TIMES} openings")
    slowed_by = f"{slower:g}x slower"
    print(f"{'':18s}{'as it is':>12s}{slowed_by:>14s}{'ratio':>8s}{'aim':>11s}{'of it':>7s}")
    for name, plain, slowed in zip(NAMES, *figures, strict=True):
        aim = AIMS.get(name, TAP_AIM)
        of_aim = f"{aim:7d} ms{slowed / aim:7.0%}" if aim else ""
        ratio = f"{slowed / plain:8.1f}" if plain else f"{'-':>8s}"
        print(f"{name:18s}{plain:9.0f} ms{slowed:11.0f} ms{ratio} {of_aim}")


if __name__ == "__main__":
    main(
        int(sys.argv[1]) if len(sys.argv) > 1 else 500,
        int(sys.argv[2]) if len(sys.argv) > 2 else 60,
        float(sys.argv[3]) if len(sys.argv) > 3 else 4.0,
    )
