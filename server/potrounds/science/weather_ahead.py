"""Weather to come: the forecast issued that morning, then the normals, as many equal scenarios.

What a forecast is worth by its lead, how the season differs from the normals and how long wet
and dry spells last are learnt from the record so far, starting from cautious values. Draws are
fixed by a seed: the same record gives the same scenarios.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

import numpy as np

from potrounds.science.evapotranspiration import Array, vapour_pressure_when_missing
from potrounds.science.reference_et import DailyWeather, reference_et_series

# Wind that reaches the leaves, as a share of the wind reported for the open.  Judgement.
WIND_SHARE = {"sheltered": 0.3, "open": 0.6, "windy": 1.0}
EXPOSURES = tuple(WIND_SHARE)
DRIEST_DROP, ARID_WET_SHARE = 2.5, 0.15
WET_MM = 0.2  # a day with more is a wet day
LEADS = 7
# Starting values, each worth the number of days beside it.  Judgement.
FORECAST_SD, FORECAST_SD_A_LEAD, FORECAST_DAYS = 0.07, 0.035, 12.0
# Chance of a wet day by what was said, today and at the last lead.
WET_WHEN_SAID_WET, WET_WHEN_SAID_DRY, SAID_DAYS = (0.95, 0.7), (0.04, 0.2), 8.0
SPELL_PERSISTENCE, SPELL_DAYS = 0.35, 40.0
ANOMALY_SD, ANOMALY_PERSISTENCE, ANOMALY_DAYS = 0.28, 0.45, 20.0
WET_DAY_ET = -0.35  # log of reference ET on a wet day less that on a dry one
SEASON_MEMORY_DAYS, SEASON_TRUST_DAYS, SEASON_SD = 30.0, 15.0, 0.08
WETNESS_DOUBT = 0.5  # spread of the log odds of the coming season's wet days
AMOUNT_SHAPE = 0.75  # gamma shape of rain on a wet day
AMOUNT_LOG_SD = 0.6


@dataclass(frozen=True)
class Days:
    """Weather of consecutive days; NaN where unknown."""

    first: date
    t_min: Array
    t_max: Array
    rain_mm: Array
    wind: Array


@dataclass(frozen=True)
class Normals:
    """Monthly means of other years, January first."""

    t_min: Array
    t_max: Array
    wet_share: Array
    rain_a_wet_day_mm: Array
    wind: Array


@dataclass(frozen=True)
class Ahead:
    """Scenarios: et0_mm [exposure, scenario, day] and rain_mm [scenario, day]."""

    et0_mm: Array
    rain_mm: Array


def days_of_year(first: date, count: int) -> Array:
    """Day of year of consecutive days, 1 on 1 January."""
    start = first.toordinal()
    return np.array([float(date.fromordinal(start + i).timetuple().tm_yday) for i in range(count)])


def dew_drop(wet_share: Array) -> Array:
    """How far the dew point lies below the night's low where few days are wet. [deg C]

    Source: FAO-56 chapter 3 and annex 6: in arid climates Tdew is better taken 2-3 deg C below
    Tmin.  Where arid begins is judgement.
    """
    return np.asarray(DRIEST_DROP * np.clip(1.0 - wet_share / ARID_WET_SHARE, 0.0, 1.0))


def et0_by_exposure(
    days: Days,
    latitude_deg: float,
    elevation_m: float,
    usual_wind: float,
    dew_below_low: Array | float = 0.0,
) -> Array:
    """Reference ET of each exposure and day, by the wind each exposure feels. [mm/day]"""
    j = days_of_year(days.first, days.t_min.size)
    has_wind = not np.isnan(usual_wind)
    low = np.minimum(days.t_min, days.t_max)
    vapour = vapour_pressure_when_missing(low - dew_below_low)
    rows = []
    for share in WIND_SHARE.values():
        wind = None
        if has_wind:
            wind = np.where(np.isnan(days.wind), usual_wind, days.wind) * share
        found = reference_et_series(
            DailyWeather(j, days.t_min, days.t_max, wind, vapour if has_wind else None),
            latitude_deg,
            elevation_m,
        )
        rows.append(found.et0_mm)
    return np.array(rows)


def at_day_of_year(monthly: Array, j: Array) -> Array:
    """Monthly values carried smoothly through the year, each at its mid-month."""
    middle = (np.arange(12) + 0.5) * 365.25 / 12.0
    return np.interp(j, middle, monthly, period=365.25)


@dataclass
class WeatherMemory:
    """What the season so far has taught about forecasts and normals."""

    latitude_deg: float
    normals: Normals
    elevation_m: float = 0.0
    log_et: list[float] = field(default_factory=list)  # anomaly of each past day
    wet: list[bool] = field(default_factory=list)
    past: dict[int, tuple[float, float]] = field(default_factory=dict)  # day -> log ET0, rain
    issued: dict[int, tuple[Array, Array]] = field(default_factory=dict)
    errors: list[list[float]] = field(default_factory=lambda: [[] for _ in range(LEADS)])
    said: Array = field(default_factory=lambda: np.zeros((2, LEADS, 2)))  # dry/wet said, came

    def et0(self, days: Days, usual_wind: float) -> Array:
        """Reference ET of days here, by exposure. [mm/day]"""
        j = days_of_year(days.first, days.t_min.size)
        drop = dew_drop(at_day_of_year(self.normals.wet_share, j))
        return et0_by_exposure(days, self.latitude_deg, self.elevation_m, usual_wind, drop)

    def normal_et0(self, first: date, count: int) -> tuple[Array, Array, Array]:
        """Normal ET0 by exposure, wet share and rain on a wet day, of coming days."""
        j = days_of_year(first, count)
        n = self.normals
        wind, wet = at_day_of_year(n.wind, j), at_day_of_year(n.wet_share, j)
        days = Days(
            first, at_day_of_year(n.t_min, j), at_day_of_year(n.t_max, j), np.zeros(count), wind
        )
        et0 = self.et0(days, float(np.mean(wind)))
        return (
            et0,
            np.clip(wet, 0.01, 0.95),
            np.maximum(at_day_of_year(n.rain_a_wet_day_mm, j), 0.5),
        )

    def observe(self, day: date, et0: Array, rain_mm: float) -> None:
        """Learn from a day that has come; et0 by exposure."""
        normal, _, _ = self.normal_et0(day, 1)
        wet = rain_mm > WET_MM
        self.log_et.append(float(np.log(max(et0[1], 0.05) / normal[1, 0])))
        self.wet.append(wet)
        number = day.toordinal()
        for lead in range(LEADS):
            told = self.issued.get(number - lead)
            if told is not None and lead < told[0].size:
                self.errors[lead].append(float(np.log(max(et0[1], 0.05)) - told[0][lead]))
                self.said[int(told[1][lead] > WET_MM), lead, int(wet)] += 1
        self.issued.pop(number - LEADS, None)

    def _forecast_sd(self, lead: int) -> tuple[float, float]:
        """Bias and spread of a forecast's log ET0 at a lead."""
        errors = np.array(self.errors[lead][-60:])
        prior = FORECAST_SD + FORECAST_SD_A_LEAD * lead
        n = errors.size
        bias = float(errors.sum() / (n + 3 * FORECAST_DAYS))
        total = FORECAST_DAYS * prior**2 + float(np.sum((errors - bias) ** 2))
        return bias, float(np.sqrt(total / (FORECAST_DAYS + n)))

    def _season(self) -> tuple[float, float, float, float, float, float]:
        """Season's mean anomaly, its doubt, day-to-day spread, persistence, wet step, last."""
        if not self.log_et:
            return 0.0, 0.15, ANOMALY_SD, ANOMALY_PERSISTENCE, WET_DAY_ET, 0.0
        y, wet = np.array(self.log_et), np.array(self.wet)
        age = np.arange(y.size)[::-1]
        w = np.exp(-age / SEASON_MEMORY_DAYS)
        step = WET_DAY_ET
        if 2 < wet.sum() < y.size - 2:
            few = min(wet.sum(), (~wet).sum())
            seen = float(y[wet].mean() - y[~wet].mean())
            step = (WET_DAY_ET * 15 + seen * few) / (15 + few)
        share = float(np.sum(w * wet) / w.sum())
        flat = y - step * (wet - share)
        mean = float(np.sum(w * flat) / (w.sum() + SEASON_TRUST_DAYS))
        left = flat - mean
        sd2 = (ANOMALY_DAYS * ANOMALY_SD**2 + float(np.sum(left**2))) / (ANOMALY_DAYS + y.size)
        lag = float(np.sum(left[1:] * left[:-1])) if y.size > 1 else 0.0
        phi = (ANOMALY_DAYS * ANOMALY_PERSISTENCE * ANOMALY_SD**2 + lag) / (
            ANOMALY_DAYS * ANOMALY_SD**2 + float(np.sum(left**2))
        )
        doubt = float(np.hypot(SEASON_SD, 0.25 / np.sqrt(1.0 + w.sum())))
        return mean, doubt, float(np.sqrt(sd2)), float(np.clip(phi, 0, 0.9)), step, float(left[-1])

    def _wetness(self, normal_share: Array) -> tuple[Array, float]:
        """Wet share of coming days drawn towards the season so far, and spell persistence."""
        wet = np.array(self.wet, dtype=float)
        n = wet.size
        if n < 2:
            return normal_share, SPELL_PERSISTENCE
        w = np.exp(-np.arange(n)[::-1] / SEASON_MEMORY_DAYS)
        now = float(normal_share[0])
        seen = (float(np.sum(w * wet)) + 30 * now) / (float(w.sum()) + 30)
        odds = seen / (1 - seen) / (now / (1 - now))
        share = normal_share * odds / (1 - normal_share + normal_share * odds)
        mean = wet.mean()
        spread = float(np.sum((wet - mean) ** 2))
        lag = float(np.sum((wet[1:] - mean) * (wet[:-1] - mean)))
        at = SPELL_DAYS * 0.2
        return share, float(np.clip((at * SPELL_PERSISTENCE + lag) / (at + spread), 0.0, 0.8))

    def ahead(
        self, today: date, forecast: Days | None, horizon: int, scenarios: int, seed: int
    ) -> Ahead:
        """Scenarios of the coming days, using only what is known this morning."""
        rng = np.random.Generator(np.random.PCG64([seed, today.toordinal()]))
        normal, share, amount = self.normal_et0(today, horizon)
        mean, doubt, sd, phi, step, last = self._season()
        usual, spell = self._wetness(share)
        s = scenarios
        odds = (usual / (1.0 - usual))[None] * np.exp(WETNESS_DOUBT * _normal_column(rng, s))[
            :, None
        ]
        shares = odds / (1.0 + odds)
        slow = mean + doubt * _normal_column(rng, s)
        fast = np.full(s, last)
        was_wet = np.full(s, bool(self.wet[-1]) if self.wet else False)
        error = rng.standard_normal(s)
        et = np.empty((len(EXPOSURES), s, horizon))
        rain = np.zeros((s, horizon))
        told, told_rain = self._told(today, forecast)
        for day in range(horizon):
            u = _uniform_column(rng, s)
            if day < told.shape[1]:
                was_wet, rain[:, day] = self._rain_told(day, told_rain[day], amount[day], u, rng)
                bias, spread = self._forecast_sd(day)
                error = 0.6 * error + 0.8 * rng.standard_normal(s)
                log_et = np.log(np.maximum(told[:, day], 0.05))[:, None] + bias + spread * error
                base = np.log(normal[1, day]) + slow + step * (was_wet - shares[:, day])
                fast = log_et[1] - base
            else:
                p = shares[:, day] + spell * (was_wet - shares[:, day])
                was_wet = u < p
                drawn = rng.gamma(AMOUNT_SHAPE, 1.0 / AMOUNT_SHAPE, s) * amount[day]
                rain[:, day] = np.where(was_wet, np.maximum(drawn, WET_MM), 0.0)
                fast = phi * fast + sd * np.sqrt(1 - phi**2) * rng.standard_normal(s)
                move = slow + fast + step * (was_wet - shares[:, day])
                log_et = np.log(normal[:, day])[:, None] + move
            et[:, :, day] = np.exp(log_et)
        return Ahead(et, rain)

    def _told(self, today: date, forecast: Days | None) -> tuple[Array, Array]:
        """ET0 by exposure and rain of this morning's forecast, kept for judging it later."""
        if forecast is None or forecast.t_min.size == 0:
            return np.empty((3, 0)), np.empty(0)
        wind = forecast.wind[~np.isnan(forecast.wind)]
        n_wind = self.normals.wind
        usual = float(np.mean(wind)) if wind.size else float(n_wind[today.month - 1])
        told = self.et0(forecast, usual)[:, :LEADS]
        rain = np.nan_to_num(forecast.rain_mm)[:LEADS]
        self.issued[today.toordinal()] = (np.log(np.maximum(told[1], 0.05)), rain)
        return told, rain

    def _rain_told(
        self, lead: int, told_mm: float, amount: float, u: Array, rng: np.random.Generator
    ) -> tuple[np.ndarray, Array]:
        """Wet or dry, and how much, given what was forecast at this lead."""
        said = int(told_mm > WET_MM)
        first, last = WET_WHEN_SAID_WET if said else WET_WHEN_SAID_DRY
        prior = first + (last - first) * lead / (LEADS - 1)
        dry, wet = self.said[said, lead]
        p = (SAID_DAYS * prior + wet) / (SAID_DAYS + dry + wet)
        is_wet = u < p
        centre = told_mm if said else 0.5 * amount
        noise = np.exp(AMOUNT_LOG_SD * rng.standard_normal(u.size) - 0.5 * AMOUNT_LOG_SD**2)
        return is_wet, np.where(is_wet, centre * noise, 0.0)


def _uniform_column(rng: np.random.Generator, count: int) -> Array:
    """Evenly spread numbers in 0..1 in random order."""
    return (rng.permutation(count) + rng.random(count)) / count


def _normal_column(rng: np.random.Generator, count: int) -> Array:
    """Standard normal numbers, their mean and spread made exact."""
    drawn = rng.standard_normal(count)
    return np.asarray((drawn - drawn.mean()) / max(float(drawn.std()), 1e-9))
