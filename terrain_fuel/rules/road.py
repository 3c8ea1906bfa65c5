"""What a rule sees: the road at every place where something might be eaten or drunk."""

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.frozen import BoolArray, FloatArray, freeze_columns
from terrain_fuel.hands import Hands
from terrain_fuel.hands.veto import shut_nodes
from terrain_fuel.limits import HANDS_BACK_M, LAST_FOOD_S
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider
from terrain_fuel.rules.asking import USUAL, Asking
from terrain_fuel.rules.halts import FoodStop, find_stops, halts_at
from terrain_fuel.rules.lap_spots import lap_spots
from terrain_fuel.rules.occasions import (
    Occasion,
    find_crests,
    find_feet,
    on_long_climbs,
    past_nearest_m,
    time_past_foot_s,
    time_to_foot_s,
    windows_at,
)
from terrain_fuel.rules.steep_ramps import between_ramps, ramp_from_s
from terrain_fuel.terrain.runs import runs

IntArray = NDArray[np.int64]

BITE_TAKES_S = 20.0
HARD_EFFORT, CALMS_IN_S = 0.85, 30.0
"""From this share of FTP on breath is short, and for so long after: common practice (no source)."""

_COLUMNS = {
    "node": np.int64, "distance_m": np.float64, "clock_s": np.float64, "grade": np.float64,
    "speed_m_s": np.float64, "effort": np.float64, "hard": np.bool_, "hands": np.float64, "veto": np.bool_,
    "hands_on": np.bool_,
    "stretch": np.int64, "on_climb": np.bool_, "crest": np.int64, "past_crest_m": np.float64,
    "foot": np.int64, "to_foot_s": np.float64, "past_foot_s": np.float64, "on_long_climb": np.bool_,
    "between_ramps": np.bool_, "ramp_from_s": np.float64,
    "stop": np.int64, "lap_spot": np.float64, "target_g": np.float64, "drink_g": np.float64,
}  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Road:
    """The road as the rules see it; columns have shape (n,), one entry a place.

    `survey_road` returns one place a node of the profile, so that every column aligns with
    the columns of Pace, Demand and Hands; `take` keeps some places only.

    Parameters
    ----------
    node : index of the place in the profile
    distance_m, clock_s : where and when; clock time includes stops, at a stop the arrival [m, s]
    grade, speed_m_s, effort : ratio; [m/s]; fraction of FTP
    hard : True where breath is short: 85 % of FTP and more, now or in the half minute before
    hands : how free the hands are over the next 20 s, 0 to 1
    veto : True where nothing may be eaten or drunk, as in `Hands`
    hands_on : True inside a safety flag
    stretch : index of the stretch
    on_climb : True on a climb
    crest : index into ``crests`` of the crest window the place lies in, -1 outside
    past_crest_m : distance past the nearest crest [m], negative before it, inf if there is none
    foot : index into ``feet`` of the top-up window the place lies in, -1 outside
    to_foot_s : time to the foot of the next climb worth a top-up [s], inf if there is none
    past_foot_s : time since that of the last one [s], inf if there is none
    on_long_climb : True on a climb of about an hour
    between_ramps : True on a slope not half a minute from a steep slow ramp
    ramp_from_s : on a steep slow ramp the clock at the last place before it that is easy to eat at [s], -inf
        elsewhere
    stop : index into ``stops`` of the halt at this place, -1 elsewhere; where one stands, the halt is at two
        nodes: the one by the clock of its begin, the next by that of its end
    lap_spot : 1 near a place that is kept to in every lap, and where no laps are ridden; else 0
    target_g : carbohydrate to be taken by here, food and drink together [g]
    drink_g : what drink brings of it by here [g], rising
    crests : the tops of climbs before descents, in order
    feet : five to ten minutes before each climb worth a top-up
    easy_until_s : where a steep slow ramp covers the moment from which the first bite may come, the clock at
        the last easy place before it [s]; inf without
    slots_in_reach : items that pockets and bags within reach of a riding hand hold
    elapsed_s : clock time of the whole ride [s]
    temperature_c : of the air at the start
    asking : how food is asked for
    """

    node: IntArray
    distance_m: FloatArray
    clock_s: FloatArray
    grade: FloatArray
    speed_m_s: FloatArray
    effort: FloatArray
    hard: BoolArray
    hands: FloatArray
    veto: BoolArray
    hands_on: BoolArray
    stretch: IntArray
    on_climb: BoolArray
    crest: IntArray
    past_crest_m: FloatArray
    foot: IntArray
    to_foot_s: FloatArray
    past_foot_s: FloatArray
    on_long_climb: BoolArray
    between_ramps: BoolArray
    ramp_from_s: FloatArray
    stop: IntArray
    lap_spot: FloatArray
    target_g: FloatArray
    drink_g: FloatArray
    crests: tuple[Occasion, ...]
    feet: tuple[Occasion, ...]
    stops: tuple[FoodStop, ...]
    elapsed_s: float
    first_food_s: float
    eat_every_s: float
    longest_gap_s: float
    caffeine_spans_s: tuple[tuple[float, float], ...]
    caffeine_mg_single: float
    caffeine_mg_max: float
    temperature_c: float
    easy_until_s: float = np.inf
    slots_in_reach: int = 1
    asking: Asking = USUAL

    def __post_init__(self) -> None:
        freeze_columns(self, dict(_COLUMNS))

    @property
    def size(self) -> int:
        """Number of places."""
        return int(self.clock_s.size)

    @property
    def last_bite_s(self) -> float:
        """Clock time after which nothing is eaten [s]."""
        return self.elapsed_s - LAST_FOOD_S.value

    @property
    def longest_out_of_breath_s(self) -> float:
        """The longest time in which breath is short without a pause [s]."""
        return max(
            (float(self.clock_s[last] - self.clock_s[first]) for first, last in runs(self.hard)), default=0.0
        )

    @property
    def to_finish_s(self) -> FloatArray:
        """Clock time left at every place [s]."""
        return self.elapsed_s - self.clock_s

    @property
    def caffeine_in_time(self) -> BoolArray:
        """Where caffeine may be taken."""
        inside = np.zeros(self.size, dtype=bool)
        for start_s, end_s in self.caffeine_spans_s:
            inside |= (self.clock_s >= start_s) & (self.clock_s <= end_s)
        return inside

    def take(self, places: IntArray) -> "Road":
        """Return the road at some of its places only."""
        columns = {name: getattr(self, name)[places] for name in _COLUMNS}
        for column in columns.values():
            column.flags.writeable = False  # nobody else has it, so it need not be copied
        return replace(self, **columns)


