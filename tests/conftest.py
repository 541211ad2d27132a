"""A town in a fresh database for each test, its clock, and the people of it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from potrounds.api.limiter import Limiter
from potrounds.app import create_app, open_town
from potrounds.config import Settings
from potrounds.services import people
from potrounds.services.context import Context
from potrounds.store import database
from speaking import HandClock, Speaker, Town, WholeAnswers, furnish


@pytest.fixture
def clock() -> HandClock:
    """A clock that the test moves by hand."""
    return HandClock()


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """Settings with a home of their own, and a page in place of the built app."""
    static = tmp_path / "static"
    (static / "assets").mkdir(parents=True)
    (static / "index.html").write_text("<!doctype html><title>Potrounds</title>")
    return Settings(home=tmp_path, database=f"sqlite:///{tmp_path / 'town.sqlite'}", static=static)


@pytest.fixture(scope="session")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Town]:
    """A small town made once; each test gets a copy of its file."""
    home = tmp_path_factory.mktemp("furnished")
    settings = Settings(home=home, database=f"sqlite:///{home / 'town.sqlite'}")
    open_town(settings)
    clock = HandClock()
    made = furnish(Context(settings, clock, hasher=people.quick_hasher()), clock)
    database.shut()
    return home / "town.sqlite", made


@pytest.fixture
def town(settings: Settings, clock: HandClock, furnished: tuple[Path, Town]) -> Iterator[Town]:
    """A small town in a fresh database."""
    file, made = furnished
    shutil.copy(file, settings.home / "town.sqlite")
    open_town(settings)
    context = Context(settings, clock, hasher=people.quick_hasher())
    yield replace(made, context=context, clock=clock)
    database.shut()


@pytest.fixture(scope="session")
def built_app(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    """The web, made once: it takes a while to describe itself. Its town comes with each test."""
    settings = Settings(home=tmp_path_factory.mktemp("nobody"), database="sqlite:///nowhere.sqlite")
    app = create_app(settings, HandClock(), hasher=people.quick_hasher())
    app.test_client_class = WholeAnswers
    return app


@pytest.fixture
def app(built_app: Flask, town: Town) -> Flask:
    """The web on the town of this test."""
    built_app.extensions["potrounds-context"] = town.context
    built_app.extensions["potrounds-limiter"] = Limiter(now=lambda: 0.0)
    return built_app


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """A bare client that adds nothing to a request."""
    return app.test_client()


@pytest.fixture
def passer_by(app: Flask, clock: HandClock) -> Speaker:
    """Somebody who never joined."""
    return Speaker(app.test_client(), clock)


@pytest.fixture
def coordinator(app: Flask, town: Town) -> Speaker:
    """The coordinator, signed in."""
    return town.speaker(app.test_client(), "Corin")


@pytest.fixture
def volunteer(app: Flask, town: Town) -> Speaker:
    """A volunteer, joined by an invite."""
    return town.speaker(app.test_client(), "Vera")
