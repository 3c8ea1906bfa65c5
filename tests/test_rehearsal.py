"""Rehearsal: what a training ride can try of a race, by sums done by hand."""

from dataclasses import replace

import pytest

from terrain_fuel.day import Day
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import FuelPoint, Plan
from terrain_fuel.planner import plan_ride
from terrain_fuel.rehearsal import rehearse
from terrain_fuel.rider import Rider
from tests.made_roads import Road, make_track
from tests.saying import say


@pytest.fixture(scope="module")
def ride() -> Plan:
    """A ride of about two and a half hours."""
    return plan_ride(make_track(Road(70.0, hilliness=0.02)), Rider(), Pantry(), Day())


def eating(plan: Plan, *doses: tuple[str, float, float]) -> Plan:
    """Return the plan with these points only: (item, minutes, carbohydrate)."""
    model = plan.fuel_points[0]
    points = tuple(
        replace(model, number=number, action="eat", item=item, time_s=60.0 * minutes, carbohydrate_g=grams)
        for number, (item, minutes, grams) in enumerate(doses, start=1)
    )
    return replace(plan, fuel_points=points)


def test_the_rate_is_what_is_rehearsed(ride: Plan) -> None:
    """The race takes 50 g of gel in its fullest hour (minutes 60, 100), the training 25 g."""
    race = eating(
        ride, ("plain gel", 60, 25), ("plain gel", 100, 25), ("plain gel", 200, 25), ("fig slice", 130, 15)
    )
    training = eating(ride, ("plain gel", 60, 25), ("plain gel", 130, 25), ("fig slice", 90, 15))
    gel, date = rehearse(training, race)
    assert (gel.outcome, gel.race_g_in_hour, gel.training_g_in_hour) == ("at a lower rate", 50.0, 25.0)
    assert (date.outcome, date.training_g_in_hour) == ("at the race's rate", 15.0)
    # All together: 50 g in the race's fullest hour; 25 + 15 = 40 g in the training's, from minute 60 or 90.
    assert gel.rehearsed_share == pytest.approx(40.0 / 50.0)


def test_what_is_not_in_the_pantry_cannot_be_tried(ride: Plan) -> None:
    (trial,) = rehearse(eating(ride, ("fig slice", 60, 15)), eating(ride, ("house gel", 60, 25)))
    assert trial.outcome == "not at hand"


def test_a_short_ride_tells_nothing(ride: Plan) -> None:
    short = replace(ride, totals=replace(ride.totals, elapsed_s=5400.0))
    (trial,) = rehearse(eating(short, ("fig slice", 60, 15)), eating(ride, ("fig slice", 60, 15)))
    assert trial.outcome == "too short a ride"


def test_every_product_of_a_real_race_is_judged(ride: Plan) -> None:
    race = plan_ride(make_track(Road(70.0, hilliness=0.02)), Rider(), Pantry(), Day(purpose="race"))
    trials = rehearse(ride, race)
    eaten = {point.item for point in race.fuel_points if point.carbohydrate_g > 0}
    assert {trial.item for trial in trials} == eaten
    assert all(say(trial.sentence).startswith(f"{trial.item}: ") for trial in trials)
    assert isinstance(ride.fuel_points[0], FuelPoint)