def survey_road(
    demand: Demand,
    hands: Hands,
    drink_g: FloatArray,
    rider: Rider,
    day: Day,
    asking: Asking = USUAL,
) -> Road:
    """Return what the rules see at every node of the profile, with what drink brings by there [g]."""
    pace = demand.pace
    terrain, profile = pace.terrain, pace.terrain.profile
    distance_m = profile.distance_m
    starts = np.array([stretch.start_m for stretch in terrain.stretches])
    stretch = np.clip(np.searchsorted(starts, distance_m, side="right") - 1, 0, starts.size - 1)
    climbing = np.array([part.kind == "climb" for part in terrain.stretches])
    crests = find_crests(pace, hands.veto)
    feet = find_feet(pace, hands.veto, rider.habits)
    stops = find_stops(pace, day)
    stop, made = halts_at(stops, distance_m.size)
    stands = made | (stop >= 0) & ~shut_nodes(pace, hands.shut_spans)  # its end lies a few metres on
    between = between_ramps(pace)
    ramp_from = ramp_from_s(pace, hands, between)
    habits = rider.habits
    first_s = asking.first_share * habits.first_food_min * 60.0
    return Road(
        node=np.arange(distance_m.size),
        distance_m=distance_m,
        clock_s=pace.clock_s,
        grade=profile.grade,
        speed_m_s=pace.speed_m_s,
        effort=pace.effort,
        hard=_short_of_breath(pace),
        hands=np.where(stop >= 0, 1.0, _ahead_mean(hands.score, pace.clock_s)),
        veto=hands.veto & (~stands | _flagged(demand, hands, HANDS_BACK_M.value)),
        hands_on=_flagged(demand, hands),
        stretch=stretch,
        on_climb=climbing[stretch],
        crest=windows_at(distance_m, crests),
        past_crest_m=past_nearest_m(distance_m, crests),
        foot=windows_at(distance_m, feet),
        to_foot_s=time_to_foot_s(pace),
        past_foot_s=time_past_foot_s(pace),
        on_long_climb=on_long_climbs(pace),
        between_ramps=between,
        ramp_from_s=ramp_from,
        stop=stop,
        lap_spot=lap_spots(pace, hands, habits),
        target_g=demand.carbohydrate_target_g,
        drink_g=drink_g,
        crests=crests,
        feet=feet,
        stops=stops,
        elapsed_s=pace.elapsed_s,
        first_food_s=habits.first_food_min * 60.0,
        eat_every_s=habits.eat_every_min * 60.0,
        longest_gap_s=habits.longest_gap_min * 60.0,
        caffeine_spans_s=demand.caffeine_spans_s,
        caffeine_mg_single=demand.caffeine_mg_single,
        caffeine_mg_max=demand.caffeine_mg_max,
        temperature_c=day.temperature_c,
        easy_until_s=_easy_until_s(first_s, pace.clock_s, ramp_from),
        asking=asking,
    )


