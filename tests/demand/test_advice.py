"""Which standing cautions belong to which ride."""

from collections.abc import Callable

import pytest

from terrain_fuel.day import Day
from terrain_fuel.demand.advice import standing_advice
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider

GENERAL = {"not_medical", "illness", "allergy", "thirst", "hands", "choking", "law", "litter", "eating"}


@pytest.mark.parametrize(
    ("hours", "temperature_c", "caffeine_mg", "more"),
    [
        (1.95, 18.0, 0.0, set()),
        (2.05, 18.0, 0.0, {"bonk"}),
        (3.95, 24.9, 0.0, {"bonk"}),
        (4.05, 25.1, 0.0, {"bonk", "salt", "heat"}),
        (1.95, 5.1, 50.0, {"caffeine"}),
        (1.95, 4.9, 0.0, {"cold_hands"}),
    ],
)
def test_general_cautions_always_others_for_the_ride_they_belong_to(
    make_pace: Callable[..., Pace], hours: float, temperature_c: float, caffeine_mg: float, more: set[str]
) -> None:
    day = Day(temperature_c=temperature_c)
    demand = estimate_demand(make_pace(0.6, hours=hours), Rider(), day)
    told = [notice.code for notice in standing_advice(demand, day, caffeine_mg)]
    assert set(told) == GENERAL | more
    assert set(told[: len(GENERAL)]) == GENERAL
