"""The days outside, past and forecast, as new plants feel them: warmth, and what the air draws."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from potrounds.domain.outside import DayOutside, Outside
from potrounds.flags.registry import REPLAY_DAYS
from potrounds.science.establishment import MOST_DAYS, degree_days
from potrounds.science.reference_et import DailyWeather, reference_et_series
from potrounds.services import weather_record
from potrounds.store import weather


def days(today: date) -> Outside:
    """Every day that is on record or forecast, by its date; none without the town's latitude.

    A gap stays a gap: what is not known passes at a usual pace, and the card says so.
    """
    latitude, elevation_m = weather_record.place()
    if latitude is None:
        return {}
    since = today - timedelta(days=REPLAY_DAYS + MOST_DAYS)
    rows = {row.date: row for row in weather_record.latest_forecast(today)}
    rows |= {row.date: row for row in weather.observed(since=since)}
    if not rows:
        return {}
    some = [rows[day] for day in sorted(rows)]
    winds = [np.nan if row.wind_ms is None else row.wind_ms for row in some]
    found = reference_et_series(
        DailyWeather(
            day_of_year=np.array([row.date.timetuple().tm_yday for row in some], float),
            t_min=np.array([row.tmin_c for row in some], float),
            t_max=np.array([row.tmax_c for row in some], float),
            wind_2m=np.array(winds, float),
        ),
        latitude,
        elevation_m,
    )
    return {
        row.date: DayOutside(degree_days(row.tmin_c, row.tmax_c), round(float(et0_mm), 2))
        for row, et0_mm in zip(some, found.et0_mm, strict=True)
    }
