"""How long a new planting needs water from above, and how soon its top dries out.

Until roots reach the mix that the wick keeps moist, the reservoir does not count. Two to four weeks
is what guides for consumers say; no university source was found. Within that span warmth decides.
"""

from __future__ import annotations

from collections.abc import Sequence

# Two to four weeks from above, consumer guides; three where the weather is not known. [days]
LEAST_DAYS, MOST_DAYS, USUAL_DAYS = 14, 28, 21

# Growth of plants for summer beds is counted above this mean of the day. [deg C]
# McMaster & Wilhelm (1997), Agric. For. Meteorol. 87:291, use it for maize; here it is judgement.
BASE_C = 10.0
# Rooted after so much warmth: 14 days at 22 deg C, 21 at 18, 28 at 16. [deg C day] Judgement, set
# so that the span above is met by usual spring and summer days.
ROOTED_DEGREE_DAYS = 168.0

# What plants of a plug's depth (50 mm) find easily in the top of the mix: a quarter of its volume.
# [mm] 0.25 to 0.30 easily available is a start value of judgement; 1 mm on 1 m2 is 1 L.
TOP_MM = 12.5
# From above every one to three days; every two where the weather is not known. [days] Common
# practice, no source.
LEAST_BETWEEN, MOST_BETWEEN, USUAL_BETWEEN = 1, 3, 2


def degree_days(t_min_c: float, t_max_c: float, base_c: float = BASE_C) -> float:
    """Warmth of one day above a base, from its low and high. [deg C day]

    Source: McMaster & Wilhelm (1997), Agric. For. Meteorol. 87:291, Eq. 1 as its method 1.
    """
    return max(0.0, (t_min_c + t_max_c) / 2 - base_c)


def days_to_root(warmth: Sequence[float | None]) -> int:
    """Days from planting until roots reach the wicked mix. [days]

    Parameters: warmth : degree days of each day, the day of planting first. [deg C day] A day that
    is not known, and every day after the last, passes at the pace of USUAL_DAYS.
    Source: two to four weeks, consumer guides; the sum of warmth is judgement.
    """
    usual = ROOTED_DEGREE_DAYS / USUAL_DAYS
    total = 0.0
    for days in range(MOST_DAYS):
        if days >= LEAST_DAYS and total >= ROOTED_DEGREE_DAYS:
            return days
        known = warmth[days] if days < len(warmth) else None
        total += usual if known is None else known
    return MOST_DAYS


def exposure_factor(sun: str, wind: str) -> float:
    """How much faster or slower a place dries out than an open one. [-]

    Source: judgement: 0.7 in shade, 1.0 in the open, 1.2 in wind.
    """
    if wind == "windy":
        return 1.0 if sun == "shade" else 1.2
    return 0.7 if sun == "shade" else 1.0


def days_until_check(et0_mm: Sequence[float | None], factor: float = 1.0) -> int:
    """Days after water from above on which the top wants a look: the whole days it lasts.

    Parameters: et0_mm : reference evapotranspiration, the day of watering first. [mm/day] A day
    that is not known, and every day after the last, dries at the pace of USUAL_BETWEEN.
    Notes: rain is left out on purpose; leaves and rims keep most of a shower off the mix.
    Source: reference evapotranspiration by FAO-56; what the top holds, and one to three days, are
    judgement.
    """
    usual = TOP_MM / USUAL_BETWEEN
    left = TOP_MM
    for days in range(MOST_BETWEEN):
        known = et0_mm[days] if days < len(et0_mm) else None
        left -= usual if known is None else known * factor
        if left < -1e-9:
            return max(LEAST_BETWEEN, days)
    return MOST_BETWEEN
