"""A crew of one, told its rounds."""

from __future__ import annotations

from typing import Any

import pytest

from round_people import GOES_OUT
from speaking import Speaker, Town


@pytest.fixture
def vera(coordinator: Speaker, town: Town) -> str:
    """Vera, who goes out on Mondays and Thursdays with a cart."""
    everybody = coordinator.get("/register").json["people"]
    person: str = next(one["id"] for one in everybody if one["name"] == "Vera")
    assert coordinator.put(f"/rounds/crew/{person}", GOES_OUT).status_code == 200
    return person


@pytest.fixture
def told(coordinator: Speaker, vera: str) -> dict[str, Any]:
    """The rounds that were told."""
    plan = coordinator.post("/rounds/plan").json
    answer = coordinator.post("/rounds/tell", {"mark": plan["mark"]})
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json
    return found
