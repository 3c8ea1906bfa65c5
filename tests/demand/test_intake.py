"""How much to take in: by duration and effort, under the limit, leaning to the first half."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from terrain_fuel.day import Day, Purpose
from terrain_fuel.demand.intake import fills_hours, intake_curve_g, wanted_g_per_h
from terrain_fuel.demand.sugars import split_mix
from terrain_fuel.rider import Habits, Rider
from tests.usual import USUAL

HOUR_S = 3600.0
PLENTY_G = 5000.0


@pytest.mark.parametrize(
    ("hours", "least", "most"),
    [
        (0.7, 0.0, 0.0),
        (1.2, 0.0, 30.0),
        (1.75, 30.0, 60.0),
        (2.5, 30.0, 60.0),
        (3.0, 60.0, 90.0),
        (6, 75, 90),
    ],
)
def test_the_rate_lies_in_the_published_range(hours: float, least: float, most: float) -> None:
    """Ranges of [J14], and of [ACSM16] from memory: the knots of the model stand on their ends."""
    rider = Rider(carbohydrate_limit_g_per_h=90.0)
    assert least <= wanted_g_per_h(hours * HOUR_S, PLENTY_G, rider) <= most


@pytest.mark.parametrize(
    ("minutes", "g_per_h"),
    [(45, 0.0), (60, 10.0), (75, 20.0), (90, 30.0), (105, 40.0), (150, 60.0), (180, 75.0), (210, 90.0)],
)
def test_the_rate_grows_evenly_between_the_ends_of_the_advice(minutes: float, g_per_h: float) -> None:
    """[J14]: nothing to 45 min, little to 75, 30 from an hour and a half, 60 at 2.5 h, 90 from 3.5 h on."""
    rider = Rider(carbohydrate_limit_g_per_h=90.0)
    assert wanted_g_per_h(minutes * 60.0, PLENTY_G, rider) == pytest.approx(g_per_h)


@pytest.mark.parametrize(("hours", "burned_g", "g_per_h"), [(4.0, 200.0, 40.0), (2.0, 60.0, 24.0)])
def test_no_more_than_four_fifths_of_what_is_burned(hours: float, burned_g: float, g_per_h: float) -> None:
    assert wanted_g_per_h(hours * HOUR_S, burned_g, Rider()) == pytest.approx(g_per_h)


def test_an_easy_ride_asks_for_less_and_never_for_all_that_is_burned() -> None:
    easy, hard = (wanted_g_per_h(5 * HOUR_S, 5 * rate, Rider()) for rate in (50.0, 150.0))
    assert easy == pytest.approx(40.0)  # 80 % of 50
    assert hard == pytest.approx(75.0)  # the limit, whole: what sips and bites leave free is no wish


def test_body_mass_does_not_enter() -> None:
    """[J14] says so."""
    light, heavy = (wanted_g_per_h(4 * HOUR_S, 400.0, Rider(body_mass_kg=mass)) for mass in (50.0, 90.0))
    assert light == heavy


def test_more_than_90_needs_the_riders_word() -> None:
    """120 g/h was tried on trained elite riders only [Vi20]."""
    opted = Rider(carbohydrate_limit_g_per_h=120.0, limit_above_90=True)
    assert wanted_g_per_h(5 * HOUR_S, PLENTY_G, opted) == pytest.approx(120.0)
    assert wanted_g_per_h(5 * HOUR_S, PLENTY_G, Rider(carbohydrate_limit_g_per_h=90.0)) <= 90.0


def test_single_sugars_are_held_to_60() -> None:
    """The advice of [J14]; [Je04] finds 48 g/h of it burned."""
    assert wanted_g_per_h(5 * HOUR_S, PLENTY_G, Rider(mixed_sugars=False)) == pytest.approx(60.0)


def test_a_day_to_check_against() -> None:
    """Four and a half easy hours: common practice (no source)."""
    clock_s = np.linspace(0.0, 4.5 * HOUR_S, 4001)
    rate = wanted_g_per_h(4.5 * HOUR_S, 4.5 * 80.0, USUAL)
    curve = intake_curve_g(clock_s, rate, USUAL)
    assert curve[-1] == pytest.approx(4.5 * 64.0)  # 80 % of 80 g/h
    assert 0.5 <= curve[2000] / curve[-1] <= 0.6
    assert curve[clock_s <= 10 * 60.0].max() == 0.0
    assert curve[clock_s <= 30 * 60.0].max() < 25.0  # the first bite and the first drink
    assert curve[clock_s >= clock_s[-1] - 600.0].min() == pytest.approx(curve[-1])


@settings(deadline=None, derandomize=True, max_examples=150)
@given(
    hours=st.floats(0.02, 40.0),
    burned_rate=st.floats(0.0, 300.0),
    limit=st.floats(20.0, 120.0),
    first_food=st.floats(5.0, 120.0),
)
def test_the_curve_is_gentle_for_any_ride(
    hours: float, burned_rate: float, limit: float, first_food: float
) -> None:
    rider = Rider(
        carbohydrate_limit_g_per_h=limit, limit_above_90=True, habits=Habits(first_food_min=first_food)
    )
    clock_s = np.linspace(0.0, hours * HOUR_S, 3001)
    rate = wanted_g_per_h(hours * HOUR_S, burned_rate * hours, rider)
    curve = intake_curve_g(clock_s, rate, rider)
    steps = np.diff(curve)
    assert np.all(np.isfinite(curve))
    assert np.all(steps >= 0.0)
    assert curve[0] == 0.0
    # front-loading never lowers the total: it ends at what is wanted, or at 96 % of what the limit allows
    # between the start and the last ten minutes, all of it from 80 g/h on; a ride over before its first
    # food has none
    begins_min = max(0.0, first_food - 20.0)
    share = 1.0 if limit >= 80.0 else 0.96
    most = share * limit * (hours - 1.0 / 6.0) if 60.0 * hours - 10.0 > begins_min else 0.0
    assert curve[-1] == pytest.approx(min(rate * hours, most))
    assert curve[-1] <= burned_rate * hours
    steepest = steps.max() / (clock_s[1] - clock_s[0]) * HOUR_S
    assert steepest <= limit + 1e-6


def test_mixes_split_by_their_ratio() -> None:
    assert split_mix(90.0) == pytest.approx((60.0, 30.0))
    assert split_mix(90.0, (1.0, 0.8)) == pytest.approx((50.0, 40.0))


@pytest.mark.parametrize("hours", [1.0, 1.5, 3.0])
@pytest.mark.parametrize("first_food_min", [10.0, 30.0])
def test_the_curve_nowhere_rises_faster_than_the_gut_takes(hours: float, first_food_min: float) -> None:
    """Where much is wanted of a narrow gut, neither half of the ride is asked for more than it takes."""
    rider = Rider(carbohydrate_limit_g_per_h=30.0, habits=Habits(first_food_min=first_food_min))
    clock_s = np.linspace(0.0, 3600.0 * hours, 500)
    curve_g = intake_curve_g(clock_s, 60.0, rider)
    assert np.diff(curve_g).max() <= 30.0 / 3600.0 * clock_s[1] * (1.0 + 1e-9)
    assert curve_g[-1] > 0.0


@pytest.mark.parametrize(
    ("purpose", "limit_g_per_h", "share", "fills"),
    [
        ("race", 90.0, 0.91, True),
        ("race", 90.0, 0.89, False),
        ("race", 40.0, 0.91, True),
        ("race", 40.0, 0.89, False),
        ("training", 90.0, 0.95, False),
    ],
)
def test_a_race_fills_the_hours_from_nine_tenths_of_the_limit_on(
    purpose: Purpose, limit_g_per_h: float, share: float, fills: bool
) -> None:
    rider = Rider(carbohydrate_limit_g_per_h=limit_g_per_h)
    assert fills_hours(share * limit_g_per_h * 4.0, 4.0, rider, Day(purpose=purpose)) == fills


@pytest.mark.parametrize(
    ("first_food_min", "eat_every_min", "level_min"), [(30.0, 20.0, 10.0), (45.0, 15.0, 30.0)]
)
def test_the_curve_rises_from_one_step_before_the_first_food_to_ten_minutes_before_the_finish(
    first_food_min: float, eat_every_min: float, level_min: float
) -> None:
    rider = Rider(habits=Habits(first_food_min=first_food_min, eat_every_min=eat_every_min))
    clock_s = 60.0 * np.array([0.0, level_min - 1.0, level_min + 1.0, 228.0, 230.0, 240.0])
    curve_g = intake_curve_g(clock_s, 50.0, rider)
    assert curve_g[1] == 0.0 < curve_g[2]
    assert curve_g[3] < curve_g[4] == curve_g[5] == pytest.approx(200.0)