def _easy_until_s(at_s: float, clock_s: FloatArray, ramp_from: FloatArray) -> float:
    """Return when the last easy place came before a ramp that is ridden at a moment, inf if none is [s]."""
    easy_s = float(ramp_from[min(int(np.searchsorted(clock_s, at_s)), clock_s.size - 1)])
    return easy_s if easy_s > -np.inf else np.inf


def _ahead_mean(score: FloatArray, clock_s: FloatArray) -> FloatArray:
    """Return the mean score over the 20 s that a bite takes, from each node on."""
    area = np.concatenate(([0.0], np.cumsum((score[1:] + score[:-1]) / 2 * np.diff(clock_s))))
    end_s = np.minimum(clock_s + BITE_TAKES_S, clock_s[-1])
    span_s = end_s - clock_s
    mean = (np.interp(end_s, clock_s, area) - area) / np.where(span_s > 0, span_s, 1.0)
    return np.clip(np.where(span_s > 0, mean, score), 0.0, 1.0)


def _short_of_breath(pace: Pace) -> BoolArray:
    """Return where the effort is hard, or was a moment ago."""
    hard_until_s = np.where(pace.effort >= HARD_EFFORT, pace.clock_s + CALMS_IN_S, -np.inf)
    return np.asarray(pace.clock_s <= np.maximum.accumulate(hard_until_s))


def _flagged(demand: Demand, hands: Hands, before_m: float = 0.0) -> BoolArray:
    """Return where a safety flag stands, or begins soon: who has halted there rides straight into it."""
    distance_m = demand.pace.distance_m
    inside = np.zeros(distance_m.size, dtype=bool)
    for caution in hands.cautions:
        if caution.hands_on:
            inside |= (distance_m > caution.start_m - before_m - 1e-6) & (distance_m <= caution.end_m)
    return inside


def imagine_place(**changes: object) -> Road:
    """Return one easy place an hour into a four-hour ride, with the named columns changed.

    It is what the examples of the rules stand on.

    >>> imagine_place(grade=0.06).grade
    array([0.06])
    """
    easy: dict[str, object] = {
        "node": 0, "distance_m": 27_000.0, "clock_s": 3600.0, "grade": 0.0, "speed_m_s": 7.5,
        "effort": 0.6, "hard": False, "hands": 1.0, "veto": False, "hands_on": False, "stretch": 0,
        "on_climb": False, "crest": -1, "past_crest_m": np.inf, "foot": -1, "to_foot_s": np.inf,
        "past_foot_s": np.inf,
        "on_long_climb": False, "between_ramps": False, "ramp_from_s": -np.inf, "stop": -1,
        "lap_spot": 1.0, "target_g": 50.0, "drink_g": 0.0,
        "crests": (), "feet": (), "stops": (), "elapsed_s": 4 * 3600.0,
        "first_food_s": 1800.0, "eat_every_s": 1200.0,
        "longest_gap_s": 1800.0, "caffeine_spans_s": ((9600.0, 14_400.0),), "caffeine_mg_single": 200.0,
        "caffeine_mg_max": 200.0, "slots_in_reach": 6, "temperature_c": 18.0, "easy_until_s": np.inf,
        "asking": USUAL,
    }  # fmt: skip
    values = {**easy, **changes}
    columns = {name: np.atleast_1d(np.asarray(values[name])) for name in _COLUMNS}
    rest = {f.name: values[f.name] for f in fields(Road) if f.name not in _COLUMNS}
    return Road(**columns, **rest)  # type: ignore[arg-type]
