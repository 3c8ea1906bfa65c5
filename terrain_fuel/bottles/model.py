"""What is carried to drink: refills, legs between them, and what the bottles hold."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from terrain_fuel.facts import NOTHING, Fact, Value, fact
from terrain_fuel.frozen import FloatArray, freeze_columns
from terrain_fuel.mapped.model import MappedPlace
from terrain_fuel.pace.model import Stop
from terrain_fuel.pantry import WATER_NAME
from terrain_fuel.plan import Violation

UNNAMED, POURED_OVER = "refill", "spare bottle"
"""What halts are called that neither the route nor the day file names."""


def said_name(name: str) -> Value:
    """Return the name of a halt as it is told."""
    if name == UNNAMED:
        return fact("unnamed_refill")
    return fact("spare_bottle") if name == POURED_OVER else name


@dataclass(frozen=True, slots=True)
class Refill:
    """A place where bottles are filled [m, s].

    ``kind`` is "tap" for a place on the road that gives water or what it ``offers``, and
    "pour_over" for a halt at which the spare bottle is poured into the empty ones.
    ``sure`` is False for a place that may be shut or dry. ``helper`` is True where someone hands it up:
    full bottles are taken then, and what goes into them is not carried to there. ``mapped`` is the place
    of the map that it is, and ``aside`` how far off the road that stands.
    """

    at_m: float
    name: str
    offers: tuple[str, ...] = (WATER_NAME,)
    duration_s: float = 180.0
    sure: bool = True
    kind: Literal["tap", "pour_over"] = "tap"
    aside: Fact = NOTHING
    mapped: MappedPlace | None = None
    helper: bool = False

    @property
    def said(self) -> Value:
        """The name as it is told."""
        return said_name(self.name)

    @property
    def stop(self) -> Stop:
        """The halt it costs."""
        return Stop(self.at_m, self.duration_s, self.name)


@dataclass(frozen=True, slots=True)
class Load:
    """What a bottle should hold when a leg begins [ml], of which drink, and why.

    ``item`` is what is poured to reach that level, with ``powder_g`` stirred in, in sachets
    of ``sachet_g``; ``from_stock`` is False for a drink that the refill itself hands out, and
    ``in_reach`` False for a bottle drunk from only after a pour-over. ``mark_ml`` is the mark it is
    poured to where that is above the level: a bottle that is planned to need nothing is topped up
    should it come emptier.
    ``left_ml`` should still be in it when the leg ends. Where there is nothing to bite ``g_per_ml`` is the
    powder in what is poured, kept should the bottle come emptier; else 0. ``strength_share`` is how strong
    the bottle then is, as a share of the packet's.
    """

    container: str
    item: str
    level_ml: float
    why: Fact
    from_stock: bool = True
    in_reach: bool = True
    powder_g: float = 0.0
    sachet_g: float = 0.0
    mark_ml: float = 0.0
    left_ml: float = 0.0
    g_per_ml: float = 0.0
    strength_share: float = 1.0


@dataclass(frozen=True, slots=True)
class Leg:
    """The road between two places where bottles are filled.

    ``wanted_ml`` is what the body should drink on it, ``planned_ml`` what the bottles allow.
    ``refill`` is the place it starts from, None at the start of the ride.
    """

    start_m: float
    end_m: float
    wanted_ml: float
    planned_ml: float
    loads: tuple[Load, ...]
    refill: Refill | None = None


@dataclass(frozen=True, slots=True, eq=False)
class DrinkPlan:
    """The drink of the whole ride; columns have shape (n,), along the profile, and start at 0.

    Parameters
    ----------
    legs : the road from refill to refill, tiling the route
    fluid_ml : to be drunk by here, as far as the bottles allow [ml]
    carbohydrate_g, sodium_mg : what that drink brings by here [g, mg]
    spare_powder_g : in stock, beyond what the fillings use [g]
    violations : water gaps that cannot be closed
    notices : doubtful refills and lesser shortages
    """

    legs: tuple[Leg, ...]
    fluid_ml: FloatArray
    carbohydrate_g: FloatArray
    sodium_mg: FloatArray
    spare_powder_g: float = 0.0
    violations: tuple[Violation, ...] = ()
    notices: tuple[Fact, ...] = ()

    def __post_init__(self) -> None:
        freeze_columns(self, dict.fromkeys(("fluid_ml", "carbohydrate_g", "sodium_mg"), np.float64))

    @property
    def refills(self) -> tuple[Refill, ...]:
        """The places where bottles are filled on the way, in order."""
        return tuple(leg.refill for leg in self.legs if leg.refill is not None)
