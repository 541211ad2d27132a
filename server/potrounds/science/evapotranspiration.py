"""Reference evapotranspiration, one function an equation.

Source of every equation: Allen, Pereira, Raes & Smith (1998), FAO Irrigation and Drainage Paper 56.
Every function takes floats or numpy arrays that broadcast together and returns an array.

Symbols (FAO-56), used inside this file only
    t_max, t_min, t_mean  air temperature at 2 m                        [deg C]
    e_s, e_a              saturation and actual vapour pressure         [kPa]
    delta                 slope of the saturation vapour pressure curve [kPa/deg C]
    gamma                 psychrometric constant                        [kPa/deg C]
    r_a, r_s, r_so        extraterrestrial, solar, clear-sky radiation  [MJ/m2/day]
    r_ns, r_nl, r_n, g    net shortwave, net longwave, net radiation and ground heat [MJ/m2/day]
    u2                    wind speed at 2 m                             [m/s]
    phi, dec, w_s         latitude, solar declination, sunset hour angle [rad]
    d_r                   inverse relative distance Earth to Sun        [-]
    day_of_year           1 on 1 January                                [-]
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Number = float | Array

SOLAR_CONSTANT = 0.0820  # [MJ/m2/min]
STEFAN_BOLTZMANN = 4.903e-9  # [MJ/K4/m2/day]
MM_PER_MJ = 0.408  # Eq. 20, [mm/day] of water for each [MJ/m2/day]
ALBEDO = 0.23  # of the grass reference
KELVIN = 273.16  # as FAO-56 prints it
WIND_WHEN_MISSING = 2.0  # FAO-56 p. 63, [m/s]
K_RS_INLAND, K_RS_COAST = 0.16, 0.19  # Eq. 50, [deg C^-0.5]


def _array(value: Number) -> Array:
    return np.asarray(value, dtype=np.float64)


def atmospheric_pressure(elevation_m: Number) -> Array:
    """Mean air pressure at a height above sea level. [kPa]  FAO-56 Eq. 7."""
    return 101.3 * ((293.0 - 0.0065 * _array(elevation_m)) / 293.0) ** 5.26


def psychrometric_constant(pressure_kpa: Number) -> Array:
    """Psychrometric constant of ventilated air. [kPa/deg C]  FAO-56 Eq. 8."""
    return 0.665e-3 * _array(pressure_kpa)


def mean_temperature(t_max: Number, t_min: Number) -> Array:
    """Daily mean as the middle of the extremes. [deg C]  FAO-56 Eq. 9."""
    return (_array(t_max) + _array(t_min)) / 2.0


def saturation_vapour_pressure(temperature: Number) -> Array:
    """Saturation vapour pressure at a temperature. [kPa]  FAO-56 Eq. 11."""
    t = _array(temperature)
    return np.asarray(0.6108 * np.exp(17.27 * t / (t + 237.3)))


def mean_saturation_vapour_pressure(t_max: Number, t_min: Number) -> Array:
    """Mean of the pressures at the extremes, never the pressure at the mean. [kPa]  Eq. 12."""
    return (saturation_vapour_pressure(t_max) + saturation_vapour_pressure(t_min)) / 2.0


def slope_saturation_vapour_pressure(t_mean: Number) -> Array:
    """Slope of the saturation vapour pressure curve. [kPa/deg C]  FAO-56 Eq. 13."""
    t = _array(t_mean)
    return 4098.0 * saturation_vapour_pressure(t) / (t + 237.3) ** 2


def vapour_pressure_from_dew_point(t_dew: Number) -> Array:
    """Actual vapour pressure from the dew point. [kPa]  FAO-56 Eq. 14."""
    return saturation_vapour_pressure(t_dew)


def vapour_pressure_from_psychrometer(t_dry: Number, t_wet: Number, pressure_kpa: Number) -> Array:
    """Actual vapour pressure from an aspirated psychrometer. [kPa]  FAO-56 Eqs 15, 16."""
    coefficient = 0.000662 * _array(pressure_kpa)
    return saturation_vapour_pressure(t_wet) - coefficient * (_array(t_dry) - _array(t_wet))


def vapour_pressure_from_humidity_extremes(
    t_max: Number, t_min: Number, rh_max: Number, rh_min: Number
) -> Array:
    """Actual vapour pressure from the day's extremes of humidity [%]. [kPa]  FAO-56 Eq. 17."""
    at_night = saturation_vapour_pressure(t_min) * _array(rh_max)
    by_day = saturation_vapour_pressure(t_max) * _array(rh_min)
    return (at_night + by_day) / 200.0


def vapour_pressure_from_mean_humidity(t_max: Number, t_min: Number, rh_mean: Number) -> Array:
    """Actual vapour pressure from the mean humidity [%]. [kPa]  FAO-56 Eq. 19."""
    return _array(rh_mean) / 100.0 * mean_saturation_vapour_pressure(t_max, t_min)


def inverse_relative_distance(day_of_year: Number) -> Array:
    """Inverse relative distance Earth to Sun. [-]  FAO-56 Eq. 23."""
    return np.asarray(1.0 + 0.033 * np.cos(2.0 * np.pi * _array(day_of_year) / 365.0))


def solar_declination(day_of_year: Number) -> Array:
    """Declination of the sun. [rad]  FAO-56 Eq. 24."""
    return np.asarray(0.409 * np.sin(2.0 * np.pi * _array(day_of_year) / 365.0 - 1.39))


def sunset_hour_angle(latitude_deg: Number, day_of_year: Number) -> Array:
    """Hour angle of sunset. [rad]  FAO-56 Eq. 25.

    Notes: inside the polar circles the cosine is held to -1..1 (midnight sun, polar night).
    """
    phi = np.radians(_array(latitude_deg))
    cosine = -np.tan(phi) * np.tan(solar_declination(day_of_year))
    return np.asarray(np.arccos(np.clip(cosine, -1.0, 1.0)))


