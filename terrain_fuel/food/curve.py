"""The curve of what should have been eaten, in short pieces of the ride."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.food.problem import HOUR_S, MILESTONE_COUNTS_H
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.road import IntArray, Road

FILLED_SHARE = 0.95
"""How much of an hour's room a row of whole bites fills."""


@dataclass(frozen=True, slots=True)
class HourLimit:
    """What any hour may hold in all, and the mouthful that stays free where drink brings some [g].

    Sips come one by one, and so one of them may come sooner than a smooth curve has it.
    """

    gut_g: float
    mouthful_g: float = 0.0

    def room_g(self, road: Road, clock_s: FloatArray) -> FloatArray:
        """Return the food that an hour with a moment in it may hold beside the drink [g]."""
        drink_g = _drink_in_hour(road, clock_s)
        firm_g = road.asking.mix_fills * drink_g
        return np.asarray(self.gut_g - firm_g - np.minimum(self.mouthful_g, drink_g))


@dataclass(frozen=True, slots=True, eq=False)
class FoodCurve:
    """The curve in short pieces: food needed [g] and weight [h] of each; how many lie before each edge."""

    need_g: FloatArray
    step_h: FloatArray
    pieces_before: IntArray


def food_curve(
    road: Road, edge_s: FloatArray, hour: HourLimit, cell_s: float, stock_g: float = np.inf
) -> FoodCurve:
    """Return the curve cut at some rising moments, those of places, and at the finish.

    Need and weight are those of a grid that hangs on the ride alone; cutting its cells changes no
    sum, so plans cost the same whatever places are looked at.

    Parameters
    ----------
    road : the road to the finish
    edge_s : (n,) clock time of the places [s]
    hour : what any hour may hold
    cell_s : about how long the grid's cells are [s]
    stock_g : all the food there is [g]: too little is spread over the ride
    """
    half_s = road.elapsed_s / 2
    cells = max(1, int(np.ceil(half_s / cell_s)))
    grid_s = np.linspace(0.0, road.elapsed_s, 2 * cells + 1)
    grid_g = _food_need(road, grid_s[1:], hour)
    grid_g = grid_g * min(1.0, max(stock_g, 0.0) / max(float(grid_g[-1]), 1.0))
    ends_s = np.unique(np.concatenate((grid_s[1:], edge_s[edge_s > 0.0])))
    step_h = np.diff(ends_s, prepend=0.0) / HOUR_S
    weight_h = MILESTONE_COUNTS_H * min(1.0, road.elapsed_s / (2 * HOUR_S))
    step_h[np.searchsorted(ends_s, grid_s[cells])] += weight_h
    step_h[-1] += weight_h
    step_h *= road.asking.curve_weight
    cell = np.minimum(np.searchsorted(grid_s[1:], ends_s, side="left"), 2 * cells - 1)
    before = np.searchsorted(ends_s, edge_s, side="right")
    return FoodCurve(grid_g[cell], step_h, np.append(before, ends_s.size).astype(np.int64))


def _food_need(road: Road, at_s: FloatArray, hour: HourLimit) -> FloatArray:
    """Return the food wanted by some rising moments [g]: the target less what drink is sure to bring.

    It rises no faster than bites can follow within the hour's room: what the gut cannot take is
    not asked for, then or later, for what is missing cannot be caught up. Nor does it rise at the
    very end, where a bite would come too late.
    """
    asked_s = np.minimum(at_s, max(road.last_bite_s - road.asking.last_share * road.eat_every_s, 0.0))
    wanted_g = np.interp(asked_s, road.clock_s, road.target_g - road.asking.mix_feeds * road.drink_g)
    room_g_per_s = FILLED_SHARE * np.maximum(hour.room_g(road, at_s), 0.0) / HOUR_S
    most_g = room_g_per_s * np.diff(at_s, prepend=0.0)
    return np.asarray(np.cumsum(np.minimum(np.diff(wanted_g, prepend=0.0), most_g)))


def _drink_in_hour(road: Road, clock_s: FloatArray) -> FloatArray:
    """Return the most carbohydrate from drink in any 60 min that hold a moment [g].

    Food in the hour up to a bite and this together bound every hour that ends with that bite
    or after it.
    """
    step_s = 60.0
    grid_s = np.arange(0.0, road.elapsed_s + step_s, step_s)  # later hours hold no more
    drunk = np.interp(grid_s, road.clock_s, road.drink_g)
    drunk -= np.interp(grid_s - HOUR_S, road.clock_s, road.drink_g)
    ahead = int(HOUR_S / step_s) + 2
    padded = np.append(drunk, np.zeros(ahead - 1))
    most = np.lib.stride_tricks.sliding_window_view(padded, ahead).max(axis=1)
    return np.asarray(most[(clock_s / step_s).astype(np.int64)])
