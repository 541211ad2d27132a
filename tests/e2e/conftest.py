"""The demo town, made once by its own command; each test gets a copy and a server."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from people import World
from phone import LAPTOP, PATIENCE_MS, Phone
from playwright.sync_api import Playwright, expect, sync_playwright
from server_process import TownServer

# What is awaited comes, on a busy machine too; what never comes is told a little later.
expect.set_options(timeout=PATIENCE_MS)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything in this folder drives a browser."""
    for item in items:
        if Path(item.fspath).parent == Path(__file__).parent:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """One Playwright for all."""
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> TownServer:
    """The demo town as `potrounds demo` makes it, stopped again."""
    server = TownServer(tmp_path_factory.mktemp("demo"))
    server.start("demo")
    server.stop()
    return server


@pytest.fixture(scope="module")
def world(
    playwright: Playwright, demo: TownServer, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[World]:
    """One server and one profile a role for the whole walk."""
    folder = tmp_path_factory.mktemp("walk")
    shutil.copytree(demo.home / "town", folder / "town")
    town = TownServer(folder, told=demo.printed)
    town.start("serve")
    one = World(playwright, town, folder)
    yield one
    for role in one.made:
        role.phone.shut()
    town.stop()


@pytest.fixture
def town(demo: TownServer, tmp_path: Path) -> Iterator[TownServer]:
    """A running server on a copy of the demo town."""
    shutil.copytree(demo.home / "town", tmp_path / "town")
    server = TownServer(tmp_path, told=demo.printed)
    server.start("serve")
    yield server
    server.stop()


@pytest.fixture
def phone(
    playwright: Playwright, town: TownServer, tmp_path: Path, request: pytest.FixtureRequest
) -> Iterator[Callable[..., Phone]]:
    """Makes phones (and laptops) with profiles of their own."""
    made: list[Phone] = []

    def make(name: str, **more: object) -> Phone:
        one = Phone(playwright, tmp_path / f"profile-{name}", town.url, **more)  # type: ignore[arg-type]
        made.append(one)
        return one

    yield make
    for one in made:
        if one.context is not None and hasattr(request.node, "broken"):
            seen = tmp_path / f"{one.profile.name}.png"
            one.page.screenshot(path=seen)
            print(f"{seen}: {one.page.url}\n{one.page.locator('body').inner_text()[:2000]}")
        one.shut()


@pytest.fixture
def desk(town: TownServer, phone: Callable[..., Phone]) -> Phone:
    """The coordinator's laptop, signed in."""
    one = phone("desk", size=LAPTOP)
    one.start()
    one.sign_in(*town.coordinator)
    expect(one.page.get_by_role("link", name="Osier Bend")).to_be_visible()
    return one


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Iterator[None]:
    """Tells the phones of a test that failed, so that they show what they saw."""
    report = yield
    if report.failed:
        item.broken = True  # type: ignore[attr-defined]
    return report
