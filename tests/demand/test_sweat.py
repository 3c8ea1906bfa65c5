"""Sweat: published equations by their rows, the heat balance, and the measured rate first."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from terrain_fuel.day import Day
from terrain_fuel.demand.body import body_heat_w, body_surface_m2
from terrain_fuel.demand.heat_balance import (
    EVAPORATION_WH_PER_G,
    SUN_W_PER_M2,
    balance_heat,
    clothing_in_wind,
    required_sweat_g_per_h_m2,
    vapour_pressure_kpa,
)
from terrain_fuel.demand.sweat import accumulate_sweat_ml
from terrain_fuel.demand.sweat_equations import (
    corrected_g_per_h_m2,
    gonzalez_g_per_h_m2,
    shapiro_g_per_h_m2,
)
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider

# Ereq, Emax, then the three equations, computed from [G09]
ROWS = np.array(
    [
        [300.0, 300.0, 624.65, 311.07, 344.10],
        [250.0, 400.0, 456.67, 254.28, 180.75],
        [400.0, 200.0, 1001.60, 489.00, 583.80],
        [236.1, 719.5, 330.18, 218.47, -118.44],
    ]
)


@pytest.mark.source("G09", "equations and coefficients; rows computed")
def test_the_marching_equations() -> None:
    required, possible, shapiro, corrected, gonzalez = ROWS.T
    assert_allclose(shapiro_g_per_h_m2(required, possible), shapiro, atol=0.006)
    assert_allclose(corrected_g_per_h_m2(required, possible), corrected, atol=0.006)
    assert_allclose(gonzalez_g_per_h_m2(required, possible), gonzalez, atol=0.006)


@pytest.mark.source("G09", "the last row lies outside the wind domain")
def test_our_balance_stays_positive_where_the_equation_turns_negative() -> None:
    sweat = required_sweat_g_per_h_m2(ROWS[:, 0], ROWS[:, 1])
    assert gonzalez_g_per_h_m2(*ROWS[3, :2]) < 0 < sweat[3]


@pytest.mark.source("DB16", "0.007184 W^0.425 H^0.725; rows computed")
@pytest.mark.parametrize(
    ("mass_kg", "height_m", "surface_m2"), [(70, 1.75, 1.8481), (75, 1.80, 1.9424), (60, 1.68, 1.6805)]
)
def test_body_surface(mass_kg: float, height_m: float, surface_m2: float) -> None:
    assert_allclose(body_surface_m2(mass_kg, height_m), surface_m2, atol=0.00006)
    if mass_kg == 75:
        assert_allclose(344.1 * surface_m2 / 1000.0, 0.668, atol=0.0005)  # g/h m2 to l/h


@pytest.mark.source("ISO7933", "efficiency 1 - w^2/2, then (2 - w)^2/2; 0.673 W h a gram, from memory")
def test_required_sweat_by_hand() -> None:
    # w = .5: r = .875, 200/.875/.673 = 339.6; w = 1: r = .5; w = 1.5: r = .125
    sweat = required_sweat_g_per_h_m2([200.0, 400.0, 600.0, -50.0], 400.0)
    assert_allclose(sweat, [339.63, 1188.71, 7132.24, 0.0], atol=0.01)


@pytest.mark.source("ISO7933", "dynamic clothing at 3 m/s; steps shown")
def test_riding_kit_in_the_wind_by_hand() -> None:
    # clo .4: area 1.12; still .062 + .111/1.12 = .1611; cloth factor 1.044 e^(-.6 - .2185) = .4605;
    # air factor e^(-.993 - .1821) = .3088; together (.2 x .3088 + .4 x .4605)/.6 = .4099;
    # total .06604; heat .06604 - .111 x .3088/1.12 = .03544; permeability .38 x 2.672 = 1.015 -> .9;
    # vapour .06604/.9/16.7 = .004394
    heat, vapour = clothing_in_wind(0.4)
    assert_allclose(heat, 0.03544, atol=0.00002)
    assert_allclose(vapour, 0.004394, atol=0.000005)


def test_vapour_pressure_at_the_boiling_and_freezing_points() -> None:
    # 0.611 kPa at 0 and 4.24 at 30 degrees C: steam tables, textbook (from memory)
    assert_allclose(vapour_pressure_kpa([0.0, 30.0]), [0.611, 4.243], rtol=0.002)


@pytest.mark.source("He07", "skin of cyclists 27.7 at 15.6 and 33.4 at 35.5 degrees C")
def test_the_skin_is_as_measured_on_cyclists() -> None:
    # vapour on the skin is saturated at its temperature, which the balance does not show otherwise
    possible = balance_heat(0.0, 0.0, 5.0, np.array([15.6, 35.5]), 0.0).possible
    assert_allclose(possible * clothing_in_wind()[1], vapour_pressure_kpa([27.7, 33.4]), rtol=1e-9)


@pytest.mark.source("ACSM07", "predicted sweat of runners of 50, 70, 90 kg at 8.5 and 15 km/h, from memory")
@pytest.mark.parametrize(
    ("mass_kg", "height_m", "km_per_h", "cool_and_warm_l_per_h"),
    [(50, 1.60, 8.5, (0.43, 0.53)), (50, 1.60, 15, (0.86, 0.96)), (70, 1.75, 8.5, (0.65, 0.79)),
     (70, 1.75, 15, (1.25, 1.38)), (90, 1.85, 8.5, (0.86, 1.04)), (90, 1.85, 15, (1.64, 1.80))],
)  # fmt: skip
def test_the_balance_agrees_with_another_model_on_runners(
    mass_kg: float, height_m: float, km_per_h: float, cool_and_warm_l_per_h: tuple[float, float]
) -> None:
    """The other model is for running: the balance is given a runner's airflow, no sun, and nothing drips."""
    surface_m2 = body_surface_m2(mass_kg, height_m)
    # running costs about 1 kcal a kilogram and kilometre: textbook (from memory)
    turnover = mass_kg * km_per_h * 4184.0 / 3600.0 / surface_m2
    required = balance_heat(turnover, 0.0, km_per_h / 3.6, np.array([18.0, 28.0]), 50.0).required
    sweat_l_per_h = (required - SUN_W_PER_M2) / EVAPORATION_WH_PER_G * surface_m2 / 1000.0
    # 15 %: a figure of two digits for people of whom only the mass is known
    assert_allclose(sweat_l_per_h.mean(), np.mean(cool_and_warm_l_per_h), rtol=0.15)


