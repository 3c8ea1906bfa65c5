"""How far from its place a sip may be taken."""

import numpy as np
import pytest

from terrain_fuel.demand.model import Demand
from terrain_fuel.drink.sip_places import SipPlace
from terrain_fuel.drink.windows import sip_window_m
from terrain_fuel.facts import NOTHING
from terrain_fuel.flags.model import Caution
from terrain_fuel.hands.score import score_hands
from tests.drink.accounts import DAY, bite
from tests.usual import USUAL


def test_a_sip_may_be_taken_a_minute_and_a_half_either_way_on_open_road(demand: Demand) -> None:
    pace = demand.pace
    flags = (Caution("tunnel", 40_500.0, 41_000.0, True, NOTHING),)
    hands = score_hands(pace, flags, USUAL, DAY)
    road_m, at_s = pace.distance_m, pace.clock_at(60_000.0)
    low_m, high_m = np.interp([at_s - 90.0, at_s + 90.0], pace.clock_s, road_m)
    found = sip_window_m(pace, hands, SipPlace(60_000.0, at_s, "steady"))
    assert found == pytest.approx((low_m, high_m))
    # with a bite never before it
    found = sip_window_m(pace, hands, SipPlace(60_000.0, at_s, "bite", bite(at_s, at_m=60_000.0)))
    assert found == pytest.approx((60_000.0, high_m))
    # beside a tunnel to the last open node, which lies well before it
    shut = road_m[hands.veto & (road_m > 39_000.0) & (road_m < 42_000.0)]
    before_m, after_m = float(shut[0]) - 100.0, float(shut[-1]) + 100.0
    found = sip_window_m(pace, hands, SipPlace(before_m, pace.clock_at(before_m), "steady"))
    assert found[1] == float(road_m[np.searchsorted(road_m, shut[0]) - 1])
    found = sip_window_m(pace, hands, SipPlace(after_m, pace.clock_at(after_m), "steady"))
    assert found[0] == float(road_m[np.searchsorted(road_m, shut[-1]) + 1])
