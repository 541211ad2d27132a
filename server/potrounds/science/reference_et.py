"""Reference evapotranspiration of a run of days, by the best method the weather allows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from potrounds.science import evapotranspiration as et
from potrounds.science.evapotranspiration import Array

Method = Literal["penman-monteith", "penman-monteith-estimated", "hargreaves"]


@dataclass(frozen=True)
class DailyWeather:
    """Weather of consecutive or scattered days; NaN is missing, None is never measured.

    Units: temperatures [deg C], wind at 2 m [m/s], vapour pressure [kPa], humidity [%],
    solar radiation [MJ/m2/day], sunshine [h].
    """

    day_of_year: Array
    t_min: Array
    t_max: Array
    wind_2m: Array | None = None
    vapour_pressure: Array | None = None
    humidity_mean: Array | None = None
    solar_radiation: Array | None = None
    sunshine_h: Array | None = None


@dataclass(frozen=True)
class ReferenceEt:
    """Reference evapotranspiration of each day and how each was found."""

    et0_mm: Array
    method: list[Method]


def _first_known(*choices: Array | None, shape: tuple[int, ...]) -> Array:
    """The first choice that is a number, element by element."""
    out = np.full(shape, np.nan)
    for choice in choices:
        if choice is not None:
            out = np.where(np.isnan(out), choice, out)
    return out


def reference_et_series(
    weather: DailyWeather,
    latitude_deg: float,
    elevation_m: float = 0.0,
    *,
    coastal: bool = False,
    gap_wind: float | None = None,
) -> ReferenceEt:
    """Reference evapotranspiration of each day by what is known of that day.

    Radiation or humidity measured: Penman-Monteith, the rest by the missing-data rules.
    Only wind beside temperatures: the same, all estimated. Temperatures alone: Hargreaves.

    Parameters: gap_wind : wind speed put in place of a missing one in a record that has wind
                elsewhere; without it the FAO-56 value of 2 m/s. [m/s]
    Returns: et0_mm [mm/day], NaN where a temperature is missing; the method of each day.
    Notes: humidity is capped by the saturation vapour pressure; both temperatures are put in
        order first, so a swapped pair of columns does no harm.
    Source: FAO-56 Eqs 6, 48-52 and the procedures of its chapter 3.
    """
    shape = weather.t_min.shape
    t_min = np.minimum(weather.t_min, weather.t_max)
    t_max = np.maximum(weather.t_min, weather.t_max)
    r_a = et.extraterrestrial_radiation(latitude_deg, weather.day_of_year)
    e_s = et.mean_saturation_vapour_pressure(t_max, t_min)

    by_sun = None
    if weather.sunshine_h is not None:
        daylight = np.maximum(et.daylight_hours(latitude_deg, weather.day_of_year), 0.1)
        by_sun = et.solar_radiation_from_sunshine(weather.sunshine_h, daylight, r_a)
    by_humidity = None
    if weather.humidity_mean is not None:
        by_humidity = weather.humidity_mean / 100.0 * e_s
    measured_sun = _first_known(weather.solar_radiation, by_sun, shape=shape)
    measured_air = _first_known(weather.vapour_pressure, by_humidity, shape=shape)
    wind_known = _first_known(weather.wind_2m, shape=shape)

    k_rs = et.K_RS_COAST if coastal else et.K_RS_INLAND
    guessed_sun = et.solar_radiation_from_temperature(t_max, t_min, r_a, k_rs)
    r_so = et.clear_sky_radiation(elevation_m, r_a)
    r_s = np.minimum(np.where(np.isnan(measured_sun), guessed_sun, measured_sun), r_a)
    e_a = np.where(np.isnan(measured_air), et.vapour_pressure_when_missing(t_min), measured_air)
    fill = et.WIND_WHEN_MISSING if gap_wind is None else gap_wind
    wind = np.where(np.isnan(wind_known), fill, wind_known)

    e_a = np.minimum(e_a, e_s)
    r_n = et.net_radiation(
        et.net_shortwave_radiation(r_s), et.net_longwave_radiation(t_max, t_min, e_a, r_s, r_so)
    )
    pressure = et.atmospheric_pressure(elevation_m)
    t_mean = et.mean_temperature(t_max, t_min)
    full = et.reference_et_penman_monteith(t_mean, r_n, 0.0, wind, e_s, e_a, pressure)
    simple = et.reference_et_hargreaves(t_max, t_min, r_a)

    complete = ~(np.isnan(measured_sun) | np.isnan(measured_air) | np.isnan(wind_known))
    has_wind = not np.all(np.isnan(wind_known))  # a record with wind keeps one method throughout
    partly = ~(np.isnan(measured_sun) & np.isnan(measured_air)) | has_wind
    methods: list[Method] = [
        "penman-monteith" if c else "penman-monteith-estimated" if p else "hargreaves"
        for c, p in zip(complete.tolist(), np.broadcast_to(partly, shape).tolist(), strict=True)
    ]
    return ReferenceEt(np.where(partly, full, simple), methods)
