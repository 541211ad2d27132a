"""What can rot in DEVELOPERS.md is compared with the code."""

from __future__ import annotations

import re
from collections.abc import Iterator

import click
import pytest

from house.repository import ROOT
from potrounds.cli import main
from potrounds.config import MEANINGS
from potrounds.flags import RULES

# Rules of the sync protocol that this version keeps; the others have their place and no code yet.
SYNC_RULES = [*range(1, 16), 17, 19, 21, 24, 25, 29, 30]


def commands(group: click.Group, before: str = "") -> Iterator[str]:
    """Every command as it is typed after `potrounds`."""
    for name, command in group.commands.items():
        if isinstance(command, click.Group):
            yield from commands(command, f"{before}{name} ")
        else:
            yield before + name


@pytest.fixture(scope="module")
def developers() -> str:
    """The text of DEVELOPERS.md."""
    return (ROOT / "DEVELOPERS.md").read_text("utf-8")


@pytest.mark.parametrize("setting", sorted(MEANINGS))
def test_every_setting_is_documented(developers: str, setting: str) -> None:
    assert setting in developers


@pytest.mark.parametrize("command", sorted(commands(main)))
def test_every_command_is_documented(developers: str, command: str) -> None:
    assert f"potrounds {command}" in developers


@pytest.mark.parametrize("code", sorted(RULES))
def test_every_flag_is_documented(developers: str, code: str) -> None:
    assert re.search(rf"\b{code}\b", developers)


@pytest.mark.parametrize("rule", SYNC_RULES)
def test_every_sync_rule_is_documented(developers: str, rule: int) -> None:
    assert re.search(rf"\bR{rule}\b", developers)
