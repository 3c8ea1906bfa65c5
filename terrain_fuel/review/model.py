"""The finished review: everything its writers need, so that they format and never recompute."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

import numpy as np

from terrain_fuel.facts import Fact
from terrain_fuel.frozen import FloatArray, freeze_columns
from terrain_fuel.plan import Action
from terrain_fuel.recorded import DeviceSums
from terrain_fuel.terrain.model import Terrain

Way = Literal["planned", "other_way", "elsewhere"]
EventKind = Literal["started_late", "stopped_early", "detour", "shortcut", "turned_off", "not_recorded"]
Eaten = Literal["eaten", "later", "left", "not_reached", "not_said"]


@dataclass(frozen=True, slots=True)
class RideFacts:
    """What the recording says of the whole ride; None for what was not recorded.

    ``timer_s`` is the time the device's clock ran, ``moving_s`` the time in the saddle; means of power and
    heart rate are over the timer. ``device`` is what the device itself summed up.
    """

    name: str
    source: str
    digest: str
    format: str
    start: datetime
    distance_m: float
    ascent_m: float
    ascent_sd_m: float
    descent_m: float
    elapsed_s: float
    timer_s: float
    moving_s: float
    work_kj: float | None
    power_w: float | None
    heart_bpm: float | None
    temperature_c: float | None
    device: DeviceSums | None


@dataclass(frozen=True, slots=True)
class PartRidden:
    """How much of the planned road was ridden, and which spans of it [m]."""

    way: Way
    planned_m: float
    ridden_m: float
    spans: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class RoadEvent:
    """Where the ride left the planned road: from and to on it [m], road ridden instead [m], when [s]."""

    kind: EventKind
    start_m: float
    end_m: float
    ridden_m: float
    clock_s: float
    lasts_s: float
    sentence: Fact


@dataclass(frozen=True, slots=True)
class PointMet:
    """A fuel point: when it was planned and reached [s], and what became of what was to be taken.

    ``late_s`` is positive when later than planned, both counted from where the ride joined the road.
    ``glycogen_g`` and its bounds are the stores by the ridden clock when the point was passed.
    """

    number: int
    label: str
    action: Action
    item: str
    portions: int
    distance_m: float
    planned_s: float
    ridden_s: float | None
    late_s: float | None
    in_window: bool | None
    was: Eaten
    taken_s: float | None
    glycogen_g: float | None
    glycogen_low_g: float | None
    glycogen_high_g: float | None


@dataclass(frozen=True, slots=True)
class ClimbMet:
    """A climb: time and mean power, planned and ridden; None where it was not ridden or not measured."""

    name: str
    start_m: float
    end_m: float
    gain_m: float
    planned_s: float | None
    ridden_s: float | None
    planned_w: float | None
    ridden_w: float | None
    heart_bpm: float | None


@dataclass(frozen=True, slots=True)
class HaltMade:
    """A halt; ``planned_m`` is where on the planned road, None off it, ``at`` its number there."""

    clock_s: float
    lasts_s: float
    ridden_m: float
    planned_m: float | None
    at: str
    kind: Literal["planned", "short", "long"]


@dataclass(frozen=True, slots=True)
class Lateness:
    """How late the finish was [s], from where on for good [m], and how it came about [s].

    ``riding_s`` is lost in the saddle, ``halts_s`` while standing beyond what was planned.
    """

    final_s: float
    from_m: float | None
    riding_s: float
    halts_s: float
    sentence: Fact


@dataclass(frozen=True, slots=True)
class HourMet:
    """One hour of the ridden clock; the last may be shorter. Sweat with one standard deviation."""

    number: int
    lasts_s: float
    wanted_g: float
    planned_g: float | None
    eaten_g: float
    drunk_ml: float
    sweat_ml: float
    sweat_sd_ml: float


@dataclass(frozen=True, slots=True, eq=False)
class FuelLine:
    """Stores over the ridden clock, a value a minute; shape (k,)."""

    clock_s: FloatArray
    ridden_m: FloatArray
    glycogen_g: FloatArray
    glycogen_low_g: FloatArray
    glycogen_high_g: FloatArray
    burned_g: FloatArray
    eaten_g: FloatArray

    def __post_init__(self) -> None:
        freeze_columns(self, dict.fromkeys(self.__dataclass_fields__, np.float64))


@dataclass(frozen=True, slots=True)
class Weighed:
    """The sweat rate two weighings say [ml/h], its standard deviation, and what the model says."""

    rate_ml_per_h: float
    sd_ml_per_h: float
    modelled_ml_per_h: float
    sentence: Fact


@dataclass(frozen=True, slots=True)
class Sign:
    """One sign of how the fuelling went; no value where the recording cannot tell.

    ``basis`` is a key of REFERENCES.md or "common practice (no source)".
    """

    code: str
    value: float | None
    basis: str
    sentence: Fact


@dataclass(frozen=True, slots=True)
class Question:
    """What no device knows: the key of the form, and what is asked."""

    key: str
    sentence: Fact


@dataclass(frozen=True, slots=True)
class Feeling:
    """What the rider said: 0 to 10, None where nothing was said."""

    stomach: float | None
    legs: float | None
    thirst: float | None
    hard_at: str
    lines: tuple[str, ...]
    bedtime: str


@dataclass(frozen=True, slots=True)
class ProductEaten:
    """A product on this ride: bites, carbohydrate, and over how long it was eaten [s]."""

    item: str
    kind: str
    portions: float
    carbohydrate_g: float
    fluid_ml: float
    hours: float
    ready: bool


@dataclass(frozen=True, slots=True)
class RideHabits:
    """How this rider rode beside what the settings say, on the ridden road.

    ``by_settings_s`` is the moving time by the settings. ``drag_m2`` is the drag area that fits, None
    without measured power, and ``drag_sd`` its doubt as a logarithm; ``level`` the power given over that
    of the settings. ``time_per_drag`` and ``time_per_level`` say by what share the time changes with
    the logarithm of either.
    ``descending`` is the habit whose descents come nearest to those ridden, "" where there were too few.
    """

    by_settings_s: float
    drag_m2: float | None
    drag_sd: float | None
    level: float
    time_per_drag: float
    time_per_level: float
    descending: str


@dataclass(frozen=True, slots=True, eq=False)
class Review:
    """A ride looked back on, beside its plan if there was one."""

    ride: RideFacts
    terrain: Terrain | None
    plan_name: str
    part: PartRidden | None
    events: tuple[RoadEvent, ...]
    points: tuple[PointMet, ...]
    climbs: tuple[ClimbMet, ...]
    halts: tuple[HaltMade, ...]
    lateness: Lateness | None
    hours: tuple[HourMet, ...]
    fuel: FuelLine | None
    power_from: Literal["measured", "fitted", "unknown"]
    products: tuple[ProductEaten, ...]
    weighed: Weighed | None
    habits: RideHabits | None
    feeling: Feeling | None
    signs: tuple[Sign, ...]
    questions: tuple[Question, ...]
    notes: tuple[Fact, ...]
    cautions: tuple[Fact, ...]
    sources: tuple[str, ...]