def test_a_measured_rate_comes_first_and_its_mean_is_kept(make_pace: Callable[..., Pace]) -> None:
    effort = np.where(np.arange(2001) % 500 < 250, 0.9, 0.3)
    pace = make_pace(effort, hours=4.0)
    sweat = accumulate_sweat_ml(pace, Rider(sweat_rate_ml_per_h=800.0), Day(temperature_c=35.0))
    assert_allclose(sweat[-1], 3200.0, rtol=1e-9)
    assert sweat[250] - sweat[0] < sweat[750] - sweat[500]  # it starts cold
    late, later = sweat[1250] - sweat[1000], sweat[1500] - sweat[1250]
    assert late > 1.5 * later  # the hard half hour against the easy one


@pytest.mark.source("ISO7933", "breath 0.00127 M (59.34 + 0.53 T - 11.63 p), counted as water lost")
def test_breath_by_hand() -> None:
    # 400 W/m2 in dry air of 20 degrees: .00127 x 400 x (59.34 + 10.6) = 35.53 W/m2
    assert_allclose(balance_heat(400.0, 80.0, 5.0, 20.0, 0.0).breath, 35.53, atol=0.005)


def test_more_heat_means_more_sweat(make_pace: Callable[..., Pace]) -> None:
    pace = make_pace(0.7)
    by_air = [accumulate_sweat_ml(pace, Rider(), Day(temperature_c=t))[-1] for t in (5, 15, 20, 25, 30)]
    assert np.all(np.diff(by_air) > 0)
    harder = accumulate_sweat_ml(make_pace(0.8), Rider(), Day())[-1]
    assert harder > accumulate_sweat_ml(pace, Rider(), Day())[-1]


@pytest.mark.source("Ba16", "0.26 to 5.73 l/h over all sports; mean 1.21 +- 0.68")
def test_a_temperate_ride_sweats_what_people_sweat(make_pace: Callable[..., Pace]) -> None:
    rate = accumulate_sweat_ml(make_pace(0.7), Rider(), Day(temperature_c=20.0))[-1] / 4.5
    assert 1210.0 - 680.0 <= rate <= 1210.0 + 680.0


def test_a_headwind_cools_more_than_a_tailwind(make_pace: Callable[..., Pace]) -> None:
    pace = make_pace(0.7)  # ridden northwards
    head, calm, tail = (
        accumulate_sweat_ml(pace, Rider(), Day(wind_m_s=wind, wind_from_deg=from_deg))[-1]
        for wind, from_deg in ((4.0, 0.0), (0.0, 0.0), (4.0, 180.0))
    )
    assert head < calm < tail


@pytest.mark.source("ISA", "6.5 degrees a kilometre of height")
def test_high_road_is_cooler(make_pace: Callable[..., Pace]) -> None:
    level = accumulate_sweat_ml(make_pace(0.7), Rider(), Day(temperature_c=30.0))
    pass_road = make_pace(0.7, height_m=np.concatenate([[0.0], np.full(2000, 1000.0)]))
    high = accumulate_sweat_ml(pass_road, Rider(), Day(temperature_c=30.0))
    as_cool = accumulate_sweat_ml(make_pace(0.7), Rider(), Day(temperature_c=23.5))
    assert high[-1] < 0.85 * level[-1]
    assert_allclose(high[-1], as_cool[-1], rtol=0.01)


def test_halting_cools_and_counts(make_pace: Callable[..., Pace]) -> None:
    ridden = accumulate_sweat_ml(make_pace(0.7), Rider(), Day())[-1]
    halted = accumulate_sweat_ml(make_pace(0.7, halt_s=1800.0), Rider(), Day())[-1]
    assert ridden < halted < ridden + 0.5 * 600.0


@settings(deadline=None, derandomize=True, max_examples=60)
@given(
    effort=st.floats(0.0, 1.2),
    temperature=st.floats(-20.0, 45.0),
    humidity=st.floats(0.0, 100.0),
    wind=st.floats(0.0, 30.0),
    mass=st.floats(30.0, 200.0),
)
def test_sweat_is_finite_and_bounded_for_any_day(
    make_pace: Callable[..., Pace],
    effort: float,
    temperature: float,
    humidity: float,
    wind: float,
    mass: float,
) -> None:
    day = Day(temperature_c=temperature, humidity_pct=humidity, wind_m_s=wind, wind_from_deg=40.0)
    sweat = accumulate_sweat_ml(make_pace(effort, hours=2.0, nodes=301), Rider(body_mass_kg=mass), day)
    assert np.all(np.isfinite(sweat))
    assert np.all(np.diff(sweat) > 0)
    assert 2.0 * 300.0 - 1e-6 <= sweat[-1] <= 2.0 * 2000.0 + 1e-6


def test_heat_is_turnover_less_work() -> None:
    # 200 W at 0.20: 1000 W turned over, 800 W of heat
    assert_allclose(body_heat_w(200.0, Rider()), 800.0)
