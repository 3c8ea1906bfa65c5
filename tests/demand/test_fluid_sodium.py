"""Drink and salt: never more than is lost."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from numpy.testing import assert_allclose

from terrain_fuel.day import Day
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.demand.fluid import fluid_curve_ml, most_in_doubt_ml
from terrain_fuel.demand.sodium import sodium_curve_mg
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider


@settings(deadline=None, derandomize=True, max_examples=100)
@given(rates=arrays(np.float64, 60, elements=st.floats(0.0, 4000.0)), step_s=st.floats(1.0, 3600.0))
def test_drink_never_passes_sweat_nor_the_stomach(rates: FloatArray, step_s: float) -> None:
    clock_s: FloatArray = step_s * np.arange(61.0)
    sweat_ml: FloatArray = np.concatenate([[0.0], np.cumsum(rates * step_s / 3600.0)])
    drink_ml = fluid_curve_ml(clock_s, sweat_ml)
    assert np.all(drink_ml <= sweat_ml + 1e-9)
    assert np.all(np.diff(drink_ml) >= 0)
    assert np.all(np.diff(drink_ml) <= 1000.0 * step_s / 3600.0)  # a litre an hour: textbook (from memory)


def test_an_ordinary_ride_stays_within_two_per_cent() -> None:
    """The 2 % of mass are [ACSM07]'s; the curve is made to keep to them."""
    clock_s = np.linspace(0.0, 5 * 3600.0, 601)
    sweat_ml = clock_s / 3600.0 * 1000.0
    lost_kg = (sweat_ml - fluid_curve_ml(clock_s, sweat_ml))[-1] / 1000.0
    assert lost_kg <= 0.02 * 70.0


def test_what_may_be_drunk_in_doubt_by_hand() -> None:
    """70 kg: 70 % of what is thought to be sweated and half a litre, or all of it but 1.4 kg."""
    by_hand_ml = [500.0, 0.7 * 2000.0 + 500.0, 0.7 * 6000.0 + 500.0, 8000.0 - 1400.0]
    assert_allclose(most_in_doubt_ml(np.array([0.0, 2000.0, 6000.0, 8000.0]), 0.3, 70.0), by_hand_ml)


@pytest.mark.source(
    "Ba19", "abstract: endurance athletes lose 51.7 +- 27.8 mmol/h of sodium in 1.28 +- 0.57 l/h"
)
def test_a_hard_warm_ride_costs_as_much_sodium_as_athletes_lose(make_pace: Callable[..., Pace]) -> None:
    """The default strength is the mean of [Ba16], 35.9 mmol/l."""
    sweat_ml = estimate_demand(make_pace(0.8), Rider(), Day(temperature_c=25.0)).sweat_ml
    sweat_l_per_h = float(sweat_ml[-1]) / 1000.0 / 4.5
    assert abs(sweat_l_per_h - 1.28) < 0.57
    assert abs(sweat_l_per_h * Rider().sweat_sodium_mmol_per_l - 51.7) < 27.8


def test_sodium_follows_the_drink_but_never_beyond_the_sweat() -> None:
    """0.5 to 0.7 g a litre: [ACSM96], from memory."""
    drunk_ml = np.array([0.0, 1000.0])
    assert 500.0 <= sodium_curve_mg(drunk_ml, Rider())[-1] <= 700.0
    weak = Rider(sweat_sodium_mmol_per_l=10.0)
    assert_allclose(sodium_curve_mg(drunk_ml, weak)[-1], 229.9)
