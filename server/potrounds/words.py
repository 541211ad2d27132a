"""Words a person reads, one flat catalogue per language; English stands in for what is missing.

The phone's app bundles the same files, so one file per language words the whole product.
"""

from __future__ import annotations

import json
from functools import cache
from importlib import resources

ENGLISH = "en"


@cache
def catalogue(language: str) -> dict[str, str]:
    """All texts of one language; empty when there is no such language."""
    if not language.isalpha():
        return {}
    file = resources.files("potrounds").joinpath("locales", f"{language}.json")
    if not file.is_file():
        return {}
    found: dict[str, str] = json.loads(file.read_text("utf-8"))
    return found


def t(key: str, language: str = ENGLISH, **values: object) -> str:
    """The text of a key with its values put in. An unknown key shows itself."""
    text = catalogue(language).get(key) or catalogue(ENGLISH).get(key, key)
    for name, value in values.items():
        text = text.replace("{" + name + "}", str(value))
    return text
