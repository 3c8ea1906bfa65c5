"""The plan as rows in road order: what the map's list, the sticker, the sheets and the terminal all show."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from itertools import groupby

from terrain_fuel.assembly.labels import ONE_HALT_M
from terrain_fuel.flags.model import Caution
from terrain_fuel.limits import NO_RIDE
from terrain_fuel.outputs.bottle_signs import bottle_signs
from terrain_fuel.outputs.handovers import filled_at
from terrain_fuel.outputs.landmarks import LANDMARK_NEAR_M, landmark_rows
from terrain_fuel.outputs.names import short_names
from terrain_fuel.outputs.row import Row, road_row
from terrain_fuel.outputs.units import amount_text, clock_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.pace.model import Stop
from terrain_fuel.plan import FuelPoint, Plan

SAME_HALT_M = 1.0
"""What is drunk standing after a bite is written a hair further on: it is at the same halt."""

SHORT_NAME_CHARACTERS = 16

TIMES = "×"


@lru_cache(maxsize=2)
def plan_rows(plan: Plan) -> tuple[Row, ...]:
    """Return the rows of a plan in road order: fuel points, hands-on spans and landmarks.

    A crest or named place within 300 m of a fuel point is that row's ``landmark``, and not a row
    of its own if something is eaten or filled there. The foot of a climb always has its row,
    because it tells how long the climb is. All outputs of a plan ask for the same rows, so the last are kept.
    """
    landmarks = landmark_rows(plan)
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
