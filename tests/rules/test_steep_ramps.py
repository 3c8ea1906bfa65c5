"""Steep slow ramps and the road between them, against every pair of places."""

from dataclasses import replace

import numpy as np

from terrain_fuel.rules.steep_ramps import between_ramps, is_ramp, ramp_from_s
from tests.food.roads import Part, ride

# Common practice (no source): steeper than 7 % and slower than 14 km/h every breath is wanted.
GRADES = (0.071, 0.0695, 0.055, 0.051, 0.05, 0.0, -0.029, -0.03, -0.031)
SPEEDS_M_S = (3.85, 3.9)


def test_a_ramp_is_steeper_than_seven_in_a_hundred_and_slower_than_fourteen_km_h() -> None:
    grade, speed_m_s = np.meshgrid(GRADES, SPEEDS_M_S)
    assert np.argwhere(is_ramp(grade, speed_m_s)).tolist() == [[0, 0]]


def test_between_ramps_breath_is_short_for_half_a_minute() -> None:
    """A place steeper than 5 % counts if a ramp lies within 30 s; its last easy place has -3 to 5 %."""
    rng = np.random.default_rng(5)
    ridden = ride([Part("flat", 12), Part("flat", 2, flagged=True), Part("flat", 6)])
    pace, veto = ridden.demand.pace, ridden.hands.veto
    count = pace.distance_m.size
    grade = rng.choice(GRADES, count, p=[0.15, 0.05, 0.2, 0.2, 0.05, 0.2, 0.05, 0.05, 0.05])
    profile = replace(pace.terrain.profile, grade=grade)
    speed_m_s = rng.choice(SPEEDS_M_S, count)
    pace = replace(pace, terrain=replace(pace.terrain, profile=profile), speed_m_s=speed_m_s)
    clock_s = pace.clock_s
    ramps_s = clock_s[(grade > 0.07) & (speed_m_s < 14.0 / 3.6)]
    between = [
        slope > 0.05 and np.abs(ramps_s - at_s).min() <= 30.0
        for slope, at_s in zip(grade, clock_s, strict=True)
    ]
    assert 0 < sum(between) < (grade > 0.05).sum()
    np.testing.assert_array_equal(between_ramps(pace), between)
    easy = (grade > -0.03) & (grade <= 0.05) & ~veto
    last_s = [max(clock_s[: node + 1][easy[: node + 1]], default=-np.inf) for node in range(count)]
    ramp = (grade > 0.07) & (speed_m_s < 14.0 / 3.6)
    due_s = np.where(ramp | between, last_s, -np.inf)
    np.testing.assert_array_equal(ramp_from_s(pace, ridden.hands, np.array(between)), due_s)
    assert veto.any()
