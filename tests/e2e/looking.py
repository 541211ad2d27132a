"""What every screen must hold to, measured in the page itself."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page, expect

AXE = Path(__file__).parents[2] / "pwa" / "node_modules" / "axe-core" / "axe.min.js"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
TOUCH = 48  # least height and width of anything tapped [CSS px], WCAG 2.2 SC 2.5.5 asks 44

SETTLED = """async () => {
  await document.fonts.ready;
  const late = [...document.images].filter((one) => !one.complete);
  await Promise.race([
    Promise.all(late.map((one) => new Promise((done) => { one.onload = one.onerror = done; }))),
    new Promise((done) => setTimeout(done, 3000)),
  ]);
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
}"""

DRAWN = """async (one) => {
  while (!one.complete || !one.naturalWidth)
    await new Promise((done) => requestAnimationFrame(done));
}"""
FRAMES = """async (count) => {
  for (let n = 0; n < count; n += 1) await new Promise((done) => requestAnimationFrame(done));
}"""

BOXES = """(all) => all.map((one) => {
  const { x, y, width, height } = one.getBoundingClientRect();
  return { x, y, width, height };
})"""
WIDE = """() => {
  const page = document.documentElement;
  const wide = [];
  if (page.scrollWidth > page.clientWidth)
    wide.push(`the page: ${page.scrollWidth} of ${page.clientWidth}`);
  for (const one of document.body.querySelectorAll('*')) {
    const scrolls = ['auto', 'scroll'].includes(getComputedStyle(one).overflowX);
    if (scrolls && one.tagName !== 'TEXTAREA' && one.scrollWidth > one.clientWidth + 1)
      wide.push(`${one.tagName}.${one.className}: ${one.scrollWidth} of ${one.clientWidth}`);
  }
  return wide;
}"""

# A radio, a check box or a file is tapped by its label or the plate it lies on; a link that stands
# in the middle of a sentence is text, not a control.
SMALL = """(touch) => {
  const wanted = 'a[href], button, input, select, textarea, summary, [role=button]';
  const inSentence = (one) => one.tagName === 'A'
    && getComputedStyle(one).display === 'inline'
    && [...one.parentElement.childNodes].some((node) => node !== one && node.textContent.trim());
  const box = (one) => {
    const boxes = [one];
    if (['radio', 'checkbox', 'file'].includes(one.type)) boxes.push(...one.labels);
    const sizes = boxes.map((each) => each.getBoundingClientRect());
    return [Math.max(...sizes.map((s) => s.width)), Math.max(...sizes.map((s) => s.height))];
  };
  return [...document.querySelectorAll(wanted)]
    .filter((one) => one.checkVisibility() && one.type !== 'hidden' && !inSentence(one))
    .map((one) => [one, ...box(one)])
    .filter(([, width, height]) => width < touch - 0.5 || height < touch - 0.5)
    .map(([one, width, height]) =>
      `${one.tagName} "${(one.innerText || one.ariaLabel || one.name).slice(0, 40)}": `
      + `${width.toFixed(0)} x ${height.toFixed(0)}`);
}"""


def settle(page: Page) -> None:
    """Wait until letters and pictures are there and drawn."""
    page.evaluate(SETTLED)


def drawn(picture: Locator) -> Locator:
    """The picture, once its pixels are there."""
    expect(picture).to_be_visible()
    picture.evaluate(DRAWN)
    return picture


def head_read(page: Page) -> None:
    """Wait until a screen just opened has led the focus to its head, which it may do up to 30
    frames after it was drawn: then the keys are the person's."""
    page.evaluate(FRAMES, 32)


def boxes_of(all_of: Locator) -> list[dict[str, float]]:
    """Where they lie, all at one moment."""
    return all_of.evaluate_all(BOXES)  # type: ignore[no-any-return]


def overlapping(boxes: list[dict[str, float]]) -> list[Any]:
    """Pairs of boxes that cover each other."""
    return [
        (one, other)
        for one, other in combinations(boxes, 2)
        if one["x"] + one["width"] > other["x"]
        and other["x"] + other["width"] > one["x"]
        and one["y"] + one["height"] > other["y"]
        and other["y"] + other["height"] > one["y"]
    ]


def scrolls_sideways(page: Page) -> list[str]:
    """Whatever is wider than its room."""
    return page.evaluate(WIDE)


def too_small(page: Page) -> list[str]:
    """Tap targets under 48 x 48."""
    return page.evaluate(SMALL, TOUCH)


def violations(page: Page, colours_only: bool = False) -> list[str]:
    """What axe-core finds; a dark screen is the same document, so only its colours are asked."""
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(AXE.read_text())
    only: dict[str, Any] = {"type": "tag", "values": TAGS}
    if colours_only:
        only = {"type": "rule", "values": ["color-contrast"]}
    found = page.evaluate("only => axe.run(document, {runOnly: only})", only)
    return [
        f"{one['id']}: {one['help']}: " + "; ".join(node["html"][:160] for node in one["nodes"][:3])
        for one in found["violations"]
    ]
