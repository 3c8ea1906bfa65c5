"""What the body needs along the road, from the published models in the files beside this one."""

from dataclasses import replace

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.demand import (
    absorption,
    caffeine,
    carbohydrate,
    fluid,
    glycogen,
    heat,
    intake,
    sodium,
    sweat,
)
from terrain_fuel.demand.clock import accumulate_spans
from terrain_fuel.demand.model import Demand
from terrain_fuel.demand.notices import demand_notices
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider


def estimate_demand(pace: Pace, rider: Rider, day: Day) -> Demand:
    """Return what is burned, sweated and to be taken along the road.

    Parameters
    ----------
    pace : how the road is ridden
    rider, day : settings

    Returns
    -------
    Demand, with notices for the rider and the keys of the models used
    """
    burned_g = _burned_g(pace, rider)
    rate_g_per_h = intake.wanted_g_per_h(pace.elapsed_s, float(burned_g[-1]), rider)
    sweat_ml = sweat.accumulate_sweat_ml(pace, rider, day)
    weighed = rider.sweat_rate_ml_per_h is not None
    spread = sweat.MEASURED_SPREAD if weighed else sweat.MODELLED_SPREAD
    in_doubt_ml = fluid.most_in_doubt_ml(sweat_ml, spread, rider.body_mass_kg) - fluid.SHY_ML
    fluid_ml = np.minimum(fluid.fluid_curve_ml(pace.clock_s, sweat_ml), in_doubt_ml)
    caps = caffeine.caffeine_caps(rider)
    demand = Demand(
        pace=pace,
        carbohydrate_burned_g=burned_g,
        carbohydrate_wanted_g_per_h=rate_g_per_h,
        carbohydrate_target_g=intake.intake_curve_g(pace.clock_s, rate_g_per_h, rider),
        sweat_ml=sweat_ml,
        fluid_target_ml=fluid_ml,
        sodium_target_mg=sodium.sodium_curve_mg(fluid_ml, rider),
        caffeine_mg_max=caps.ride_mg,
        caffeine_mg_single=caps.single_mg,
        caffeine_spans_s=caffeine.caffeine_spans_s(pace),
        burned_spread=carbohydrate.BURNED_SPREAD,
        sweat_spread=spread,
        sources=_sources(weighed, caps.ride_mg > 0, rider.is_minor),
    )
    return replace(demand, notices=demand_notices(demand, rider, day))


def _burned_g(pace: Pace, rider: Rider) -> FloatArray:
    """Return carbohydrate burned since the start, shape (n,) [g]."""
    body = (rider.ftp_w, rider.gross_efficiency, rider.body_mass_kg)
    riding = carbohydrate.carbohydrate_g_per_h(pace.power_w[:-1], *body) / 3600.0
    halted = float(carbohydrate.carbohydrate_g_per_h(0.0, *body)) / 3600.0
    return accumulate_spans(pace, riding, halted)


def _sources(weighed: bool, caffeine_used: bool, is_minor: bool) -> tuple[str, ...]:
    """Return the keys of the models used, each once."""
    keys = (
        *carbohydrate.SOURCES,
        *intake.SOURCES,
        *absorption.SOURCES,
        *glycogen.SOURCES,
        *(sweat.SOURCES_MEASURED if weighed else sweat.SOURCES_MODELLED),
        *fluid.SOURCES,
        *sodium.SOURCES,
        *(caffeine.SOURCES if caffeine_used else ()),
        *heat.SOURCES,
        *(heat.YOUNG_SOURCES if is_minor else ()),
    )
    return tuple(dict.fromkeys(keys))
