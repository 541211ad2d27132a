"""Rules one finds around the planter: tag, shell, path, and what passers-by say."""

from __future__ import annotations

from potrounds.domain.spoken import spoken_count, spoken_day, spoken_length
from potrounds.domain.visits import Visit
from potrounds.flags.looking import lasting_sign, when_came
from potrounds.flags.registry import Case, Evidence, flag

# A crack is not named at every visit, so so many looks must pass without a word before it is
# taken as mended; a path is free as soon as one look says nothing. Common practice, no source.
LASTING_LOOKS = 2
PASSING_LOOKS = 1

REPORT_WORDS = {
    "dry": "it dry",
    "wilting": "wilting plants",
    "leaking": "it leaking",
    "damaged": "it damaged",
    "blocking": "it in the way",
    "other": "something",
}
# What a passer-by says that can hurt somebody, or empties the planter.
URGENT_REPORTS = frozenset({"leaking", "damaged", "blocking"})


def _is_ours(case: Case) -> bool:
    """Whether the town still has the planter to look after."""
    return case.planter.status in ("in-use", "stored")


def _seen(what: str, visit: Visit) -> Evidence:
    unsure = " (day uncertain)" if visit.time_uncertain else ""
    return Evidence(f"{what} {when_came(visit)}{unsure}.", records=(visit.record,))


@flag(
    name="Tag damaged",
    urgency="this-week",
    advice="Print the same tag again, or a new one: a new tag ends the old code.",
)
def tag_damaged(case: Case) -> Evidence | None:
    """The tag was damaged when last seen, and no new one was made since.

    Source: common practice, no source.
    """
    visit = lasting_sign(case, "tag-damaged", LASTING_LOOKS)
    made = case.planter.tag_made
    if not _is_ours(case) or visit is None or (made is not None and made > visit.day):
        return None
    return _seen("Tag damaged", visit)


@flag(
    name="Vandalism",
    urgency="this-week",
    advice="Photograph the planter, without people. Make it safe, tell the town, note what is to "
    "be replaced.",
    caution="Glass or needles may be in the mix: do not reach in, leave it and report it.",
)
def vandalism(case: Case) -> Evidence | None:
    """Vandalism was seen, and not one or two looks since passed without it.

    Source: common practice, no source.
    """
    visit = lasting_sign(case, "vandalism", LASTING_LOOKS)
    return _seen("Vandalism seen", visit) if visit and _is_ours(case) else None


@flag(
    name="Path blocked",
    urgency="today",
    advice="Trim or turn the planter until the path is clear; measure from the widest leaf, not "
    "from the pot. Local code says how wide.",
    caution="Do not drag a full planter: move it with a cart and two people.",
)
def path_blocked(case: Case) -> Evidence | None:
    """The planter or its plants stood in the path at the last look.

    Source: clear width 36 in (915 mm), 2010 ADA Standards 403.5.1; local code decides.
    """
    visit = lasting_sign(case, "path-blocked", PASSING_LOOKS)
    return _seen("Path blocked", visit) if visit and _is_ours(case) else None


@flag(
    name="Clear path short",
    urgency="this-week",
    advice="Turn or shift the planter, or keep the plants trimmed to its edge, then measure again. "
    "Local code says how wide.",
    caution="Do not drag a full planter: move it with a cart and two people.",
)
def clear_path_short(case: Case) -> Evidence | None:
    """By the last siting check, full-grown plants leave less of the path than is asked for.

    Source: clear width 36 in (915 mm), 2010 ADA Standards 403.5.1; local code decides.
    """
    found = case.planter.clear_path
    if case.planter.status != "in-use" or found is None or case.today < found.measured_on:
        return None
    if not found.is_short:
        return None
    return Evidence(
        f"{spoken_length(found.clear_cm)} of the path stay clear at full growth, "
        f"{spoken_length(found.needed_cm)} are asked for (measured by {found.by or 'someone'} on "
        f"{spoken_day(found.measured_on)}).",
        numbers={"clear_cm": round(found.clear_cm, 1), "needed_cm": found.needed_cm},
    )


@flag(
    name="Broken part",
    urgency="this-week",
    advice="Look at shell, wick, fill cap and overflow; bring the part, or store the planter.",
    caution="Sharp edges: wear gloves. A cracked pot may break when it is lifted.",
)
def broken_part(case: Case) -> Evidence | None:
    """Something was broken or missing when last seen.

    Source: common practice, no source.
    """
    visit = lasting_sign(case, "broken", LASTING_LOOKS)
    return _seen("Broken or missing part", visit) if visit and _is_ours(case) else None


@flag(
    name="Report from a passer-by",
    urgency="this-week",
    advice="Read the report, then settle it, or hand it to whoever is next there.",
)
def public_report_waiting(case: Case) -> Evidence | None:
    """A passer-by reported something, and nobody has answered it.

    The sentence says what kind of report and which day, never the passer-by's own words.

    Source: common practice, no source.
    """
    waiting = case.reports
    if case.planter.status == "retired" or not waiting:
        return None
    last = waiting[-1]
    what = REPORT_WORDS.get(last.report.what, REPORT_WORDS["other"])
    sentence = f"A passer-by reported {what} on {spoken_day(last.day)}"
    if len(waiting) > 1:
        sentence += f"; {spoken_count(len(waiting), 'report')} wait"
    urgent = any(report.report.what in URGENT_REPORTS for report in waiting)
    return Evidence(
        f"{sentence}.",
        records=tuple(report.record for report in waiting),
        numbers={"reports": len(waiting)},
        urgency="today" if urgent else "this-week",
    )
