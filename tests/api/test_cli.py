"""The commands, run as a person runs them."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner, Result

from potrounds import cli, cli_files
from potrounds.cli import main
from potrounds.config import Clock, from_environment
from potrounds.services import people, register, town_settings
from potrounds.services.context import Context
from potrounds.store import database
from potrounds.words import catalogue, t
from speaking import PASSWORD

INIT = ["init", "--town", "Osier Bend", "--coordinator", "Corin", "--password", PASSWORD]


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty home folder in the environment."""
    monkeypatch.setenv("POTROUNDS_HOME", str(tmp_path / "home"))
    monkeypatch.delenv("POTROUNDS_DATABASE", raising=False)
    monkeypatch.chdir(tmp_path)
    yield tmp_path
    database.shut()


def run(*words: str, code: int = 0) -> Result:
    """Run a command and see how it ends."""
    result = CliRunner().invoke(main, list(words))
    assert result.exit_code == code, result.output
    return result


def test_a_town_from_nothing(home: Path) -> None:
    assert "Osier Bend is set up" in run(*INIT).output
    assert "Vera is now a volunteer" in run("people", "add", "Vera").output
    listed = run("people", "list").output
    assert "Corin" in listed
    assert "Vera" in listed
    assert "/join#" in run("invite", "Nora", "--address", "https://planters.example/").output
    assert "No flag stands" in run("flags").output
    assert "assessed" in run("assess").output
    assert "computed anew" in run("rebuild").output


def test_the_plan_is_shown_in_words(home: Path) -> None:
    run(*INIT)
    assert "Set the crew's days" in run("rounds").output
    settings = from_environment()
    database.open_database(settings.database)
    with database.connection():
        ctx = Context(settings, Clock())
        site = register.add_site(ctx, {"name": "Quay"})["id"]
        body = {"name": "Quay 1", "site": site, "size": "Medium", "reservoir_l": 16.0}
        register.add_planters(ctx, [body])
        town_settings.change_settings(ctx, {"crew_days": list(range(7))})
    database.shut()
    shown = run("rounds").output
    assert "The crew, 16 L, " in shown
    assert "Quay 1" in shown
    assert "Nobody is named" in shown


def test_a_second_init_is_refused(home: Path) -> None:
    run(*INIT)
    result = run(*INIT, code=1)
    assert "already a town" in result.output
    assert "Traceback" not in result.output


@pytest.mark.parametrize("words", [["people", "list"], ["serve"], ["flags"], ["rebuild"]])
def test_without_a_town_there_is_a_sentence(home: Path, words: list[str]) -> None:
    assert "potrounds init" in run(*words, code=1).output


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (["--password", "short"], "15 to 128"),
        (["--zone", "Nowhere/Town"], "zone"),
    ],
)
def test_init_says_what_is_wrong(home: Path, change: list[str], sentence: str) -> None:
    result = run(*INIT, *change, code=1)
    assert sentence in result.output
    assert "potrounds init" in run("flags", code=1).output


def test_a_town_goes_to_a_file_and_back(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    run(*INIT)
    assert "whole town" in run("export", "town.zip").output
    assert "is there already" in run("export", "town.zip", code=1).output
    assert "There is a town here already" in run("import", "town.zip", code=1).output
    assert "copied" in run("backup", "copy.sqlite").output
    run("people", "add", "Vera")
    assert "Vera" in run("people", "list").output
    assert "before-restore" in run("restore", "copy.sqlite").output
    assert "Vera" not in run("people", "list").output
    monkeypatch.setenv("POTROUNDS_HOME", str(home / "new"))
    assert "rows" in run("import", "town.zip").output
    assert "Corin" in run("people", "list").output
    (home / "bad.zip").write_text("nothing")
    monkeypatch.setenv("POTROUNDS_HOME", str(home / "newer"))
    assert "cannot be read in" in run("import", "bad.zip", code=1).output


def test_mail_is_off_until_it_is_set_up(home: Path) -> None:
    run(*INIT)
    assert "Mail is off" in run("digest").output


def test_a_setting_that_is_no_number(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("POTROUNDS_PORT", "lots")
    assert "no number" in run("people", "list", code=1).output


def test_a_home_that_cannot_be_made(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (home / "file").write_text("")
    monkeypatch.setenv("POTROUNDS_HOME", str(home / "file" / "home"))
    result = run(*INIT, code=1)
    assert "Traceback" not in result.output


def test_tags_need_an_address_and_become_a_pdf(home: Path) -> None:
    run(*INIT)
    assert "address" in run("tags", code=1).output
    context = Context(from_environment(), Clock(), hasher=people.quick_hasher())
    database.open_database(context.settings.database)
    with database.connection():
        town_settings.change_settings(context, {"tag_address": "https://planters.example"})
        site = register.add_site(context, {"name": "Quay"})["id"]
        new = {"name": "Quay 1", "site": site, "size": "Small", "reservoir_l": 8}
        register.add_planters(context, [new])
    assert "1 tags written" in run("tags", "--out", "sheet.pdf", "--paper", "letter").output
    document = pypdfium2.PdfDocument(home / "sheet.pdf")
    assert len(document) == 1
    document.close()


def test_the_document_needs_no_town(home: Path) -> None:
    document = json.loads(run("openapi").output)
    assert document["openapi"] == "3.1.0"
    assert "/api/v1/sync/push" in document["paths"]
    assert not (home / "home").exists()


def test_every_sentence_of_the_commands_is_worded() -> None:
    source = "".join(Path(part.__file__).read_text("utf-8") for part in (cli, cli_files))
    keys = set(re.findall(r't\("(cli\.\w+)"', source))
    assert keys
    assert keys == {key for key in catalogue("en") if key.startswith("cli.")}


def test_a_language_nobody_wrote_falls_back_to_english() -> None:
    assert t("cli.no_flags", "xx") == t("cli.no_flags")
    assert t("cli.port_taken", port=7) == "Port 7 is taken. Choose another with --port."
    assert t("cli.nothing") == "cli.nothing"
    assert catalogue("../en") == {}
