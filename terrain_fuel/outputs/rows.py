"""The plan as rows in road order: what the map's list, the sticker, the sheets and the terminal all show."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import groupby
from typing import Literal

from terrain_fuel.assembly.labels import ONE_HALT_M
from terrain_fuel.flags.model import Caution
from terrain_fuel.limits import NO_RIDE
from terrain_fuel.outputs.bottle_signs import bottle_signs
from terrain_fuel.outputs.handovers import filled_at
from terrain_fuel.outputs.names import short_names
from terrain_fuel.outputs.place_names import short_place
from terrain_fuel.outputs.units import amount_text, clock_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.pace.model import Stop
from terrain_fuel.plan import FuelPoint, Plan

RowKind = Literal["eat", "sip", "refill", "hands_on", "crest", "foot", "summit", "place", "finish"]

LANDMARK_NEAR_M = 300.0
"""A crest or place this near to a bite or refill is told in that row, not in one of its own."""

SAME_HALT_M = 1.0
"""What is drunk standing after a bite is written a hair further on: it is at the same halt."""

LANDMARK_CLIMB_M = 40.0
"""A climb gains this much before its foot and crest are landmarks: less is not noticed on the road."""

SUMMIT_NEAR_M = 1500.0
"""A crest this near to a named summit is that summit."""

ONE_CLIMB_M = 600.0
"""Climbs of one name with no more road than this between them are one; so are places of one name."""

SHORT_NAME_CHARACTERS = 16

SIGNED: tuple[RowKind, ...] = ("crest", "summit", "foot")
"""Landmarks whose own sign says what they are."""

TIMES = "×"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the plan.

    Parameters
    ----------
    distance_m : where along the road [m]
    end_m : end of a span whose hands belong on the bars [m]; ``distance_m`` for all else
    time_s : clock time since the start [s]
    clock : local time of day, "09:04"
    kind : what the row says
    number : the number of its (first) fuel point, None for what is not one
    name : short name, "½ oat square", "R×2 drink mix", "F water 240 · R mix 750", "Alder spring", "crest"
    distance_text : distance in the rider's units, without the unit: "62.7"
    length_text : length of a hands-on span, "4.1 km", of a climb at its foot; empty for all else
    landmark : the row of what the rider sees at a fuel point, to trust the distance again; may be None
    named : whether the name is more than the word for what the row is
    note : what is to be known of a place: that nobody halts at this tap; empty for all else
    points : the fuel points that the row tells: one bite, one sip, or all bottles filled at a halt
    asleep : True where the ride sleeps: always a row of its own
    """

    distance_m: float
    end_m: float
    time_s: float
    clock: str
    kind: RowKind
    number: int | None
    name: str
    distance_text: str
    length_text: str = ""
    landmark: "Row | None" = None
    named: bool = True
    note: str = ""
    points: tuple[FuelPoint, ...] = ()
    asleep: bool = False

    @property
    def point(self) -> FuelPoint | None:
        """The fuel point, at a halt the first, None for what is not one."""
        return self.points[0] if self.points else None

    @property
    def told(self) -> str:
        """The whole name with its note: "Alder spring, no halt"."""
        return f"{self.name}, {self.note}" if self.note else self.name

    @property
    def short(self) -> str:
        """The one short form of a landmark's name."""
        return short_place(self.name, signed=self.kind in SIGNED) if self.named else self.name

    @property
    def label(self) -> str:
        """What people see of it: "7" for a bite, "B" for a halt, nothing for all else."""
        return self.points[0].label if self.points else ""


@lru_cache(maxsize=2)
def plan_rows(plan: Plan) -> tuple[Row, ...]:
    """Return the rows of a plan in road order: fuel points, hands-on spans and landmarks.

    A crest or named place within 300 m of a fuel point is that row's ``landmark``, and not a row
    of its own if something is eaten or filled there. The foot of a climb always has its row,
    because it tells how long the climb is. All outputs of a plan ask for the same rows, so the last are kept.
    """
    landmarks = _landmark_rows(plan)
    fuel, told = _with_landmarks(plan, landmarks)
    rest = [row for row in landmarks if id(row) not in told]
    return tuple(sorted([*fuel, *_hands_on_rows(plan), *rest], key=_road_order))


def finish_row(plan: Plan) -> Row:
    """Return the row of the finish."""
    return road_row(plan, plan.terrain.length_m, "finish", words_for(plan.rider).label("row.finish"))


def hands_on_spans(plan: Plan) -> tuple[tuple[float, float], ...]:
    """Return the spans of road [m] on which no hand leaves the bars, overlapping ones joined."""
    return joined_spans(plan.cautions)


