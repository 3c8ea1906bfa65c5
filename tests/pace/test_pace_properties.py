"""What holds for every rider on every road."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Bike, Rider
from tests.exact_roads import exact_terrain
from tests.integrated_ride import Case, braked_share

GRAIN = 1e-6
"""Share by which the last digits of two rides may differ."""

SPAN_GRAIN = 1e-4
"""The same where riders come to a walk inside a span of 10 m: where in it is not resolved, worth a few
hundredths of a second of an hour (2e-5 was the worst of some thousand heavy, weak riders)."""

examples = settings(deadline=None, derandomize=True, max_examples=60)


@st.composite
def riders(draw: st.DrawFn) -> Rider:
    """Return any legal rider."""
    bike = Bike(
        bike_mass_kg=draw(st.floats(3.0, 40.0)),
        carried_mass_kg=draw(st.floats(0.0, 60.0)),
        cda_m2=draw(st.floats(0.10, 1.20)),
        crr=draw(st.floats(0.001, 0.05)),
        drivetrain_efficiency=draw(st.floats(0.80, 1.0)),
        drafting_share=draw(st.floats(0.0, 0.95)),
    )
    return Rider(
        body_mass_kg=draw(st.floats(30.0, 200.0)),
        ftp_w=draw(st.floats(50.0, 600.0)),
        descending=draw(st.sampled_from(("cautious", "steady", "practised"))),
        bike=bike,
    )


@st.composite
def days(draw: st.DrawFn) -> Day:
    """Return any legal day."""
    return Day(
        temperature_c=draw(st.floats(-20.0, 45.0)),
        humidity_pct=draw(st.floats(0.0, 100.0)),
        wind_m_s=draw(st.floats(0.0, 30.0)),
        wind_from_deg=draw(st.floats(0.0, 360.0)),
        effort_flat=draw(st.floats(0.2, 1.2)),
        effort_climb=draw(st.floats(0.2, 1.2)),
        surface_wet=draw(st.booleans()),
    )


grades = st.lists(st.floats(-0.30, 0.30), min_size=1, max_size=60).map(np.array)


def hills(seed: int, steepest: float) -> FloatArray:
    """Return smooth random grades over 4 km."""
    rng = np.random.default_rng(seed)
    return np.asarray(steepest * np.interp(np.arange(400), np.arange(0, 401, 25), rng.uniform(-1, 1, 17)))


@examples
@given(rider=riders(), day=days(), grade=grades, repeat=st.integers(1, 20), seed=st.integers(0, 99))
def test_everything_is_finite_for_any_legal_rider(
    rider: Rider, day: Day, grade: FloatArray, repeat: int, seed: int
) -> None:
    spans = np.repeat(grade, repeat)
    rng = np.random.default_rng(seed)
    radius = rng.choice([np.inf, np.nan, 6.0, 40.0], spans.size + 1)
    terrain = exact_terrain(spans, heading_deg=rng.uniform(0, 360), radius_m=radius, start_elevation_m=500.0)
    pace = set_pace(terrain, rider, day)
    for column in (pace.speed_m_s, pace.power_w, pace.effort, pace.moving_s, pace.clock_s, pace.limit_m_s):
        assert np.all(np.isfinite(column))
    assert np.all(np.diff(pace.moving_s) > 0.0)
    assert np.all(pace.speed_m_s >= 1.0 * (1.0 - GRAIN))
    assert np.all(pace.speed_m_s <= pace.limit_m_s * (1.0 + GRAIN))
    assert np.all(pace.power_w >= 0.0)
    # all doubts together stay far below the time itself, wherever on the road
    assert np.all(np.hypot(pace.own_sd_s, pace.wind_sd_s)[1:] > 0.0)
    assert np.all(pace.own_sd_s <= 0.5 * pace.moving_s)


@examples
@given(seed=st.integers(0, 9999), ftp_w=st.floats(100.0, 400.0), wind=st.floats(0.0, 15.0))
def test_energy_balances_on_walls_and_drops(seed: int, ftp_w: float, wind: float) -> None:
    grade = np.repeat(np.random.default_rng(seed).uniform(-0.25, 0.25, 40), 8)
    day = Day(wind_m_s=wind, wind_from_deg=30.0)
    case = Case("violent", exact_terrain(grade, start_elevation_m=900.0), replace(Rider(), ftp_w=ftp_w), day)
    pace = set_pace(case.terrain, case.rider, day)
    braked = braked_share(pace, case)
    at_limit = pace.speed_m_s >= pace.limit_m_s - 1e-9
    # the air's part is reckoned at each span's mean speed, which on a wall is not its mean force
    assert_allclose(braked[~(at_limit[1:] | at_limit[:-1])], 0.0, atol=0.03)
    assert np.all(braked >= -0.003)


@examples
@given(rider=riders(), day=days(), seed=st.integers(0, 999), more=st.floats(1.0, 1.5))
@example(
    rider=Rider(
        body_mass_kg=196.0,
        ftp_w=50.0,
        bike=Bike(
            bike_mass_kg=3.0, carried_mass_kg=57.0, cda_m2=0.25, crr=0.03125, drivetrain_efficiency=0.8125
        ),
    ),
    day=Day(temperature_c=1.0, humidity_pct=0.0, effort_flat=0.25, effort_climb=0.625),
    seed=0,
    more=1.25,
)
def test_more_power_is_never_slower(rider: Rider, day: Day, seed: int, more: float) -> None:
    terrain = exact_terrain(hills(seed, 0.10), start_elevation_m=500.0)
    weaker = replace(rider, ftp_w=min(rider.ftp_w, 400.0))
    stronger = replace(weaker, ftp_w=weaker.ftp_w * more)
    slow, fast = set_pace(terrain, weaker, day), set_pace(terrain, stronger, day)
    assert fast.moving_time_s <= slow.moving_time_s * (1.0 + SPAN_GRAIN)


@examples
@given(rider=riders(), day=days(), grade=st.floats(0.0, 0.20), more=st.floats(0.0, 50.0))
def test_more_mass_is_never_faster_uphill(rider: Rider, day: Day, grade: float, more: float) -> None:
    terrain = exact_terrain(np.full(200, grade))
    lighter = replace(rider, body_mass_kg=min(rider.body_mass_kg, 150.0))
    heavier = replace(lighter, body_mass_kg=lighter.body_mass_kg + more)
    light, heavy = set_pace(terrain, lighter, day), set_pace(terrain, heavier, day)
    assert heavy.moving_time_s >= light.moving_time_s * (1.0 - GRAIN)


@examples
@given(rider=riders(), wind=st.floats(0.5, 30.0), effort=st.floats(0.2, 1.2))
def test_headwind_out_and_tailwind_back_is_slower_than_calm(rider: Rider, wind: float, effort: float) -> None:
    heading = np.where(np.arange(401) < 200, 0.0, 180.0)
    terrain = exact_terrain(np.zeros(400), heading_deg=heading)
    calm = Day(effort_flat=effort, effort_climb=effort)
    windy = replace(calm, wind_m_s=wind, wind_from_deg=0.0)
    there_and_back, in_calm = (set_pace(terrain, rider, day) for day in (windy, calm))
    assume(not there_and_back.walking.any())  # on foot no wind slows this model down
    assert there_and_back.moving_time_s >= in_calm.moving_time_s * (1.0 - GRAIN)
    if np.all(in_calm.speed_m_s < in_calm.limit_m_s):  # where the top speed rules both they are equal
        assert there_and_back.moving_time_s > in_calm.moving_time_s


@pytest.mark.parametrize("habits", [("cautious", "steady"), ("steady", "practised")])
def test_a_bolder_habit_is_faster_downhill(habits: tuple[str, str]) -> None:
    radius = np.where(np.arange(401) % 40 < 3, 12.0, np.inf)
    terrain = exact_terrain(np.full(400, -0.07), radius_m=radius, start_elevation_m=900.0)
    slower, faster = (set_pace(terrain, replace(Rider(), descending=habit), Day()) for habit in habits)
    assert faster.moving_time_s < slower.moving_time_s
