"""What is told of wet cold, wind, heights, age and a ride without food: on one side of each edge alone."""

from typing import Any

import pytest

from terrain_fuel.day import Day
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.rider import Habits, Rider
from tests.demand.conftest import MakePace

WANTS_NONE = Habits(carbohydrate_target_g_per_h=0.0)

EITHER_SIDE: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "soaked": (
        {"day": Day(temperature_c=10.0, surface_wet=True)},
        {"day": Day(temperature_c=10.5, surface_wet=True)},
    ),
    # 700 m up it is 4.55 degrees colder
    "soaked on top": (
        {"day": Day(temperature_c=14.5, surface_wet=True), "height_m": [400.0] * 1000 + [1100.0] * 1001},
        {"day": Day(temperature_c=14.6, surface_wet=True), "height_m": [400.0] * 1000 + [1100.0] * 1001},
    ),
    "soaked, dry": (
        {"day": Day(temperature_c=8.0, surface_wet=True)},
        {"day": Day(temperature_c=8.0)},
    ),
    "strong_wind": ({"day": Day(wind_m_s=10.8)}, {"day": Day(wind_m_s=10.7)}),
    "strong_wind, gusts known": (
        {"day": Day(wind_m_s=12.0)},
        {"day": Day(wind_m_s=12.0, gusts_m_s=15.0)},
    ),
    "strong_wind, a day not to ride": ({"day": Day(wind_m_s=13.8)}, {"day": Day(wind_m_s=13.9)}),
    "thin_air": ({"height_m": 2501.0}, {"height_m": 2500.0}),
    "older": ({"rider": Rider(age_y=65.0)}, {"rider": Rider(age_y=64.9)}),
    "nothing_wanted": (
        {"rider": Rider(habits=WANTS_NONE), "hours": 1.6},
        {"rider": Rider(habits=WANTS_NONE), "hours": 1.5},
    ),
    "short_ride": (
        {"rider": Rider(habits=WANTS_NONE), "hours": 1.5},
        {"rider": Rider(habits=WANTS_NONE), "hours": 1.6},
    ),
    "nothing_wanted, of its own": (
        {"rider": Rider(habits=WANTS_NONE), "hours": 4.0},
        {"rider": Rider(), "hours": 4.0},
    ),
}


def told(
    make_pace: MakePace, rider: Rider | None = None, day: Day | None = None, **road: Any
) -> dict[str, Any]:
    """Return what a rider is told of a road, by code."""
    demand = estimate_demand(make_pace(**road), rider or Rider(), day or Day())
    return {notice.code: notice for notice in demand.notices}


@pytest.mark.parametrize("name", EITHER_SIDE)
def test_it_is_told_on_one_side_and_not_on_the_other(name: str, make_pace: MakePace) -> None:
    this, other = EITHER_SIDE[name]
    code = name.split(",")[0].removesuffix(" on top")
    assert code in told(make_pace, **this)
    assert code not in told(make_pace, **other)


@pytest.mark.parametrize(("age_y", "code"), [(17.9, "long_for_the_young"), (91.9, "older")])
def test_an_age_is_the_last_birthdays(age_y: float, code: str, make_pace: MakePace) -> None:
    """At 17.9 nobody is 18, where the sentence beside it is for those under it."""
    notice = told(make_pace, rider=Rider(age_y=age_y), hours=6.0)[code]
    assert dict(notice.values)["age_y"] == int(age_y)