def joined_spans(cautions: Iterable[Caution]) -> tuple[tuple[float, float], ...]:
    """Return the spans [m] of those cautions that are safety flags, overlapping ones joined."""
    spans: list[tuple[float, float]] = []
    for start_m, end_m in sorted((c.start_m, c.end_m) for c in cautions if c.hands_on):
        if spans and start_m <= spans[-1][1]:
            spans[-1] = (spans[-1][0], max(spans[-1][1], end_m))
        else:
            spans.append((start_m, end_m))
    return tuple(spans)


def reasons_not_to_ride(plan: Plan, said_in: Words | None = None) -> tuple[str, ...]:
    """Return why this ride should not be ridden at all: what every output says first."""
    words = said_in or words_for(plan.rider)
    return tuple(words.say(each.sentence) for each in plan.violations if each.rule == NO_RIDE)


def taken_name(plan: Plan, points: tuple[FuelPoint, ...], shorts: Mapping[str, str]) -> str:
    """Return what is taken, with how much of it: "½ oat square", "R×2 drink mix", "F water 240 · R mix 750".

    Parameters
    ----------
    plan : the finished plan
    points : one bite, one sip, or the bottles filled at one halt
    shorts : short names of items; where there is none the whole name stands
    """
    first, called = points[0], words_for(plan.rider).called
    if first.action == "eat":
        amount = amount_text(first.portions, plan.pantry.item(first.item).portions)
        return f"{amount} {shorts.get(first.item, first.item)}".strip()
    signs = bottle_signs(bottle.name for bottle in plan.pantry.bottles)
    if first.action == "sip":
        return f"{signs[first.container]}{TIMES}{first.portions} {called(shorts.get(first.item, first.item))}"
    return " · ".join(
        f"{signs[each.container]} {called(shorts.get(each.item, each.item))} {round(each.fluid_ml, -1):.0f}"
        for each in filled_at(plan, points)
    )


def caffeine_marks(plan: Plan, items: Iterable[str]) -> dict[str, str]:
    """Return the mark that must show in the short names of items with caffeine."""
    mark = words_for(plan.rider).label("caffeine_mark")
    return {item: mark for item in items if plan.pantry.item(item).caffeine_mg > 0}


def _road_order(row: Row) -> tuple[float, int, int]:
    """Return what rows are sorted by: where several stand at one place, a landmark first, hands-on last.

    Sleep comes behind what else is done at its place, the mouthful with what is eaten there too.
    """
    turn = 3 if row.kind == "hands_on" else 2 if row.asleep else 1 if row.number is not None else 0
    return row.distance_m + (SAME_HALT_M if row.asleep else 0.0), turn, row.number or 0


def road_row(plan: Plan, distance_m: float, kind: RowKind, name: str, **more: object) -> Row:
    """Return a row at a distance, its texts in the rider's units."""
    time_s = plan.pace.clock_at(distance_m)
    plain = Row(
        distance_m=distance_m,
        end_m=distance_m,
        time_s=time_s,
        clock=clock_text(plan.day.start, time_s),
        kind=kind,
        number=None,
        name=name,
        distance_text=words_for(plan.rider).distance(distance_m),
    )
    return replace(plain, **more)  # type: ignore[arg-type]


def _fuel_rows(plan: Plan) -> list[Row]:
    items = list(dict.fromkeys(point.item for point in plan.fuel_points))
    own = {item: plan.pantry.item(item).short for item in items}
    shorts = short_names(items, SHORT_NAME_CHARACTERS, own=own, marks=caffeine_marks(plan, items))
    return [
        road_row(
            plan,
            point.distance_m,
            point.action,
            taken_name(plan, told, shorts),
            time_s=point.time_s,
            clock=clock_text(plan.day.start, point.time_s),
            number=point.number,
            points=told,
        )
        for point, told in _told_together(plan.fuel_points)
    ]


def _told_together(points: Iterable[FuelPoint]) -> Iterator[tuple[FuelPoint, tuple[FuelPoint, ...]]]:
    """Yield the fuel points, those of one halt with its first; the first stands for them."""
    for _, same in groupby(points, key=lambda point: point.label or point.number):
        told = tuple(same)
        yield told[0], told


def _hands_on_rows(plan: Plan) -> list[Row]:
    words = words_for(plan.rider)
    name = words.label("row.hands_on")
    return [
        road_row(plan, start_m, "hands_on", name, end_m=end_m, length_text=words.length(end_m - start_m))
        for start_m, end_m in hands_on_spans(plan)
    ]


