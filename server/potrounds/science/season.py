"""One town's season, day by day: what the register, weather and check-ins say becomes figures.

The same calls serve the product and any replay: begin_day with the forecast issued that morning,
forecast, check_in with the visits, end_day with the weather that came.  Nothing dated later than
the day it stands on is ever needed.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from potrounds.science.alarms import Alarm, alarms
from potrounds.science.calibration import Calibration
from potrounds.science.ensemble import Floats, PlanterFacts
from potrounds.science.evidence import CheckIns
from potrounds.science.forecast import forecast, quantiles
from potrounds.science.honesty import MOST_DAYS, IntervalHonesty
from potrounds.science.weather_ahead import (
    Ahead,
    Days,
    Normals,
    WeatherMemory,
)

HORIZON_DAYS = 40
SMALL_TOWN, FEW, MANY = 300, 160, 2048  # planters; guesses a planter above and up to that
DRAWS = {FEW: 24, MANY: 512}
SEED = 1


@dataclass(frozen=True)
class Outlook:
    """Forecast of each planter wanted: days from this morning (inf past the horizon), litres."""

    planters: np.ndarray
    median: Floats
    p10: Floats
    p90: Floats
    top_up_l: Floats
    top_up_sd_l: Floats


class Season:
    """The state of a town's planters as the season goes."""

    def __init__(
        self,
        facts: list[PlanterFacts],
        latitude_deg: float,
        normals: Normals,
        first_day: date,
        *,
        elevation_m: float = 0.0,
        guesses: int | None = None,
        draws: int | None = None,
        horizon: int = HORIZON_DAYS,
        honest: bool = True,
    ) -> None:
        count = guesses or (MANY if len(facts) <= SMALL_TOWN else FEW)
        self.calibration = Calibration(facts, first_day, count)
        self.memory = WeatherMemory(latitude_deg, normals, elevation_m)
        self.honesty = IntervalHonesty(len(facts))
        self.honest, self.horizon = honest, horizon
        self.draws = min(count, draws or DRAWS.get(count, 256))
        self.day = first_day
        self._ahead: Ahead | None = None
        self._winds: list[float] = []

    def begin_day(self, day: date, issued: Days | None) -> None:
        """Take the forecast issued this morning; without one the normals serve alone."""
        self.day = day
        self._ahead = self.memory.ahead(day, issued, self.horizon, self.draws, SEED)

    def forecast(self, only: np.ndarray | None = None) -> Outlook:
        """Days until empty if nobody fills, and litres to the brim now."""
        assert self._ahead is not None, "begin_day comes first"
        found = forecast(self.calibration, self.day, self._ahead, self.draws, only)
        days = self.honesty.spread(found.days_to_empty) if self.honest else found.days_to_empty
        median, p10, p90 = quantiles(days, (0.5, 0.1, 0.9))
        rows = np.arange(len(median)) if only is None else only
        return Outlook(rows, median, p10, p90, found.top_up_l, found.top_up_sd_l)

    def replant(self, rows: np.ndarray) -> None:
        """Planters that were planted anew this morning."""
        self.calibration.replant(rows, self.day)

    def check_in(self, told: CheckIns) -> None:
        """Learn from this morning's visits; each planter at most once in a call."""
        assert self._ahead is not None, "begin_day comes first"
        number = self.day.toordinal()
        self.honesty.judge(told, number)
        self.calibration.check_in(self.day, told)
        kept = min(self.draws, 64)
        after = forecast(
            self.calibration, self.day, self._ahead, kept, told.rows, levels_for=MOST_DAYS + 1
        )
        self.honesty.remember(told.rows, number, after.levels)

    def alarms(self) -> list[Alarm]:
        """Faults to tell today."""
        odds = self.calibration.fault_odds(self.day)
        return alarms(odds, self.calibration.overfill, self.day)

    def end_day(self, weather: Days) -> None:
        """Move over the day with the weather that came; a missing day is taken as normal."""
        self.honesty.settle()
        if not np.isnan(weather.wind[0]):
            self._winds.append(float(weather.wind[0]))
        usual = float(np.mean(self._winds)) if self._winds else float("nan")
        memory = self.memory
        et0 = memory.et0(weather, usual)[:, 0]
        rain = float(np.nan_to_num(weather.rain_mm[0]))
        if np.isnan(et0).any():
            et0 = memory.normal_et0(self.day, 1)[0][:, 0]
        else:
            memory.observe(self.day, et0, rain)
        self.calibration.end_day(self.day, et0, rain)

    def assess_day(
        self, day: date, issued: Days | None, told: CheckIns | None, weather: Days | None
    ) -> tuple[Outlook, list[Alarm]]:
        """A whole day: outlook and alarms as they stood this morning, before its visits."""
        self.begin_day(day, issued)
        outlook, raised = self.forecast(), self.alarms()
        if told is not None and told.rows.size:
            self.check_in(told)
        if weather is not None:
            self.end_day(weather)
        return outlook, raised
