"""What the body needs along the road: the value that `estimate_demand` returns."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.facts import Fact
from terrain_fuel.frozen import FloatArray, freeze_columns
from terrain_fuel.pace.model import Pace


@dataclass(frozen=True, slots=True, eq=False)
class Demand:
    """Need and allowance at every node of the profile; columns have shape (n,) and start at 0.

    Parameters
    ----------
    pace : the ride this is the demand of
    carbohydrate_burned_g : burned since the start [g]
    carbohydrate_wanted_g_per_h : what is aimed for before stock, gut and road limit it [g/h]
    carbohydrate_target_g : to be taken by here, food and drink together, front-loaded [g]
    sweat_ml : sweated since the start [ml]
    fluid_target_ml : to be drunk by here [ml], never above sweat + 500 ml
    sodium_target_mg : to be taken by here [mg]
    caffeine_mg_max : cap for the ride [mg], 0 when off
    caffeine_mg_single : most in one dose [mg]
    caffeine_spans_s : clock in which it may be taken [s], in order
    burned_spread, sweat_spread : standard deviations as shares of the value
    sources : keys of the published models used, as in REFERENCES.md
    """

    pace: Pace
    carbohydrate_burned_g: FloatArray
    carbohydrate_target_g: FloatArray
    sweat_ml: FloatArray
    fluid_target_ml: FloatArray
    sodium_target_mg: FloatArray
    caffeine_mg_max: float
    caffeine_mg_single: float
    caffeine_spans_s: tuple[tuple[float, float], ...]
    burned_spread: float
    sweat_spread: float
    notices: tuple[Fact, ...] = ()
    sources: tuple[str, ...] = ()
    carbohydrate_wanted_g_per_h: float = 0.0

    def __post_init__(self) -> None:
        names = (
            "carbohydrate_burned_g", "carbohydrate_target_g", "sweat_ml", "fluid_target_ml",
            "sodium_target_mg",
        )  # fmt: skip
        freeze_columns(self, dict.fromkeys(names, np.float64))


@dataclass(frozen=True, slots=True, eq=False)
class FuelBalance:
    """Stores along the road once intake is known; columns have shape (n,).

    ``glycogen_g`` is what is left of the rider's stores [g], never negative;
    ``glycogen_low_g`` and ``glycogen_high_g`` bound it at one standard deviation;
    ``absorbed_g`` is what has left the stomach and gut [g].
    """

    glycogen_g: FloatArray
    glycogen_low_g: FloatArray
    glycogen_high_g: FloatArray
    absorbed_g: FloatArray
    notices: tuple[Fact, ...] = ()

    def __post_init__(self) -> None:
        names = ("glycogen_g", "glycogen_low_g", "glycogen_high_g", "absorbed_g")
        freeze_columns(self, dict.fromkeys(names, np.float64))
