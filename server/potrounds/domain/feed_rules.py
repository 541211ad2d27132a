"""How the town feeds, and what its tap brings."""

from __future__ import annotations

from dataclasses import dataclass

# A round a day or two early is no double feed; without an interval of the town's own a week is.
# Common practice, no source.
EARLY_DAYS, USUAL_LEAST_DAYS = 2, 7


@dataclass(frozen=True)
class FeedRules:
    """How the town feeds, and what its tap brings. None: not set."""

    every_days: int | None = None
    what: str = ""
    percent_n: float | None = None
    ppm_n: float | None = None
    can_l: float | None = None
    feed_ec_ms: float | None = None  # that the feed adds at its rate
    tap_ec_ms: float | None = None

    @property
    def least_days(self) -> int:
        """Two feeds closer than this are one too many. [days]"""
        if self.every_days is None:
            return USUAL_LEAST_DAYS
        return max(1, self.every_days - EARLY_DAYS)
