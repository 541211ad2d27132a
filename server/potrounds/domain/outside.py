"""A day outside as new plants feel it; worked out by the services, read by the flags."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class DayOutside:
    """Warmth [deg C day] and what the air draws out of the mix [mm], where known."""

    degree_days: float
    et0_mm: float | None = None


Outside = Mapping[date, DayOutside]