def _landmark_rows(plan: Plan) -> list[Row]:
    """Return feet and crests of climbs worth the name, and the named places between start and finish.

    A climb has one foot and one crest: a named summit near its end, or of its name, is its crest.
    """
    words = words_for(plan.rider)
    places = _place_rows(plan)
    summits = [row for row in places if row.kind == "summit"]
    rows = []
    for name, start_m, end_m in _climbs(plan):
        foot, crest = name or words.label("row.foot"), name or words.label("row.crest")
        length = words.length(end_m - start_m)
        rows.append(road_row(plan, start_m, "foot", foot, length_text=length, named=bool(name)))
        if not any(_is_crest_of(summit, name, start_m, end_m) for summit in summits):
            rows.append(road_row(plan, end_m, "crest", crest, named=bool(name)))
    crests_told = [*summits, *(row for row in rows if row.kind == "crest")]
    return rows + [row for row in places if not _is_told(row, crests_told)]


def _place_rows(plan: Plan) -> list[Row]:
    """Return the named places between start and finish, and where the ride sleeps."""
    rows = []
    halts_m = [*(stop.distance_m for stop in plan.pace.stops)]
    halts_m.extend(point.distance_m for point in plan.fuel_points if point.action == "refill")
    no_halt = words_for(plan.rider).label("row.no_halt")
    for place in plan.terrain.track.waypoints:
        inside = LANDMARK_NEAR_M < place.distance_m < plan.terrain.length_m - LANDMARK_NEAR_M
        if place.kind in ("refill", "feed", "summit", "place") and place.name and inside:
            kind: RowKind = "summit" if place.kind == "summit" else "place"
            passed = place.kind in ("refill", "feed") and not _is_near(plan, place.distance_m, halts_m)
            rows.append(road_row(plan, place.distance_m, kind, place.name, note=no_halt if passed else ""))
    for sleep in plan.sleeps:
        name = words_for(plan.rider).label("row.sleep", hours=(sleep.to_s - sleep.from_s) / 3600.0)
        clock = clock_text(plan.day.start, sleep.from_s)
        at = road_row(plan, sleep.at_m, "place", name, asleep=True)
        rows.append(replace(at, time_s=sleep.from_s, clock=clock))
    return rows


def _is_near(plan: Plan, distance_m: float, halts_m: Iterable[float]) -> bool:
    """Return whether anybody halts at a place, on laps in any of them."""
    laps = plan.terrain.laps

    def along_m(at_m: float) -> float:
        return laps.along_m(at_m) if laps and laps.lap_at(at_m) else at_m

    return any(abs(along_m(halt_m) - along_m(distance_m)) <= ONE_HALT_M for halt_m in halts_m)


def _climbs(plan: Plan) -> list[tuple[str, float, float]]:
    """Return name, start and end [m] of the climbs that are noticed, parts of one climb joined."""
    climbs: list[tuple[str, float, float]] = []
    for stretch in plan.terrain.stretches:
        if stretch.kind != "climb" or stretch.gain_m < LANDMARK_CLIMB_M:
            continue
        name, start_m = stretch.name, stretch.start_m
        if name and climbs and climbs[-1][0] == name and start_m - climbs[-1][2] <= ONE_CLIMB_M:
            start_m = climbs.pop()[1]
        climbs.append((name, start_m, stretch.end_m))
    return climbs


def _is_crest_of(summit: Row, name: str, start_m: float, end_m: float) -> bool:
    near = abs(summit.distance_m - end_m) <= SUMMIT_NEAR_M
    return near or (summit.name == name and summit.distance_m > start_m)


def _is_told(row: Row, others: Iterable[Row]) -> bool:
    """Return whether a place has the name of a crest or summit that stands there."""
    return row.kind == "place" and any(
        row.name.casefold() == other.name.casefold() and abs(row.distance_m - other.distance_m) <= ONE_CLIMB_M
        for other in others
    )


def _with_landmarks(plan: Plan, landmarks: list[Row]) -> tuple[list[Row], set[int]]:
    """Return the fuel rows with the landmark each stands at, and the ids of the landmarks told that way."""
    rows, told = [], set[int]()
    for row in _fuel_rows(plan):
        near = [
            mark
            for mark in landmarks
            if mark.kind != "foot"
            and not mark.asleep
            and abs(mark.distance_m - row.distance_m) <= LANDMARK_NEAR_M
        ]
        if near:
            # a name says more than "crest"; then the nearer one
            best = min(near, key=lambda mark: (mark.kind == "crest", abs(mark.distance_m - row.distance_m)))
            row = replace(row, landmark=best)
            told.update(id(mark) for mark in near if row.kind != "sip")
        elif row.kind == "refill" and (stop := _stop_of(plan, row)) is not None:
            row = replace(row, landmark=road_row(plan, stop.distance_m, "place", stop.name))
        rows.append(row)
    return rows, told


def _stop_of(plan: Plan, row: Row) -> Stop | None:
    """Return the halt of the day file at which bottles are filled, if it has a name."""
    near = (
        stop for stop in plan.pace.stops if stop.name and abs(stop.distance_m - row.distance_m) <= ONE_HALT_M
    )
    return next(near, None)
