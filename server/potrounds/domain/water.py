"""What is believed of a planter's water on a day: how full, how long it lasts, what is amiss."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Band:
    """A middle value, and the two between which four out of five truths fall. None: later than
    the horizon that is looked ahead."""

    mid: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Look:
    """One check-in as the balance saw it: what was believed before, and what was told.

    Shares are of the reservoir; `low` to `high` hold all but one in fifty truths.
    """

    record: str
    day: date
    person: str | None
    level: float | None
    litres_l: float | None
    ran_over: bool
    mid: float
    low: float
    high: float
    room_l: float

    @property
    def misfit(self) -> float:
        """How far the reading lies outside what was believed. [share of the reservoir]"""
        return self.misfit_of(self.level)

    def misfit_of(self, level: float | None) -> float:
        """How far a reading, this one or another, would lie outside what was believed here."""
        if level is None:
            return 0.0
        half_a_mark = 0.125
        return max(0.0, level - half_a_mark - self.high, self.low - level - half_a_mark)


@dataclass(frozen=True)
class Swap:
    """A reading that fits another planter, whose reading of that day fits here."""

    record: str
    day: date
    level: float
    other: str  # the other planter, by id and name
    other_name: str
    other_level: float


@dataclass(frozen=True)
class TopUpDay:
    """Litres to the brim on the morning of a day, nobody having filled before. [L]"""

    date: date
    litres_l: float
    low_l: float
    high_l: float


@dataclass(frozen=True)
class SeriesDay:
    """Water in the reservoir on a morning. [L]"""

    date: date
    mid: float
    low: float
    high: float
    ahead: bool


@dataclass(frozen=True)
class Outlook:
    """What lies ahead, nobody filling."""

    days_to_empty: Band
    days_to_stress: Band
    chance_empty: tuple[float, ...]  # by the end of today, of tomorrow, ...
    top_up: tuple[TopUpDay, ...]
    use_l_day: Band
    series: tuple[SeriesDay, ...]

    def chance_before(self, days: int) -> float:
        """Chance that the reservoir is empty before so many days have passed."""
        if days <= 0 or not self.chance_empty:
            return 0.0
        return self.chance_empty[min(days, len(self.chance_empty)) - 1]


@dataclass(frozen=True)
class Water:
    """What is believed on the morning of a day, its check-ins taken in.

    A past day has no outlook: it is kept for how long a suspicion has stood.
    """

    as_of: date
    capacity_l: float
    level_l: Band
    leak: float  # chances that it is at work
    wick: float
    blocked: float
    looks: tuple[Look, ...] = ()
    peers: float | None = None
    peers_sure: bool = False
    weather: str = "observed"
    estimated: bool = False
    unsure_times: int = 0
    outlook: Outlook | None = None
    swaps: tuple[Swap, ...] = ()
    weather_odd: bool = False  # of the other half of the world
    overfill: float = 0.0  # running evidence that people pour far more than there is room for

    @property
    def last_full(self) -> Look | None:
        """The last look at which the overflow ran."""
        return next((look for look in reversed(self.looks) if look.ran_over), None)

    def look_after_fill(self, earliest: int, latest: int) -> Look | None:
        """The reading taken so many days after the last full fill, if there was one."""
        full = self.last_full
        if full is None:
            return None
        return next(
            (
                look
                for look in reversed(self.looks)
                if look.level is not None and earliest <= (look.day - full.day).days <= latest
            ),
            None,
        )