def extraterrestrial_radiation(latitude_deg: Number, day_of_year: Number) -> Array:
    """Radiation on top of the atmosphere over a day. [MJ/m2/day]  FAO-56 Eq. 21."""
    phi = np.radians(_array(latitude_deg))
    dec = solar_declination(day_of_year)
    w_s = sunset_hour_angle(latitude_deg, day_of_year)
    d_r = inverse_relative_distance(day_of_year)
    geometry = w_s * np.sin(phi) * np.sin(dec) + np.cos(phi) * np.cos(dec) * np.sin(w_s)
    return np.asarray(24.0 * 60.0 / np.pi * SOLAR_CONSTANT * d_r * geometry)


def daylight_hours(latitude_deg: Number, day_of_year: Number) -> Array:
    """Longest possible sunshine. [h]  FAO-56 Eq. 34."""
    return 24.0 * sunset_hour_angle(latitude_deg, day_of_year) / np.pi


def solar_radiation_from_sunshine(sunshine_h: Number, daylight_h: Number, r_a: Number) -> Array:
    """Solar radiation from hours of sunshine. [MJ/m2/day]  FAO-56 Eq. 35, a = 0.25, b = 0.50."""
    return np.asarray((0.25 + 0.50 * _array(sunshine_h) / _array(daylight_h)) * _array(r_a))


def clear_sky_radiation(elevation_m: Number, r_a: Number) -> Array:
    """Solar radiation under a clear sky. [MJ/m2/day]  FAO-56 Eq. 37."""
    return np.asarray((0.75 + 2e-5 * _array(elevation_m)) * _array(r_a))


def net_shortwave_radiation(r_s: Number) -> Array:
    """Solar radiation that grass does not reflect. [MJ/m2/day]  FAO-56 Eq. 38."""
    return (1.0 - ALBEDO) * _array(r_s)


def net_longwave_radiation(
    t_max: Number, t_min: Number, e_a: Number, r_s: Number, r_so: Number
) -> Array:
    """Heat radiated to the sky. [MJ/m2/day]  FAO-56 Eq. 39, with Rs/Rso held to at most 1."""
    warm, cold = (_array(t_max) + KELVIN) ** 4, (_array(t_min) + KELVIN) ** 4
    clear = np.maximum(_array(r_so), 1e-9)  # polar night: no division by zero
    cloud = 1.35 * np.minimum(_array(r_s) / clear, 1.0) - 0.35
    humidity = 0.34 - 0.14 * np.sqrt(_array(e_a))
    return STEFAN_BOLTZMANN * (warm + cold) / 2.0 * humidity * cloud


def net_radiation(r_ns: Number, r_nl: Number) -> Array:
    """Net radiation. [MJ/m2/day]  FAO-56 Eq. 40."""
    return _array(r_ns) - _array(r_nl)


def ground_heat_monthly(t_month_before: Number, t_month_after: Number) -> Array:
    """Ground heat over a month between two known months. [MJ/m2/day]  FAO-56 Eq. 43."""
    return 0.07 * (_array(t_month_after) - _array(t_month_before))


def ground_heat_monthly_looking_back(t_month_before: Number, t_month: Number) -> Array:
    """Ground heat over a month when the next is unknown. [MJ/m2/day]  FAO-56 Eq. 44."""
    return 0.14 * (_array(t_month) - _array(t_month_before))


def wind_at_2_m(speed: Number, height_m: Number) -> Array:
    """Wind speed brought from another height to 2 m. [m/s]  FAO-56 Eq. 47."""
    return _array(speed) * 4.87 / np.log(67.8 * _array(height_m) - 5.42)


def vapour_pressure_when_missing(t_min: Number) -> Array:
    """Actual vapour pressure when no humidity is known. [kPa]  FAO-56 Eq. 48."""
    return saturation_vapour_pressure(t_min)


def solar_radiation_from_temperature(
    t_max: Number, t_min: Number, r_a: Number, k_rs: Number = K_RS_INLAND
) -> Array:
    """Solar radiation from the day's temperature range. [MJ/m2/day]  FAO-56 Eq. 50."""
    span = np.maximum(_array(t_max) - _array(t_min), 0.0)
    return _array(k_rs) * np.sqrt(span) * _array(r_a)


def reference_et_penman_monteith(
    t_mean: Number, r_n: Number, g: Number, u2: Number, e_s: Number, e_a: Number, pressure: Number
) -> Array:
    """Reference evapotranspiration over grass. [mm/day]  FAO-56 Eq. 6.

    Notes: a negative result (dew) is returned as 0, since no planter gains water by it.
    """
    t = _array(t_mean)
    delta, gamma = slope_saturation_vapour_pressure(t), psychrometric_constant(pressure)
    wind = _array(u2)
    radiation = MM_PER_MJ * delta * (_array(r_n) - _array(g))
    air = gamma * 900.0 / (t + 273.0) * wind * (_array(e_s) - _array(e_a))
    return np.maximum((radiation + air) / (delta + gamma * (1.0 + 0.34 * wind)), 0.0)


def reference_et_hargreaves(t_max: Number, t_min: Number, r_a: Number) -> Array:
    """Reference evapotranspiration from temperatures alone. [mm/day]  FAO-56 Eqs 20, 52.

    Notes: 0, never NaN, when the day's range is not positive.
    """
    span = np.maximum(_array(t_max) - _array(t_min), 0.0)
    warmth = np.maximum(mean_temperature(t_max, t_min) + 17.8, 0.0)
    return 0.0023 * warmth * np.sqrt(span) * MM_PER_MJ * _array(r_a)
