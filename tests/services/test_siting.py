"""Siting checks in a town: what is kept, what is asked back, what is found and who hears of it."""

from __future__ import annotations

from typing import Any

import pytest

from desk import Desk
from potrounds.services import register, siting
from potrounds.services.refusal import Refusal
from potrounds.store import database
from potrounds.store import siting as store

# A path of 240 cm along a wall; a planter of 60 x 60 cm and 55 cm high, 20 cm from the kerb side.
FACTS: dict[str, Any] = {
    "path_cm": 240.0,
    "from_kerb_cm": 20.0,
    "width_cm": 60.0,
    "length_cm": 60.0,
    "rim_cm": 55.0,
}
NB = "\N{NO-BREAK SPACE}"


def check(desk: Desk, **more: Any) -> dict[str, Any]:
    pilar = getattr(desk, "_pilar", None) or desk.join("Pilar", "coordinator")
    desk._pilar = pilar  # type: ignore[attr-defined]
    version = register.one_planter(desk.planter)["version"]
    made = siting.add_check(pilar.ctx, desk.planter, {**FACTS, **more}, version)
    return dict(made["siting"])


def refused(desk: Desk, **more: Any) -> Refusal:
    with pytest.raises(Refusal) as caught:
        check(desk, **more)
    with database.connection():
        assert store.checks() == {}
    return caught.value


def finding(found: dict[str, Any], code: str) -> tuple[str, str]:
    one = next(one for one in found["findings"] if one["code"] == code)
    assert one["source"]
    return one["state"], one["sentence"]


def test_a_check_is_kept_with_who_and_when_and_earlier_ones_stay(desk: Desk) -> None:
    found = check(desk)
    assert (found["by"], found["at"]) == ("Pilar", "2026-05-04T08:00:00.000Z")
    assert found["facts"]["path_cm"] == 240.0
    check(desk, path_cm=250.0)
    assert [one.facts["path_cm"] for one in store.checks()[desk.planter]] == [240.0, 250.0]
    change = register.overview(desk.ctx)["changes"][0]
    assert (change["what"], change["by"], change["after"]) == ("siting", "Pilar", {"path_cm": 250})


def test_the_plan_and_the_clear_path_by_hand(desk: Desk) -> None:
    """240 - 20 - 60 - 10 of overhang = 150 cm."""
    plan = check(desk, canopy_cm=80.0)["plan"]
    assert (plan["planter"], plan["canopy"], plan["clear"]) == ([20, 80], [10, 90], [90, 240])
    assert (plan["clear_cm"], plan["needed_cm"]) == (150.0, 91.5)
    assert plan["clear_words"] == f"150{NB}cm (59{NB}in)"


@pytest.mark.parametrize(
    ("path", "state", "says"),
    [
        (171.0, "short", "are asked for"),  # 91 cm left
        (171.5, "ask", "pedestrian access route"),  # 91.5: 36 in, 2010 ADA Standards 403.5.1
        (201.9, "ask", "pedestrian access route"),
        (202.0, "ok", "enough"),  # 122: 48 in, PROWAG R302 (2011)
    ],
)
def test_widths_on_both_sides_of_the_standards(
    desk: Desk, path: float, state: str, says: str
) -> None:
    found, sentence = finding(check(desk, path_cm=path, length_cm=80.0), "clear_path")
    assert found == state
    assert says in sentence


def test_a_short_narrow_place_is_asked_about_and_not_flagged(desk: Desk) -> None:
    """2010 ADA Standards 403.5.1: 32 in (815 mm) over at most 24 in (610 mm)."""
    state, sentence = finding(check(desk, path_cm=165.0), "clear_path")
    assert (state, "short narrow place" in sentence) == ("ask", True)
    assert flags(desk) == []


def test_a_short_path_raises_a_flag_until_it_is_measured_wider(desk: Desk) -> None:
    check(desk, path_cm=150.0)
    ((sentence, urgency),) = flags(desk)
    assert urgency == "this-week"
    assert sentence == (
        f"70{NB}cm (28{NB}in) of the path stay clear at full growth, 92{NB}cm (36{NB}in) are asked "
        "for (measured by Pilar on Monday 4 May)."
    )
    check(desk, path_cm=240.0)
    assert flags(desk) == []


def test_what_was_measured_before_it_was_moved_speaks_of_another_place(desk: Desk) -> None:
    desk.place(desk.planter, 46.5012, -38.0043)
    desk.clock.tick(days=1)
    check(desk, path_cm=150.0)
    assert len(flags(desk)) == 1
    desk.clock.tick(days=1)
    desk.place(desk.planter, 46.5013, -38.0043)
    assert flags(desk) == []
    desk.clock.tick(days=1)
    check(desk, path_cm=150.0)
    assert len(flags(desk)) == 1


def flags(desk: Desk) -> list[tuple[str, str]]:
    return [
        (one["sentence"], one["urgency"])
        for one in desk.card()["flags"]
        if one["code"] == "clear_path_short"
    ]


def test_the_local_codes_width_counts_where_it_was_typed(desk: Desk) -> None:
    found = check(desk, path_cm=200.0, needed_cm=130.0)
    state, sentence = finding(found, "clear_path")
    assert (state, f"130{NB}cm" in sentence) == ("short", True)
    assert "measured" in flags(desk)[0][0]


def test_sizes_come_from_the_register_where_they_were_not_measured(desk: Desk) -> None:
    """A circle of 0.2827 m² is 60 cm across, one of 0.5027 m² 80 cm. By hand."""
    body = {"top_area_m2": 0.2827, "canopy_m2": 0.5027, "shape": "round"}
    register.change_planter(
        desk.ctx, desk.planter, body, register.one_planter(desk.planter)["version"]
    )
    facts = check(desk, width_cm=None, length_cm=None)["facts"]
    assert (facts["width_cm"], facts["length_cm"]) == (60.0, 60.0)
    assert facts["canopy_cm"] == 80.0


