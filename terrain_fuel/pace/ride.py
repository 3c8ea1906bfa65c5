"""The ride along the measured road: how fast, how hard, how long."""

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.effort import intended_power
from terrain_fuel.pace.halts import usual_halting
from terrain_fuel.pace.limits import speed_limit
from terrain_fuel.pace.mapped_road import rolling_share, surface_top_m_s, waits_on
from terrain_fuel.pace.model import Pace
from terrain_fuel.pace.momentum import ride_spans
from terrain_fuel.pace.spans import lay_spans, span_grade
from terrain_fuel.pace.spread import time_spread
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain


def set_pace(terrain: Terrain, rider: Rider, day: Day) -> Pace:
    """Return how the road is ridden, without stops; see `with_stops`.

    Parameters
    ----------
    terrain : the measured road
    rider : mass, power, bicycle and habit downhill
    day : efforts, weather, wet or dry

    Returns
    -------
    Pace, its columns on the nodes of ``terrain.profile``

    Notes
    -----
    The power balance of [Ma98]_ with kinetic energy along the road; bends, habit and braking
    bound the speed, and so does the surface that a map knows. Where the power meant does not reach
    walking pace the rider walks, and ``power_w`` is what walking costs.
    """
    pedal_w = intended_power(terrain, span_grade(terrain.profile), rider, day)
    return _ride(terrain, pedal_w, rider, day)


def ride_with_power(terrain: Terrain, rider: Rider, day: Day, pedal_w: FloatArray) -> Pace:
    """Return how the road is ridden with a measured power for each span [W], shape (n - 1,)."""
    return _ride(terrain, pedal_w, rider, day, eases=False)


def _ride(terrain: Terrain, pedal_w: FloatArray, rider: Rider, day: Day, eases: bool = True) -> Pace:
    profile, road = terrain.profile, terrain.track.mapped
    rolling = rolling_share(profile.distance_m, road)
    spans = lay_spans(profile, rider, day, pedal_w, eases, rolling)
    limit = speed_limit(profile, rider, day, surface_top_m_s(profile.distance_m, road))
    ridden = ride_spans(spans, limit)
    power = np.append(ridden.wheel_w, ridden.wheel_w[-1]) / rider.bike.drivetrain_efficiency
    moving = np.concatenate(([0.0], np.cumsum(ridden.duration_s)))
    spread = time_spread(spans, ridden, profile.heading_deg[:-1])
    waits = waits_on(profile.distance_m, road)
    return Pace(
        terrain=terrain,
        speed_m_s=ridden.speed_m_s,
        power_w=power,
        effort=power / rider.ftp_w,
        moving_s=moving,
        clock_s=moving + waits.mean_s,
        limit_m_s=limit,
        own_sd_s=np.hypot(spread.windless, waits.sd_s),
        wind_sd_s=spread.wind,
        halt_share=usual_halting(rider, day),
        waiting_s=waits.mean_s,
    )
