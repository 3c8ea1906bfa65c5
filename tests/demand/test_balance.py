"""Stores along the road with what was eaten."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.day import Day
from terrain_fuel.demand.balance import balance_fuel
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.demand.model import FuelBalance
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider
from tests.saying import say

MakePace = Callable[..., Pace]


def fasted(pace: Pace) -> FuelBalance:
    """Return the balance of a ride without food."""
    return balance_fuel(estimate_demand(pace, Rider(), Day()), Rider(), [], [])


def test_without_food_stores_fall_by_what_is_burned(make_pace: MakePace) -> None:
    pace = make_pace(0.65, hours=3.0)
    demand = estimate_demand(pace, Rider(), Day())
    balance = fasted(pace)
    assert_allclose(balance.glycogen_g, 450.0 - demand.carbohydrate_burned_g, atol=0.05)
    assert balance.absorbed_g[-1] == 0.0


def test_stores_last_about_two_hours_of_steady_riding(make_pace: MakePace) -> None:
    """Common practice (no source): about two hours without food before they run low."""
    (notice,) = fasted(make_pace(0.88, hours=4.0)).notices
    assert notice.code == "glycogen_low"
    km = float(say(notice).split("km ")[1].split(" ")[0])
    assert 1.75 <= km / 27.0 <= 2.5  # the made road is ridden at 27 km/h


def test_food_spares_stores_and_takes_its_time(make_pace: MakePace) -> None:
    pace = make_pace(0.7, hours=3.0)
    demand = estimate_demand(pace, Rider(), Day())
    bite_m = float(pace.distance_m[500])
    fed = balance_fuel(demand, Rider(), [bite_m], [40.0])
    gained = fed.glycogen_g - fasted(pace).glycogen_g
    assert np.all(gained[:500] == pytest.approx(0.0, abs=1e-6))
    assert gained[560] < 10.0  # five minutes later little has arrived
    assert_allclose(gained[-1], 40.0, rtol=0.05)
    assert_allclose(gained, fed.absorbed_g, atol=1e-6)


def test_the_bounds_widen_with_the_road(make_pace: MakePace) -> None:
    balance = fasted(make_pace(0.65, hours=3.0))
    width = balance.glycogen_high_g - balance.glycogen_low_g
    assert_allclose(balance.glycogen_g[0] - balance.glycogen_low_g[0], 0.15 * 450.0, atol=0.01)
    assert width[-1] > width[0] / 2
    assert balance.glycogen_g[-1] - balance.glycogen_low_g[-1] > 0.15 * 450.0


def test_the_lower_bound_warns_first(make_pace: MakePace) -> None:
    (notice,) = fasted(make_pace(0.65, hours=3.9)).notices
    assert notice.code == "glycogen_may_be_low"
    assert fasted(make_pace(0.6, hours=1.0)).notices == ()


def test_food_at_both_ends_counts(make_pace: MakePace) -> None:
    pace = make_pace(0.65, hours=2.0)
    demand = estimate_demand(pace, Rider(), Day())
    balance = balance_fuel(demand, Rider(), [0.0, float(pace.distance_m[-1])], [20.0, 20.0])
    assert 19.0 < balance.absorbed_g[-1] < 21.0


def test_the_bounds_by_hand(make_pace: MakePace) -> None:
    """15 % of 450 g at the start and the spread of what is burned are independent; no more than 517.5 g."""
    pace = make_pace(0.65, hours=3.0)
    demand = estimate_demand(pace, Rider(), Day())
    balance = fasted(pace)
    spread_g = np.hypot(67.5, demand.burned_spread * demand.carbohydrate_burned_g)
    left_g = 450.0 - demand.carbohydrate_burned_g
    assert_allclose(balance.glycogen_low_g, np.maximum(left_g - spread_g, 0.0), atol=0.1)
    assert_allclose(balance.glycogen_high_g, np.minimum(left_g + spread_g, 517.5), atol=0.1)
