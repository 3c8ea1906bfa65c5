"""How many places are looked at: as many as the rhythm asks for, fewer on days without end."""

import numpy as np
import pytest

from terrain_fuel.food.build import best_of_slots, candidate_nodes
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rider import Habits, Rider
from terrain_fuel.rules.book import weights_for
from tests.food.roads import Part, ride


def places_s(km: float, habits: Habits) -> tuple[FloatArray, float]:
    rider = Rider(habits=habits)
    road = ride([Part("flat", km)], rider).road
    return road.clock_s[candidate_nodes(road, weights_for(rider))], road.elapsed_s


def test_a_day_of_usual_length_has_a_place_every_two_minutes() -> None:
    clock_s, elapsed_s = places_s(300.0, Habits())  # 300 km at 8.5 m/s: 9.8 hours
    assert clock_s.size == pytest.approx(elapsed_s / 120.0, abs=10.0)


@pytest.mark.parametrize("habits", [Habits(), Habits(eat_every_min=5.0, longest_gap_min=120.0)])
def test_a_day_without_end_has_few_enough_places_and_a_few_within_every_gap(habits: Habits) -> None:
    clock_s, elapsed_s = places_s(1500.0, habits)  # 1500 km at 8.5 m/s: 49 hours
    longest_s = habits.longest_gap_min * 60.0
    assert np.diff(clock_s).max() < longest_s / 1.5
    assert clock_s.size * clock_s.size * longest_s / elapsed_s < 1.1 * 20_000
    assert clock_s.size * elapsed_s / 3600.0 * 100.0 < 1.1 * 2_500_000


def test_the_best_place_of_a_slot_is_its_cheapest_and_of_equals_the_first() -> None:
    rng = np.random.default_rng(20270619)
    clock_s = np.sort(rng.uniform(0.0, 3600.0, 300))
    cost = rng.choice(np.array([1.0, 2.0, np.inf]), 300)
    slots = [np.flatnonzero(clock_s // 60.0 == minute).tolist() for minute in range(60)]
    by_hand = [min(slot, key=lambda place: (cost[place], place)) for slot in slots if slot]
    assert best_of_slots(clock_s, cost, 60.0).tolist() == by_hand
    assert best_of_slots(clock_s[:0], cost[:0], 60.0).size == 0