@pytest.mark.parametrize(
    ("more", "code", "state", "says"),
    [
        ({"canopy_cm": 100.0, "rim_cm": 80.0}, "protruding", "short", "a cane does not find"),
        ({"canopy_cm": 100.0, "rim_cm": 60.0}, "protruding", "ok", "for a cane to find"),
        (
            {"things": [{"what": "corner", "distance_cm": 300.0}], "plants_cm": 60.0},
            *("sight", "short", f"115{NB}cm"),
        ),
        (
            {"things": [{"what": "corner", "distance_cm": 300.0}], "plants_cm": 20.0},
            *("sight", "ok", "low enough"),
        ),
        (
            {"things": [{"what": "driveway", "distance_cm": 800.0}], "plants_cm": 60.0},
            *("sight", "ok", "Outside the driveway's"),
        ),
        (
            {
                "things": [{"what": "corner", "distance_cm": 300.0}],
                "plants_cm": 60.0,
                "sight_height_cm": 120.0,
            },
            *("sight", "ok", "low enough"),
        ),
        (
            {"things": [{"what": "door", "distance_cm": 70.0, "swing_cm": 90.0}]},
            *("door", "short", f"meets the plants by 20{NB}cm"),
        ),
        (
            {"things": [{"what": "door", "distance_cm": 120.0, "swing_cm": 90.0}]},
            *("door", "ok", f"opens with 30{NB}cm"),
        ),
        ({"things": [{"what": "hydrant", "distance_cm": 60.0}]}, "hydrant", "ask", "usual"),
        ({"things": [{"what": "hydrant", "distance_cm": 95.0}]}, "hydrant", "ok", "enough"),
        ({"things": [{"what": "bus-stop", "distance_cm": 100.0}]}, "bus-stop", "ask", "usual"),
        ({"things": [{"what": "tap", "distance_cm": 40.0}]}, "tap", "ask", "usual"),
        ({"slope_percent": 4.0}, "slope", "ask", "Shim the planter level"),
        ({"slope_percent": 1.0}, "slope", "ok", "which is little"),
    ],
)
def test_findings_by_hand(
    desk: Desk, more: dict[str, Any], code: str, state: str, says: str
) -> None:
    """Thresholds: see tests/science/test_siting.py."""
    found, sentence = finding(check(desk, **more), code)
    assert found == state
    assert says in sentence


def test_what_falls_short_comes_first(desk: Desk) -> None:
    found = check(desk, path_cm=150.0, slope_percent=4.0)
    states = [one["state"] for one in found["findings"]]
    assert states == sorted(states, key=("short", "ask", "ok").index)
    assert states[0] == "short"


@pytest.mark.parametrize(
    ("more", "pointer", "says"),
    [
        ({"slope_percent": -2.0}, "/slope_percent", "from 0 to 40"),
        ({"slope_percent": 60.0}, "/slope_percent", "from 0 to 40"),
        ({"path_cm": 50.0}, "/path_cm", "measured in inches"),
        ({"path_cm": 20.0}, "/path_cm", "only 20 cm wide"),
        ({"trailing_cm": 60.0}, "/trailing_cm", "lower than the ground"),
        ({"width_cm": None}, "/width_cm", "across the path"),
        (
            {"things": [{"what": "door", "distance_cm": 70.0}]},
            *("/things/0/swing_cm", "door's leaf"),
        ),
        (
            {"things": [{"what": "post", "distance_cm": 10.0, "from_kerb_cm": 300.0}]},
            *("/things/0/from_kerb_cm", "beyond the path"),
        ),
    ],
)
def test_what_cannot_be_is_refused_in_words(
    desk: Desk, more: dict[str, Any], pointer: str, says: str
) -> None:
    refusal = refused(desk, **more, sure=True)
    assert (refusal.status, refusal.slug) == (422, "siting")
    assert any(at == pointer and says in why for at, why in refusal.errors), refusal.errors


@pytest.mark.parametrize(
    ("more", "pointer", "says"),
    [
        # 24 x 24 x 22 in typed as they are: 12.7 L outside, and 16 L of reservoir in it
        (
            {"width_cm": 24.0, "length_cm": 24.0, "rim_cm": 22.0},
            *("/width_cm", "inches typed as centimetres"),
        ),
        (
            {"path_cm": 70.0, "from_kerb_cm": 0.0, "width_cm": 60.0},
            *("/path_cm", "Is it 70 inches?"),
        ),
        ({"path_cm": 3000.0}, "/path_cm", "millimetres"),
        ({"length_cm": 600.0}, "/length_cm", "millimetres"),
        ({"rim_cm": 550.0}, "/rim_cm", "millimetres"),
    ],
)
def test_a_likely_wrong_unit_is_asked_back_and_kept_when_sure(
    desk: Desk, more: dict[str, Any], pointer: str, says: str
) -> None:
    refusal = refused(desk, **more)
    assert (refusal.status, refusal.slug) == (422, "siting-question")
    assert any(at == pointer and says in why for at, why in refusal.errors), refusal.errors
    assert check(desk, **more, sure=True)["facts"]


def test_nobody_writes_over_what_they_did_not_see(desk: Desk) -> None:
    for version, status in ((None, 428), (99, 412)):
        with pytest.raises(Refusal) as caught:
            siting.add_check(desk.ctx, desk.planter, dict(FACTS), version)
        assert caught.value.status == status
    with pytest.raises(Refusal) as caught:
        siting.add_check(desk.ctx, "p-nowhere", dict(FACTS), 1)
    assert caught.value.status == 404
