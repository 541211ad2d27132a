"""Flags: small pure rules in families, each by where one looks.

A family is imported here by name; nothing is found by walking. A rule sees a Case and knows no
web, no database and no clock.
"""

from potrounds.flags import feeding, plants, reservoir, season, site, visits, water
from potrounds.flags.acts import ACTS
from potrounds.flags.registry import (
    RULES,
    URGENCIES,
    Case,
    Evidence,
    Flag,
    Rule,
    apply_decisions,
    cases_of,
    raise_flags,
)

FAMILIES = (reservoir, water, plants, feeding, season, site, visits)

__all__ = [
    "ACTS",
    "FAMILIES",
    "RULES",
    "URGENCIES",
    "Case",
    "Evidence",
    "Flag",
    "Rule",
    "apply_decisions",
    "cases_of",
    "raise_flags",
]
