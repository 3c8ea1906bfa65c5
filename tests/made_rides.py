"""Rides drawn at random for the tests of whole plans: roads × riders × pantries × days."""

from dataclasses import dataclass, replace

from hypothesis import strategies as st

from terrain_fuel.day import Day, Feed, Purpose
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.demand.model import Demand
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.pantry import DEFAULT_CONTAINERS, DEFAULT_ITEMS, WATER, Container, Item, Pantry
from terrain_fuel.rider import Habits, Rider
from terrain_fuel.terrain.measure import measure_terrain
from tests.made_roads import Road, make_track
from tests.usual import USUAL

SHORTEST_KM, LONGEST_KM = 2.0, 400.0

POOR_PANTRIES = (
    Pantry(items=(Item("millet slab", "solid", 30.0, count=2, portions=2), WATER)),
    Pantry(items=(Item("plain gel", "gel", 25.0, count=30), WATER)),
    Pantry(items=(Item("honey water", "drink", 35.0, fluid_ml=330, count=6), *DEFAULT_ITEMS[:4])),
    Pantry(items=(Item("fig", "chew", 12.0, fluid_ml=15, count=60), WATER)),
)
"""Little of everything, one thing only, a drink that is no mix, food that brings its own fluid."""

FEW_CONTAINERS = (
    DEFAULT_CONTAINERS,
    DEFAULT_CONTAINERS[:1] + DEFAULT_CONTAINERS[3:],
    (Container("bidon", "bottle", holds_ml=500), Container("pocket", "pocket", holds_items=3)),
    DEFAULT_CONTAINERS[3:],
    DEFAULT_CONTAINERS[:2],
)
"""All, one cage, next to nothing, no bottle at all, no pocket at all."""


@dataclass(frozen=True, slots=True)
class Ride:
    """Everything that `plan_ride` wants, the road still to be made."""

    road: Road
    rider: Rider
    pantry: Pantry
    day: Day


@st.composite
def rides(draw: st.DrawFn) -> Ride:
    """Return a strategy of rides, half of them with ordinary settings.

    Most are 10 to 160 km long; one in fifteen is shorter, one longer, up to 400 km.
    """
    low_km, high_km = draw(
        st.sampled_from(((SHORTEST_KM, 10.0), *([(10.0, 160.0)] * 13), (160.0, LONGEST_KM)))
    )
    length_km = low_km * (high_km / low_km) ** draw(st.floats(0.0, 1.0))
    road = draw(roads(length_km))
    purposes: tuple[Purpose, ...] = ("training", "race")
    purpose = draw(st.sampled_from(purposes))
    if draw(st.booleans()):
        return Ride(road, Rider(), Pantry(), Day(purpose=purpose))
    return Ride(road, draw(riders()), draw(pantries()), draw(days(length_km, purpose)))


def roads(length_km: float) -> st.SearchStrategy[Road]:
    """Return roads of one length, from pancake-flat to all-hairpin."""
    taps = st.lists(st.floats(1.0, max(1.5, length_km - 1.0)), max_size=5).map(tuple)
    return st.builds(
        Road,
        length_km=st.just(length_km),
        hilliness=st.sampled_from((0.0, 0.02, 0.05, 0.09, 0.14)),
        bends=st.sampled_from((0.0, 0.2, 0.5, 0.8, 1.0)),
        hill_km=st.sampled_from((1.0, 4.0, 12.0, 25.0)),
        taps=taps,
        seed=st.integers(0, 10_000),
    )


def riders() -> st.SearchStrategy[Rider]:
    """Return riders light and heavy, weak and strong, of every habit."""
    habits = st.sampled_from(
        (
            Habits(),
            Habits(sip_ml=25.0),
            Habits(sip_ml=200.0),
            Habits(eat_every_min=12.0, longest_gap_min=20.0),
            Habits(first_food_min=10.0, eat_every_min=40.0, longest_gap_min=60.0),
        )
    )
    return st.builds(
        Rider,
        body_mass_kg=st.sampled_from((45.0, 70.0, 110.0)),
        ftp_w=st.sampled_from((130.0, 220.0, 350.0)),
        carbohydrate_limit_g_per_h=st.sampled_from((20.0, 40.0, 60.0, 75.0, 90.0)),
        mixed_sugars=st.booleans(),
        sweat_rate_ml_per_h=st.sampled_from((None, 200.0, 1500.0)),
        caffeine_mg_max=st.sampled_from((0.0, 200.0)),
        descending=st.sampled_from(("cautious", "steady", "practised")),
        habits=habits,
    )


def pantries() -> st.SearchStrategy[Pantry]:
    """Return kitchens full and bare, with cages and pockets or without."""
    items = st.sampled_from((Pantry(), *POOR_PANTRIES))
    return st.builds(
        lambda pantry, containers: Pantry(pantry.items, containers), items, st.sampled_from(FEW_CONTAINERS)
    )


def days(length_km: float, purpose: str) -> st.SearchStrategy[Day]:
    """Return days cold and hot, with feeds sure and unsure."""
    feeds = st.lists(
        st.builds(
            Feed,
            at_km=st.floats(0.5, length_km),
            offers=st.sampled_from((("water",), ("drink mix", "water"), ("dried pear", "water"))),
            minutes=st.sampled_from((0.0, 1.0, 5.0)),
            sure=st.booleans(),
        ),
        max_size=3,
    ).map(tuple)
    return st.builds(
        Day,
        purpose=st.just(purpose),
        temperature_c=st.sampled_from((-5.0, 10.0, 18.0, 28.0, 38.0)),
        effort_flat=st.sampled_from((0.5, 0.65, 0.8)),
        effort_climb=st.sampled_from((0.6, 0.75, 0.9)),
        reserve_min=st.sampled_from((0.0, 45.0, 120.0)),
        feeds=feeds,
    )


def made_demand(road: Road, rider: Rider | None = None, day: Day | None = None) -> Demand:
    """Return the need along a made road, without halts."""
    rider, day = rider or USUAL, day or Day()
    terrain = measure_terrain(make_track(road))
    return estimate_demand(set_pace(terrain, rider, day), rider, day)


def steady_demand(demand: Demand, ml_per_km: float, sweat_ml_per_km: float | None = None) -> Demand:
    """Return the same need with drink and sweat in proportion to distance, for sums done by hand.

    The road counts as its nearest whole kilometre long.
    """
    length_m = demand.pace.terrain.length_m
    road_km = demand.pace.distance_m / length_m * round(length_m / 1000.0)
    sweat_ml_per_km = sweat_ml_per_km or 1.25 * ml_per_km
    return replace(demand, fluid_target_ml=ml_per_km * road_km, sweat_ml=sweat_ml_per_km * road_km)
