"""The coordinator edits a list: what is refused and why, who and when, what phones are told.

Common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest

from desk import Desk, Phone
from potrounds.domain.step_lists import CORE
from potrounds.services import register, step_lists, weather
from potrounds.services.refusal import Refusal
from potrounds.store import derived

AUTUMN = datetime(2026, 10, 20, 9, 0, tzinfo=UTC)
CHOCK = {"title": "Chock the pot level", "why": "A tilted pot keeps water."}


@pytest.fixture
def desk(desk: Desk) -> Desk:
    """The town in October, its coordinator at the desk."""
    desk.clock.moment = AUTUMN
    corin = desk.join("Corin", "coordinator")
    return replace(desk, ctx=corin.ctx)


def lists(desk: Desk, name: str = "winterization") -> dict[str, Any]:
    return next(one for one in step_lists.view(desk.ctx)["lists"] if one["list"] == name)


def bodies(desk: Desk, name: str = "winterization") -> list[dict[str, Any]]:
    keys = ("code", "title", "why", "proof", "applies_to", "which")
    return [{key: step[key] for key in keys} for step in lists(desk, name)["steps"]]


def put(desk: Desk, steps: list[dict[str, Any]], name: str = "winterization") -> dict[str, Any]:
    return step_lists.change(desk.ctx, name, steps, lists(desk, name)["version"])


def refused(desk: Desk, steps: list[dict[str, Any]]) -> Refusal:
    with pytest.raises(Refusal) as caught:
        put(desk, steps)
    assert lists(desk)["version"] == 0, "nothing was kept"
    return caught.value


def winter(desk: Desk, planter: str = "") -> dict[str, Any]:
    return desk.card(planter)["lists"]["winterization"]  # type: ignore[no-any-return]


def do(phone: Phone, step: str, planter: str = "", **more: Any) -> None:
    body = {"list": "winterization", "season": 2026, "step": step, **more}
    (result,) = phone.push(phone.record("step", planter, body=body))
    assert result["outcome"] == "stored", result


def prove(desk: Desk, phone: Phone, planter: str) -> None:
    do(phone, "pull-plug", planter, second="Kofi", plug_place="box 1")
    desk.clock.tick(days=1)
    do(phone, "second-look", planter, standing_water=False)


def test_an_edit_in_mid_season_reaches_cards_and_phones_and_takes_nothing_back(desk: Desk) -> None:
    vera = desk.join("Vera")
    do(vera, "flush")
    prove(desk, vera, desk.other_planter)
    desk.clock.tick(hours=1)
    steps = [step for step in bodies(desk) if step["code"] != "flush"]
    kept = put(desk, [{**CHOCK, "proof": "photo-or-second"}, *steps])

    assert kept["version"] == 1
    assert kept["steps"][0]["new"] is True
    assert [step["code"] for step in kept["retired"]] == ["flush"]
    code = kept["steps"][0]["code"]
    half, proven = winter(desk), winter(desk, desk.other_planter)
    assert proven["state"] == "proven"
    assert half["steps"][0]["state"] == "todo"
    assert proven["steps"][0]["said"].startswith("Added on Wednesday 21 October")
    flush = next(step for step in half["steps"] if step["code"] == "flush")
    assert (flush["state"], flush["asked"], flush["by"]) == ("done", False, "Vera")
    assert "flush" not in [step["code"] for step in proven["steps"]]

    town = derived.get("town").content
    told = next(one for one in town["checklists"] if one["list"] == "winterization")
    assert (told["season"], told["version"], told["active"]) == (2026, 1, True)
    assert told["steps"][0]["code"] == code
    pulled = [item["planter"] for item in vera.pull()["items"] if item["what"] == "planter"]
    assert all(
        code in [s["code"] for s in one["lists"]["winterization"]["steps"]] for one in pulled
    )

    do(vera, "flush", desk.other_planter)  # a phone that has not heard of the edit
    flush = next(s for s in winter(desk, desk.other_planter)["steps"] if s["code"] == "flush")
    assert flush["said"] == "Retired on Wednesday 21 October; what was recorded stays."
    assert winter(desk, desk.other_planter)["state"] == "proven"


def test_who_changed_what_and_when_is_kept(desk: Desk) -> None:
    steps = bodies(desk)
    steps[2]["title"] = "Take the lower bolt out"
    put(desk, [steps[1], steps[0], *steps[2:4], *steps[5:], CHOCK])
    (change,) = [one for one in register.overview(desk.ctx)["changes"] if one["what"] == "list"]
    assert (change["by"], change["at"]) == ("Corin", "2026-10-20T09:00:00.000Z")
    assert change["after"]["step_added"] == ["Chock the pot level"]
    assert change["after"]["step_retired"] == ["Flush outlet and overflow"]
    assert change["after"]["step_renamed"] == ["Pull the drain plug → Take the lower bolt out"]
    assert change["after"]["step_order"][:2] == [
        "Read and photograph the level",
        "Stop feed and top-up",
    ]
    assert lists(desk)["editions"] == [{"at": "2026-10-20T09:00:00.000Z", "by": "Corin"}]
    put(desk, bodies(desk))
    assert lists(desk)["version"] == 1, "the same list again is no edit"


def test_a_retired_step_comes_back_under_its_old_code(desk: Desk) -> None:
    vera = desk.join("Vera")
    do(vera, "flush")
    all_ = bodies(desk)
    put(desk, [step for step in all_ if step["code"] != "flush"])
    desk.clock.tick(days=1)
    put(desk, all_)
    flush = next(step for step in winter(desk)["steps"] if step["code"] == "flush")
    assert (flush["state"], flush["asked"], flush["said"]) == ("done", True, None)


def test_two_desks_at_one_list_the_slower_looks_again(desk: Desk) -> None:
    put(desk, [*bodies(desk), CHOCK])
    with pytest.raises(Refusal) as caught:
        step_lists.change(desk.ctx, "winterization", bodies(desk), 0)
    assert caught.value.status == 412
    with pytest.raises(Refusal) as caught:
        step_lists.change(desk.ctx, "winterization", bodies(desk), None)
    assert caught.value.status == 428
    with pytest.raises(Refusal) as caught:
        step_lists.change(desk.ctx, "hibernation", bodies(desk), 0)
    assert caught.value.status == 404


@pytest.mark.parametrize("code", sorted(CORE))
def test_a_step_that_carries_the_proof_can_be_neither_retired_nor_robbed(
    desk: Desk, code: str
) -> None:
    name = "winterization" if code in {s["code"] for s in bodies(desk)} else "start-up"
    steps = bodies(desk, name)
    index = next(n for n, step in enumerate(steps) if step["code"] == code)
    robbed = [dict(step) for step in steps]
    robbed[index]["proof"] = "place" if robbed[index]["proof"] == "none" else "none"
    for wrong, pointer in (
        ([step for step in steps if step["code"] != code], "/steps"),
        (robbed, f"/steps/{index}/proof"),
        (
            [{**s, "applies_to": "planted"} if s["code"] == code else s for s in steps],
            f"/steps/{index}/applies_to",
        ),
    ):
        with pytest.raises(Refusal) as caught:
            put(desk, wrong, name)
        assert [at for at, _ in caught.value.errors] == [pointer]
        assert CORE[code] in caught.value.errors[0][1], "it says why"
    steps[index]["title"] = "Under another name"
    assert put(desk, [steps[index], *steps[:index], *steps[index + 1 :]], name)["steps"][0][
        "title"
    ] == ("Under another name")


@pytest.mark.parametrize(
    ("more", "pointer"),
    [
        ({"title": "   "}, "/steps/9/title"),
        ({"title": "PULL the  drain plug"}, "/steps/9/title"),
        ({"title": "Wrap", "code": "k-nobody"}, "/steps/9/code"),
        ({"title": "Wrap", "code": "flush"}, "/steps/9/code"),
        ({"title": "Wrap", "applies_to": "site", "which": ["s-moon"]}, "/steps/9/which"),
        ({"title": "Wrap", "applies_to": "size", "which": []}, "/steps/9/which"),
    ],
    ids=["no title", "same name", "unknown code", "code twice", "unknown site", "no size"],
)
def test_a_list_that_makes_no_sense_is_refused_where_it_is_wrong(
    desk: Desk, more: dict[str, Any], pointer: str
) -> None:
    refusal = refused(desk, [*bodies(desk), more])
    assert (refusal.status, [at for at, _ in refusal.errors]) == (422, [pointer])
    assert all(why.endswith((".", "”.")) for _, why in refusal.errors)


def test_a_step_done_twice_by_two_phones_is_done_once(desk: Desk) -> None:
    put(desk, [*bodies(desk), {**CHOCK, "proof": "photo-or-second"}])
    code = lists(desk)["steps"][-1]["code"]
    do(desk.join("Vera"), code)
    once = winter(desk)
    do(desk.join("Wim"), code)
    twice = winter(desk)
    assert [s["state"] for s in once["steps"] if s["code"] == code] == ["unproven"]
    assert [s["state"] for s in twice["steps"] if s["code"] == code] == ["done"], "two people"
    assert once["of"] == twice["of"] == 10


def test_the_second_look_on_the_card_falls_due_by_the_weather(desk: Desk) -> None:
    vera = desk.join("Vera")
    do(vera, "pull-plug", second="Kofi", plug_place="box 1")
    look = next(step for step in winter(desk)["steps"] if step["code"] == "second-look")
    assert look["due"] == "2026-11-03"
    desk.clock.tick(days=3)
    wet = {"date": "2026-10-22", "tmin_c": 4.0, "tmax_c": 11.0, "rain_mm": 12.0, "wind_ms": None}
    weather.put_days(desk.ctx, [wet])
    look = next(step for step in winter(desk)["steps"] if step["code"] == "second-look")
    assert (look["due"], look["due_why"]) == ("2026-10-23", "12 mm of rain on Thursday 22 October")
