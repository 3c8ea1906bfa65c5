"""A road for the tests of the accounts."""

import numpy as np
import pytest

from terrain_fuel.demand.model import Demand
from terrain_fuel.flags.find import find_cautions
from terrain_fuel.hands.score import score_hands
from terrain_fuel.rules.road import Road, survey_road
from tests.drink.accounts import DAY
from tests.made_rides import made_demand
from tests.made_roads import Road as MadeRoad
from tests.usual import USUAL


@pytest.fixture(scope="module")
def demand() -> Demand:
    """100 flat kilometres in about three and a half hours."""
    return made_demand(MadeRoad(100.0, hilliness=0.0, bends=0.0))


@pytest.fixture(scope="module")
def road(demand: Demand) -> Road:
    """The same as the rules see it."""
    hands = score_hands(demand.pace, find_cautions(demand.pace, USUAL, DAY), USUAL, DAY)
    return survey_road(demand, hands, np.zeros(demand.pace.clock_s.size), USUAL, DAY)
