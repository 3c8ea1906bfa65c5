"""A plan with what was learned: the settings changed for one day, and a line for each change."""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.demand.sweat import accumulate_sweat_ml
from terrain_fuel.facts import Fact, fact
from terrain_fuel.learn.proposals import drag_learned, halts_learned, learn_rider, level_learned, sweat_factor
from terrain_fuel.log.model import LoggedRide
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.track import Track

LEAST_ML_PER_H, MOST_ML_PER_H = 100.0, 3000.0
LEAST_EFFORT, MOST_EFFORT = 0.2, 1.2
LEAST_CDA_M2, MOST_CDA_M2 = 0.10, 1.20


def learned_settings(
    track: Track, rider: Rider, day: Day, log: Sequence[LoggedRide]
) -> tuple[Rider, Day, tuple[Fact, ...]]:
    """Return rider and day as the log knows them on this road, and what was changed.

    Parameters
    ----------
    track : the road: sweat is the model's on it, times what was learned at the day's temperature
    rider, day : the settings as they stand
    log : rides in order of their start
    """
    told: list[Fact] = []
    kept = {each.name for each in learn_rider(log, rider).learned}
    if "drag" in kept and (drag := drag_learned(log)) is not None:
        cda_m2 = float(np.clip(drag[0], LEAST_CDA_M2, MOST_CDA_M2))
        rider = replace(rider, bike=replace(rider.bike, cda_m2=cda_m2))
        told.append(fact("plan_drag", cda_m2=cda_m2, rides=drag[3]))
    if "level" in kept and (level := level_learned(log)) is not None:
        flat, climb = (
            float(np.clip(each * level[0], LEAST_EFFORT, MOST_EFFORT))
            for each in (day.effort_flat, day.effort_climb)
        )
        day = replace(day, effort_flat=flat, effort_climb=climb)
        told.append(fact("plan_level", flat=flat, climb=climb, rides=level[3]))
    if "halts" in kept and (halts := halts_learned(log)) is not None:
        rider = replace(rider, habits=replace(rider.habits, halting_min_per_h=halts[0]))
        told.append(fact("plan_halts", halting_min=halts[0], rides=halts[3]))
    if "sweat" in kept and (sweat := sweat_factor(log, day.temperature_c)) is not None:
        rate = _sweat_ml_per_h(track, rider, day) * sweat[0]
        rate = float(np.clip(rate, LEAST_ML_PER_H, MOST_ML_PER_H))
        rider = replace(rider, sweat_rate_ml_per_h=rate)
        share = math.expm1(sweat[1])
        told.append(fact("plan_sweat", rate_ml_per_h=rate, off_share=share, rides=sweat[2]))
    return rider, day, tuple(told)


def _sweat_ml_per_h(track: Track, rider: Rider, day: Day) -> float:
    """Return the model's mean sweat rate on a road [ml/h]."""
    pace = set_pace(measure_terrain(track), rider, day)
    sweat_ml = accumulate_sweat_ml(pace, replace(rider, sweat_rate_ml_per_h=None), day)
    return 3600.0 * float(sweat_ml[-1]) / pace.elapsed_s
