"""The daily water balance of a planter: potting mix above, reservoir below.

All quantities are litres a day or litres; every argument may be an array and they broadcast, so
one call moves a whole town of planters, each with hundreds of guesses of its hidden settings.

Symbols
    mix             plant-available water in the mix, above the stress content   [L]
    mix_capacity    the most the mix holds against gravity, above that content   [L]
    reservoir       water in the reservoir                                       [L]
    demand          what the plants would use with a wet mix                     [L/day]

Source: two-store form after FAO-56 chapter 8 (root-zone depletion), the reservoir and wick being
common practice, no source.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Values = npt.NDArray[np.floating]
Input = float | Values


class Stores(NamedTuple):
    """Water in the two stores. [L]"""

    reservoir: Values
    mix: Values


class Flows(NamedTuple):
    """What went in and out over a day. [L]"""

    rain: Input
    use: Values
    demand: Input
    overflow: Values
    drained: Values
    wicked: Values

    @property
    def shortfall(self) -> Values:
        """Demand that went unmet."""
        return np.asarray(self.demand - self.use)


def rain_into_mix(rain_mm: Input, open_area_m2: Input, reaches_mix: Input) -> Values:
    """Rain that reaches the mix. [L]

    Parameters: open_area_m2 : mix open to the sky [m2]; reaches_mix : share that is not kept off
                by leaves or a roof, 0..1 [-]
    Source: 1 mm on 1 m2 is 1 L.
    """
    return np.asarray(rain_mm * (open_area_m2 * np.clip(reaches_mix, 0.0, 1.0)))


def plant_demand(
    et0_mm: Input, use_factor: Input, canopy_area_m2: Input, growth: Input = 1.0
) -> Values:
    """Water the plants would use with a wet mix. [L/day]

    Parameters: use_factor : plant, exposure and establishment factors multiplied [-]
    Source: landscape coefficient method, Guide to Estimating Irrigation Water Needs of Landscape
        Plantings (University of California, 2000).
    """
    return np.asarray(et0_mm * use_factor * (canopy_area_m2 * growth))


def linear_growth(days_since_planting: Input, start: Input, length: Input, first: Input) -> Values:
    """Canopy as a share of the full one, straight from first to 1 over the growing days. [-]

    Source: FAO-56 Figure 34, initial, development and mid-season stages.
    """
    risen = np.clip((days_since_planting - start) / length, 0.0, 1.0)
    return np.asarray(first + (1.0 - first) * risen)


def step_day(
    stores: Stores,
    *,
    mix_capacity: Input,
    reservoir_capacity: Input,
    demand: Input,
    rain: Input = 0.0,
    top_up: Input = 0.0,
    leak: Input = 0.0,
    wick_limit: Input = np.inf,
    wick_rate: Input = np.inf,
    wick_gain: Input = 0.0,
    slows_below: Input = 0.0,
    plug_out: bool | npt.NDArray[np.bool_] = False,
) -> tuple[Stores, Flows]:
    """Both stores at the end of a day, and the day's flows.

    Rain wets the mix, what the mix cannot hold falls into the reservoir, the top-up joins it, the
    overflow takes what is above the brim, the wick lifts while the plants use, a leak takes the
    rest.

    Parameters: wick_limit : most the wick lifts in a day [L/day]; wick_rate : lift over an almost
                empty reservoir, for each litre the mix is short [1/day]; wick_gain : what each
                litre standing in the reservoir adds to that rate [1/day/L] (supply is linear in
                the water level: Roonjho et al. 2022, Agric. Water Manage. 274:107927);
                slows_below : share of mix_capacity below which plants use less in proportion [-];
                plug_out : nothing stays in the reservoir
    Returns: stores, and flows with rain + top_up - use - overflow - drained = change in water.
    """
    mix = stores.mix + rain
    surplus = np.maximum(mix - mix_capacity, 0.0)
    mix = mix - surplus
    reservoir = stores.reservoir + surplus + top_up
    drained: Input = 0.0
    if plug_out is not False:
        drained = np.where(plug_out, reservoir, 0.0)
        reservoir = reservoir - drained
    overflow = np.maximum(reservoir - reservoir_capacity, 0.0)
    reservoir = reservoir - overflow

    # Exact over a day of even use at one rate; with an unlimited one the mix ends the day full.
    rate = wick_rate + wick_gain * reservoir
    share = -np.expm1(-rate)
    served = 1.0 - share / np.maximum(rate, 1e-6)
    lift = np.minimum((mix_capacity - mix) * share + demand * served, wick_limit)
    wicked = np.minimum(reservoir, lift)
    reservoir, mix = reservoir - wicked, mix + wicked
    use = np.minimum(_slowed(demand, mix, mix_capacity, slows_below), mix)
    mix = mix - use
    lost = np.minimum(reservoir, leak)
    flows = Flows(rain, use, demand, overflow, drained + lost, wicked)
    return Stores(reservoir - lost, mix), flows


def _slowed(demand: Input, mix: Values, mix_capacity: Input, slows_below: Input) -> Input:
    """Demand reduced in a drying mix, FAO-56 Eq. 84 in shape."""
    if isinstance(slows_below, float) and slows_below == 0.0:
        return demand
    return demand * np.minimum(mix / (mix_capacity * slows_below), 1.0)


def unaccounted(before: Stores, after: Stores, flows: Flows, top_up: Input = 0.0) -> Values:
    """Water that appeared or vanished over a day; zero to rounding. [L]"""
    change = (after.reservoir + after.mix) - (before.reservoir + before.mix)
    gained = flows.rain + top_up - flows.use - flows.overflow - flows.drained
    return np.asarray(change - gained)


def top_up_to_brim(reservoir: Input, reservoir_capacity: Input) -> Values:
    """Litres that fill the reservoir to its overflow, never more. [L]"""
    return np.asarray(np.maximum(reservoir_capacity - reservoir, 0.0))
