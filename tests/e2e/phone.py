"""A phone or a laptop in a test: a real Chromium with a profile that may be restarted."""

from __future__ import annotations

import shutil
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, expect

CHROMIUM_ARGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--use-fake-ui-for-media-stream",
]
PHONE = {"width": 360, "height": 740}
LAPTOP = {"width": 1280, "height": 800}
#: How long anything on a page may take on a busy machine [ms].
PATIENCE_MS = 30_000
UNDER_CONTROL = """async () => {
  await navigator.serviceWorker.ready;
  if (!navigator.serviceWorker.controller)
    await new Promise((done) =>
      navigator.serviceWorker.addEventListener('controllerchange', done, {once: true}));
}"""
ROWS = """async () => {
  const names = await indexedDB.databases();
  const db = await new Promise((done, fail) => {
    const ask = indexedDB.open(names[0].name);
    ask.onsuccess = () => done(ask.result);
    ask.onerror = () => fail(ask.error);
  });
  const rows = await new Promise((done) => {
    const ask = db.transaction('outbox').objectStore('outbox').getAll();
    ask.onsuccess = () => done(ask.result);
  });
  db.close();
  return rows.map((row) => ({id: row.id, kind: row.kind, state: row.state, text: row.text}));
}"""


def chromium() -> str:
    """The browser on this machine; a test without one fails, it does not pass unseen."""
    for name in ("chromium", "chromium-browser", "google-chrome"):
        found = shutil.which(name)
        if found:
            return found
    pytest.fail("no Chromium on this machine: install the package `chromium`")


@dataclass
class Phone:
    """One browser profile. What a person does with it reads as sentences."""

    playwright: Playwright
    profile: Path
    url: str
    size: dict[str, int] = field(default_factory=lambda: dict(PHONE))
    colors: str = "light"
    context: BrowserContext | None = None

    def start(self, camera: Path | None = None) -> Page:
        """Start the browser, with `camera` played to it as its camera's picture."""
        args = list(CHROMIUM_ARGS)
        if camera:
            args += ["--use-fake-device-for-media-stream"]
            args += [f"--use-file-for-fake-video-capture={camera}"]
        self.context = self.playwright.chromium.launch_persistent_context(
            self.profile,
            executable_path=chromium(),
            headless=True,
            args=args,
            viewport=self.size,  # type: ignore[arg-type]
            has_touch=self.size == PHONE,
            color_scheme=self.colors,  # type: ignore[arg-type]
            locale="en-GB",
            accept_downloads=True,
        )
        self.context.set_default_timeout(PATIENCE_MS)
        return self.page

    @property
    def page(self) -> Page:
        """The one page."""
        assert self.context is not None
        return self.context.pages[0]

    def shut(self) -> None:
        """Close the browser: the next start finds only what was durable."""
        if self.context is not None:
            self.context.close()
            self.context = None

    def open(self, path: str) -> Page:
        """Open an address of the app."""
        self.page.goto(f"{self.url}{path}")
        return self.page

    def join(self, link: str, name: str) -> Page:
        """Join by an invite link, and wait until the app is kept for offline use."""
        page = self.page
        page.goto(link)
        page.get_by_label("Your name").fill(name)
        page.get_by_role("button", name="Join").click()
        expect(page.get_by_text(name).first).to_be_visible()
        page.evaluate(UNDER_CONTROL)
        return page

    def sign_in(self, name: str, password: str) -> Page:
        """Sign in as a coordinator."""
        page = self.open("/sign-in")
        page.get_by_label("Name").fill(name)
        page.get_by_label("Password").fill(password)
        page.get_by_role("button", name="Sign in").click()
        expect(page.get_by_role("navigation", name="Main")).to_be_visible()
        page.evaluate(UNDER_CONTROL)
        return page

    def outbox(self) -> list[dict[str, str]]:
        """What this phone keeps, read from its store."""
        return self.page.evaluate(ROWS)
