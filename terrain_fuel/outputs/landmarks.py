"""What the rider sees of the road, to trust the distance again: climbs, named places, where one sleeps."""

from collections.abc import Iterable
from dataclasses import replace

from terrain_fuel.assembly.labels import ONE_HALT_M
from terrain_fuel.outputs.row import Row, RowKind, road_row
from terrain_fuel.outputs.units import clock_text
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

LANDMARK_NEAR_M = 300.0
"""A crest or place this near to a bite or refill is told in that row, not in one of its own."""

LANDMARK_CLIMB_M = 40.0
"""A climb gains this much before its foot and crest are landmarks: less is not noticed on the road."""

SUMMIT_NEAR_M = 1500.0
"""A crest this near to a named summit is that summit."""

ONE_CLIMB_M = 600.0
"""Climbs of one name with no more road than this between them are one; so are places of one name."""


def landmark_rows(plan: Plan) -> list[Row]:
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
