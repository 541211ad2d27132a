"""What a siting check found of the path, as the planter's rules see it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

#: What may stand around a planter.
THINGS = ("post", "door", "tap", "hydrant", "bus-stop", "corner", "driveway", "bench", "other")


@dataclass(frozen=True)
class ClearPath:
    """The clear path beside a planter's full-grown plants, and the width it should have. [cm]

    `exception`: narrower than wanted, yet let pass as a short narrow place.
    """

    measured_on: date
    by: str
    clear_cm: float
    needed_cm: float
    exception: bool = False

    @property
    def is_short(self) -> bool:
        """Whether the path falls short."""
        return self.clear_cm < self.needed_cm and not self.exception
