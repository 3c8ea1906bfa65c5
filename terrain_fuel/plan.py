"""The finished plan: everything the writers need, so that they format and never recompute."""

from dataclasses import dataclass
from importlib import import_module
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand, FuelBalance
from terrain_fuel.facts import NOTHING, Fact
from terrain_fuel.flags.daylight import Daylight
from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import FloatArray, freeze_columns
from terrain_fuel.hands import Hands
from terrain_fuel.limits import Limit
from terrain_fuel.luck import Luck
from terrain_fuel.pace.model import Pace
from terrain_fuel.pantry import Pantry
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain

Action = Literal["eat", "sip", "refill"]

FilledBy = Literal["bites", "mix", "nothing"]
"""What fills the hours of a race that would fill those of the gut: the rest comes from the other."""


@dataclass(frozen=True, slots=True)
class Alternative:
    """A choice not taken, the rest of the plan staying as it is.

    ``extra_cost`` is how much the plan's own score would get worse by it; None where a hard limit
    forbids it, told in ``forbidden_by``.
    """

    change: Literal["place", "item", "leave out"]
    distance_m: float
    item: str
    portions: int
    extra_cost: float | None
    forbidden_by: Fact = NOTHING


@dataclass(frozen=True, slots=True)
class FuelPoint:
    """A numbered place on the road with something to eat or drink, and why there.

    ``number`` counts all points in road order. ``label`` is what people see: bites "1", "2" …,
    halts "A", "B" …, one for all that is filled there; a sip has none. ``time_s`` is clock time
    since the start. ``portions`` counts pieces of an eat, mouthfuls of a sip, and is 0 at a refill,
    where ``fluid_ml`` is what goes into the bottle. ``container`` is where it is taken from (or
    filled). ``stretch`` indexes the plan's stretches. ``window_start_m`` to ``window_end_m`` is the
    road on which the point may be taken, and ``earliest_s`` to ``latest_s`` the clock in which it
    is likely reached. ``rules`` are the stable names of the rules that decided it; ``reason`` is
    how the rider is told. ``alternatives`` are the next best choices, and what they would have
    cost.
    """

    number: int
    label: str
    distance_m: float
    time_s: float
    lat_deg: float
    lon_deg: float
    action: Action
    item: str
    portions: int
    carbohydrate_g: float
    fluid_ml: float
    sodium_mg: float
    caffeine_mg: float
    container: str
    stretch: int
    rules: tuple[str, ...]
    reason: Fact
    window_start_m: float
    window_end_m: float
    earliest_s: float
    latest_s: float
    alternatives: tuple[Alternative, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Timeline:
    """The ride in equal-length columns, about every 100 m, ends included; shape (m,)."""

    distance_m: FloatArray
    time_s: FloatArray
    elevation_m: FloatArray
    grade: FloatArray
    speed_m_s: FloatArray
    power_w: FloatArray
    effort: FloatArray
    carbohydrate_burned_g: FloatArray
    carbohydrate_eaten_g: FloatArray
    glycogen_g: FloatArray
    sweat_ml: FloatArray
    fluid_drunk_ml: FloatArray

    def __post_init__(self) -> None:
        freeze_columns(self, dict.fromkeys(self.__dataclass_fields__, np.float64))


@dataclass(frozen=True, slots=True)
class Totals:
    """Sums over the ride.

    ``first_half_share`` of carbohydrate is taken in the first half of the clock; ``limited_by`` is what keeps
    the plan from the carbohydrate wanted: gut, stock, drink strength, time or places, "" if nothing.
    """

    moving_time_s: float
    elapsed_s: float
    work_kj: float
    carbohydrate_g: float
    carbohydrate_g_per_h: float
    fluid_ml: float
    sodium_mg: float
    caffeine_mg: float
    first_half_share: float
    carbohydrate_wanted_g_per_h: float = 0.0
    limited_by: str = ""
    asleep_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Sleep:
    """A sleep on the way: where, from when to when since the start [s], and the name of the place."""

    at_m: float
    from_s: float
    to_s: float
    name: str


@dataclass(frozen=True, slots=True)
class Optimality:
    """How close the bites come to the best there could be by the rules.

    ``objective`` is what the plan's bites cost, the lower the better, and ``lower_bound`` what no plan on any
    spot of the road costs less than, 0 where none was sought (pins). ``gap_share`` is the difference
    as a share of the objective. ``without_pins`` is the objective of the plan to which pins were put, None
    where there are none.
    """

    objective: float
    lower_bound: float
    gap_share: float
    without_pins: float | None = None

    @property
    def pins_share(self) -> float | None:
        """How much better the plan without pins is, as a share of the objective; None without any."""
        if self.without_pins is None:
            return None
        return max(0.0, self.objective - self.without_pins) / max(abs(self.objective), 1e-9)


@dataclass(frozen=True, slots=True)
class BottleFill:
    """What goes into a bottle and where: at the start (``at_m`` 0) or at a refill.

    ``fluid_ml`` is what is poured in; ``powder_g`` the drink mix stirred in at the packet's strength;
    ``tipped_ml`` the last of the old drink, tipped out before because it leaves no room for the powder.
    """

    container: str
    item: str
    at_m: float
    fluid_ml: float
    powder_g: float
    carbohydrate_g: float
    sodium_mg: float
    why: Fact
    tipped_ml: float = 0.0


@dataclass(frozen=True, slots=True)
class Packed:
    """Food carried in one place: bites planned, bites kept back, and the whole ``items`` they come from."""

    container: str
    item: str
    portions_planned: int
    portions_reserve: int
    items: float
    carbohydrate_g: float
    mass_g: float
    form: Literal["whole", "cut", "bites in foil", "powder"]


@dataclass(frozen=True, slots=True)
class Reserve:
    """What is carried but not planned."""

    item: str
    container: str
    portions: int
    carbohydrate_g: float


@dataclass(frozen=True, slots=True)
class Preparation:
    """One thing done beforehand; ``step`` is shop, cut, mix, wrap, freeze, pack or check."""

    when: Literal["evening", "morning"]
    step: str
    item: str
    text: Fact


@dataclass(frozen=True, slots=True)
class Violation:
    """A hard rule that the plan cannot keep: which, where, by how much, and what would help.

    ``rule`` is the number in the list of hard rules, 1 to 8; ``amount`` in ``unit``.
    """

    rule: int
    name: str
    start_m: float
    end_m: float
    amount: float
    unit: str
    sentence: Fact


@dataclass(frozen=True, slots=True)
class Mishap:
    """What may go wrong, and what to do then as the plan of that day says; ``code`` is a stable name."""

    code: str
    sentence: Fact


def broken(limit: Limit, start_m: float, end_m: float, amount: float, unit: str, sentence: Fact) -> Violation:
    """Return a hard limit that is not kept between two places, by how much, and what would help."""
    return Violation(limit.rule, limit.name, start_m, end_m, amount, unit, sentence)


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Plan:
    """A ride planned: the road, the pace, the need and what to do about it.

    In a notebook it shows itself as the map page; `to_arrays` and `to_frame` give its columns.
    ``filled_by`` is what fills the hours of a race that would fill them, "nothing" where it is planned as
    other rides are; ``work_done`` is what the planning took, as `Work` counts it, ``left_out`` what it
    was cut short of.
    """

    name: str
    terrain: Terrain
    pace: Pace
    demand: Demand
    balance: FuelBalance
    hands: Hands
    rider: Rider
    pantry: Pantry
    day: Day
    fuel_points: tuple[FuelPoint, ...]
    timeline: Timeline
    totals: Totals
    optimality: Optimality
    bottles: tuple[BottleFill, ...]
    packing: tuple[Packed, ...]
    reserve: tuple[Reserve, ...]
    preparation: tuple[Preparation, ...]
    cautions: tuple[Caution, ...]
    warnings: tuple[Fact, ...]
    violations: tuple[Violation, ...]
    sources: tuple[str, ...]
    luck: Luck | None = None
    daylight: Daylight | None = None
    mishaps: tuple[Mishap, ...] = ()
    sleeps: tuple[Sleep, ...] = ()
    filled_by: FilledBy = "bites"
    work_done: int = 0
    left_out: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """What the ride is called at the head of an output."""
        return self.rider.titled(self.name)

    def __repr__(self) -> str:
        """Return the ride in one line."""
        bites = sum(point.action == "eat" for point in self.fuel_points)
        hours = self.totals.elapsed_s / 3600.0
        return (
            f"Plan({self.name!r}: {self.terrain.length_m / 1000.0:.1f} km, {hours:.1f} h, {bites} bites,"
            f" {self.totals.carbohydrate_g:.0f} g, {len(self.violations)} rules not kept)"
        )

    def _repr_html_(self) -> str:
        """Return the map page, as notebooks ask for it."""
        shown: str = _writers().plan_html(self)
        return shown

    def to_arrays(self, of: str = "rows") -> dict[str, NDArray[Any]]:
        """Return columns of equal length: of the rows, or of the "timeline"."""
        columns: dict[str, NDArray[Any]] = _writers().plan_arrays(self, of)
        return columns

    def to_frame(self, of: str = "rows") -> Any:
        """Return the same columns as a pandas DataFrame; OutputError without pandas."""
        return _writers().plan_frame(self, of)


def _writers() -> Any:
    """Return the room that shows plans, which stands above this one and is fetched when it is asked for."""
    return import_module("terrain_fuel.outputs.notebook")
