"""When drink must feed because no bite comes in time, by sums done by hand."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.drink.feedings import feeding_times_s, over_gaps
from terrain_fuel.drink.hunger import Hunger, hunger_of
from terrain_fuel.facts import Fact
from terrain_fuel.food.model import Bite
from terrain_fuel.rules.road import Road
from tests.drink.accounts import bite, sip


def test_hunger_waits_for_the_bite_or_the_sip_that_comes_in_time() -> None:
    hunger = Hunger(1800.0, [1200.0, 5400.0])
    assert hunger.due_s(0.0, 9999.0) is None  # the bite at 20 min comes within 30
    assert hunger.due_s(1300.0, 2960.0) is None  # a sip 40 s before the gap is too long
    assert hunger.due_s(1300.0, 2980.0) == pytest.approx(1200.0 + 1800.0 - 30.0)
    assert hunger.wanted_g(1300.0, 2980.0) == pytest.approx(8.1)
    assert hunger.wanted_g(1300.0, 2960.0) == 0.0


@pytest.mark.parametrize(("bite_s", "due_s"), [(1830.0, None), (1831.0, 1770.0)])
def test_for_a_bite_half_a_minute_late_nothing_is_drunk(bite_s: float, due_s: float | None) -> None:
    assert Hunger(1800.0, [bite_s, 9000.0]).due_s(0.0, 5000.0) == due_s


def test_drink_that_brought_enough_counts_as_food() -> None:
    hunger = Hunger(1800.0, [9000.0])
    hunger.add(600.0, 3.0)
    assert hunger.missing_g == pytest.approx(5.1)
    assert hunger.fed_s == 0.0
    hunger.add(1500.0, 5.0)
    assert hunger.fed_s == 1500.0
    assert hunger.missing_g == pytest.approx(8.1)
    assert hunger.due_s(1500.0, 3400.0) == pytest.approx(1500.0 + 1800.0 - 30.0)


def test_a_bite_begins_the_count_of_drink_anew_and_the_end_is_no_bite() -> None:
    hunger = Hunger(1800.0, [1200.0, 5400.0])
    hunger.add(1000.0, 5.0)
    hunger.add(1300.0, 2.0)
    assert hunger.missing_g == pytest.approx(6.1)
    hunger.due_s(5500.0, 5600.0)
    assert hunger.fed_s == 1200.0


def test_drink_that_is_scarce_stretches_the_gaps_evenly() -> None:
    # from a bite at 10 min 7,400 s to the end, of which half a minute counts as none: four feedings keep half
    # an hour, three gaps of 41 min remain with two; 8.1 g are one
    for feedings, least_s, most_s in (
        (4, 1800.0, 1800.0),
        (3, 7370.0 / 4.0 + 180.0, 7370.0 / 4.0 + 240.0),  # three minutes to spare, by whole minutes
        (2, 7370.0 / 3.0 + 180.0, 7370.0 / 3.0 + 240.0),
    ):
        hunger = Hunger(1800.0, [600.0, 8000.0])
        hunger.share_out(8.1 * feedings, 8000.0, is_last=False)
        assert hunger.is_scarce == (feedings < 4)
        assert least_s <= hunger.gap_s <= most_s


def test_drink_feeds_where_no_bite_comes_within_the_gap() -> None:
    hunger = Hunger(1800.0, [1200.0, 5400.0, 9000.0])
    assert not hunger.is_fed_by_drink(1000.0)
    assert hunger.is_fed_by_drink(1300.0)
    assert not hunger.is_fed_by_drink(3700.0)
    assert hunger.is_fed_by_drink(7500.0)  # the end is no bite


def test_hunger_of_a_road_ends_with_its_last_moment_for_food(road: Road) -> None:
    hunger = hunger_of(road, [bite(1200.0), bite(2400.0)])
    assert hunger.bites_s == [1200.0, 2400.0, road.last_bite_s]
    assert hunger.longest_gap_s == road.longest_gap_s


def test_food_arrives_with_bites_and_with_the_sip_that_makes_eight_grams() -> None:
    sips = [sip(600.0, 60.0, 3.0), sip(1200.0, 100.0, 5.0), sip(2000.0, 80.0, 4.0), sip(3000.0, 80.0, 3.9)]
    assert feeding_times_s([bite(1800.0)], sips) == [1200.0, 1800.0]
    assert feeding_times_s([bite(1800.0)], [*sips, sip(3300.0, 10.0, 0.2)]) == [1200.0, 1800.0, 3300.0]
    assert feeding_times_s([bite(1800.0), bite(5400.0)], sips) == [1200.0, 1800.0, 5400.0]


def test_drink_feeds_as_it_is_written_to_a_milligram() -> None:
    """7.9965 g are written as 3.701 and 4.295, which make 7.996: no food yet; 4.2971 more would have been."""
    short = [sip(600.0, 60.0, 3.7014), sip(1200.0, 90.0, 4.2951), sip(1800.0, 60.0, 3.711)]
    assert feeding_times_s([], short) == [1800.0]
    enough = [sip(600.0, 60.0, 3.7014), sip(1200.0, 90.0, 4.2971)]
    assert feeding_times_s([], enough) == [1200.0]


def test_gaps_a_little_too_long_are_told_and_longer_ones_are_broken(road: Road) -> None:
    road = replace(road, longest_gap_s=1800.0)
    times_s = np.arange(1800.0, road.last_bite_s, 1800.0)

    def late(by_s: float) -> list[Bite]:
        return [bite(at_s + by_s * (at_s == 3600.0)) for at_s in times_s]

    violations, notices = over_gaps(late(90.0), [], road)
    assert violations == ()
    (notice,) = notices
    gap = notice.values["gap"]
    assert isinstance(gap, Fact)
    assert gap.values["gap_min"] == pytest.approx(31.5)
    assert gap.values["over_min"] == pytest.approx(1.5)
    violations, notices = over_gaps(late(180.0), [], road)
    (violation,) = violations
    assert notices == ()
    assert violation.amount == pytest.approx(3.0)
    metres = np.interp([1800.0, 3780.0], road.clock_s, road.distance_m)
    assert (violation.start_m, violation.end_m) == pytest.approx(tuple(metres))
    assert over_gaps(late(0.0), [], road) == ((), ())
    # drink between ends the gap
    assert over_gaps(late(180.0), [sip(2700.0, 100.0, 8.0)], road) == ((), ())
