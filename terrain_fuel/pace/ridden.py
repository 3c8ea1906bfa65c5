"""The ridden road: what stays as it is while only the kitchen changes."""

from dataclasses import dataclass, replace

from terrain_fuel.day import Day
from terrain_fuel.pace.model import Pace
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.pace.stops import with_stops
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain


@dataclass(frozen=True, slots=True, eq=False)
class RiddenRoad:
    """A road as one rider rides it on one day, without halts.

    Measuring a road and riding it take about as long as a first plan of its food: whoever plans it
    again with other food keeps this.
    """

    pace: Pace
    rider: Rider
    day: Day

    @property
    def terrain(self) -> Terrain:
        """The road itself."""
        return self.pace.terrain

    def under(self, rider: Rider, day: Day) -> "RiddenRoad":
        """Return the same road under other settings, ridden anew only if they may change the pace."""
        if (rider, day) == (self.rider, self.day):
            return self
        same = _as_paced(rider, day) == _as_paced(self.rider, self.day)
        pace = self.pace if same else set_pace(self.terrain, rider, day)
        return RiddenRoad(pace, rider, day)


def ride_road(terrain: Terrain, rider: Rider, day: Day) -> RiddenRoad:
    """Return the road as it is ridden."""
    return RiddenRoad(set_pace(terrain, rider, day), rider, day)


def ridden_before(pace: Pace, terrain: Terrain, rider: Rider, day: Day) -> RiddenRoad:
    """Return the road of a finished plan, its halts taken out; ``terrain`` may have other waypoints."""
    return RiddenRoad(replace(with_stops(pace, ()), terrain=terrain), rider, day)


def _as_paced(rider: Rider, day: Day) -> tuple[Rider, Day]:
    """Return the settings with whatever says what is eaten and drunk, and nothing of the pace, made alike.

    A setting that is not named here counts as one of the pace.
    """
    plain = Rider()
    habits = replace(
        rider.habits,
        first_food_min=plain.habits.first_food_min,
        eat_every_min=plain.habits.eat_every_min,
        longest_gap_min=60.0,
        carbohydrate_target_g_per_h=None,
        sip_ml=plain.habits.sip_ml,
        bedtime=plain.habits.bedtime,
        units=plain.habits.units,
        language=plain.habits.language,
    )
    rider = replace(
        rider,
        name="",
        glycogen_start_g=plain.glycogen_start_g,
        carbohydrate_limit_g_per_h=plain.carbohydrate_limit_g_per_h,
        limit_above_90=False,
        mixed_sugars=True,
        caffeine_mg_max=0.0,
        rule_weights=(),
        habits=habits,
    )
    return rider, replace(
        day, reserve_min=0.0, feeds=(), fills=(), map_extract="", map_within_m=0.0, map_buys=()
    )
