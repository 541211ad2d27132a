"""What holds for every rule at once."""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path

import pytest

from build import a_case, a_check_in, the_flags
from potrounds.flags import ACTS, FAMILIES, RULES, URGENCIES, Case, Evidence
from potrounds.flags.acts import CODES_OF_ACTS
from potrounds.flags.registry import FAMILY_ORDER, flag

HERE = Path(__file__).parent

# The families and rules the town was promised; a rule that vanishes is missed here.
PROMISED = {
    "reservoir": {
        *("running_dry", "overflow_on_arrival", "overfilled_each_visit", "soggy_mix"),
        *("litres_beyond_capacity", "impossible_reading"),
    },
    "water": {
        *("losing_water", "wick_not_drawing", "overflow_blocked", "gauge_stuck"),
        *("runs_dry_before_crew_day", "use_far_from_peers", "overfilling_litres"),
    },
    "plants": {
        *("stressed_plants", "falling_health", "full_but_wilting", "newly_planted_dry_top"),
        *("salt_crust", "overhead_check_overdue"),
    },
    "feeding": {"feed_due", "fed_twice", "salts_high"},
    "season": {
        *("drain_not_pulled", "drained_unproven", "standing_water", "plug_missing"),
        *("start_up_unfinished", "not_visited"),
    },
    "site": {
        *("tag_damaged", "vandalism", "path_blocked", "broken_part", "public_report_waiting"),
        "clear_path_short",
    },
    "visits": {"check_ins_clash"},
}


def calls_in_tests() -> dict[str, set[str]]:
    """The rules named in calls of raises and of stays_quiet inside the tests of this folder."""
    called: dict[str, set[str]] = defaultdict(set)
    for path in sorted(HERE.glob("test_*.py")):
        for test in ast.parse(path.read_text()).body:
            if not (isinstance(test, ast.FunctionDef) and test.name.startswith("test_")):
                continue
            for call in ast.walk(test):
                if not (isinstance(call, ast.Call) and isinstance(call.func, ast.Name)):
                    continue
                first = call.args[0] if call.args else None
                if isinstance(first, ast.Constant) and isinstance(first.value, str):
                    called[call.func.id].add(first.value)
    return called


def test_every_promised_rule_is_there_and_no_other() -> None:
    there: dict[str, set[str]] = defaultdict(set)
    for rule in RULES.values():
        there[rule.family].add(rule.code)
    assert there == PROMISED
    assert {family.__name__.rpartition(".")[2] for family in FAMILIES} == set(FAMILY_ORDER)


@pytest.mark.parametrize("verb", ["raises", "stays_quiet"])
def test_every_rule_is_shown_firing_and_keeping_quiet(verb: str) -> None:
    assert set(RULES) - calls_in_tests()[verb] == set()


@pytest.mark.parametrize("rule", RULES.values(), ids=RULES.keys())
def test_every_rule_says_its_name_what_to_do_and_its_source(rule) -> None:
    assert rule.code == rule.judge.__name__
    assert rule.name.strip()
    assert rule.advice.strip().endswith((".", "?"))
    assert rule.source.strip()
    assert rule.urgency in URGENCIES
    assert rule.caution is None or rule.caution.strip().endswith(".")
    assert "Source: " in (rule.judge.__doc__ or "")
    blame = ("missed", "forgot", "neglect", "fault", "failed to", "should have")
    said = f"{rule.name} {rule.advice}".lower()
    assert not [word for word in blame if word in said]


def test_every_rule_has_an_act_in_few_words() -> None:
    assert set(ACTS) == set(RULES)
    listed = [code for codes in CODES_OF_ACTS.values() for code in codes]
    assert len(listed) == len(set(listed)), "a flag asks for one thing"
    assert [act for act in CODES_OF_ACTS if len(act) > 30 or not act[0].isupper()] == []


def test_every_rule_keeps_to_the_planters_in_the_register() -> None:
    assert set(the_flags()) == {"not_visited"}  # a planter nobody came to


def test_a_second_rule_of_one_name_is_refused() -> None:
    def running_dry(case: Case) -> Evidence | None:
        """Source: none."""

    running_dry.__module__ = "potrounds.flags.reservoir"
    with pytest.raises(ValueError, match="two rules"):
        flag(name="Again", urgency="watch", advice="Look.")(running_dry)


@pytest.mark.parametrize(
    ("words", "doc", "family", "message"),
    [
        ({"urgency": "soon"}, "Source: none.", "site", "no such urgency"),
        ({"name": " "}, "Source: none.", "site", "its name"),
        ({"advice": ""}, "Source: none.", "site", "what to do"),
        ({}, "No word of where it comes from.", "site", "names no Source"),
        ({}, "Source:", "site", "names no Source"),
        ({}, "Source: none.", "weather", "no such family"),
    ],
)
def test_a_rule_that_says_too_little_is_refused(
    words: dict[str, str], doc: str, family: str, message: str
) -> None:
    def a_rule_for_this_test_only(case: Case) -> Evidence | None:
        return None

    a_rule_for_this_test_only.__doc__ = doc
    a_rule_for_this_test_only.__module__ = f"potrounds.flags.{family}"
    with pytest.raises(ValueError, match=message):
        flag(**({"name": "A", "urgency": "watch", "advice": "B."} | words))(
            a_rule_for_this_test_only
        )
    assert "a_rule_for_this_test_only" not in RULES


def test_rules_only_read_their_case() -> None:
    case = a_case(a_check_in(level=0, plants=2, signs=["broken"], days_ago=1))
    for rule in RULES.values():
        first = rule.judge(case)
        assert rule.judge(case) == first, "a rule that asks twice gets the same answer"
    assert RULES["running_dry"].judge(case) is not None
