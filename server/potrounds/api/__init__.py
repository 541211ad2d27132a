"""The web, as thin as it can be: shapes and permissions here, sense in `services`.

With `app` and `cli` the only place that imports Flask, and the only one that imports marshmallow.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Flask

from potrounds.api import (
    access,
    auth,
    care,
    changes,
    files,
    headers,
    held,
    pages,
    people,
    photos,
    plan,
    planters,
    problems,
    public,
    push,
    register,
    report,
    review,
    rounds,
    schemas_records,
    seasons,
    site_plans,
    sync,
    tags,
    weather,
)
from potrounds.api.blueprint import Api, make_api

BLUEPRINTS = (
    auth,
    sync,
    photos,
    register,
    changes,
    people,
    tags,
    weather,
    plan,
    planters,
    care,
    files,
    rounds,
    held,
    public,
    push,
    seasons,
    report,
    site_plans,
    review,
)


def init_app(app: Flask, version: str, connect: Callable[[], None]) -> Api:
    """Put all the web on an app: errors, headers, checks, blueprints, document, pages."""
    problems.init_app(app)
    headers.init_app(app)
    access.init_app(app, connect)
    api = make_api(app, version)
    for kind, shape in schemas_records.BODIES.items():
        if kind != "check-in":  # that one comes along inside a correction
            api.spec.components.schema(shape.__name__, schema=shape)
    api.spec.components.schema("RecordText", schema=schemas_records.RecordText)
    for module in BLUEPRINTS:
        api.register_blueprint(module.blp)
    pages.init_app(app)
    app.extensions["potrounds-api"] = api
    return api


def document(app: Flask) -> dict[str, Any]:
    """The OpenAPI document of an app."""
    made: Api = app.extensions["potrounds-api"]
    return made.spec.to_dict()
