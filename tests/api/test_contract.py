"""The OpenAPI document against the web it describes: generated requests, none answered with 5xx."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import schemathesis
from flask import Flask
from hypothesis import HealthCheck, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from potrounds import api
from potrounds.api.access import COOKIE
from potrounds.api.limiter import Limiter
from potrounds.app import create_app, open_town
from potrounds.config import Settings
from potrounds.services import people
from potrounds.services.context import Context
from potrounds.store import database
from speaking import OWN_PAGE, HandClock, Town, furnish

NOWHERE = Settings(home=Path("nowhere"), database="sqlite:///nowhere.sqlite")
CLOCK = HandClock()
APP: Flask = create_app(NOWHERE, CLOCK, hasher=people.quick_hasher())
DOCUMENT = schemathesis.openapi.from_dict(api.document(APP))
DOCUMENT.app = APP
CHECKS = [
    not_a_server_error,
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
]
EXAMPLES = 12
DOCUMENT.config.phases.coverage.enabled = False  # it alone takes minutes


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Town]:
    """The town the generated requests are made to; they may do to it what they like."""
    home = tmp_path_factory.mktemp("contract")
    settings = Settings(home=home, database=f"sqlite:///{home / 'town.sqlite'}")
    open_town(settings)
    context = Context(settings, CLOCK, hasher=people.quick_hasher())
    APP.extensions["potrounds-context"] = context
    yield furnish(context, CLOCK)
    database.shut()


@pytest.fixture(scope="module")
def real(town: Town) -> dict[str, str]:
    """Values that lead somewhere, for parameters that would be guessed wrongly for ever."""
    return {
        "planter": town.planter["id"],
        "site": town.site,
        "code": town.planter["code"],
        "device": town.sessions["Corin"][1],
    }


def lead_somewhere(case: schemathesis.Case, real: dict[str, str]) -> None:
    """Put real ids where the document only knows that there is some text."""
    for name in set(case.path_parameters or {}) & set(real):
        case.path_parameters[name] = real[name]
    if isinstance(case.body, dict) and isinstance(case.body.get("device"), str):
        case.body["device"] = real["device"]


@DOCUMENT.parametrize()
@settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck))
@pytest.mark.parametrize("guided", [False, True])
def test_no_generated_request_breaks_the_server(
    case: schemathesis.Case, town: Town, real: dict[str, str], guided: bool
) -> None:
    APP.extensions["potrounds-limiter"] = Limiter(now=lambda: 0.0)
    case.headers.update(OWN_PAGE)
    if case.path != "/api/v1/sign-out":  # that one would shut out all that come after
        case.cookies[COOKIE] = town.sessions["Corin"][0]
    if guided:
        lead_somewhere(case, real)
    response = case.call()
    case.validate_response(response, checks=CHECKS)
    if response.status_code >= 400:
        a_report = response.status_code == 422 and case.path.endswith("/import")
        assert a_report or response.headers["content-type"] == ["application/problem+json"]
