"""Rules around the planter, each shown firing and keeping quiet. Common practice, no source."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from build import a_check_in, a_decision, a_planter, a_report, a_withdrawal, raises, stays_quiet
from potrounds.domain.siting import ClearPath

LOOKS = [a_check_in(plants=4, days_ago=2), a_check_in(plants=4, days_ago=1)]


def test_tag_damaged_raises_and_stays_quiet() -> None:
    seen = a_check_in(signs=["tag-damaged"], days_ago=5, by="Kofi")
    assert raises("tag_damaged", seen).sentence == (
        "Tag damaged when Kofi came on Wednesday 5 August."
    )
    raises("tag_damaged", seen, LOOKS[0])
    raises("tag_damaged", seen, planter=a_planter(tag_made=date(2026, 8, 5)))
    stays_quiet("tag_damaged", seen, *LOOKS)
    stays_quiet("tag_damaged", seen, planter=a_planter(tag_made=date(2026, 8, 6)))
    stays_quiet("tag_damaged", seen, a_withdrawal(seen))
    stays_quiet("tag_damaged")


def test_vandalism_raises_and_stays_quiet() -> None:
    seen = a_check_in(signs=["vandalism"], days_ago=5)
    assert raises("vandalism", seen, a_check_in(litres_l=3)).records == (seen.id,)
    raises("vandalism", seen, LOOKS[0])
    stays_quiet("vandalism", seen, *LOOKS)
    stays_quiet("vandalism", seen, planter=a_planter(status="retired"))


def test_path_blocked_raises_and_stays_quiet() -> None:
    seen = a_check_in(signs=["path-blocked"], days_ago=5)
    raises("path_blocked", seen)
    stays_quiet("path_blocked", seen, LOOKS[0])
    stays_quiet("path_blocked", LOOKS[0])


def test_clear_path_short_raises_and_stays_quiet() -> None:
    """36 in (915 mm), 2010 ADA Standards 403.5.1."""
    day = date(2026, 8, 3)
    short = ClearPath(day, "Pilar", clear_cm=80.0, needed_cm=91.5)
    evidence = raises("clear_path_short", planter=a_planter(clear_path=short))
    assert evidence.sentence == (
        "80\N{NO-BREAK SPACE}cm (31\N{NO-BREAK SPACE}in) of the path stay clear at full growth, "
        "92\N{NO-BREAK SPACE}cm (36\N{NO-BREAK SPACE}in) are asked for "
        "(measured by Pilar on Monday 3 August)."
    )
    assert evidence.numbers == {"clear_cm": 80.0, "needed_cm": 91.5}
    for quiet in (
        replace(short, clear_cm=91.5),
        replace(short, clear_cm=85.0, exception=True),
        replace(short, measured_on=date(2026, 8, 11)),
    ):
        stays_quiet("clear_path_short", planter=a_planter(clear_path=quiet))
    stays_quiet("clear_path_short", planter=a_planter(clear_path=short, status="stored"))
    stays_quiet("clear_path_short", planter=a_planter())


def test_broken_part_raises_and_stays_quiet() -> None:
    seen = a_check_in(signs=["broken"], days_ago=5)
    raises("broken_part", seen, LOOKS[0])
    stored = a_planter(status="stored")
    raises("broken_part", seen, planter=stored)
    stays_quiet("broken_part", seen, *LOOKS)
    again = a_check_in(signs=["broken", "pests"])
    assert raises("broken_part", seen, *LOOKS, again).records == (again.id,)


def test_a_sign_of_an_uncertain_day_still_counts_and_says_so() -> None:
    seen = a_check_in(signs=["broken"], days_ago=5, time_uncertain=True)
    assert "(day uncertain)" in raises("broken_part", seen).sentence


@pytest.mark.parametrize(
    ("what", "words", "urgency"),
    [
        ("dry", "it dry", "this-week"),
        ("wilting", "wilting plants", "this-week"),
        ("leaking", "it leaking", "today"),
        ("damaged", "it damaged", "today"),
        ("blocking", "it in the way", "today"),
        ("other", "something", "this-week"),
        ("new-kind", "something", "this-week"),
    ],
)
def test_public_report_waiting_raises(what: str, words: str, urgency: str) -> None:
    report = a_report(what, text="Call Jo on 555 0100", days_ago=1)
    evidence = raises("public_report_waiting", report)
    assert evidence.sentence == f"A passer-by reported {words} on Sunday 9 August."
    assert evidence.urgency == urgency
    assert evidence.records == (report.id,)


def test_public_report_waiting_tells_nothing_private() -> None:
    report = a_report("other", text="Call Jo on 555 0100", days_ago=1)
    said = raises("public_report_waiting", report, a_report("dry"))
    for private in ("Jo", "555", "10:00"):
        assert private not in said.sentence
    assert "2\N{NO-BREAK SPACE}reports wait" in said.sentence


def test_public_report_waiting_stays_quiet_once_answered() -> None:
    report = a_report("dry", days_ago=1)
    settled = a_decision("public_report_waiting", "settled", (report,))
    stays_quiet("public_report_waiting", report, settled)
    gone = a_withdrawal(report, by="Pilar", coordinator=True)
    stays_quiet("public_report_waiting", report, gone)
    stays_quiet("public_report_waiting", report, planter=a_planter(status="retired"))
    stays_quiet("public_report_waiting")
    raises("public_report_waiting", report, a_decision("public_report_waiting", "handed"))
